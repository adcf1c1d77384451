//! `dampers` and `tether`: what it takes to keep what flies harmless.

use steadypull_contract::design::{DamperQuestion, TetherQuestion, answer_dampers, answer_tether};
use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::worked_out;
use crate::args::{Dampers, Tether};
use crate::failure::Failure;
use crate::report;

/// The least dampers.
pub fn dampers(of: &Dampers, units: Units, json: bool) -> Result<Done, Failure> {
    let question = DamperQuestion {
        link: of.link.clone(),
        at: of.at.map(Into::into),
        under_j: of.under,
        chance: of.chance,
        most_kg: of.most,
        grip_n: of.grip,
    };
    let answer = worked_out(&of.plan, "Trying dampers", |plan| {
        answer_dampers(plan, &question)
    })?;
    let text = if json {
        json_text(&answer)?
    } else {
        report::dampers(&answer, units)
    };
    Ok(Done {
        text,
        ending: Ending::by(&answer.findings),
    })
}

/// The least tether.
pub fn tether(of: &Tether, units: Units, json: bool) -> Result<Done, Failure> {
    let question = TetherQuestion {
        link: of.link.clone(),
        at: of.at.map(Into::into),
        chance: of.chance,
        within_m: of.at_distance,
        length_m: of.length,
        stretch: of.stretch,
    };
    let answer = worked_out(&of.plan, "Trying tethers", |plan| {
        answer_tether(plan, &question)
    })?;
    let text = if json {
        json_text(&answer)?
    } else {
        report::tether(&answer, units)
    };
    Ok(Done {
        text,
        ending: Ending::by(&answer.findings),
    })
}
