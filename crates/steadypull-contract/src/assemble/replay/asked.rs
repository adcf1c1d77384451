//! What a replay is asked for: checked, and refused in words.

use steadypull_engine::plan::Damper;
use steadypull_engine::units::{Area, Force, Mass};

use crate::AnswerError;
use crate::operation::{ReplayDamper, ReplayRequest};
use crate::printed::{Errors, InputError};

/// Most dampers, as in a plan.
const MOST_DAMPERS: usize = 12;
/// Lightest and heaviest damper, kg, as in a plan.
const MASS_KG: (f64, f64) = (0.1, 100.0);
/// Least load that is worth a recoil, and most of any rig, N.
pub(super) const LOAD_N: (f64, f64) = (10.0, 1e7);
/// What it is called.
pub(super) const LOAD: &str = "the load at which it parts (N), which the lines must bring,";
/// What a damper is taken to be that the plan has no like of: as the plan's defaults.
const DRAG_AREA: Area = Area::new(0.05);
const SLIPS_AT: Force = Force::new(200.0);

/// Refuses numbers that are none or out of range.
pub(super) fn check(request: &ReplayRequest) -> Result<(), Errors> {
    let dampers = request.dampers.as_deref().unwrap_or_default();
    if dampers.len() > MOST_DAMPERS {
        return Err(refused(
            format!("{} dampers are more than a line takes", dampers.len()),
            format!("at most {MOST_DAMPERS}"),
        ));
    }
    for (k, damper) in dampers.iter().enumerate() {
        let number = k + 1;
        within(
            &format!("the mass of damper {number} (kg)"),
            damper.mass_kg,
            MASS_KG,
        )?;
        within(
            &format!("the place of damper {number}"),
            damper.place,
            (0.0, 1.0),
        )?;
    }
    if let Some(load_n) = request.load_n {
        within(LOAD, load_n, LOAD_N)?;
    }
    if let Some(rig) = request.rig {
        within("the pull (N)", rig.pull_n, (0.0, LOAD_N.1))?;
    }
    Ok(())
}

/// Refuses a number outside its bounds, and what is no number.
pub(super) fn within(what: &str, value: f64, (least, most): (f64, f64)) -> Result<(), Errors> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(refused(
        format!("{what} is {value}"),
        format!("from {least} to {most}"),
    ))
}

/// The dampers asked for; each as the plan's of that number in all but mass and place.
pub(super) fn dampers(planned: &[Damper], asked: &[ReplayDamper]) -> Vec<Damper> {
    let one = |(k, asked): (usize, &ReplayDamper)| {
        let (mass, place) = (Mass::new(asked.mass_kg), asked.place);
        match planned.get(k) {
            Some(like) => Damper {
                mass,
                place,
                ..like.clone()
            },
            None => Damper {
                name: format!("damper-{}", k + 1),
                mass,
                place,
                drag_area: DRAG_AREA,
                slips_at: SLIPS_AT,
            },
        }
    };
    asked.iter().enumerate().map(one).collect()
}

/// The dampers of a plan in the contract's words.
pub(super) fn told(dampers: &[Damper]) -> Vec<ReplayDamper> {
    let one = |d: &Damper| ReplayDamper {
        mass_kg: d.mass.get(),
        place: d.place,
    };
    dampers.iter().map(one).collect()
}

/// Nothing that could be looked at came of it.
pub(super) fn failed(error: impl Into<AnswerError>) -> Errors {
    said(error.into().to_string(), None, None)
}

pub(super) fn no_rig(of: &str) -> Errors {
    said(
        format!("there is no rig of {of} whose parts could let go"),
        None,
        Some(
            "ask for the plan's answer: `load_path` says which rig it is about, or why there is none",
        ),
    )
}

/// There is no such case.
pub(super) fn no_such(what: &str, asked: u32, there_are: Option<usize>) -> Errors {
    let expected = match there_are {
        None => "one of those that the answer has".to_string(),
        Some(0) => "none: nothing in the rig carries load".to_string(),
        Some(n) => format!("from 0 to {}", n - 1),
    };
    refused(format!("there is no {what} {asked}"), expected)
}

/// There is nothing to look at.
pub(super) fn not_shown(message: &str) -> Errors {
    said(message.into(), None, None)
}

/// Something asked for that cannot be had.
pub(super) fn refused(message: String, expected: String) -> Errors {
    said(message, Some(expected), None)
}

fn said(message: String, expected: Option<String>, hint: Option<&str>) -> Errors {
    let error = InputError {
        file: None,
        line: None,
        column: None,
        end_column: None,
        found: None,
        message,
        expected,
        hint: hint.map(String::from),
        key: None,
    };
    Errors::new(vec![error], 0)
}
