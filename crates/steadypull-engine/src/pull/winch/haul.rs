//! A winch haul in time: what is asked, and what came of it.
//!
//! Answers: does this winch bring the casualty that far, in what time, with what
//! rests, and what does it take from the battery?
//!
//! The haul is slow, so forces stand in balance at every moment (no inertia):
//! line pull `F = R(x)/A`, `R(x) = R_slide + R_suction exp(−x/0.35 m)` the
//! resistance of the casualty after `x`, `A` the real advantage of the rig. Line
//! comes in at `h` metres for a metre of the casualty; `A <= h`, the rest is
//! friction in the rig. The pull of a layer is the lesser of the rated pull and
//! what the machine can turn, over the layer's factor; the haul stops where the
//! line pull would exceed it, as statics has it. At the winding's limit it stops
//! and rests until the winding has cooled, its brake holding the line loaded; the
//! alternator charges meanwhile.
//!
//! Not modelled: stretch of the line, line that buries or flattens, a winding
//! that resists more as it heats, the battery's recovery while it rests.

use thiserror::Error;

use super::drum::Drum;
use super::machine::LimitedBy;
use super::motor::PlateError;
use crate::plan::{Line, Winch};
use crate::units::{Energy, Force, Length, Temperature};

/// What holds the casualty as it is hauled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HaulLoad {
    /// Resistance once moving.
    pub slide: Force,
    /// Suction on top, dying away as it moves.
    pub suction: Force,
    /// Whether it does not move at all, whatever the pull.
    pub fixed: bool,
}

/// A haul to be run.
#[derive(Debug, Clone, Copy)]
pub struct HaulSetup<'a> {
    /// The winch.
    pub winch: &'a Winch,
    /// The line on it.
    pub line: &'a Line,
    /// What holds the casualty.
    pub load: HaulLoad,
    /// Pull at the casualty over line pull at the winch, friction in.
    pub advantage: f64,
    /// Line hauled in for a metre of casualty movement.
    pub haul_per_metre: f64,
    /// How far the casualty is wanted to move.
    pub distance: Length,
    /// Pull at the casualty at which the anchoring vehicle moves instead.
    pub walks_at: Option<Force>,
}

/// Why a haul cannot be worked out.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum HaulError {
    /// The data-plate cannot be used.
    #[error("the winch's data-plate: {0}")]
    Plate(#[from] PlateError),
    /// The rig would give out more work than it takes in.
    #[error("an advantage of {advantage} with {haul_per_metre} m of line a metre is no rig")]
    Rig {
        /// The advantage given.
        advantage: f64,
        /// The line a metre given.
        haul_per_metre: f64,
    },
    /// A number is none, or below nothing.
    #[error("the haul holds a number that is none")]
    NotFinite,
}

/// How a haul ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The casualty is where it was wanted.
    Arrived,
    /// The line pull needed passes the winch's rating on the layer.
    Overload,
    /// The winch does not turn: supply, relief valve or person.
    Stall(LimitedBy),
    /// The anchoring vehicle is drawn towards the casualty.
    Walks,
    /// All line is in.
    LineAllIn,
    /// Too little is left in the battery to start the engine with.
    BatteryFlat,
    /// It takes longer than any haul should.
    TooLong,
}

impl End {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Arrived => "arrived",
            Self::Overload => "stopped: more pull needed than the winch is rated for on that layer",
            Self::Stall(LimitedBy::Person) => "stalled: more than a person can pull on the handle",
            Self::Stall(LimitedBy::Relief) => "stalled: the relief valve opens",
            Self::Stall(_) => "stalled: the motor does not turn on this battery and cable",
            Self::Walks => "stopped: the anchoring vehicle is drawn towards the casualty",
            Self::LineAllIn => "stopped: all line is in",
            Self::BatteryFlat => "stopped: too little left in the battery",
            Self::TooLong => "given up: it would take more than six hours",
        }
    }
}

/// Something that happened in a haul.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HaulEvent {
    /// The haul begins.
    Starts,
    /// Fewer wraps on the drum than must stay there.
    TooFewWraps,
    /// Line winds on another layer.
    Layer(u32),
    /// The winding is at its limit: rest.
    RestBegins,
    /// The winding has cooled.
    RestEnds,
    /// The haul ends.
    Ends(End),
}

impl HaulEvent {
    /// The words for it.
    pub fn words(self) -> String {
        match self {
            Self::Starts => "the haul begins".into(),
            Self::TooFewWraps => "fewer wraps on the drum than must stay there".into(),
            Self::Layer(n) => format!("line winds on layer {n}"),
            Self::RestBegins => "winding at its limit: rest".into(),
            Self::RestEnds => "winding cooled: haul on".into(),
            Self::Ends(end) => end.words().into(),
        }
    }
}

