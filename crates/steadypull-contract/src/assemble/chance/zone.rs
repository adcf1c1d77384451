//! The zone of a study in the contract's words.

use steadypull_engine::plan::Plan;
use steadypull_engine::study::{Contour, Studied};

use super::CONFIDENCE;
use super::blocks::Study;
use super::rigged::StudiedRig;
use crate::answer::{ChanceZone, ZoneContour};
use crate::assemble::standoff::points;

/// Quantiles at which contours are drawn.
const CONTOURS: [f64; 4] = [0.5, 0.9, 0.95, 0.99];

pub(super) fn zone(plan: &Plan, rig: &StudiedRig, study: &Study) -> ChanceZone {
    let (frame, tally) = (study.frame(), &study.totals().zone);
    let quantile = plan.policy.zone_quantile;
    let of = |q: f64| tally.contour(frame, q, CONFIDENCE);
    let whole = of(quantile);
    let corners = frame.corners(&whole.reach);
    let (inner, outer) = (frame.corners(&whole.inner), frame.corners(&whole.outer));
    // An upper order statistic needs 1/(1 - q) runs before it is not just the greatest.
    let told = |q: &f64| tally.least_runs() as f64 * (1.0 - q) >= 1.0;
    let contours = CONTOURS
        .into_iter()
        .filter(told)
        .map(|q| ZoneContour {
            quantile: q,
            corners: points(&frame.corners(&of(q).bare)),
        })
        .collect();
    let pulls = rig.rigged.studied == Studied::Pull;
    let straight = pulls && rig.rigged.path.laid_out.is_none();
    let span = rig.rigged.span.get();
    let furthest = |corners: &[(f64, f64)]| {
        let away = corners.iter().map(|c| study.off_line(*c));
        away.fold(0.0, f64::max)
    };
    let most = |of: &dyn Fn(&(f64, f64)) -> f64| {
        straight.then(|| corners.iter().map(of).fold(0.0, f64::max))
    };
    ChanceZone {
        quantile,
        rule_m: frame.rule.get(),
        rule: rule(rig),
        contours,
        computed_governs: whole.governs,
        furthest_m: furthest(&corners),
        furthest_inner_m: furthest(&inner),
        furthest_outer_m: furthest(&outer),
        open_share: open_share(&whole),
        behind_casualty_m: most(&|c| -c.0),
        behind_tug_m: most(&|c| c.0 - span),
        beside_m: most(&|c| c.1.abs()),
        rule_corners: points(&frame.corners(&frame.by_rule)),
        inner: points(&inner),
        outer: points(&outer),
        corners: points(&corners),
        outlines: rig.outlines.clone(),
    }
}

fn open_share(contour: &Contour) -> f64 {
    match contour.outside {
        0 => 0.0,
        outside => contour.unbounded as f64 / outside as f64,
    }
}

fn rule(rig: &StudiedRig) -> String {
    if rig.rigged.path.laid_out.is_none() {
        return rig.rule.1.clone();
    }
    "from every part of line: the policy's multiple of the line paid out, never under the \
     longest line"
        .into()
}
