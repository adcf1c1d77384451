//! A part of a rig that could part, and what follows.

use crate::letgo::Crack;
use crate::letgo::flying::Strike;
use crate::rig::Side;
use crate::units::{Angle, Energy, Force, Length, Mass, Speed};

/// A part that lets go.
#[derive(Debug, Clone, PartialEq)]
pub struct Parting {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub words: String,
    /// Where it is in the rig, in words.
    pub at: String,
    /// Where that is in the plan's frame, m.
    pub place_m: [f64; 3],
    /// Its load when it lets go.
    pub load: Force,
    /// Runs that go slack.
    pub freed: Vec<FreedRun>,
    /// Energy that comes free: of all runs that go slack, and of what a line gives
    /// back in snapping straight.
    pub released: Energy,
    /// What still holds.
    pub holding: Holding,
    /// What flies.
    pub flights: Vec<Flight>,
    /// Sides to which things fly, in words.
    pub side: String,
    /// Energy of the most energetic flight over the policy's injury criterion.
    pub times_injury: f64,
}

/// A run that goes slack.
#[derive(Debug, Clone, PartialEq)]
pub struct FreedRun {
    /// Its name in the plan.
    pub name: String,
    /// Its greatest tension before.
    pub tension: Force,
    /// Energy that it gives back.
    pub energy: Energy,
}

/// What is left holding.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// Runs that can still carry load.
    pub runs: Vec<String>,
    /// Runs that still hold the casualty.
    pub casualty_by: Vec<String>,
    /// Line that runs out before they do, m, where it is known.
    pub slack_m: Option<f64>,
    /// In words.
    pub words: String,
}

/// What sort of flight it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlightSort {
    /// A free end of line with what hangs on it.
    LineEnd,
    /// A block, ring or join thrown by the lines left on it.
    Thrown,
}

/// Something that flies.
#[derive(Debug, Clone, PartialEq)]
pub struct Flight {
    /// What, in words.
    pub what: String,
    /// What sort.
    pub sort: FlightSort,
    /// Mass of the hardware; none for a bare end of line.
    pub mass: Mass,
    /// From where, in the plan's frame, m.
    pub from_m: [f64; 3],
    /// Direction in which it leaves, a unit vector.
    pub way: [f64; 3],
    /// Greatest speed.
    pub speed: Speed,
    /// Energy of the hardware then; of the last half metre of a bare end.
    pub energy: Energy,
    /// Whether speed and energy are upper bounds, as against worked out in time.
    pub bound: bool,
    /// Where it first touches the ground if it comes off the line, m in plan.
    pub lands_m: Option<(f64, f64)>,
    /// Where it could skip and slide to after that, m in plan.
    pub stops_m: Option<(f64, f64)>,
    /// Strike on the vehicle at which its line ends, if it comes off the line at its
    /// greatest speed; none where it misses or no vehicle is there.
    pub strike: Option<(Side, Strike)>,
    /// For the tail of a line that parts inside: how far along the line, at rest, from
    /// its end that its run comes to first.
    pub inside: Option<Length>,
    /// Places along the line at which it was tried to part; the worst is told.
    pub places: Vec<TriedPlace>,
    /// The crack of its tail, in the plan's frame, the height above the ground; none for
    /// what is thrown, what is bounded, and where the run did not come so far.
    pub crack: Option<Crack>,
    /// Stretches of its way on its line over each injury criterion; none of what is
    /// bounded or thrown.
    pub over: Vec<WayOver>,
    /// The same of its way if it comes off the line at its greatest speed.
    pub over_off_line: Vec<WayOver>,
    /// Side to which it flies, in words.
    pub side: String,
}

/// A place along a line at which it was tried to part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TriedPlace {
    /// How far along the line, at rest, from its end that its run comes to first.
    pub at: Length,
    /// Greatest speed of the tail's end.
    pub speed: Speed,
    /// Greatest energy of its last half metre, with any damper that it picked up.
    pub energy: Energy,
}

/// The stretch of a way over an injury criterion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayOver {
    /// The criterion.
    pub criterion: Energy,
    /// Where it begins, m in plan.
    pub from_m: (f64, f64),
    /// Where it ends, m in plan.
    pub to_m: (f64, f64),
    /// Least height above the ground on it.
    pub lowest: Length,
    /// Greatest height on it.
    pub highest: Length,
}

impl Flight {
    /// Its direction in plan, anticlockwise from the frame's x axis.
    pub fn heading(&self) -> Angle {
        Angle::new(libm::atan2(self.way[1], self.way[0]))
    }

    /// How steeply it leaves upwards.
    pub fn climb(&self) -> Angle {
        let [x, y, z] = self.way;
        Angle::new(libm::atan2(z, libm::hypot(x, y)))
    }
}
