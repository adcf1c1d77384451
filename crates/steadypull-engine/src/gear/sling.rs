//! Slings and trunk straps: factors by how they are rigged.
//!
//! The working load of a straight webbing sling times the mode factor; the
//! tension of a leg is the load's share over the sine of its angle to the
//! horizontal. Legs alike and evenly loaded.

use crate::source::{Source, Status};
use crate::units::Angle;

/// Mode factors.
pub const MODE_SOURCE: Source = Source::new(
    "EN 1492-1 table of mode factors, as printed in a maker manual",
    Status::Read,
);

/// How a webbing sling is rigged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Straight pull.
    Straight,
    /// Choked.
    Choke,
    /// Basket, both legs up.
    Basket,
    /// Two legs.
    TwoLeg,
    /// Three or four legs.
    ThreeOrFourLeg,
}

/// Factor on the working load of one straight sling, legs `from_vertical`;
/// `None` past 60°, which the standard does not allow.
pub fn mode_factor(mode: Mode, from_vertical: Angle) -> Option<f64> {
    let deg = from_vertical.abs().to_deg();
    let by_angle = |steep: f64, wide: f64| {
        // 45° and 60° that missed by rounding still count as such.
        if deg <= 45.0 + 1e-9 {
            Some(steep)
        } else if deg <= 60.0 + 1e-9 {
            Some(wide)
        } else {
            None
        }
    };
    match mode {
        Mode::Straight => Some(1.0),
        Mode::Choke => Some(0.8),
        Mode::Basket | Mode::TwoLeg => by_angle(1.4, 1.0),
        Mode::ThreeOrFourLeg => by_angle(2.1, 1.5),
    }
}

/// Tension of a leg over its share of the load, by its angle to the horizontal:
/// `1 / sin a`. `None` for a leg that lies flat or hangs the wrong way.
pub fn leg_factor(to_horizontal: Angle) -> Option<f64> {
    let sine = to_horizontal.sin();
    (sine > 0.0).then(|| 1.0 / sine)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_flat_is_refused() {
        assert_eq!(mode_factor(Mode::Basket, Angle::from_deg(75.0)), None);
        assert_eq!(mode_factor(Mode::Basket, Angle::new(f64::NAN)), None);
        assert_eq!(leg_factor(Angle::ZERO), None);
    }
}
