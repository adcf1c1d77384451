//! Where things stand and how the lines run: a rig laid out on the ground.
//!
//! Coordinates are metres on the ground in a frame of the plan's own: x and y
//! level, z up, angles anticlockwise from +x seen from above.

use crate::units::{Angle, Length};

/// A place in the plan's frame.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Along x.
    pub x: Length,
    /// Along y, to the left of x.
    pub y: Length,
    /// Height.
    pub z: Length,
}

impl Place {
    /// Its coordinates, m.
    pub fn metres(self) -> [f64; 3] {
        [self.x.get(), self.y.get(), self.z.get()]
    }
}

/// Where a vehicle stands.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pose {
    /// Its middle, on the ground.
    pub at: Place,
    /// Where its nose points.
    pub facing: Angle,
}

impl Pose {
    /// A point of the vehicle, m: `forward` of its middle, `left` of its centre
    /// line and `up` from its ground.
    pub fn point_m(&self, forward: Length, left: Length, up: Length) -> [f64; 3] {
        let (sin, cos) = (self.facing.sin(), self.facing.cos());
        let [x, y, z] = self.at.metres();
        let (f, l) = (forward.get(), left.get());
        [x + f * cos - l * sin, y + f * sin + l * cos, z + up.get()]
    }
}

/// One run: a line with the straps and shackles in series with it, from one made
/// fast end to the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Its name in the plan.
    pub name: String,
    /// What it passes, in order. Ends are a recovery point (`casualty.POINT`,
    /// `tug.POINT`, `ANCHOR.POINT`), a winch (`tug.winch`), an anchor, a block or
    /// ring (made fast to it), or a bridle (its apex). Between stand parts of the
    /// kit in series; a block, ring or anchor after a line is one the line goes
    /// round, and the line goes on behind it without being named again.
    pub path: Vec<String>,
}

/// A rig laid out on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Where the casualty stands.
    pub casualty: Pose,
    /// Where the tug stands.
    pub tug: Pose,
    /// Every run of line.
    pub runs: Vec<Run>,
}
