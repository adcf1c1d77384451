//! The `replay` operation: one recoil of an answer, moment by moment.
//!
//! The rig and the run are found as the answer finds them, so that what it shows is what
//! the answer tells; with the answer's method and pull at hand the ladder of methods is
//! not worked out again.

mod asked;
mod laid_out;
mod straight;
mod things;
mod tracks;

use steadypull_engine::options::{ladder, path_of};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::rig::{LoadPath, LoadedLink, load_links};
use steadypull_engine::units::{Force, Length};

use super::{cautions, lowering, method_name, method_of, rig_shown, runs};
use crate::AnswerError;
use crate::answer::CONTRACT_VERSION;
use crate::operation::{Replay, ReplayRequest, ReplayRig};
use crate::plan_file::{LineFiles, read_plan};
use crate::printed::Errors;

/// Works out one recoil of a plan's answer, to be looked at.
pub fn replay(request: &ReplayRequest) -> Result<Replay, Errors> {
    let lines = LineFiles::from(&request.lines);
    let plan = read_plan((&request.plan[..], &lines)).map_err(|p| Errors::of_plan(None, &p))?;
    let mut plan = plan.said_in(request.units.into());
    asked::check(request)?;
    if let Some(dampers) = &request.dampers {
        plan.kit.dampers = asked::dampers(&plan.kit.dampers, dampers);
    }
    let rig = Rig::of(&plan, request.rig)?;
    let shown = match &rig.path.laid_out {
        Some(laid_out) => laid_out::replay(&plan, &rig, laid_out, request)?,
        None => straight::replay(&plan, &rig, request)?,
    };
    AnswerError::refuse_numbers(shown).map_err(asked::failed)
}

/// The rig of the answer.
struct Rig {
    path: LoadPath,
    links: Vec<LoadedLink>,
    pull: Force,
}

impl Rig {
    fn of(plan: &Plan, stated: Option<ReplayRig>) -> Result<Self, Errors> {
        match stated {
            Some(rig) => Self::stated(plan, rig),
            None => Self::of_answer(plan),
        }
    }

    fn stated(plan: &Plan, rig: ReplayRig) -> Result<Self, Errors> {
        let none = || asked::no_rig(rig.method.title());
        let path = if rig.method == method_name(Method::Lower) {
            let worked = lowering::worked(plan).map_err(asked::failed)?;
            let rung = worked.map(|w| w.rung(plan)).transpose();
            rung.map_err(asked::failed)?
                .flatten()
                .and_then(|rung| rung.path)
        } else {
            path_of(plan, method_of(rig.method)).ok()
        };
        let path = path.ok_or_else(none)?;
        let pull = Force::new(rig.pull_n);
        Ok(Self {
            links: load_links(&path.links, pull, path.method, &plan.policy),
            path,
            pull,
        })
    }

    fn of_answer(plan: &Plan) -> Result<Self, Errors> {
        let ladder = ladder(plan, &runs::SideBySide::default());
        let ladder = ladder.map_err(asked::failed)?;
        let worked = lowering::worked(plan).map_err(asked::failed)?;
        let lowers = worked.map(|w| w.rung(plan)).transpose();
        let lowers = lowers.map_err(asked::failed)?.flatten();
        let chosen = rig_shown(plan, &ladder, lowers.as_ref());
        let chosen = chosen.ok_or_else(|| asked::no_rig("this plan"))?;
        Ok(Self {
            path: chosen.path.clone(),
            links: chosen.links.to_vec(),
            pull: chosen.rung.peak.unwrap_or(Force::ZERO),
        })
    }

    fn told(&self) -> ReplayRig {
        ReplayRig {
            method: method_name(self.path.method),
            pull_n: self.pull.get(),
        }
    }
}

/// What every replay says alike.
fn common(plan: &Plan, rig: &Rig) -> Replay {
    Replay {
        contract_version: CONTRACT_VERSION,
        rig: rig.told(),
        parts: String::new(),
        load_n: 0.0,
        most_load_n: 0.0,
        dampers: asked::told(&plan.kit.dampers),
        flies_to: None,
        time_s: Vec::new(),
        apart_m: Length::ZERO.get(),
        at_rest: false,
        tracks: Vec::new(),
        vehicles: Vec::new(),
        slope_deg: plan.site.slope_along.to_deg(),
        things: Vec::new(),
        case: None,
        flight: None,
        stored_energy_j: 0.0,
        criterion_j: plan.policy.injury_energy.get(),
        criterion: super::flying::criterion_source(plan.policy.injury_energy),
        segments: 0,
        energy_error_share: 0.0,
        leaves_out: leaves_out(),
        cautions: cautions(plan.lowering.is_some()),
    }
}

fn leaves_out() -> Vec<String> {
    [
        super::let_go::SHELTER,
        "a real break has its own off-axis kick, sag, wind and place along the line: this is one run in the middle of them, the zone is drawn from many",
        "the line does not collide with itself and has no stiffness in bending",
    ]
    .map(String::from)
    .to_vec()
}
