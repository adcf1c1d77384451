//! A lowering: the way down, the vehicle on it, what holds it, and the belay.

use super::vehicle::Surface;
use crate::units::{Angle, Force, Length, Mass, Speed};

/// One straight piece of the way down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlopePiece {
    /// Length along the ground.
    pub length: Length,
    /// Slope; positive when it falls in the direction of the lowering.
    pub slope: Angle,
}

/// A lowering as described.
#[derive(Debug, Clone, PartialEq)]
pub struct Lowering {
    /// The way down, top first. Above it the first slope goes on, below it the last.
    pub way: Vec<SlopePiece>,
    /// Radius to which every edge between two pieces is rounded.
    pub edge_radius: Length,
    /// Place of the vehicle's upper axle at the start, along the ground from the
    /// top of the way.
    pub from: Length,
    /// Place of its upper axle at the end.
    pub to: Length,
    /// The vehicle as it stands on the way.
    pub body: LoweredBody,
    /// Ground on the way.
    pub surface: Surface,
    /// Coefficient of grip there: the most that wheels can hold back.
    pub grip: f64,
    /// Rolling resistance there, median.
    pub rolling: f64,
    /// Spread of the rolling resistance, 1-sigma of the logarithm.
    pub rolling_spread: f64,
    /// Spread of the vehicle's mass, 1-sigma of the logarithm.
    pub mass_spread: f64,
    /// Share of the load on its wheels that its own brakes or engine hold back
    /// with; 0 counts on none.
    pub own_hold: f64,
    /// Friction of a line over an edge of the ground; 0 counts on none.
    pub edge_friction: f64,
    /// Speed wanted.
    pub speed: Speed,
    /// The line that lowers.
    pub main: MainLine,
    /// The second line, if there is one.
    pub belay: Option<Belay>,
}

/// The vehicle as a rigid body on two axles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoweredBody {
    /// Distance between the axles.
    pub wheelbase: Length,
    /// Height of the centre of gravity over the foot of the tyres.
    pub cg_height: Length,
    /// Share of the weight on the front axle on level ground.
    pub front_share: f64,
    /// Nose down the slope, as against tail down.
    pub nose_down: bool,
    /// Distance of the line's point behind the upper axle.
    pub overhang: Length,
    /// Height of that point over the foot of the tyres.
    pub line_height: Length,
    /// Height of the chassis between the axles over the foot of the tyres.
    pub clearance: Length,
    /// Friction of the chassis on the ground where it bears.
    pub belly_friction: f64,
}

impl LoweredBody {
    /// Share of the weight on the lower axle on level ground.
    pub fn lower_share(&self) -> f64 {
        if self.nose_down {
            self.front_share
        } else {
            1.0 - self.front_share
        }
    }
}

/// What a line is held to.
#[derive(Debug, Clone, PartialEq)]
pub struct LineAnchor {
    /// `tug`, the name of an anchor, or what it is.
    pub name: String,
    /// What it holds with its spread (1-sigma of the logarithm), where stated.
    pub holds: Option<(Force, f64)>,
    /// Its distance uphill of the top of the way.
    pub back: Length,
    /// Height of the line there over the ground.
    pub height: Length,
}

/// The line that lowers.
#[derive(Debug, Clone, PartialEq)]
pub struct MainLine {
    /// Its name in the kit.
    pub line: String,
    /// Recovery point of the casualty, `casualty.NAME`.
    pub point: String,
    /// What holds it back.
    pub holder: Holder,
    /// Where that is fixed.
    pub anchor: LineAnchor,
    /// Shackles and redirect blocks in it, vehicle end first, by name in the kit.
    pub through: Vec<String>,
    /// Line that comes free if a redirect block lets go.
    pub block_gives: Length,
    /// Line that must be left behind the holder at the end.
    pub tail: Length,
}

/// What holds the main line back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holder {
    /// The tug's winch, paid out on its brake.
    Winch,
    /// Turns round something, tended by hand.
    Turns(Turns),
}

/// Turns of line round a post, tree, bollard or drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turns {
    /// How many.
    pub turns: f64,
    /// Friction of the line on it, median.
    pub friction: f64,
    /// Spread of that, 1-sigma of the logarithm.
    pub friction_spread: f64,
    /// Most that the tending hand holds for minutes.
    pub hand_limit: Force,
    /// What the turns go round.
    pub round: Round,
    /// Its diameter.
    pub diameter: Length,
    /// Mass of it that takes up the heat.
    pub heat_mass: Mass,
}

/// What turns go round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Round {
    /// A standing tree.
    Tree,
    /// A wooden post.
    Post,
    /// A metal bollard.
    Bollard,
    /// A metal drum or tube.
    Drum,
}

impl Round {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Tree => "tree",
            Self::Post => "post",
            Self::Bollard => "bollard",
            Self::Drum => "drum",
        }
    }

    /// Whether it is wood.
    pub fn is_wood(self) -> bool {
        matches!(self, Self::Tree | Self::Post)
    }
}

/// The second line.
#[derive(Debug, Clone, PartialEq)]
pub struct Belay {
    /// Its name in the kit.
    pub line: String,
    /// Recovery point of the casualty, `casualty.NAME`.
    pub point: String,
    /// Where it is fixed.
    pub anchor: LineAnchor,
    /// Slack kept in it.
    pub slack: Length,
    /// Force at which its device lets line through; `None` is fixed.
    pub slips_at: Option<Force>,
    /// Line left behind the device that may run through.
    pub tail: Length,
}
