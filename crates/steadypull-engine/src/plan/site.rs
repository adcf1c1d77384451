//! Wind, and the ground between the vehicles.

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
