//! `check`, and one command an area.

use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::answer_to;
use crate::area::Area;
use crate::failure::Failure;
use crate::report;

/// The whole answer.
pub fn check(plan: &str, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = answer_to(plan)?;
    let text = if json {
        json_text(&answer)?
    } else {
        report::check(&answer, units)
    };
    Ok(Done {
        text,
        ending: Ending::of(&answer),
    })
}

/// One area of the answer.
pub fn area(plan: &str, area: Area, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = answer_to(plan)?;
    let ending = Ending::of(&answer);
    let text = if json {
        json_text(&area.object(answer))?
    } else {
        report::area(&answer, units, area)
    };
    Ok(Done { text, ending })
}
