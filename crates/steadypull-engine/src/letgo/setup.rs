//! What is needed to work out a let-go: lines, hardware, dampers, tethers, place.
//!
//! Coordinates: x = 0 at the recovery point of the vehicle the line parted
//! from, x along the ground towards the far vehicle, which still holds the line;
//! y to the left, z up from the ground.

use thiserror::Error;

use super::watches::Watched;
use crate::line::Unloading;
use crate::plan::Gusts;
use crate::units::{Angle, Area, Duration, Force, G, Length, LineMass, Mass, Speed};

/// Most segments a run may have: enough for convergence studies.
pub const MAX_SEGMENTS: usize = 2000;

/// One line of the path from the far vehicle to the free end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinePart {
    /// Rest length.
    pub length: Length,
    /// Mass per metre.
    pub mass_per_length: LineMass,
    /// Branch it unloads along from the tension at which the link let go.
    pub unloading: Unloading,
    /// Diameter (or width of webbing) that the air sees.
    pub diameter: Length,
    /// Mass of the join at its end towards the free end; none at the free end
    /// itself, which carries the hardware.
    pub joint_mass: Mass,
}

/// What flies at the free end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hardware {
    /// Mass of shackle, hook or torn-off recovery point.
    pub mass: Mass,
    /// Drag coefficient times area.
    pub drag_area: Area,
}

/// A damper on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamperOnLine {
    /// Mass.
    pub mass: Mass,
    /// Rest length of line between it and the free end.
    pub from_free_end: Length,
    /// Drag coefficient times area.
    pub drag_area: Area,
    /// Force at which its grip on the line slips.
    pub slips_at: Force,
    /// Distance between centres at which flying hardware runs into it.
    pub contact_radius: Length,
}

/// A tether from the vehicle the line parted from to the line or its hardware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherToLine {
    /// Rest length of line between its attachment and the free end.
    pub from_free_end: Length,
    /// Rest length of the tether.
    pub length: Length,
    /// Breaking strength.
    pub mbs: Force,
    /// Strain at that strength.
    pub strain_at_break: f64,
    /// Mass; half of it flies with the line.
    pub mass: Mass,
    /// Where its other end is made fast, in the coordinates of the run, m; none
    /// for the recovery point of the vehicle the line parted from.
    pub anchor_m: Option<[f64; 3]>,
    /// Exponent `p` of its loading `T = MBS (e/e_b)^p`; 1 for a straight line.
    pub exponent: f64,
    /// Share of the work of loading that it gives back, above 0 and at most 1. Its
    /// unloading from any strain `e_m` is `T_m (e/e_m)^q` with `q = (p + 1)/share − 1`.
    pub energy_return: f64,
}

impl TetherToLine {
    /// A straight, lossless tether of `length` from the recovery point to the very
    /// end of the line, which parts at `mbs` and `strain_at_break`.
    ///
    /// With slack, as long as the way between its ends and more, it is also the
    /// second load path: a line that takes over when the first parts.
    pub fn new(length: Length, mbs: Force, strain_at_break: f64, mass: Mass) -> Self {
        Self {
            from_free_end: Length::ZERO,
            length,
            mbs,
            strain_at_break,
            mass,
            anchor_m: None,
            exponent: 1.0,
            energy_return: 1.0,
        }
    }
}

/// What holds the far end of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeldEnd {
    /// Something that does not move.
    Fixed,
    /// A vehicle free to roll along x.
    Vehicle {
        /// Its mass.
        mass: Mass,
        /// Its speed away from the other vehicle when the link lets go.
        speed: Speed,
    },
}

/// The ground under the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Coefficient of sliding friction of line and hardware on it.
    pub friction: f64,
    /// Slope along x, uphill towards the far vehicle positive.
    pub slope: Angle,
    /// Slope across the line of pull, measured in the leaning ground at a right angle
    /// to x, uphill to the left positive.
    pub cross_slope: Angle,
    /// Bumps; flat unless their height is more than nothing.
    pub roughness: Roughness,
}

impl Ground {
    /// Level, even ground.
    pub const fn level(friction: f64) -> Self {
        Self {
            friction,
            slope: Angle::ZERO,
            cross_slope: Angle::ZERO,
            roughness: Roughness::EVEN,
        }
    }
}

/// Bumps of the ground, round its even plane; see the ground module for their shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roughness {
    /// Height of the highest crest above the lowest trough.
    pub height: Length,
    /// Distance from crest to crest, along and across.
    pub spacing: Length,
    /// Where the bumps lie, along and across, in spacings: whole numbers make no
    /// difference, so a scatter may draw them between 0 and 1.
    pub phase: [f64; 2],
}

impl Roughness {
    /// No bumps.
    pub const EVEN: Self = Self {
        height: Length::ZERO,
        spacing: Length::new(1.0),
        phase: [0.0; 2],
    };
}

/// How the step in time is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum StepChoice {
    /// By the fastest wave and whatever else is quick at the moment: seven tenths of
    /// the longest stable step.
    #[default]
    ByWave,
    /// The same with another share of the longest stable step than 0.7; all else that
    /// bounds the step changes in proportion.
    Share(f64),
    /// The same step throughout, whatever happens, to compare with other codes. A
    /// step that is too long is unstable: the books of the run then do not close.
    Fixed(Duration),
}

