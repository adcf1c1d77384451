//! Wind, and the ground between the vehicles.
//!
//! A wind is told by its mean. What blows in the second or so of a let-go is drawn:
//! its speed over the mean normal about 1, with the gust factor `G` (strongest 3 s of
//! 10 min over their mean) 2.5 standard deviations above it, `s = (G − 1)/2.5`, and as
//! far below; its direction normal about the mean one.

use crate::chance::Distribution;
use crate::units::{Angle, Length, Speed};

/// What moves and stops whatever flies or slides between the vehicles.
///
/// Directions go by the frame of the answer: x from the casualty to the tug, or that
/// of a rig laid out on the ground; y to the left.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Site {
    /// Speed of the wind.
    pub wind: Speed,
    /// Where it comes from, anticlockwise from x.
    pub wind_from: Angle,
    /// How unsteady it is.
    pub gusts: Gusts,
    /// Slope of the ground along x, uphill towards the tug positive; for straight
    /// rigs.
    pub slope_along: Angle,
    /// Slope across, uphill to the left positive; for straight rigs.
    pub slope_across: Angle,
    /// Height of bumps, crest above trough.
    pub bumps: Length,
    /// From crest to crest.
    pub bump_spacing: Length,
}

/// How unsteady a wind is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gusts {
    /// Speed of its strongest gust of 3 s in 10 min over their mean, at least 1.
    pub factor: f64,
    /// Spread of its direction, 1-sigma.
    pub turns: Angle,
}

/// Standard deviations of the speed at which its gust factor stands over the mean: at
/// 2 m over open ground `sqrt(1 + 7 I) = 1.7` with `I = 0.27` (EN 1991-1-4, category II,
/// from memory) stands 2.6 of them over it.
const GUST_SDS: f64 = 2.5;

impl Gusts {
    /// A wind that never changes.
    pub const STEADY: Self = Self {
        factor: 1.0,
        turns: Angle::ZERO,
    };

    /// Speed at a moment over the mean speed.
    pub fn speed(&self) -> Distribution {
        let over = self.factor - 1.0;
        if over > 0.0 {
            Distribution::NormalWithin {
                mean: 1.0,
                sd: over / GUST_SDS,
                low: (1.0 - over).max(0.0),
                high: self.factor,
            }
        } else {
            Distribution::Fixed(1.0)
        }
    }

    /// Direction at a moment, anticlockwise from the mean one, rad.
    pub fn turn(&self) -> Distribution {
        if self.turns > Angle::ZERO {
            Distribution::Normal {
                mean: 0.0,
                sd: self.turns.get(),
            }
        } else {
            Distribution::Fixed(0.0)
        }
    }
}

impl Default for Gusts {
    fn default() -> Self {
        Self::STEADY
    }
}

impl Site {
    /// Velocity of the air along x and to the left, m/s.
    pub fn air_m_s(&self) -> [f64; 2] {
        let speed = self.wind.get();
        // Calm is calm, whatever the direction; never minus nothing.
        if speed == 0.0 {
            return [0.0; 2];
        }
        [-speed * self.wind_from.cos(), -speed * self.wind_from.sin()]
    }
}
