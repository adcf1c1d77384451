//! What a study notices.

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::plan::{Method, Plan};

use super::rigged::StudiedRig;
use super::words::{at_most, of_draws};
use crate::answer::{self, Chance};
use crate::assemble::findings::in_contract;
use crate::show::percent;

/// What is noticed, worst first.
pub(super) fn findings(plan: &Plan, rig: &StudiedRig, answer: &Chance) -> Vec<answer::Finding> {
    let mut found = refused(rig);
    found.extend(held_fast(answer));
    found.extend(parting(plan, answer));
    found.extend(over_wll(plan, answer));
    found.extend(too_weak(plan, answer));
    found.extend(failed(answer));
    found.extend(not_stated(answer));
    let mut found: Vec<answer::Finding> = found.into_iter().map(in_contract).collect();
    found.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    found
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
    answer.resistance_n.is_none().then(|| {
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
    if lets_go.low > allowed {
        let first = answer.first_to_go.first()?;
        return Some(Finding::new(
            Severity::Critical,
            "parting-likely",
            first.part.clone(),
            format!(
                "a part lets go {}, most often {} first; the policy allows {}",
                of_draws(&lets_go),
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
                "a part lets go in about {} of pulls, its strength reckoned whole; the policy \
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
                "so few draws cannot show that a part lets go in at most {} of pulls, as the \
                 policy asks: it may be {}",
                percent(allowed),
                at_most(reckoned.high)
            ),
            "more draws (`--runs`), or a stronger part",
            "sampling error",
        )
    })
}

fn over_wll(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let allowed = 1.0 - plan.policy.design_quantile;
    let passes = answer.passes_wll.filter(|p| p.low > allowed)?;
    let kinetic = answer.method == super::super::method_name(Method::Kinetic);
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
            of_draws(&passes),
            percent(allowed)
        ),
        "a part with a higher limit there, a lower load, or another method",
        "makers' working load limits",
    ))
}

fn too_weak(plan: &Plan, answer: &Chance) -> Option<Finding> {
    let wanted = plan.policy.shift_probability;
    (answer.moves.high < wanted && answer.resistance_n.is_some()).then(|| {
        Finding::new(
            Severity::Warning,
            "probably-too-weak",
            "method",
            format!(
                "the casualty moves {}, under the {} that the policy asks",
                of_draws(&answer.moves),
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
