//! The ladder of methods, least hazardous first, each with a verdict.
//!
//! - `ladder`, `rung`, `rung_chances`: each method with its verdict, by probability.
//! - `kinetic_study`: the kinetic pull; `pull_draws` what differs from pull to pull,
//!   `pull_chances` chances against run-up speed, `window` the run-up window.

mod kinetic_study;
mod ladder;
mod probability;
mod pull_chances;
mod pull_draws;
mod rung;
mod rung_chances;
mod window;
mod window_words;

pub(crate) use kinetic_study::kinetic_setup;
pub use kinetic_study::{KineticStudy, Repeat, SHIFT, kinetic_study};
pub use ladder::{Ladder, ladder, ladder_at_once, path_of};
pub use probability::Probability;
pub use pull_chances::{Happens, Held, PullChances, SpeedChances};
pub use rung::{Rung, Verdict};
pub use rung_chances::RungChances;
pub use window::{SpeedStands, UpperLimit, Window};
pub use window_words::{closed_window, one_in, opened_by};