/// Everything a let-go run needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Lines in order from the far vehicle to the free end.
    pub lines: Vec<LinePart>,
    /// Segments of the whole chain.
    pub segments: usize,
    /// What flies at the free end.
    pub hardware: Hardware,
    /// Dampers on the line.
    pub dampers: Vec<DamperOnLine>,
    /// Tethers at the parted end.
    pub tethers: Vec<TetherToLine>,
    /// What holds the far end.
    pub held: HeldEnd,
    /// Speed along x of the vehicle it parted from, when it lets go.
    pub parted_speed: Speed,
    /// Distance along x from that vehicle's recovery point to the break.
    pub break_offset: Length,
    /// Height of the break above the ground.
    pub free_height: Length,
    /// Height of the far recovery point above the ground.
    pub held_height: Length,
    /// The ground; none for a run in empty space.
    pub ground: Option<Ground>,
    /// Gravity, m/s².
    pub gravity_m_s2: f64,
    /// Density of the air, kg/m³.
    pub air_kg_m3: f64,
    /// Velocity of the air over the ground, in the coordinates of the run, m/s. The
    /// drag of line, hardware and dampers acts on their speed relative to it.
    pub wind_m_s: [f64; 3],
    /// How unsteady that wind is, for draws of it; in the run itself it blows steadily.
    pub gusts: Gusts,
    /// Launch direction above the line of pull.
    pub elevation: Angle,
    /// Launch direction to the left of the line of pull.
    pub azimuth: Angle,
    /// Numerical viscosity, in wave impedances of a segment; see the chain module.
    pub viscosity: f64,
    /// Physical damping of the line: tension per unit strain rate, N·s.
    pub dashpot_n_s: f64,
    /// Longest time to follow.
    pub max_time: Duration,
    /// What it is watched for; changes nothing in the run.
    pub watched: Watched,
    /// How the step is chosen.
    pub step: StepChoice,
}

/// Why a let-go cannot be worked out.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LetGoError {
    /// No line.
    #[error("a let-go needs at least one line in the path")]
    NoLine,
    /// A number out of range.
    #[error("{what} is {value}; it must be {limit}")]
    OutOfRange {
        /// What it is, with its unit.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it may be.
        limit: &'static str,
    },
    /// Lines of one path carry different tensions.
    #[error(
        "line {line} of the path is at {tension_n:.0} N and the first at {first_n:.0} N; \
         lines joined end to end carry the same tension"
    )]
    UnequalTension {
        /// Position in the path, from 1.
        line: usize,
        /// Its tension.
        tension_n: f64,
        /// Tension of the first line.
        first_n: f64,
    },
    /// The run left the range of the numbers.
    #[error(
        "the run gave no finite result after {time_s:.4} s; check for extreme masses or stiffness"
    )]
    NotFinite {
        /// When.
        time_s: f64,
    },
    /// The run took too many steps.
    #[error(
        "the run needed more than {steps} steps; a very light or stiff line joined to a long \
         time asks for fewer segments or a shorter time"
    )]
    TooManySteps {
        /// The limit.
        steps: u64,
    },
}

impl Setup {
    /// A run over level ground with the usual defaults: 64 segments, both
    /// recovery points at 0.6 m, friction 0.4 (the low end of 0.4 to 0.5, common
    /// practice), air at 1.225 kg/m³ (ISO 2533, 15 °C at sea level).
    pub fn new(lines: Vec<LinePart>, hardware: Hardware) -> Self {
        Self {
            lines,
            segments: 64,
            hardware,
            dampers: Vec::new(),
            tethers: Vec::new(),
            held: HeldEnd::Fixed,
            parted_speed: Speed::ZERO,
            break_offset: Length::ZERO,
            free_height: Length::new(0.6),
            held_height: Length::new(0.6),
            ground: Some(Ground::level(0.4)),
            gravity_m_s2: G,
            air_kg_m3: 1.225,
            wind_m_s: [0.0; 3],
            gusts: Gusts::STEADY,
            elevation: Angle::ZERO,
            azimuth: Angle::ZERO,
            viscosity: 1.0,
            dashpot_n_s: 0.0,
            max_time: Duration::new(4.0),
            watched: Watched::default(),
            step: StepChoice::ByWave,
        }
    }

    /// The same run without gravity, air and ground, for closed forms.
    pub fn in_empty_space(mut self) -> Self {
        self.ground = None;
        self.gravity_m_s2 = 0.0;
        self.air_kg_m3 = 0.0;
        self
    }

    /// Rest length of the whole path.
    pub fn rest_length(&self) -> Length {
        self.lines.iter().map(|line| line.length).sum()
    }

    /// Length of the whole path at the moment of parting.
    pub fn taut_length(&self) -> Length {
        let stretched = |line: &LinePart| line.length * (1.0 + line.unloading.strain_max);
        self.lines.iter().map(stretched).sum()
    }
}
