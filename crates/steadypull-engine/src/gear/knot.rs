//! Knots and splices: the share of a rope's strength they leave.
//!
//! Sources differ by ten points for one knot, and no figure carries over from
//! one fibre to another.

use crate::source::{Source, Status};

/// Natural fibre ropes.
pub const NATURAL_SOURCE: Source = Source::new(
    "rope maker tests 1946, quoted in a knot handbook",
    Status::Read,
);
/// HMPE 12-strand.
pub const HMPE_SOURCE: Source = Source::new(
    "forestry tests for a US state OSHA grant, quoted second hand",
    Status::Read,
);

/// What was tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fibre {
    /// Natural fibre.
    Natural,
    /// HMPE, 12-strand.
    Hmpe,
}

/// Shares kept in natural fibre.
const NATURAL: [(&str, f64); 12] = [
    ("eye splice", 0.95),
    ("short splice", 0.90),
    ("clove hitch", 0.75),
    ("two half hitches", 0.75),
    ("anchor bend", 0.70),
    ("pipe hitch", 0.70),
    ("timber hitch", 0.70),
    ("bowline", 0.60),
    ("figure eight end knot", 0.48),
    ("sheepshank", 0.45),
    ("reef (square) knot", 0.45),
    ("overhand", 0.45),
];

/// Shares kept in HMPE.
const HMPE: [(&str, f64); 6] = [
    ("figure eight", 0.33),
    ("bowline", 0.33),
    ("taut-line hitch", 0.39),
    ("double stevedore", 0.49),
    ("cow hitch", 0.57),
    ("end-to-end long splice", 0.85),
];

fn table(fibre: Fibre) -> &'static [(&'static str, f64)] {
    match fibre {
        Fibre::Natural => &NATURAL,
        Fibre::Hmpe => &HMPE,
    }
}

/// Share of strength kept by a knot, by its name in the source.
pub fn strength_kept(knot: &str, fibre: Fibre) -> Option<f64> {
    table(fibre)
        .iter()
        .find(|row| row.0 == knot)
        .map(|row| row.1)
}

/// The least share of any knot tested: what to take for one with no figure.
pub fn least_kept(fibre: Fibre) -> f64 {
    table(fibre).iter().fold(1.0, |least, row| row.1.min(least))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_untested_knot_has_no_figure() {
        assert_eq!(strength_kept("cow hitch", Fibre::Natural), None);
        assert_eq!(least_kept(Fibre::Natural), 0.45);
        assert_eq!(least_kept(Fibre::Hmpe), 0.33);
    }
}
