//! The gear on hand.

use super::anchor::Anchor;
use crate::line::{Condition, Curve, Material};
use crate::units::{Angle, Area, Energy, Force, Length, LineMass, Mass};

/// All the gear on hand, each part by its name in the plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Kit {
    /// The parts of the load path.
    pub parts: Vec<Part>,
    /// Dampers.
    pub dampers: Vec<Damper>,
    /// Tethers (retaining lines).
    pub tethers: Vec<Tether>,
    /// Anchors on site.
    pub anchors: Vec<Anchor>,
    /// Traction boards and digging tools.
    pub aids: RecoveryAid,
}

impl Kit {
    /// The part called `name`.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name() == name)
    }

    /// The anchor called `name`.
    pub fn anchor(&self, name: &str) -> Option<&Anchor> {
        self.anchors.iter().find(|anchor| anchor.name == name)
    }
}

/// One part that carries load.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A line, strap or rope.
    Line(Line),
    /// A shackle, hard or soft.
    Shackle(Shackle),
    /// A two-legged bridle between two recovery points.
    Bridle(Bridle),
    /// A block or ring.
    Block(Block),
}

impl Part {
    /// Its name in the plan.
    pub fn name(&self) -> &str {
        match self {
            Self::Line(line) => &line.name,
            Self::Shackle(shackle) => &shackle.name,
            Self::Bridle(bridle) => &bridle.line.name,
            Self::Block(block) => &block.name,
        }
    }
}

/// A line, strap or rope.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its name in the plan.
    pub name: String,
    /// Material and construction.
    pub material: Material,
    /// Made for kinetic pulls.
    pub kinetic: bool,
    /// Rest length.
    pub length: Length,
    /// Minimum breaking strength, new and dry, straight pull.
    pub mbs: Force,
    /// Working load limit, where its label gives one.
    pub wll: Option<Force>,
    /// Mass per metre.
    pub mass_per_length: LineMass,
    /// Tension against strain, new and dry.
    pub curve: Curve,
    /// Wet, wear, knots and set.
    pub condition: Condition,
    /// Label present and legible.
    pub labelled: bool,
    /// How it goes round what it is made fast to, for a trunk strap.
    pub hitch: Hitch,
    /// Where it is taken to part inside, as a share of it from the end that comes first
    /// in its path or run; none to look along the whole line.
    pub parts_at: Option<f64>,
}

/// How a strap goes round a trunk or other anchor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hitch {
    /// Not round anything: pulled from eye to eye.
    #[default]
    Straight,
    /// Through its own eye.
    Choke,
    /// Round it, both eyes in the shackle.
    Basket,
}

/// What a shackle is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShackleKind {
    /// Forged bow.
    Bow,
    /// Forged dee.
    Dee,
    /// Spliced fibre.
    Soft,
}

impl ShackleKind {
    /// Whether it is metal.
    pub fn is_metal(self) -> bool {
        !matches!(self, Self::Soft)
    }
}

/// A shackle.
#[derive(Debug, Clone, PartialEq)]
pub struct Shackle {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub kind: ShackleKind,
    /// Working load limit, where marked.
    pub wll: Option<Force>,
    /// Breaking strength.
    pub mbs: Force,
    /// Mass.
    pub mass: Mass,
    /// Angle of the pull from in line with the bow.
    pub side_angle: Angle,
    /// Free width on the pin beside what bears on it, where stated; the load is
    /// taken as centred where it is not.
    pub pin_gap: Option<Length>,
}

/// A two-legged bridle.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridle {
    /// The line it is made of; its length is of the whole bridle, both legs.
    pub line: Line,
    /// Names of the two recovery points it spans.
    pub points: [String; 2],
    /// Distance between those two points.
    pub span: Length,
    /// Whether it slides at its apex and so shares the load equally.
    pub equalising: bool,
}

/// A block (sheave) or ring.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Its name in the plan.
    pub name: String,
    /// Working load limit.
    pub wll: Force,
    /// Breaking strength.
    pub mbs: Force,
    /// Share of tension that survives one pass (0 to 1), for a block.
    pub efficiency: f64,
    /// Friction of the line on a ring, which turns on nothing; `None` for a block.
    /// The share that survives is then `exp(-friction wrap)`.
    pub ring_friction: Option<f64>,
    /// Diameter the line bends around.
    pub sheave_diameter: Length,
    /// Mass.
    pub mass: Mass,
}

/// A damper hung on a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Damper {
    /// Its name in the plan.
    pub name: String,
    /// Mass.
    pub mass: Mass,
    /// Place on the line: 0 at the casualty's end, 1 at the tug's.
    pub place: f64,
    /// Drag area times coefficient.
    pub drag_area: Area,
    /// Force at which its grip on the line slips.
    pub slips_at: Force,
}

/// A retaining tether from a vehicle to the line or its hardware.
#[derive(Debug, Clone, PartialEq)]
pub struct Tether {
    /// Its name in the plan.
    pub name: String,
    /// At the casualty's end (else at the tug's).
    pub at_casualty: bool,
    /// Rest length.
    pub length: Length,
    /// Breaking strength.
    pub mbs: Force,
    /// Strain at that strength.
    pub strain_at_break: f64,
    /// Mass.
    pub mass: Mass,
    /// Full name of the recovery point that holds its other end; none for the one that
    /// the line is made fast to.
    pub point: Option<String>,
    /// Exponent of its loading `T = MBS (e/e_b)^p`; 1 for a straight line.
    pub exponent: f64,
    /// Share of the work of loading that it gives back.
    pub energy_return: f64,
}

impl Tether {
    /// Energy the tether takes up before it parts.
    pub fn energy_capacity(&self) -> Energy {
        let work = self.mbs.get() * self.strain_at_break * self.length.get();
        Energy::new(work / (self.exponent + 1.0))
    }
}

/// Traction boards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traction {
    /// How many.
    pub count: u32,
    /// Coefficient of grip on one, median.
    pub grip: f64,
}

/// What helps without a line.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RecoveryAid {
    /// Traction boards, if any.
    pub boards: Option<Traction>,
    /// Shovels.
    pub shovels: u32,
    /// Whether tyres can be let down and filled again.
    pub inflator: bool,
}
