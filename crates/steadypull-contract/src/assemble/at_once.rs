//! What of an answer needs no run of anything: loads, angles, distances by the rule.
//!
//! The whole answer and the quick one while something is dragged both come through
//! here: the quick one with nothing that flew and nothing that was hauled.

use steadypull_engine::letgo::cases::{Case, Scatter};
use steadypull_engine::letgo::rig::RigZone;
use steadypull_engine::options::{Ladder, Verdict, ladder_at_once};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::find_path;

use super::lowering::{Worked, worked};
use super::{
    ChosenRig, findings, load_path, outlines, partings, rig, rig_shown, situation, standoff,
    standoff_laid_out,
};
use crate::AnswerError;
use crate::answer::{Finding, LoadPath, RigState, Situation, Standoff, WinchHaul};

/// What runs gave; nothing in a quick answer.
pub(super) struct Flown<'a> {
    /// Zone of a rig laid out on the ground, and let-go runs of it that failed.
    pub on_ground: Option<(&'a RigZone, u32)>,
    /// Let-go cases of a straight rig.
    pub cases: &'a [Case],
    /// Where they come down.
    pub thrown: &'a Scatter,
    /// The haul of a winch.
    pub haul: Option<&'a WinchHaul>,
}

/// The areas of an answer that follow.
pub(crate) struct AtOnce {
    pub situation: Situation,
    pub load_path: LoadPath,
    pub rig: Option<RigState>,
    pub standoff: Standoff,
    pub findings: Vec<Finding>,
}

/// The areas, with what runs gave.
pub(super) fn told(
    plan: &Plan,
    ladder: &Ladder,
    chosen: Option<&ChosenRig>,
    worked: Option<&Worked>,
    flown: &Flown,
) -> AtOnce {
    let lowered = worked.map(|w| w.lowered(plan));
    let standoff = match (flown.on_ground, chosen) {
        (Some((zone, failed)), Some(chosen)) => Standoff {
            outlines: rig::design_load(chosen)
                .map(|(laid_out, scale)| outlines::outlines(plan, laid_out, scale))
                .unwrap_or_default(),
            ..standoff_laid_out::standoff(plan, zone, failed, lowered)
        },
        _ => standoff::standoff(plan, chosen, lowered, flown.cases, flown.thrown),
    };
    AtOnce {
        situation: situation::situation(plan, ladder),
        load_path: load_path::load_path(plan, ladder, chosen),
        rig: rig::rig(plan, chosen),
        findings: findings::findings(
            plan,
            ladder,
            chosen,
            worked,
            flown.cases,
            &standoff,
            flown.haul,
        ),
        standoff,
    }
}

/// What can be told of a plan at once.
pub(crate) enum Quick {
    /// All of it.
    Told(Box<AtOnce>),
    /// The rig is one for a kinetic pull, whose load takes many runs: how hard the
    /// casualty is stuck alone.
    Stuck(Box<Situation>),
}

/// Works it out, without what takes many runs.
pub(crate) fn at_once(plan: &Plan) -> Result<Quick, AnswerError> {
    let ladder = ladder_at_once(plan);
    let worked = worked(plan)?;
    let lowers = match &worked {
        Some(worked) => worked.rung(plan)?,
        None => None,
    };
    let chosen = rig_shown(plan, &ladder, lowers.as_ref());
    if lowers.is_none() && hangs_on_kinetic(plan, &ladder) {
        return Ok(Quick::Stuck(Box::new(situation::situation(plan, &ladder))));
    }
    let lowered = worked.as_ref().map(|w| w.lowered(plan));
    let zone = partings::rule_zone(plan, chosen.as_ref(), lowered);
    let flown = Flown {
        on_ground: zone.as_ref().map(|zone| (zone, 0)),
        cases: &[],
        thrown: &Scatter::default(),
        haul: None,
    };
    let told = told(plan, &ladder, chosen.as_ref(), worked.as_ref(), &flown);
    Ok(Quick::Told(Box::new(told)))
}

/// Whether the rig shown could be that of a kinetic pull, or another one because of it.
fn hangs_on_kinetic(plan: &Plan, ladder: &Ladder) -> bool {
    if find_path(plan, Method::Kinetic).is_err() {
        return false;
    }
    match &plan.rig {
        Some(rig) => rig.method == Method::Kinetic,
        None if plan.lowering.is_some() => false,
        // Where a less hazardous method works, no kinetic pull is thought of.
        None => ladder.rungs.iter().all(|r| r.verdict != Verdict::First),
    }
}
