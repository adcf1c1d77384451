//! What a study notices.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::plan::{Method, Plan};

use super::rigged::StudiedRig;
use super::words::{LOWERINGS, counted, of_draws, of_these, under};
use crate::answer::{self, Chance, ChanceProbability, ChanceStudied};
use crate::assemble::findings::in_contract;
use crate::assemble::tested_findings::{self, Loads};
use crate::show::percent;

/// What is noticed, worst first.
pub(super) fn findings(plan: &Plan, rig: &StudiedRig, answer: &Chance) -> Vec<answer::Finding> {
    let mut found = refused(rig);
    found.extend(held_fast(answer));
    found.extend(held_too_seldom(plan, answer));
    found.extend(belay(plan, answer));
    found.extend(parting(plan, answer));
    found.extend(over_wll(plan, answer));
    found.extend(too_weak(plan, answer));
    found.extend(failed(answer));
    found.extend(not_stated(answer));
    found.extend(tested_findings::findings(plan, &loads(plan, rig, answer)));
    let mut found: Vec<answer::Finding> = found.into_iter().map(in_contract).collect();
    found.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    found
}

/// The load on each link under the greatest pull that the design quantile of draws stays
/// under.
fn loads(plan: &Plan, rig: &StudiedRig, answer: &Chance) -> Loads {
    let mut loads = Loads::default();
    let design = plan.policy.design_quantile;
    let mut quantiles = answer.peak_n.iter().flat_map(|peak| &peak.at);
    let Some(peak) = quantiles.rfind(|at| at.level <= design) else {
        return loads;
    };
    for link in &rig.rigged.path.links {
        loads.add(&link.name, peak.value * link.load_share);
    }
    loads
}

fn refused(rig: &StudiedRig) -> Vec<Finding> {
    let links = rig.rigged.path.links.iter();
    links
        .filter_map(|link| {
            let why = link.refused.as_ref()?;
            Some(Finding::new(
                Severity::Critical,
                "refused-part",
                link.name.clone(),
                format!("{} is refused: {why}", link.name),
                "take another part; no chance worked out here makes it safe",
                "policy",
            ))
        })
        .collect()
}

fn held_fast(answer: &Chance) -> Option<Finding> {
    let pulls = answer.studied != ChanceStudied::Lowering;
    (pulls && answer.resistance_n.is_none()).then(|| {
        Finding::new(
            Severity::Critical,
            "held-fast",
            "casualty",
            "something holds the casualty that does not yield: no pull moves it, and the rig \
             takes all that the tug brings",
            "clear what holds it before anything pulls",
            "policy",
        )
    })
}

fn parting(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let allowed = plan.policy.parting_probability;
    let lets_go = answer.lets_go?;
    let what = counted(answer.studied);
    if lets_go.low > allowed {
        let first = answer.first_to_go.first()?;
        return Some(Finding::new(
            Severity::Critical,
            "parting-likely",
            first.part.clone(),
            format!(
                "a part lets go {}, most often {} first; the policy allows {}",
                of_these(&lets_go, what),
                first.part,
                percent(allowed)
            ),
            "a stronger part there, a lower load, or another method",
            "policy; strength by its stated low quantile (assumed)",
        ));
    }
    // Strengths reckoned whole tell rare chances that a count cannot.
    let reckoned = answer.lets_go_reckoned?;
    if reckoned.low > allowed {
        return Some(Finding::new(
            Severity::Critical,
            "parting-likely",
            "rig",
            format!(
                "a part lets go in about {} of {what}, its strength reckoned whole; the policy \
                 allows {}",
                percent(reckoned.estimate),
                percent(allowed)
            ),
            "a stronger part there, a lower load, or another method",
            "policy; strength by its stated low quantile (assumed)",
        ));
    }
    (reckoned.high > allowed).then(|| {
        Finding::new(
            Severity::Note,
            "parting-not-shown-under-policy",
            "rig",
            format!(
                "so few draws cannot show that a part lets go in at most {} of {what}, as the \
                 policy asks: it may be {}",
                percent(allowed),
                under(reckoned.high, what)
            ),
            "more draws (`--runs`), or a stronger part",
            "sampling error",
        )
    })
}

