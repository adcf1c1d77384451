//! The ladder of methods, least hazardous first, each with a verdict.

mod kinetic_study;
mod ladder;
mod rung;

pub use kinetic_study::{Chances, KineticStudy, Repeat, SHIFT, kinetic_study};
pub use ladder::{Ladder, closed_window, ladder};
pub use rung::{Rung, Verdict};
