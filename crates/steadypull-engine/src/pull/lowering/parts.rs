//! Every part that could let go in a lowering: its load, its limit, what is left.
//!
//! Loads are at the design quantile of the greatest holding force. The line, its
//! shackles and the vehicle's point carry the tension at the vehicle; the holder
//! and its anchor what is left after edges and blocks; a redirect block up to
//! twice the line (its two parts side by side, CV-BLOCK-01). When a redirect goes,
//! the main line runs slack by what it had drawn aside and comes tight again; when
//! any other part goes only the belay is left, unless it hangs on that part too.

use super::anchor_hold::anchor_hold;
use super::holding::Range;
use super::pay_out::PayOut;
use crate::plan::{Belay, Holder, Line, LineAnchor, Lowering, Part, Plan, PointKind, Policy};
use crate::pull::winch::winch_pull;
use crate::units::Force;

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// The casualty's recovery point.
    Point,
    /// The main line.
    Line,
    /// A shackle in it.
    Shackle,
    /// A redirect block or ring in it.
    Block,
    /// The winch's brake, or the turns with the hand that tends them.
    Holder,
    /// What the holder is fixed to.
    Anchor,
}

impl PartKind {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Point => "recovery point",
            Self::Line => "main line",
            Self::Shackle => "shackle",
            Self::Block => "redirect block",
            Self::Holder => "holder",
            Self::Anchor => "anchor",
        }
    }
}

/// What is left when a part lets go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// The main line, slack by what the redirect drew aside.
    MainLine,
    /// The belay.
    Belay,
    /// Nothing.
    Nothing,
}

/// One part under load.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLoad {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// Greatest load, at the design quantile.
    pub load: Force,
    /// What it may carry; `None` if that is not known, or if it may carry nothing.
    pub limit: Option<Force>,
    /// What the limit is, or why there is none.
    pub limited_by: &'static str,
    /// What is left when it lets go.
    pub left: Left,
}

impl PartLoad {
    /// Load over limit.
    pub fn share(&self) -> Option<f64> {
        self.limit
            .map(|limit| self.load / limit.max(Force::new(1e-9)))
    }

    /// Whether it may carry its load; a limit that is not known is none.
    pub fn within(&self) -> bool {
        self.share().is_some_and(|share| share <= 1.0)
    }
}

/// What `line` may carry for minutes on end.
pub fn line_limit(line: &Line, policy: &Policy) -> Force {
    let left = line.condition.strength_factor(line.material);
    let by_mbs = line.mbs * (left / policy.steady_design_factor);
    line.wll.map_or(by_mbs, |wll| by_mbs.min(wll * left))
}

/// What the casualty's point `name` may carry, and what says so.
pub fn point_limit(plan: &Plan, name: &str) -> (Option<Force>, &'static str) {
    let name = name.strip_prefix("casualty.").unwrap_or(name);
    let points = &plan.casualty.vehicle.recovery_points;
    let Some(point) = points.iter().find(|p| p.name == name) else {
        return (None, "not described");
    };
    let factor = plan.policy.steady_design_factor;
    match point.kind {
        PointKind::Rated | PointKind::ReceiverInsert | PointKind::TowingEye => {
            let by_mbs = point
                .mbs
                .map(|mbs| (mbs / factor, "MBS over the design factor"));
            let by_wll = point.wll.map(|wll| (wll, "WLL"));
            match by_wll.or(by_mbs) {
                Some((limit, why)) => (Some(limit), why),
                None => (None, "has no rating"),
            }
        }
        _ => (None, "may never carry a recovery load"),
    }
}

/// Every part of the main line, from the vehicle to the anchor.
pub fn parts(
    plan: &Plan,
    lowering: &Lowering,
    line: &Line,
    (at_vehicle, at_holder): (Range, Range),
    pay_out: &PayOut,
) -> Vec<PartLoad> {
    let belay = lowering.belay.as_ref();
    let left = |shared: fn(&Belay) -> &str, name: &str| match belay {
        Some(belay) if shared(belay) != name => Left::Belay,
        _ => Left::Nothing,
    };
    let main = &lowering.main;
    let pull = at_vehicle.design;
    let (limit, limited_by) = point_limit(plan, &main.point);
    let mut found = vec![PartLoad {
        name: main.point.clone(),
        kind: PartKind::Point,
        load: pull,
        limit,
        limited_by,
        left: left(|b| &b.point, &main.point),
    }];
    let after = left(|_| "", &main.line);
    for name in &main.through {
        found.extend(
            plan.kit
                .part(name)
                .and_then(|p| through(p, pull, plan, after)),
        );
    }
    found.push(PartLoad {
        name: main.line.clone(),
        kind: PartKind::Line,
        load: pull,
        limit: Some(line_limit(line, &plan.policy)),
        limited_by: "WLL or MBS over the design factor, after wear and wet",
        left: after,
    });
    found.push(holder(
        plan,
        lowering,
        line,
        at_holder.design,
        pay_out,
        after,
    ));
    found.push(anchor(
        plan,
        &main.anchor,
        at_holder.design,
        left(|b| &b.anchor.name, &main.anchor.name),
    ));
    found
}

fn through(part: &Part, pull: Force, plan: &Plan, after: Left) -> Option<PartLoad> {
    let factor = plan.policy.steady_design_factor;
    match part {
        Part::Shackle(shackle) => Some(PartLoad {
            name: shackle.name.clone(),
            kind: PartKind::Shackle,
            load: pull,
            limit: Some(shackle.wll.unwrap_or(shackle.mbs / factor)),
            limited_by: "WLL, or MBS over the design factor",
            left: after,
        }),
        Part::Block(block) => Some(PartLoad {
            name: block.name.clone(),
            kind: PartKind::Block,
            load: pull * 2.0,
            limit: Some(block.wll),
            limited_by: "WLL, both parts of the line side by side",
            left: Left::MainLine,
        }),
        Part::Line(_) | Part::Bridle(_) => None,
    }
}

fn holder(
    plan: &Plan,
    lowering: &Lowering,
    line: &Line,
    load: Force,
    pay_out: &PayOut,
    left: Left,
) -> PartLoad {
    let (name, limit, limited_by) = match lowering.main.holder {
        Holder::Winch => (
            "winch brake".to_string(),
            plan.tug
                .winch
                .as_ref()
                .map(|w| winch_pull(w, w.diameter_of(line))),
            "rated pull on the layer in use",
        ),
        Holder::Turns(turns) => (
            format!("turns round the {}", turns.round.word()),
            pay_out.turns_hold.map(|hold| hold.design),
            "what the turns hold with the hand at its limit",
        ),
    };
    PartLoad {
        name,
        kind: PartKind::Holder,
        load,
        limit,
        limited_by,
        left,
    }
}

fn anchor(plan: &Plan, anchor: &LineAnchor, load: Force, left: Left) -> PartLoad {
    let limit = anchor_hold(plan, anchor, plan.policy.design_quantile);
    PartLoad {
        name: anchor.name.clone(),
        kind: PartKind::Anchor,
        load,
        limit,
        limited_by: match limit {
            Some(_) => "what it holds with the design quantile",
            None => "what it holds is not stated",
        },
        left,
    }
}
