//! The crack of a line's tail: the range of its speed, and where.
//!
//! - At least: what the last half metre does in the run. A chain of segments smooths a
//!   crack, so it is a lower figure.
//! - At most: all the energy that the line gave back in that half metre,
//!   `sqrt(2 E/m)`, with no model of the fold.

use super::LinePart;
use super::watches::Whip;
use crate::units::{Duration, Energy, Speed};

/// Line that counts as its end, m.
const END_M: f64 = 0.5;

/// The crack of a tail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crack {
    /// Speed of the last half metre in the run.
    pub at_least: Speed,
    /// No more than this, by the energy alone.
    pub at_most: Speed,
    /// When, in the run.
    pub time: Duration,
    /// Where, in the coordinates of the run, m: good to a metre or two.
    pub place_m: [f64; 3],
}

impl Crack {
    /// Of `whip` in a run of `lines`, far end to free end, that gave back `stored`; none
    /// where there is no line.
    pub fn of(whip: &Whip, stored: Energy, lines: &[LinePart]) -> Option<Self> {
        let kg = end_kg(lines)?;
        let at_most = Speed::new((2.0 * stored.get() / kg).sqrt());
        let [x, y, z] = whip.place_m;
        Some(Self {
            at_least: whip.tail_speed.min(at_most),
            at_most,
            time: whip.time,
            place_m: [x, y, z.max(0.0)],
        })
    }
}

/// Mass of the last half metre, or of all the line where that is less.
fn end_kg(lines: &[LinePart]) -> Option<f64> {
    let (mut left_m, mut kg) = (END_M, 0.0);
    for part in lines.iter().rev() {
        let here_m = part.length.get().min(left_m);
        kg += here_m * part.mass_per_length.get();
        left_m -= here_m;
    }
    (kg > 0.0).then_some(kg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Law;
    use crate::units::{Force, Length, LineMass, Mass};

    fn part(length: f64, kg_m: f64) -> LinePart {
        let law = Law::linear_elastic(Force::new(450e3), Force::new(90e3));
        LinePart {
            length: Length::new(length),
            mass_per_length: LineMass::new(kg_m),
            unloading: law.expect("a sound law").unloading(0.1),
            diameter: Length::new(0.02),
            joint_mass: Mass::ZERO,
        }
    }

    #[test]
    fn the_bound_is_all_the_energy_in_the_last_half_metre() {
        let whip = Whip {
            tail_speed: Speed::new(80.0),
            node_speed: Speed::new(500.0),
            time: Duration::new(0.3),
            place_m: [9.0, 0.5, -1e-4],
        };
        let of = |lines: &[LinePart]| Crack::of(&whip, Energy::new(5e3), lines);
        let whole = of(&[part(4.0, 2.0), part(5.0, 0.5)]).unwrap();
        assert!((whole.at_most.get() - (1e4_f64 / 0.25).sqrt()).abs() < 1e-9);
        assert_eq!((whole.at_least.get(), whole.place_m[2]), (80.0, 0.0));
        // 0.2 m of a light line, 0.3 m of the heavy one behind it.
        let short = of(&[part(4.0, 2.0), part(0.2, 0.5)]).unwrap();
        assert!((short.at_most.get() - (1e4_f64 / 0.7).sqrt()).abs() < 1e-9);
        assert_eq!(of(&[]), None);
    }
}
