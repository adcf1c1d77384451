//! `steadypull let-go --converge`: whether the let-go's numbers have settled.

use core::sync::atomic::{AtomicBool, Ordering};

use steadypull_engine::finding::{Finding, Severity};
use steadypull_engine::letgo::cases::prepared;
use steadypull_engine::letgo::rig::partings;
use steadypull_engine::letgo::{self, LetGoError, Settling};
use steadypull_engine::options::ladder;
use steadypull_engine::plan::Plan;

use super::{ChosenRig, findings, lowering, rig, rig_shown, runs};
use crate::AnswerError;
use crate::answer::{ConvergedCase, Convergence, ConvergenceLevel};
use crate::printed::ConvergenceAnswer;
use crate::show::percent;

/// Share of a speed that may be left to change (project's own).
const SPEED_SETTLED: f64 = 0.02;
/// The same of an arrival energy: twice that of a speed, and as much again for where it
/// arrives.
const ARRIVAL_SETTLED: f64 = 0.08;

/// Follows each let-go run of a plan finer. `progress` hears how many of how many are
/// done; when `stop` is raised, those that are done are told.
pub fn answer_convergence(
    plan: &Plan,
    progress: &mut dyn FnMut(usize, usize),
    stop: &AtomicBool,
) -> Result<ConvergenceAnswer, AnswerError> {
    let ladder = ladder(plan, &runs::SideBySide::default())?;
    let whole = super::answer_on(plan, &ladder)?;
    let worked = lowering::worked(plan)?;
    let lowers = match &worked {
        Some(worked) => worked.rung(plan)?,
        None => None,
    };
    let chosen = rig_shown(plan, &ladder, lowers.as_ref());
    let (to_follow, missing) = match &chosen {
        Some(chosen) => to_follow(plan, chosen),
        None if plan.lowering.is_some() => (Vec::new(), Some(NO_LINE_LAID.into())),
        None => (Vec::new(), Some("there is no rig".into())),
    };
    let convergence = followed(&to_follow, missing, progress, stop)?;
    let mut all: Vec<_> = own_findings(&convergence)
        .into_iter()
        .map(findings::in_contract)
        .collect();
    all.extend(whole.findings);
    all.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    AnswerError::refuse_numbers(ConvergenceAnswer {
        contract_version: crate::answer::CONTRACT_VERSION,
        title: plan.title.clone(),
        convergence,
        findings: all,
        cautions: whole.cautions,
    })
}

/// Why a lowering may have no run.
const NO_LINE_LAID: &str = "nothing flies in a run of this lowering: its line is not laid out on the ground, so its \
     standoff is the rule's and no speed was worked out; lay the rig out (see `[rig]` in \
     docs/plan-file.md) to have its parts let go";

/// The runs of a rig, or why there are none.
fn to_follow(plan: &Plan, chosen: &ChosenRig) -> (Vec<Settling>, Option<String>) {
    let found = match rig::design_load(chosen) {
        Some((laid_out, scale)) => {
            let solved = laid_out.at_unit_haul.scaled(scale);
            partings(plan, &laid_out.graph, &solved).settling(plan, &laid_out.graph, &solved)
        }
        None => Settling::of_cases(&prepared(plan, chosen.path, chosen.links)),
    };
    let missing = found
        .is_empty()
        .then(|| "nothing in the rig carries load".into());
    (found, missing)
}

fn followed(
    all: &[Settling],
    missing: Option<String>,
    progress: &mut dyn FnMut(usize, usize),
    stop: &AtomicBool,
) -> Result<Convergence, LetGoError> {
    let mut cases = Vec::with_capacity(all.len());
    progress(0, all.len());
    for some in all.chunks(runs::threads()) {
        if stop.load(Ordering::SeqCst) {
            break;
        }
        let done = runs::side_by_side(some, Settling::converge);
        for (one, found) in some.iter().zip(done) {
            cases.push(case(one, &found?));
        }
        progress(cases.len(), all.len());
    }
    let mut answer = Convergence {
        stopped: cases.len() < all.len(),
        headline: String::new(),
        missing,
        of_cases: all.len() as u32,
        cases,
        speed_settled_share: SPEED_SETTLED,
        arrival_settled_share: ARRIVAL_SETTLED,
        model: "each run again with twice and four times the segments and with half the step; the error falls as one over the segments, so four thirds of the change to four times as many is left, and the change by the step".into(),
    };
    answer.headline = headline(&answer);
    Ok(answer)
}

