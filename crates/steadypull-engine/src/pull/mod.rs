//! The pull in time.
//!
//! - [`kinetic`]: two vehicles, one line, slack, break-out and sticking.
//! - [`lowering`]: down a slope on a held line, and what happens if it parts.
//! - [`run_up_window`]: the run-up speeds between too weak and too much.

pub mod kinetic;
pub mod lowering;
mod motion;
pub mod run_up_window;
pub mod winch_pull;

pub use kinetic::{Audit, Event, EventKind, Outcome, PullError, Sample, Setup, run};
