//! A kinetic pull: tug and casualty as two masses, the path of line between.
//!
//! ```text
//! m_t x_t'' = F_drive − S_t − f_t sign(x_t') − T
//! m_c x_c'' = T − R(x_c, x_c')        once T > R(0, 0); stuck before
//! T         = path law of the strain (x_t − x_c)/L, plus a Maxwell branch
//! R(x, v)   = R_slide + R_extra exp(−x/d) + c v
//! ```
//!
//! `S_t` is the tug's grade (positive when it drives uphill), `f_t` its rolling
//! resistance; the drive is the least of grip, power over speed and the lowest
//! gear's force, and goes off when the tug first stops. The tug may then be
//! drawn back. Vehicles are rigid, the pull is straight, the line has no mass
//! (its mass is 0.2 % of the vehicles').
//!
//! Fifth-order Runge–Kutta (Dormand and Prince) in even steps between events; every
//! change of branch (taut, past the greatest strain, unloading, break-out, stop,
//! parting) is located to 1 ns and the integration restarted there, so no step
//! straddles a kink. Against steps a fiftieth as long, over 27 pulls of run-ups 1.5 to
//! 6 m/s, the peak force is good to 2e-10, movement and end speed to 1e-7, the greatest
//! acceleration of the casualty to 1e-5. Exact cases: CV-KIN-01 to -09.

use thiserror::Error;

use super::motion::Motion;
use crate::chance::SamplerError;
use crate::line::Path;
use crate::units::{Duration, Energy, Force, Length, Mass, Power, Speed};

/// What is needed to run a pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Mass of the tug.
    pub tug_mass: Mass,
    /// Mass of the casualty; `None` is a fixed end.
    pub casualty_mass: Option<Mass>,
    /// Rest length of the path of line.
    pub length: Length,
    /// Law of that path, and the strain it has already seen.
    pub path: Path,
    /// Speed of the tug at the start.
    pub run_up_speed: Speed,
    /// Distance to go at the start before the line comes taut.
    pub slack: Length,
    /// Drive of the tug.
    pub drive: Drive,
    /// Grade force on the tug; positive when it drives uphill.
    pub tug_grade: Force,
    /// Rolling resistance of the tug.
    pub tug_rolling: Force,
    /// Resistance of the casualty once moving.
    pub slide: Force,
    /// Resistance on top that must be broken once.
    pub break_extra: Force,
    /// Distance over which the extra dies away.
    pub break_length: Length,
    /// Resistance that grows with speed, N s/m.
    pub viscous_n_s_per_m: f64,
    /// Tension at which the weakest part lets go, if the run should stop there.
    pub parts_at: Option<Force>,
    /// Longest time to follow.
    pub duration: Duration,
}

/// What the tug's engine gives while it moves forward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Grip and gearing: the greatest force.
    pub greatest: Force,
    /// Power at the wheels.
    pub power: Power,
    /// Whether the driver keeps it on once the line is taut.
    pub held: bool,
}

impl Drive {
    /// No drive at all.
    pub const NONE: Self = Self {
        greatest: Force::ZERO,
        power: Power::new(f64::MAX),
        held: false,
    };
}

/// Something that happened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// When.
    pub time: Duration,
    /// What.
    pub kind: EventKind,
}

/// What can happen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The line comes taut.
    Taut,
    /// The casualty starts to move.
    BreakOut,
    /// A peak of the tension.
    Peak,
    /// The line falls slack.
    Slack,
    /// The casualty stops.
    CasualtyStops,
    /// The tug stops.
    TugStops,
    /// The weakest part lets go.
    Parts,
}

impl EventKind {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Taut => "line taut",
            Self::BreakOut => "casualty breaks out",
            Self::Peak => "peak load",
            Self::Slack => "line slack",
            Self::CasualtyStops => "casualty stops",
            Self::TugStops => "tug stops",
            Self::Parts => "a part lets go",
        }
    }
}

/// The pull at one moment, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Time, s.
    pub time_s: f64,
    /// Tension, N.
    pub force_n: f64,
    /// Stretch beyond rest length, m; nothing while slack.
    pub stretch_m: f64,
    /// Speed of the tug, m/s.
    pub tug_speed_m_s: f64,
    /// Speed of the casualty, m/s.
    pub casualty_speed_m_s: f64,
    /// Movement of the casualty, m.
    pub casualty_movement_m: f64,
}

