//! The plan: what an instructor describes, with every default filled in.
//!
//! A [`Plan`] holds no text and no file positions: the contract crate reads the
//! plan file, reports every mistake in it, and hands over this. Whatever the
//! reader filled in is listed in [`Plan::assumed`], so no default is silent.

mod anchor;
mod body;
mod kit;
mod layout;
mod lowering;
mod policy;
mod site;
mod spread;
mod tested;
mod together;
mod vehicle;
mod winch_plate;

pub use anchor::{
    Anchor, AnchorGround, AnchorKind, AnchorVehicle, Deadman, GroundPlate, Pickets, StatedAnchor,
    Tree, TreeSort,
};
pub use body::{BodyShape, Guarded, ScreenGuard};
pub use kit::{
    Block, Bridle, Damper, Hitch, Kit, Line, Part, RecoveryAid, Shackle, ShackleKind, Tether,
    Traction,
};
pub use layout::{Layout, Place, Pose, Run};
pub use lowering::{
    Belay, Holder, LineAnchor, LoweredBody, Lowering, MainLine, Round, SlopePiece, Turns,
};
pub use policy::Policy;
pub use site::{Gusts, Site};
pub use spread::Spread;
pub use tested::{TestedLine, ToldApart};
pub use together::Together;
pub use vehicle::{
    Casualty, DrivenWheels, Hold, PointKind, RecoveryPoint, Soil, Sunk, Surface, Tug, Vehicle,
    Winch, WinchDrive,
};
pub use winch_plate::{
    Battery, Cable, ElectricPlate, HandPlate, HydraulicPlate, PlateRow, WinchPlate, WindingHeat,
};

use crate::show::Units;
use crate::units::{Length, Speed};

/// A described recovery.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What the plan is called.
    pub title: String,
    /// Where it happens, if said.
    pub place: Option<String>,
    /// The stuck vehicle.
    pub casualty: Casualty,
    /// The recovering vehicle.
    pub tug: Tug,
    /// The gear on hand.
    pub kit: Kit,
    /// The rig wanted; `None` lets the tool propose one.
    pub rig: Option<Rig>,
    /// A lowering, if this is one.
    pub lowering: Option<Lowering>,
    /// Who is there and where they stand.
    pub people: People,
    /// Wind, and the ground between the vehicles.
    pub site: Site,
    /// The rules this organisation works by.
    pub policy: Policy,
    /// Methods already tried without success.
    pub tried: Vec<Method>,
    /// Seed of every random draw; the same seed gives the same answer.
    pub seed: u64,
    /// The units that sentences are in; it changes no number.
    pub units: Units,
    /// Every default the reader filled in.
    pub assumed: Vec<Assumed>,
    /// Every input given as a range or a distribution; the plan holds its middle.
    pub spreads: Vec<Spread>,
    /// Lines that were measured in tests.
    pub tested: Vec<TestedLine>,
}

impl Plan {
    /// The same plan, its sentences in these units.
    pub fn said_in(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// The tug's winch with the line on it.
    pub fn winch_and_line(&self) -> Option<(&Winch, &Line)> {
        let winch = self.tug.winch.as_ref()?;
        match self.kit.part(&winch.line)? {
            Part::Line(line) => Some((winch, line)),
            _ => None,
        }
    }

    /// Where the line, or the line of the bridle, called `name` was measured, if it was.
    pub fn tested(&self, name: &str) -> Option<&TestedLine> {
        self.tested.iter().find(|tested| tested.line == name)
    }

    /// The spreads that are drawn together, set by set; all others are drawn each by itself.
    pub fn together(&self) -> impl Iterator<Item = &Together> {
        self.tested.iter().filter_map(|t| t.together.as_ref())
    }
}

/// A default that was filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Key in the plan file, such as `casualty.guard_height`.
    pub key: String,
    /// The value taken, with its unit, as it would be written in the plan file.
    pub value: String,
    /// Why this value: a source, or `assumed`.
    pub reason: String,
}

/// A method of recovery, least hazardous first (the order of the variants).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Clear obstacles and dig, then drive out.
    ClearAndDig,
    /// Air down and lay traction boards, then drive out.
    AirDownAndBoards,
    /// Steady tow on a low-stretch line.
    SteadyTow,
    /// Winch, single part of line.
    WinchSingle,
    /// Winch through a block, several parts of line.
    WinchMulti,
    /// Kinetic pull.
    Kinetic,
    /// Lower the casualty down a slope: no rung of the ladder, a job of its own.
    Lower,
}

impl Method {
    /// The methods that get a casualty out, least hazardous first.
    pub const LADDER: [Self; 6] = [
        Self::ClearAndDig,
        Self::AirDownAndBoards,
        Self::SteadyTow,
        Self::WinchSingle,
        Self::WinchMulti,
        Self::Kinetic,
    ];

    /// The word for it in plan files and the contract.
    pub fn word(self) -> &'static str {
        match self {
            Self::ClearAndDig => "clear-and-dig",
            Self::AirDownAndBoards => "air-down-and-boards",
            Self::SteadyTow => "steady-tow",
            Self::WinchSingle => "winch-single",
            Self::WinchMulti => "winch-multi",
            Self::Kinetic => "kinetic",
            Self::Lower => "lower",
        }
    }
}

/// The rig wanted: a straight path of parts from casualty to tug, or one laid out
/// on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// The method the rig is for.
    pub method: Method,
    /// Names in order from the casualty to the tug. The first is
    /// `casualty.POINT`, the last `tug.POINT` or `tug.winch`, the rest are parts
    /// of the kit. A bridle stands in place of its end's recovery point: the
    /// path begins (or ends) with its name, and `Bridle::points` holds the two
    /// points, such as `casualty.rear-left`. The winch's own line stands just
    /// before `tug.winch`. Empty for a rig laid out on the ground.
    pub path: Vec<String>,
    /// The rig laid out on the ground, if it is not a straight path.
    pub layout: Option<Layout>,
    /// Speed of the tug when the line comes taut, for a kinetic pull.
    pub run_up_speed: Option<Speed>,
    /// Slack laid out before a kinetic run-up, beyond the line's rest length.
    pub slack: Length,
}

/// People on site.
#[derive(Debug, Clone, PartialEq)]
pub struct People {
    /// People with a task, drivers included.
    pub crew: u32,
    /// People without a task.
    pub bystanders: u32,
    /// Closest that bystanders stand to the line, if said.
    pub bystanders_at: Option<Length>,
}