fn over_wll(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let allowed = 1.0 - plan.policy.design_quantile;
    let passes = answer.passes_wll.filter(|p| p.low > allowed)?;
    let kinetic = answer.method == Some(super::super::method_name(Method::Kinetic));
    Some(Finding::new(
        if kinetic {
            Severity::Warning
        } else {
            Severity::Critical
        },
        "passes-wll",
        "rig",
        format!(
            "a part passes its working load limit {}; the design quantile of the policy allows {}",
            of_these(&passes, counted(answer.studied)),
            percent(allowed)
        ),
        "a part with a higher limit there, a lower load, or another method",
        "makers' working load limits",
    ))
}

/// Turns and brakes are judged at the design quantile, as in `steadypull lowering`; what
/// slips more often than a part may let go is worth a decision.
fn held_too_seldom(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let lowering = answer.lowering.as_ref()?;
    let policy = &plan.policy;
    let not_held = complement(&lowering.held);
    let (severity, allowed) = if not_held.low > 1.0 - policy.design_quantile {
        (Severity::Critical, 1.0 - policy.design_quantile)
    } else if not_held.low > policy.parting_probability {
        (Severity::Warning, policy.parting_probability)
    } else {
        return None;
    };
    Some(Finding::new(
        severity,
        "not-held",
        "holder",
        format!(
            "the vehicle is not held all the way down {}; the policy allows {}",
            of_these(&not_held, LOWERINGS),
            percent(allowed)
        ),
        "more turns, a stronger holder or anchor, or another way down",
        "policy; spreads of mass, rolling resistance and friction (assumed)",
    ))
}

fn belay(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let belay = answer.lowering.as_ref()?.belay.as_ref()?;
    let fails = complement(belay.holds.as_ref().unwrap_or(&belay.stops));
    let allowed = 1.0 - plan.policy.design_quantile;
    (fails.low > allowed).then(|| {
        Finding::new(
            Severity::Critical,
            "belay-fails",
            "belay",
            format!(
                "if the main line lets go somewhere on the way, the belay does not hold {}; the \
                 design quantile of the policy allows {}",
                of_these(&fails, LOWERINGS),
                percent(allowed)
            ),
            "less slack, a stronger belay line or anchor, or a device that slips lower",
            "policy; run-away and catch as in `steadypull lowering`",
        )
    })
}

/// That it does not happen.
fn complement(p: &ChanceProbability) -> ChanceProbability {
    ChanceProbability {
        estimate: 1.0 - p.estimate,
        low: 1.0 - p.high,
        high: 1.0 - p.low,
        hits: p.draws - p.hits,
        draws: p.draws,
    }
}

fn too_weak(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let wanted = plan.policy.shift_probability;
    let moves = answer.moves?;
    (moves.high < wanted && answer.resistance_n.is_some()).then(|| {
        Finding::new(
            Severity::Warning,
            "probably-too-weak",
            "method",
            format!(
                "the casualty moves {}, under the {} that the policy asks",
                of_draws(&moves),
                percent(wanted)
            ),
            "lower the resistance first, or another method",
            "policy",
        )
    })
}

fn failed(answer: &Chance) -> Option<Finding> {
    let failed = answer.sample.failed;
    (failed > 0).then(|| {
        Finding::new(
            Severity::Warning,
            "failed-draws",
            "sample",
            format!("{failed} draws or let-go runs failed and are not in the numbers"),
            "check the plan for extreme values",
            "this tool",
        )
    })
}

fn not_stated(answer: &Chance) -> Option<Finding> {
    let names = &answer.strength_not_stated;
    (!names.is_empty()).then(|| {
        Finding::new(
            Severity::Warning,
            "strength-not-stated",
            names.join(", "),
            "no breaking strength is stated: whether it lets go, and when, is not in these chances",
            "state `mbs` as its maker gives it",
            "the plan file",
        )
    })
}
