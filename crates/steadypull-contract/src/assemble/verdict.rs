//! The answer in a few sentences.

use steadypull_engine::options::{Ladder, Verdict as RungVerdict};
use steadypull_engine::plan::Plan;

use super::{ChosenRig, method_name};
use crate::answer::{Finding, MethodName, Severity, Verdict};
use crate::show::{Units, percent};

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
            Units::Metric.force(design.get()),
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
            let chance = match (rung.shift, rung.treatment.dug, rung.shift_dug) {
                (Some(found), true, Some(dug)) => format!(
                    " (shifts it: {} as found, {} after digging)",
                    percent(found),
                    percent(dug)
                ),
                (Some(found), _, _) => format!(" (shifts it: {})", percent(found)),
                _ => String::new(),
            };
            reasons.push(format!("{title}: {}{chance}", rung.reason));
        }
    }
    reasons
}
