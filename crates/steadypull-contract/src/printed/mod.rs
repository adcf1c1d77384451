//! Every JSON object the tool prints besides the whole answer.
//!
//! An area command prints its area with the findings and the cautions; a
//! command that writes files prints what it wrote; whatever fails prints
//! `errors`. Each object carries `contract_version`.

mod area;
mod errors;
mod files;
mod serving;
mod sweep;

pub use area::{
    ConvergenceAnswer, DampersAnswer, LetGoAnswer, LoadPathAnswer, LoweringAnswer, OptionsAnswer,
    PullAnswer, RigAnswer, SituationAnswer, StandoffAnswer, TetherAnswer,
};
pub use errors::{Errors, InputError};
pub use files::{
    ExampleEntry, ExampleList, ExampleText, FileKind, SkippedFigure, Written, WrittenFile,
};
pub use serving::Serving;
pub use sweep::{ListedInput, ListedOutput, SweepInput, SweepList, SweepSummary};