/// Where the energy went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Audit {
    /// Run-up energy, line energy at the start, work of the drive, and of
    /// grade where it helps.
    pub put_in: Energy,
    /// Kinetic energy at the end.
    pub kinetic: Energy,
    /// Recoverable energy in the line at the end.
    pub stored: Energy,
    /// Heat in ground, line and tyres, and work against grade.
    pub dissipated: Energy,
}

impl Audit {
    /// What is left over, as a share of what was put in.
    pub fn error_share(&self) -> f64 {
        let left = self.put_in - self.kinetic - self.stored - self.dissipated;
        if self.put_in.get() > 0.0 {
            left / self.put_in
        } else {
            left.get()
        }
    }
}

/// What a pull did.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Peak tension.
    pub peak_force: Force,
    /// When.
    pub peak_time: Duration,
    /// Greatest stretch.
    pub stretch: Length,
    /// Energy taken by the line at the greatest stretch.
    pub stored_at_peak: Energy,
    /// Movement of the casualty.
    pub movement: Length,
    /// Speed of the tug at the end (negative: drawn back).
    pub tug_end_speed: Speed,
    /// Greatest acceleration of the casualty, m/s².
    pub casualty_peak_acceleration_m_s2: f64,
    /// Greatest deceleration of the tug, m/s².
    pub tug_peak_deceleration_m_s2: f64,
    /// What happened when.
    pub events: Vec<Event>,
    /// The pull in time.
    pub series: Vec<Sample>,
    /// Where the energy went.
    pub audit: Audit,
    /// The line after the pull, for the next one.
    pub path: Path,
    /// Whether the weakest part let go.
    pub parted: bool,
}

/// Why a pull could not be run.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PullError {
    /// An input is not a finite number.
    #[error("{0} is not a finite number")]
    NotFinite(&'static str),
    /// An input must be positive.
    #[error("{0} must be more than nothing")]
    NotPositive(&'static str),
    /// An input must not be negative.
    #[error("{0} must not be negative")]
    Negative(&'static str),
    /// Too many changes of state in one pull.
    #[error("the pull changed state more than {0} times and was given up")]
    TooManyEvents(usize),
    /// The draws of many pulls could not be made.
    #[error("the draws of the pulls could not be made: {0}")]
    Draws(SamplerError),
}

/// Runs a pull.
pub fn run(setup: &Setup) -> Result<Outcome, PullError> {
    check(setup)?;
    Motion::new(setup, true).run()
}

/// Runs a pull and keeps no series: the same outcome to the bit, with an empty
/// [`Outcome::series`]. For studies of many pulls.
pub fn run_without_series(setup: &Setup) -> Result<Outcome, PullError> {
    check(setup)?;
    Motion::new(setup, false).run()
}

fn check(setup: &Setup) -> Result<(), PullError> {
    let positive = [
        ("the tug's mass", setup.tug_mass.get()),
        (
            "the casualty's mass",
            setup.casualty_mass.map_or(1.0, Mass::get),
        ),
        ("the line's length", setup.length.get()),
        ("the run's duration", setup.duration.get()),
        ("the break-out distance", setup.break_length.get()),
    ];
    let not_negative = [
        ("the run-up speed", setup.run_up_speed.get()),
        ("the slack", setup.slack.get()),
        ("the drive", setup.drive.greatest.get()),
        ("the power", setup.drive.power.get()),
        ("the tug's rolling resistance", setup.tug_rolling.get()),
        ("the sliding resistance", setup.slide.get()),
        ("the break-out resistance", setup.break_extra.get()),
        ("the viscous resistance", setup.viscous_n_s_per_m),
    ];
    if !setup.tug_grade.is_finite() {
        return Err(PullError::NotFinite("the tug's grade"));
    }
    for (what, value) in positive.iter().chain(&not_negative) {
        if !value.is_finite() {
            return Err(PullError::NotFinite(what));
        }
    }
    for (what, value) in positive {
        if value <= 0.0 {
            return Err(PullError::NotPositive(what));
        }
    }
    for (what, value) in not_negative {
        if value < 0.0 {
            return Err(PullError::Negative(what));
        }
    }
    Ok(())
}