/// A moment of a haul.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HaulSample {
    /// Time from the start, s.
    pub time_s: f64,
    /// Line hauled in, m.
    pub line_in_m: f64,
    /// Movement of the casualty, m.
    pub movement_m: f64,
    /// Layer that winds.
    pub layer: u32,
    /// Line pull at the winch, N; while it rests its brake holds it.
    pub line_pull_n: f64,
    /// Line speed, m/s.
    pub line_speed_m_s: f64,
    /// Current, A; 0 unless electric.
    pub current_a: f64,
    /// Voltage at the winch, V; 0 unless electric.
    pub volts_v: f64,
    /// Winding temperature, °C; that of the air unless electric.
    pub winding_c: f64,
    /// State of charge; 1 unless electric.
    pub state_of_charge: f64,
    /// Pressure, Pa; 0 unless hydraulic.
    pub pressure_pa: f64,
    /// Force on the handle, N; 0 unless by hand.
    pub handle_n: f64,
    /// Power taken in: battery, alternator, engine or person, W.
    pub power_in_w: f64,
    /// Power on the line, W.
    pub power_out_w: f64,
}

/// Where the energy of a haul came from and where it went, J.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HaulBooks {
    /// Out of the battery's chemistry; below nothing if it ends fuller.
    pub battery_j: f64,
    /// Out of the alternator.
    pub alternator_j: f64,
    /// Out of the engine through the pump.
    pub engine_j: f64,
    /// Out of a person.
    pub person_j: f64,
    /// Heat in the battery.
    pub battery_heat_j: f64,
    /// Heat in the cable.
    pub cable_heat_j: f64,
    /// Heat in the winding.
    pub winding_heat_j: f64,
    /// Heat in gear, brake and oil.
    pub gear_heat_j: f64,
    /// Work on the line.
    pub line_j: f64,
    /// Heat in the blocks of the rig.
    pub rig_heat_j: f64,
    /// Work on the casualty.
    pub casualty_j: f64,
}

impl HaulBooks {
    /// All that was put in.
    pub fn put_in(&self) -> Energy {
        Energy::new(self.battery_j + self.alternator_j + self.engine_j + self.person_j)
    }

    /// All that came out of it.
    pub fn came_out(&self) -> Energy {
        let heat = self.battery_heat_j + self.cable_heat_j + self.winding_heat_j;
        Energy::new(heat + self.gear_heat_j + self.rig_heat_j + self.casualty_j)
    }

    /// What is left over, as a share of all that passed (ideally 0).
    pub fn error_share(&self) -> f64 {
        let passed = self.battery_j.abs() + self.alternator_j + self.engine_j + self.person_j;
        if passed <= 0.0 {
            return 0.0;
        }
        (self.put_in() - self.came_out()).get() / passed
    }
}

/// What came of a haul.
#[derive(Debug, Clone, PartialEq)]
pub struct HaulOutcome {
    /// How it ended.
    pub end: End,
    /// Layers it wound on, first and last.
    pub layers: (u32, u32),
    /// Wraps on the drum at the start.
    pub wraps_at_start: f64,
    /// Line hauled in.
    pub line_in: Length,
    /// Movement of the casualty.
    pub movement: Length,
    /// Time, rests included, s.
    pub time_s: f64,
    /// Time spent resting, s.
    pub resting_s: f64,
    /// Number of rests.
    pub rests: u32,
    /// Time of hauling before the first rest, s.
    pub first_rest_s: Option<f64>,
    /// Greatest line pull.
    pub greatest_pull: Force,
    /// Greatest share of the pull of its layer that was used, or asked for when
    /// it stopped; 1 is the limit.
    pub greatest_share: f64,
    /// Greatest share of the pull at which the winch would stall.
    pub stall_share: f64,
    /// What sets the pull of the layer where the share was greatest.
    pub limited_by: LimitedBy,
    /// Greatest current, A.
    pub greatest_current_a: f64,
    /// Least voltage at the winch while it turned, V.
    pub least_volts_v: f64,
    /// Hottest winding.
    pub hottest: Temperature,
    /// State of charge at the end.
    pub charge_left: f64,
    /// Greatest force on the handle.
    pub greatest_handle: Force,
    /// Greatest pressure, Pa.
    pub greatest_pressure_pa: f64,
    /// What happened when, s.
    pub events: Vec<(f64, HaulEvent)>,
    /// The haul in time.
    pub series: Vec<HaulSample>,
    /// Where the energy went.
    pub books: HaulBooks,
}

impl HaulSetup<'_> {
    /// The drum with its line.
    pub fn drum(&self) -> Drum {
        Drum::of(self.winch, self.line)
    }

    /// Line on the drum at the start.
    pub fn wound_at_start(&self) -> Length {
        (self.line.length - self.winch.paid_out).max(Length::ZERO)
    }

    pub(super) fn checked(&self) -> Result<(), HaulError> {
        let (advantage, haul_per_metre) = (self.advantage, self.haul_per_metre);
        let numbers = [
            self.load.slide.get(),
            self.load.suction.get(),
            self.distance.get(),
            self.winch.paid_out.get(),
        ];
        if !numbers.iter().all(|v| v.is_finite() && *v >= 0.0) {
            return Err(HaulError::NotFinite);
        }
        // A hair over is rounding of a rig without friction.
        if advantage > 0.0 && advantage <= haul_per_metre * (1.0 + 1e-6) {
            Ok(())
        } else {
            Err(HaulError::Rig {
                advantage,
                haul_per_metre,
            })
        }
    }
}
