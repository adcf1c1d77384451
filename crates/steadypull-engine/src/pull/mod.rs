//! The pull in time.
//!
//! - [`kinetic`]: two vehicles, one line, slack, break-out and sticking.
//! - [`many`]: many pulls behind one call.
//! - [`lowering`]: down a slope on a held line, and what happens if it parts.
//! - [`run_up_window`]: the run-up speeds between too weak and too much.
//! - [`winch`]: drum, motor, supply and heat; a haul in time.

mod crest;
pub mod kinetic;
mod line_force;
pub mod lowering;
pub mod many;
mod motion;
pub mod run_up_window;
pub mod winch;

pub use kinetic::{
    Audit, Event, EventKind, Outcome, PullError, Sample, Setup, run, run_without_series,
};
