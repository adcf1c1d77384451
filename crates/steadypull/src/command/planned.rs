//! `check`, and one command an area.

use steadypull_contract::answer::Answer;
use steadypull_contract::printed::{
    LetGoAnswer, LoadPathAnswer, LoweringAnswer, OptionsAnswer, PullAnswer, RigAnswer,
    SituationAnswer, StandoffAnswer,
};
use steadypull_contract::show::Units;

use super::{Done, Ending, json_text};
use crate::answering::answer_to;
use crate::area::Area;
use crate::failure::Failure;
use crate::report;

/// The whole answer.
pub fn check(plan: &str, units: Units, json: bool) -> Result<Done, Failure> {
    let answer = answer_to(plan, units)?;
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
    let answer = answer_to(plan, units)?;
    let ending = Ending::of(&answer);
    let text = if json {
        area_json(area, answer)?
    } else {
        report::area(&answer, units, area)
    };
    Ok(Done { text, ending })
}

fn area_json(area: Area, answer: Answer) -> Result<String, Failure> {
    match area {
        Area::Situation => json_text(&SituationAnswer::from(answer)),
        Area::Options => json_text(&OptionsAnswer::from(answer)),
        Area::LoadPath => json_text(&LoadPathAnswer::from(answer)),
        Area::Rig => json_text(&RigAnswer::from(answer)),
        Area::Pull => json_text(&PullAnswer::from(answer)),
        Area::LetGo => json_text(&LetGoAnswer::from(answer)),
        Area::Standoff => json_text(&StandoffAnswer::from(answer)),
        Area::Lowering => json_text(&LoweringAnswer::from(answer)),
    }
}
