//! What a let-go run says.

use super::audit::{EnergyAudit, MomentumAudit};
use super::free_flight::FreeFlight;
use super::watches::{Flown, Whip};
use crate::units::{Duration, Energy, Force, Length, Speed};

/// The free end at a moment.
///
/// With hardware its speed is that of the hardware; without, the mean of the
/// last twentieth of the line. Its energy is that of the hardware with any
/// damper it has picked up, or of the last half metre of line if that is more.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FreeEnd {
    /// Time after the link let go.
    pub time: Duration,
    /// Place (x, y, z), m.
    pub place_m: [f64; 3],
    /// Velocity, m/s.
    pub velocity_m_s: [f64; 3],
    /// Speed.
    pub speed: Speed,
    /// Kinetic energy.
    pub energy: Energy,
}

/// Energy of the free end as it first passes a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyAtDistance {
    /// Distance along x from where it let go.
    pub distance: Length,
    /// Energy there; none if it never gets there.
    pub energy: Energy,
}

/// What a damper did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamperOutcome {
    /// Greatest speed on the line or with the hardware that picked it up.
    pub max_speed: Speed,
    /// Greatest energy of its own mass.
    pub max_energy: Energy,
    /// Rest length of line that slid through its grip.
    pub slipped: Length,
    /// Energy its grip dissipated.
    pub dissipated: Energy,
    /// When hardware ran into it, if it did.
    pub picked_up_at: Option<Duration>,
    /// Where it is at the end, m.
    pub rests_m: [f64; 3],
    /// The damper at its greatest energy at or past the far recovery point, on the
    /// line or with the hardware that picked it up, if it gets there; the energy is
    /// that of its own mass.
    pub arrival: Option<FreeEnd>,
}

/// What a tether did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherResult {
    /// Greatest load.
    pub peak_load: Force,
    /// When it parted, if it did.
    pub parted_at: Option<Duration>,
    /// Energy it can take up before it parts.
    pub capacity: Energy,
    /// Energy an unbreakable tether of the same stiffness would have to hold.
    pub asked: Energy,
    /// How far the far vehicle had moved when it parted.
    pub held_moved: Option<Length>,
}

/// Bounds of everything that flies, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extents {
    /// Least x.
    pub x_min: f64,
    /// Greatest x.
    pub x_max: f64,
    /// Least y.
    pub y_min: f64,
    /// Greatest y.
    pub y_max: f64,
    /// Greatest z.
    pub z_max: f64,
}

/// The result of a let-go run.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Energy the line could give back when the link let go.
    pub stored: Energy,
    /// The free end at its greatest speed on the way to the far vehicle.
    pub launch: FreeEnd,
    /// The free end at its greatest speed at any time: a light end may crack like
    /// a whip as it turns, at a speed that depends on the number of segments.
    pub fastest: FreeEnd,
    /// Greatest energy of the free end on the way to the far vehicle.
    pub launch_energy: Energy,
    /// The free end as it first passes the far recovery point, if it does.
    pub arrival: Option<FreeEnd>,
    /// How far the far vehicle had moved by arrival, or by the end.
    pub held_moved: Length,
    /// Twenty samples from the break to the far recovery point.
    pub energy_along: Vec<EnergyAtDistance>,
    /// x of the far recovery point when the link let go.
    pub far_point: Length,
    /// The free end at the end of the run.
    pub end: FreeEnd,
    /// Whether everything had come to rest by then.
    pub at_rest: bool,
    /// How far beyond the far recovery point the free end gets on the line.
    pub reach: Length,
    /// Where it goes if it comes off the line at its greatest speed.
    pub free_flight: Option<FreeFlight>,
    /// How far beyond the far recovery point that is.
    pub free_reach: Option<Length>,
    /// Bounds of all that flies on the line.
    pub extents: Extents,
    /// Each damper.
    pub dampers: Vec<DamperOutcome>,
    /// Each tether.
    pub tethers: Vec<TetherResult>,
    /// When the line first hangs slack at the far end: the wave's arrival.
    pub slack_at_held: Option<Duration>,
    /// Where the energy went.
    pub energy: EnergyAudit,
    /// Momentum against impulses.
    pub momentum: MomentumAudit,
    /// Everything that flies: free end, tail, dampers, hardware off the line.
    pub flown: Vec<Flown>,
    /// The crack of the tail after the launch, if the run got so far.
    pub whip: Option<Whip>,
    /// The free end in time, at most 200 samples.
    pub path: Vec<FreeEnd>,
    /// Steps taken.
    pub steps: u64,
}
