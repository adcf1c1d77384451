//! The areas of an answer, one command each.

use serde::Serialize;
use steadypull_contract::answer::Answer;
use steadypull_contract::printed::{
    LetGoAnswer, LoadPathAnswer, OptionsAnswer, PullAnswer, SituationAnswer, StandoffAnswer,
};

/// One area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Area {
    /// How hard the casualty is stuck.
    Situation,
    /// Every method, least hazardous first.
    Options,
    /// The load in every link.
    LoadPath,
    /// What a kinetic pull would do.
    Pull,
    /// What comes back if a part lets go.
    LetGo,
    /// How far back people stand.
    Standoff,
}

/// The documented object of one area.
#[derive(Serialize)]
#[serde(untagged)]
pub enum AreaObject {
    /// Of `situation`.
    Situation(SituationAnswer),
    /// Of `options`.
    Options(OptionsAnswer),
    /// Of `load-path`.
    LoadPath(LoadPathAnswer),
    /// Of `pull`.
    Pull(PullAnswer),
    /// Of `let-go`.
    LetGo(LetGoAnswer),
    /// Of `standoff`.
    Standoff(StandoffAnswer),
}

impl Area {
    /// Every area, in the order of a report.
    pub const ALL: [Self; 6] = [
        Self::Situation,
        Self::Options,
        Self::LoadPath,
        Self::Pull,
        Self::LetGo,
        Self::Standoff,
    ];

    /// The documented object for this area of `answer`.
    pub fn object(self, answer: Answer) -> AreaObject {
        match self {
            Self::Situation => AreaObject::Situation(answer.into()),
            Self::Options => AreaObject::Options(answer.into()),
            Self::LoadPath => AreaObject::LoadPath(answer.into()),
            Self::Pull => AreaObject::Pull(answer.into()),
            Self::LetGo => AreaObject::LetGo(answer.into()),
            Self::Standoff => AreaObject::Standoff(answer.into()),
        }
    }
}
