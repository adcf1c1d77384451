//! Sag of a line hanging between level ends.
//!
//! `y = a (cosh(x/a) − 1)`, `a = H/w`: H the level part of the tension (N), w
//! the weight by length (N/m). Sag and length are written so that a taut line
//! loses no digits. Inextensible line of even weight, ends at one height.

use crate::units::{Force, G, Length, LineMass};

/// A hanging line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hang {
    /// Drop of the middle below the ends.
    pub sag: Length,
    /// Length along the line.
    pub length: Length,
    /// Tension at the ends.
    pub end_tension: Force,
}

/// The hang of a line of `span`; `None` without a level tension.
pub fn hang(span: Length, mass: LineMass, level_tension: Force) -> Option<Hang> {
    let weight = mass.get() * G;
    if !(level_tension.get() > 0.0 && weight >= 0.0 && span.get() >= 0.0) {
        return None;
    }
    if weight == 0.0 {
        return Some(Hang {
            sag: Length::ZERO,
            length: span,
            end_tension: level_tension,
        });
    }
    let a = level_tension.get() / weight;
    let half = 0.5 * span.get() / a;
    let quarter = libm::sinh(0.5 * half);
    Some(Hang {
        // cosh u − 1 = 2 sinh²(u/2): no cancelling when the line is taut.
        sag: Length::new(2.0 * a * quarter * quarter),
        length: Length::new(2.0 * a * libm::sinh(half)),
        end_tension: level_tension * libm::cosh(half),
    })
}

/// The sag by the parabola, `w L² / (8 H)`: low, and close for a taut line.
pub fn parabola_sag(span: Length, mass: LineMass, level_tension: Force) -> Length {
    Length::new(mass.get() * G * span.get() * span.get() / (8.0 * level_tension.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weightless_line_is_straight_and_a_slack_one_unknown() {
        let span = Length::new(30.0);
        let straight = hang(span, LineMass::ZERO, Force::new(10.0)).unwrap();
        assert_eq!((straight.sag, straight.length), (Length::ZERO, span));
        assert_eq!(hang(span, LineMass::new(0.3), Force::ZERO), None);
    }
}
