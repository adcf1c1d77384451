//! The runs behind a let-go, one a thing that flies, ready to be followed finer.
//!
//! What it answers: whether the speeds and energies of a let-go are those of the rope or
//! of the segments it was cut into. [`converge`] follows each run with once, twice and
//! four times its segments and with half its step.

use super::accuracy::{Convergence, converge};
use super::cases::Prepared;
use super::{LetGoError, Setup};
use crate::rig::Side;
use crate::units::{Force, Mass};

/// One run of a let-go as it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Settling {
    /// The link that lets go, or the run of a laid-out rig whose end flies.
    pub link: String,
    /// What flies, in words.
    pub flies: String,
    /// What it flies to, in words.
    pub flies_to: String,
    /// Tension in the line when the link lets go.
    pub tension: Force,
    /// Mass of hardware at the free end; none for a bare line.
    pub hardware: Mass,
    /// Dampers on the line: an energy through them settles slowly.
    pub dampers: usize,
    /// Whether the run ends with the launch: nothing is followed to an arrival.
    pub launch_alone: bool,
    pub(super) setup: Setup,
}

impl Settling {
    /// The runs of the cases of a straight rig, each that flies alike once, with the
    /// dampers and tethers planned.
    pub fn of_cases(prepared: &[Prepared]) -> Vec<Self> {
        let one = |case: &Prepared| Self {
            link: match case.cut.inside {
                true => format!("{}, inside", case.link),
                false => case.link.clone(),
            },
            flies: case.flies.clone(),
            flies_to: vehicle(case.cut.flies_to).into(),
            tension: case.tension,
            hardware: case.hardware,
            dampers: case.planned.dampers.len(),
            launch_alone: false,
            setup: case.planned.clone(),
        };
        let own = prepared.iter().filter(|case| case.twin.is_none());
        own.map(one).collect()
    }

    /// Follows it finer. Runs do not depend on each other, so a caller may follow several
    /// at once.
    pub fn converge(&self) -> Result<Convergence, LetGoError> {
        converge(&self.setup)
    }
}

fn vehicle(at: Side) -> &'static str {
    match at {
        Side::Tug => "tug",
        _ => "casualty",
    }
}
