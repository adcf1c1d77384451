//! Many pulls behind one call, so that who asks need not know how they are run.
//!
//! The engine starts no thread: it hands over the work, numbered, and takes the
//! results back in the order of the numbers. A result depends on its number alone.

use super::kinetic::{Outcome, PullError, Setup, run_without_series};

/// What is kept of one pull among many.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    /// Peak tension, N.
    pub peak_n: f64,
    /// Movement of the casualty, m.
    pub movement_m: f64,
    /// Greatest deceleration of the tug, m/s².
    pub tug_deceleration_m_s2: f64,
}

impl Marks {
    /// Of a pull, whose series nobody keeps.
    pub fn of_pull(setup: &Setup) -> Result<Self, PullError> {
        Ok(Self::of(&run_without_series(setup)?))
    }

    /// The marks of a whole pull.
    pub fn of(outcome: &Outcome) -> Self {
        Self {
            peak_n: outcome.peak_force.get(),
            movement_m: outcome.movement.get(),
            tug_deceleration_m_s2: outcome.tug_peak_deceleration_m_s2,
        }
    }
}

/// One pull among many, by its number.
pub type Numbered<'a> = &'a (dyn Fn(usize) -> Result<Marks, PullError> + Sync);

/// Whoever runs many pulls.
pub trait Pulls {
    /// The pulls numbered from 0 to `count`, in that order.
    fn run(&self, count: usize, one: Numbered) -> Vec<Result<Marks, PullError>>;
}

/// Runs one pull after the other.
#[derive(Debug, Clone, Copy, Default)]
pub struct InTurn;

impl Pulls for InTurn {
    fn run(&self, count: usize, one: Numbered) -> Vec<Result<Marks, PullError>> {
        (0..count).map(one).collect()
    }
}
