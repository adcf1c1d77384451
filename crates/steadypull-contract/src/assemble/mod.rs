//! From a plan to an answer: the engine's results in the contract's words.

pub mod anchors;
pub mod at_once;
pub mod chance;
pub mod convergence;
pub mod design;
mod findings;
mod flying;
mod flying_findings;
mod let_go;
mod load_path;
mod lowering;
mod lowering_findings;
mod options;
mod outlines;
mod partings;
mod pull;
pub mod replay;
mod rig;
mod runs;
mod situation;
mod spread_findings;
#[cfg(test)]
mod square_rig;
mod standoff;
mod standoff_laid_out;
mod summary;
mod tested_findings;
mod verdict;
mod winch;
mod winch_findings;

use steadypull_engine::options::{Ladder, Rung, Verdict, ladder};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::{LoadPath, LoadedLink};

use crate::AnswerError;
use crate::answer::{self, Answer, CONTRACT_VERSION, MethodName};

/// Draws behind the computed zone, each of a line that parts at an end and of one that
/// parts inside.
const SCATTER_RUNS: usize = 28;

/// Works out the whole answer for a plan.
pub fn answer_plan(plan: &Plan) -> Result<Answer, AnswerError> {
    answer_on(plan, &ladder(plan, &runs::SideBySide::default())?)
}

/// The rig that an answer is about: that of the lowering, or the one chosen of the ladder.
fn rig_shown<'a>(
    plan: &Plan,
    ladder: &'a Ladder,
    lowers: Option<&'a Rung>,
) -> Option<ChosenRig<'a>> {
    lowers
        .and_then(ChosenRig::of)
        .or_else(|| chosen_rig(plan, ladder))
}

/// The same where the ladder of the plan is there already.
fn answer_on(plan: &Plan, ladder: &Ladder) -> Result<Answer, AnswerError> {
    let worked = lowering::worked(plan)?;
    let lowers = match &worked {
        Some(worked) => worked.rung(plan)?,
        None => None,
    };
    let chosen = rig_shown(plan, ladder, lowers.as_ref());
    let lowered = worked.as_ref().map(|w| w.lowered(plan));
    let rig_let_go = partings::rig_let_go(plan, chosen.as_ref(), lowered);
    let on_path = chosen.as_ref().filter(|c| c.path.laid_out.is_none());
    let let_go_cases = match on_path {
        Some(rig) => runs::cases(plan, rig.path, rig.links)?,
        None => Vec::new(),
    };
    let thrown = match on_path {
        Some(rig) => runs::thrown(plan, rig.path, &let_go_cases, SCATTER_RUNS),
        None => Default::default(),
    };
    let pull = answer::Pull {
        winch: winch::winch_haul(plan, ladder, chosen.as_ref())?,
        ..pull::pull(plan, ladder)
    };
    let let_go = match &rig_let_go {
        Some(found) => partings::let_go(plan, found),
        None => let_go::let_go(plan, chosen.as_ref(), &let_go_cases, &thrown),
    };
    let on_ground = rig_let_go.as_ref().map(|f| (&f.zone, f.partings.failed));
    let flown = at_once::Flown {
        on_ground,
        cases: &let_go_cases,
        thrown: &thrown,
        haul: pull.winch.as_ref(),
    };
    let at_once = at_once::told(plan, ladder, chosen.as_ref(), worked.as_ref(), &flown);
    let (standoff, mut findings) = (at_once.standoff, at_once.findings);
    findings.extend(flying_findings::findings(plan, &let_go));
    findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    if let (Some(found), Some(chosen)) = (&rig_let_go, &chosen) {
        let of_rig = partings::findings(plan, chosen.path.method, found);
        findings.extend(of_rig.into_iter().map(findings::in_contract));
        findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    }
    let lowering = worked.map(|w| lowering::lowering(plan, &w, &standoff));
    let verdict = match &lowering {
        Some(lowering) => verdict::of_lowering(plan, lowering, &findings),
        None => verdict::verdict(plan, ladder, chosen.as_ref(), &findings),
    };
    AnswerError::refuse_non_finite(Answer {
        contract_version: CONTRACT_VERSION,
        plan: summary::summary(plan),
        verdict,
        situation: at_once.situation,
        options: options::options(ladder),
        load_path: at_once.load_path,
        rig: at_once.rig,
        pull,
        let_go,
        standoff,
        lowering,
        findings,
        cautions: cautions(plan.lowering.is_some()),
    })
}

/// The rig the load path, the let-go and the zone speak of.
struct ChosenRig<'a> {
    rung: &'a Rung,
    path: &'a LoadPath,
    links: &'a [LoadedLink],
}

impl<'a> ChosenRig<'a> {
    fn of(rung: &'a Rung) -> Option<Self> {
        Some(Self {
            path: rung.path.as_ref()?,
            links: &rung.links,
            rung,
        })
    }
}

/// The plan's own rig; else that of the last method in the sequence that has
/// one; else of the first rung that has one.
fn chosen_rig<'a>(plan: &Plan, ladder: &'a Ladder) -> Option<ChosenRig<'a>> {
    let with_rig = |method: Method| {
        ladder
            .rungs
            .iter()
            .find(|r| r.method == method && r.path.is_some())
    };
    let rung = match &plan.rig {
        Some(rig) => with_rig(rig.method),
        // Nothing is pulled in a lowering unless the plan says so.
        None if plan.lowering.is_some() => None,
        None => ladder
            .sequence
            .iter()
            .rev()
            .find_map(|m| with_rig(*m))
            .or_else(|| {
                ladder
                    .rungs
                    .iter()
                    .find(|r| r.path.is_some() && r.verdict != Verdict::RuledOut)
            })
            .or_else(|| ladder.rungs.iter().find(|r| r.path.is_some())),
    }?;
    ChosenRig::of(rung)
}

/// The method of a name.
pub(crate) fn method_of(name: MethodName) -> Method {
    match name {
        MethodName::ClearAndDig => Method::ClearAndDig,
        MethodName::AirDownAndBoards => Method::AirDownAndBoards,
        MethodName::SteadyTow => Method::SteadyTow,
        MethodName::WinchSingle => Method::WinchSingle,
        MethodName::WinchMulti => Method::WinchMulti,
        MethodName::Kinetic => Method::Kinetic,
        MethodName::Lower => Method::Lower,
    }
}

fn method_name(method: Method) -> MethodName {
    match method {
        Method::ClearAndDig => MethodName::ClearAndDig,
        Method::AirDownAndBoards => MethodName::AirDownAndBoards,
        Method::SteadyTow => MethodName::SteadyTow,
        Method::WinchSingle => MethodName::WinchSingle,
        Method::WinchMulti => MethodName::WinchMulti,
        Method::Kinetic => MethodName::Kinetic,
        Method::Lower => MethodName::Lower,
    }
}

fn cautions(lowers: bool) -> Vec<String> {
    let last = if lowers {
        "When in doubt, do not lower and do not pull."
    } else {
        "When in doubt, do not pull."
    };
    [
        "These are estimates from stated models and inputs; they certify nothing.",
        "Follow the makers' ratings, local law and codes, and trained or licensed practice where it is required.",
        "The numbers are no better than the inputs: what was not measured was assumed, and is listed.",
        "A standoff zone is where most things would come down, not where all would. Further is safer.",
        last,
    ]
    .map(String::from)
    .to_vec()
}
