//! Dampers and tethers by design: a question put to a plan, and its answer.
//!
//! A design is worked out for the same rig and the same load as the plan's answer; its
//! own findings stand before those of the plan, which hold here as everywhere.

mod chosen;
mod dampers;
mod tether;

pub use dampers::{DamperQuestion, answer_dampers};
pub use tether::{TetherQuestion, answer_tether};

/// The end at which what flies arrives, or at which a tether is made fast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtVehicle {
    /// The casualty.
    Casualty,
    /// The tug.
    Tug,
}
