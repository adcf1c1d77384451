//! Slings and trunk straps: factors by how they are rigged.
//!
//! The working load of a straight webbing sling times the mode factor; the
//! tension of a leg is the load's share over the sine of its angle to the
//! horizontal. Legs alike and evenly loaded.

use crate::source::{Source, Status};
use crate::units::{Angle, Length};

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

/// Angle of each leg of a basket to the line of pull: a strap of length `strap`
/// round a trunk of this diameter, both ends in one shackle.
///
/// `L = D/tan b + D (pi/2 + b)`: two tangents and the arc between them. `None` for
/// a strap too short to come round.
pub fn basket_angle(strap: Length, trunk: Length) -> Option<Angle> {
    let ratio = strap / trunk;
    let around = |b: f64| 1.0 / libm::tan(b) + core::f64::consts::FRAC_PI_2 + b;
    if !(ratio > core::f64::consts::PI && trunk > Length::ZERO) {
        return None;
    }
    // The more length, the finer the angle.
    let (mut fine, mut wide) = (0.0, core::f64::consts::FRAC_PI_2);
    for _ in 0..60 {
        let middle = 0.5 * (fine + wide);
        if around(middle) > ratio {
            fine = middle;
        } else {
            wide = middle;
        }
    }
    Some(Angle::new(wide))
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
    fn a_longer_strap_makes_a_finer_basket() {
        let trunk = Length::new(0.4);
        let at = |m: f64| basket_angle(Length::new(m), trunk);
        assert_eq!(at(0.4 * core::f64::consts::PI), None);
        assert_eq!(at(f64::NAN), None);
        assert_eq!(basket_angle(Length::new(3.0), Length::ZERO), None);
        // At 45 deg: D (1 + pi/2 + pi/4).
        let length = 0.4 * (1.0 + 0.75 * core::f64::consts::PI);
        assert!((at(length).unwrap().to_deg() - 45.0).abs() < 1e-9);
        assert!(at(3.0).unwrap() < at(2.0).unwrap());
    }

    #[test]
    fn too_flat_is_refused() {
        assert_eq!(mode_factor(Mode::Basket, Angle::from_deg(75.0)), None);
        assert_eq!(mode_factor(Mode::Basket, Angle::new(f64::NAN)), None);
        assert_eq!(leg_factor(Angle::ZERO), None);
    }
}
