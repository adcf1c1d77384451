//! What a rig is made fast to besides the tug.

use super::layout::{Place, Pose};
use super::vehicle::RecoveryPoint;
use crate::units::{Angle, Force, Length, Mass};

/// An anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchor {
    /// Its name in the plan.
    pub name: String,
    /// Where the line bears on it.
    pub place: Place,
    /// What it is.
    pub kind: AnchorKind,
}

/// What an anchor is.
#[derive(Debug, Clone, PartialEq)]
pub enum AnchorKind {
    /// A standing tree.
    Tree(Tree),
    /// Pickets driven in a row and lashed.
    Pickets(Pickets),
    /// A buried log or timber.
    Deadman(Deadman),
    /// A plate held by pins or buried on edge.
    Plate(GroundPlate),
    /// A braked vehicle.
    Vehicle(AnchorVehicle),
    /// Something whose hold is stated: a rated ring bolt, a rock that was tested.
    Stated(StatedAnchor),
}

/// A tree as an anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree {
    /// Stem diameter at breast height (1.3 m).
    pub stem_diameter: Length,
    /// Height of the strap above the ground.
    pub strap_height: Length,
    /// Height of the tree, for where it falls.
    pub height: Length,
    /// Sort of tree.
    pub sort: TreeSort,
    /// Whether it is sound and alive, its roots firm.
    pub sound: bool,
}

/// Sorts of tree with a published turning moment, and others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TreeSort {
    /// Pine.
    Pine,
    /// Spruce.
    Spruce,
    /// Redcedar.
    Redcedar,
    /// Hemlock.
    Hemlock,
    /// Any other, or not known: the weakest of those is taken.
    Other,
}

/// Ground in the words of the holdfast tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnchorGround {
    /// Hardpan or rock.
    Hard,
    /// Ordinary loam.
    Loam,
    /// Fine-grained or wet.
    Wet,
}

/// A picket holdfast.
#[derive(Debug, Clone, PartialEq)]
pub struct Pickets {
    /// Pickets in each bank, from the line backwards, such as 3, 2, 1.
    pub banks: Vec<u8>,
    /// Steel pickets, as against wood.
    pub steel: bool,
    /// Ground.
    pub ground: AnchorGround,
}

/// A buried log or timber.
#[derive(Debug, Clone, PartialEq)]
pub struct Deadman {
    /// Mean depth of its middle.
    pub depth: Length,
    /// Rise over run of the line up to the surface, such as 0.25 for 1 in 4.
    pub line_slope: f64,
    /// Height of its bearing face (log diameter).
    pub face: Length,
    /// Its length.
    pub length: Length,
    /// Width of the trench for the line.
    pub trench: Length,
    /// Round log, as against square timber.
    pub log: bool,
    /// Ground.
    pub ground: AnchorGround,
}

/// A ground plate.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundPlate {
    /// Pins through it: steel, 1.5 m by 25 mm, two thirds in the ground.
    pub pins: u8,
    /// Ground.
    pub ground: AnchorGround,
}

/// A braked vehicle as an anchor; it may tow as well.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorVehicle {
    /// Where it stands; [`Anchor::place`] is its middle.
    pub pose: Pose,
    /// Mass as it stands.
    pub mass: Mass,
    /// Peak coefficient of grip, median.
    pub grip: f64,
    /// Spread of the grip, 1-sigma of the logarithm.
    pub grip_spread: f64,
    /// Slope that it stands on, along the pull on it: positive when the line pulls
    /// it downhill.
    pub slope_along: Angle,
    /// Wheels chocked.
    pub chocked: bool,
    /// Whether it tows: its end of the line is hauled as the tug's is.
    pub tows: bool,
    /// Where a line may be made fast.
    pub recovery_points: Vec<RecoveryPoint>,
}

/// Something with a stated hold.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedAnchor {
    /// What it is.
    pub what: String,
    /// What it holds, median.
    pub holds: Force,
    /// Spread of that, 1-sigma of the logarithm.
    pub spread: f64,
}