fn case(one: &Settling, found: &letgo::Convergence) -> ConvergedCase {
    let levels = found.by_segments.iter().chain([&found.halved_step]);
    let mut answer = ConvergedCase {
        link: one.link.clone(),
        flies: one.flies.clone(),
        flies_to: one.flies_to.clone(),
        tension_n: one.tension.get(),
        hardware_mass_kg: one.hardware.get(),
        dampers: one.dampers as u32,
        launch_alone: one.launch_alone,
        levels: levels
            .map(|level| ConvergenceLevel {
                segments: level.segments as u32,
                step_share: level.step_share,
                steps: level.steps,
                speed_m_s: level.speed.get(),
                arrival_energy_j: level.arrival.map(|energy| energy.get()),
            })
            .collect(),
        speed_change_share: found.speed_change(),
        speed_change_by_step_share: found.speed_change_by_step(),
        speed_error_share: found.speed_error(),
        arrival_change_share: found.arrival_change(),
        arrival_change_by_step_share: found.arrival_change_by_step(),
        arrival_error_share: found.arrival_error(),
        arrival_in_doubt: found.arrival_in_doubt(),
        settled: false,
    };
    answer.settled = answer.speed_error_share <= SPEED_SETTLED
        && !answer.arrival_in_doubt
        && answer
            .arrival_error_share
            .is_none_or(|e| e <= ARRIVAL_SETTLED);
    answer
}

fn headline(answer: &Convergence) -> String {
    if let Some(missing) = &answer.missing {
        return missing.clone();
    }
    let done = answer.cases.len();
    let settled = answer.cases.iter().filter(|case| case.settled).count();
    let of = match answer.stopped {
        true => format!("{done} followed, of {} that there are", answer.of_cases),
        false => done.to_string(),
    };
    format!(
        "Runs that have settled, to {} in speed and {} in arrival energy: {settled} of {of}",
        percent(answer.speed_settled_share),
        percent(answer.arrival_settled_share)
    )
}

/// A warning for each run that has not settled.
fn own_findings(answer: &Convergence) -> Vec<Finding> {
    let open = answer.cases.iter().filter(|case| !case.settled);
    open.map(|case| {
        let doubt = match (case.arrival_in_doubt, case.arrival_error_share) {
            (true, _) => "whether it reaches the far vehicle depends on the segments".into(),
            (_, Some(error)) if error > ARRIVAL_SETTLED => {
                format!("its arrival energy may be off by {}", percent(error))
            }
            _ => format!("its speed may be off by {}", percent(case.speed_error_share)),
        };
        let remedy = match case.dampers {
            0 => "take the greatest of the runs, and stand further back",
            _ => "take the greatest of the runs; one flight through dampers is a matter of how squarely they are struck: `steadypull dampers PLAN` goes by many",
        };
        Finding::new(
            Severity::Warning,
            "let-go-not-settled",
            case.link.clone(),
            format!(
                "the run of what flies to {} has not settled: {doubt}",
                case.flies_to
            ),
            remedy,
            "computed: the same run finer",
        )
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan_file::read_plan;

    fn demo(name: &str) -> &'static str {
        let found = crate::EXAMPLES.iter().find(|(demo, _)| *demo == name);
        found.expect("a demo plan of that name").1
    }

    #[test]
    fn what_is_asked_to_stop_tells_what_it_has() {
        let plan = read_plan(demo("tree-double-line")).expect("it reads");
        let stop = AtomicBool::new(true);
        let found = answer_convergence(&plan, &mut |_, _| (), &stop).unwrap();
        assert!(found.convergence.stopped && found.convergence.cases.is_empty());
        assert!(found.convergence.of_cases > 0 && found.convergence.missing.is_none());
        // After the first batch.
        let stop = AtomicBool::new(false);
        let mut heard = Vec::new();
        let mut hear = |done, of| {
            heard.push((done, of));
            stop.store(done > 0, Ordering::SeqCst);
        };
        let found = answer_convergence(&plan, &mut hear, &stop).unwrap();
        let (done, of) = heard[heard.len() - 1];
        assert_eq!(found.convergence.cases.len(), done);
        assert_eq!(found.convergence.of_cases as usize, of);
        assert!(found.convergence.stopped == (done < of));
    }

    #[test]
    fn a_lowering_whose_line_is_not_laid_out_says_so() {
        let bare = without_rig(demo("steep-bank-lowering"));
        let plan = read_plan(&bare).expect("it reads without its rig");
        let found = answer_convergence(&plan, &mut |_, _| (), &AtomicBool::new(false)).unwrap();
        let missing = found.convergence.missing.expect("why there is nothing");
        assert!(missing.contains("not laid out"), "{missing}");
        assert_eq!(found.convergence.headline, missing);
    }

    /// A plan's text without its `[rig]` sections.
    fn without_rig(text: &str) -> String {
        let mut kept = String::new();
        let mut skip = false;
        for line in text.lines() {
            if line.starts_with('[') {
                skip = line.trim_start_matches('[').starts_with("rig");
            }
            if !skip {
                kept += line;
                kept.push('\n');
            }
        }
        kept
    }
}
