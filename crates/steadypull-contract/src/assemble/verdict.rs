//! The answer in a few sentences.

use steadypull_engine::options::{Ladder, Verdict as RungVerdict};
use steadypull_engine::plan::Plan;

use super::{ChosenRig, method_name};
use crate::answer::{Finding, Lowering, MethodName, Severity, Verdict};
use crate::show::{Units, likely, percent};

pub(super) fn verdict(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
    findings: &[Finding],
) -> Verdict {
    let sequence: Vec<MethodName> = ladder.sequence.iter().map(|m| method_name(*m)).collect();
    let critical: Vec<&Finding> = findings
        .iter()
        .filter(|f| f.severity == Severity::Critical)
        .collect();
    let works = ladder.rungs.iter().any(|r| r.verdict == RungVerdict::First)
        || ladder
            .rungs
            .iter()
            .any(|r| r.verdict == RungVerdict::Reserve);
    let within_policy = critical.is_empty() && chosen.is_some();
    let headline = match (within_policy, works, plan.rig.is_some()) {
        (false, _, true) => "DO NOT PULL with this rig".to_string(),
        (false, true, false) => "DO NOT PULL as things stand; see what would work".to_string(),
        (false, false, false) => "DO NOT PULL: nothing on hand is enough".to_string(),
        (true, false, _) => "DO NOT PULL: nothing on hand will probably shift it".to_string(),
        (true, true, true) if rig_too_weak(chosen) => {
            format!(
                "This rig will probably not shift it. Instead: {}",
                headline(&sequence)
            )
        }
        (true, true, _) => headline(&sequence),
    };
    Verdict {
        headline,
        within_policy: within_policy && works,
        first_method: sequence.first().copied(),
        reasons: reasons(plan, ladder, chosen, &critical),
        sequence,
    }
}

/// The verdict on a lowering.
pub(super) fn of_lowering(plan: &Plan, lowering: &Lowering, findings: &[Finding]) -> Verdict {
    let critical: Vec<&Finding> = findings
        .iter()
        .filter(|f| f.severity == Severity::Critical)
        .collect();
    let within_policy = critical.is_empty();
    let belay = match &lowering.belay {
        Some(belay) => format!("belay on {} tended all the way", belay.line),
        None => "NO BELAY".into(),
    };
    let headline = if within_policy {
        format!(
            "Lower it on {}, {}, at {} or slower; {belay}",
            lowering.line,
            lowering.held_by,
            plan.units.speed(lowering.pay_out.speed_m_s)
        )
    } else {
        "DO NOT LOWER with this rig".into()
    };
    let sequence: Vec<MethodName> = within_policy
        .then_some(MethodName::Lower)
        .into_iter()
        .collect();
    Verdict {
        headline,
        within_policy,
        first_method: sequence.first().copied(),
        reasons: lowering_reasons(lowering, &critical, plan.units),
        sequence,
    }
}

fn lowering_reasons(lowering: &Lowering, critical: &[&Finding], units: Units) -> Vec<String> {
    let force = |n| units.force(n);
    let mut reasons: Vec<String> = critical
        .iter()
        .map(|f| format!("{}: {}", f.subject, f.message))
        .collect();
    reasons.push(format!(
        "the line holds {} where it is most, {} down the way ({} to {}; parts are judged at {})",
        force(lowering.greatest.median_n),
        units.length(lowering.greatest_at_m),
        force(lowering.greatest.low_n),
        force(lowering.greatest.high_n),
        force(lowering.greatest_design_n)
    ));
    if let (Some(hand), Some(design)) = (lowering.pay_out.hand, lowering.pay_out.hand_design_n) {
        reasons.push(format!(
            "the tending hand holds {}, {} at the worst",
            units.hand_force(hand.median_n),
            units.hand_force(design)
        ));
    }
    let away = &lowering.run_away;
    reasons.push(format!(
        "if it is let go and nothing catches it, it reaches {}",
        units.speed(away.told_speed_m_s())
    ));
    if let Some(belay) = &lowering.belay {
        reasons.push(format!(
            "the belay {}; highest peak {}",
            belay.words,
            force(belay.peak_force_n)
        ));
    }
    reasons
}

fn rig_too_weak(chosen: Option<&ChosenRig>) -> bool {
    chosen.is_some_and(|c| c.rung.verdict == RungVerdict::TooWeak)
}

fn headline(sequence: &[MethodName]) -> String {
    match sequence {
        [] => "No method is needed or none was found".into(),
        [only] => only.title().to_string(),
        [first, rest @ ..] => {
            let then: Vec<String> = rest.iter().map(|m| m.title().to_lowercase()).collect();
            format!("{}, then {}", first.title(), then.join(", then "))
        }
    }
}

fn reasons(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
    critical: &[&Finding],
) -> Vec<String> {
    let mut reasons: Vec<String> = critical
        .iter()
        .map(|f| format!("{}: {}", f.subject, f.message))
        .collect();
    let (slide, suction) = ladder.found.design(plan.policy.design_quantile);
    let design = slide + suction;
    if !ladder.found.fixed_end {
        reasons.push(format!(
            "the casualty may resist with up to {} ({:.1} times its weight, {} quantile)",
            plan.units.force(design.get()),
            design / plan.casualty.vehicle.mass.weight(),
            percent(plan.policy.design_quantile)
        ));
    }
    if let Some(chosen) = chosen.filter(|_| rig_too_weak(chosen)) {
        let title = method_name(chosen.path.method).title();
        reasons.push(format!("{title}, as rigged: {}", chosen.rung.reason));
    }
    for rung in &ladder.rungs {
        if matches!(rung.verdict, RungVerdict::First | RungVerdict::Step) {
            let title = method_name(rung.method).title();
            // What never happened in so many samples is bounded by the rule of three.
            let bound = 3.0 / rung.samples.max(1) as f64;
            let told = |p| likely(p, 1.0 - bound, bound);
            let chance = match (rung.shift, rung.treatment.dug, rung.shift_dug) {
                (Some(found), true, Some(dug)) => format!(
                    " (shifts it: {} as found, {} after digging)",
                    told(found),
                    told(dug)
                ),
                (Some(found), _, _) => format!(" (shifts it: {})", told(found)),
                _ => String::new(),
            };
            reasons.push(format!("{title}: {}{chance}", rung.reason));
        }
    }
    reasons
}
