//! Knots and splices: the share of a rope's strength they leave.
//!
//! Sources differ by ten points for one knot, and no figure carries over from
//! one fibre to another.

use super::termination::{self, Termination};
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

/// A knot, splice or other join in the load path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Knot {
    /// Sewn or spliced eyes as made: no loss beyond the stated MBS.
    None,
    /// Bowline.
    Bowline,
    /// Figure of eight.
    FigureEight,
    /// Reef knot.
    Reef,
    /// Clove hitch.
    CloveHitch,
    /// An eye spliced in the field.
    EyeSplice,
    /// Two ends spliced together in the field.
    ShortSplice,
    /// An eye held by U-bolt clips, for wire rope.
    Clips,
    /// An eye spliced by hand round a thimble, for wire rope.
    HandSplice,
    /// A swaged socket, for wire rope.
    SwagedSocket,
}

impl Knot {
    /// Whether it ends a wire rope, and only that.
    pub fn is_of_wire(self) -> bool {
        matches!(self, Self::Clips | Self::HandSplice | Self::SwagedSocket)
    }

    /// What it is, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Bowline => "bowline",
            Self::FigureEight => "figure of eight",
            Self::Reef => "reef knot",
            Self::CloveHitch => "clove hitch",
            Self::EyeSplice => "eye splice",
            Self::ShortSplice => "short splice",
            Self::Clips => "U-bolt clips",
            Self::HandSplice => "hand splice",
            Self::SwagedSocket => "swaged socket",
        }
    }
}

/// Share of strength that a knot leaves and where the figure comes from; `None`
/// where it takes nothing.
///
/// A knot with no figure in its fibre gets the least of those tested in it; a
/// splice with none in HMPE the one splice that was. Nothing is published for the
/// fibres of straps: natural fibre stands in.
pub fn left_by(knot: Knot, hmpe: bool) -> Option<(f64, &'static str)> {
    const NATURAL_ROW: &str = "rope maker tests 1946 (CV-KNOT-01)";
    const HMPE_ROW: &str = "forestry tests for a US state OSHA grant (CV-KNOT-02)";
    let natural = |name| strength_kept(name, Fibre::Natural).map(|left| (left, NATURAL_ROW));
    let in_hmpe = |name| strength_kept(name, Fibre::Hmpe).map(|left| (left, HMPE_ROW));
    let ends = |end: Termination| Some((end.efficiency(), termination::SOURCE.name));
    match (knot, hmpe) {
        (Knot::None, _) => None,
        (Knot::Clips, _) => ends(Termination::Clips),
        (Knot::HandSplice, _) => ends(Termination::HandSplice),
        (Knot::SwagedSocket, _) => ends(Termination::SwagedSocket),
        (Knot::FigureEight, true) => in_hmpe("figure eight"),
        (Knot::Bowline, true) => in_hmpe("bowline"),
        (Knot::EyeSplice | Knot::ShortSplice, true) => in_hmpe("end-to-end long splice"),
        (Knot::Reef | Knot::CloveHitch, true) => Some((
            least_kept(Fibre::Hmpe),
            "lowest of the knots tested in HMPE (CV-KNOT-02)",
        )),
        (Knot::Bowline, false) => natural("bowline"),
        (Knot::CloveHitch, false) => natural("clove hitch"),
        (Knot::EyeSplice, false) => natural("eye splice"),
        (Knot::ShortSplice, false) => natural("short splice"),
        // The lowest published knot stands in where a material has no figure.
        (Knot::FigureEight | Knot::Reef, false) => Some((
            least_kept(Fibre::Natural),
            "reef knot, rope maker tests 1946 (CV-KNOT-01)",
        )),
    }
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
    fn every_knot_takes_something_and_names_its_source() {
        assert_eq!(left_by(Knot::None, false), None);
        for knot in [
            Knot::Bowline,
            Knot::FigureEight,
            Knot::Reef,
            Knot::CloveHitch,
            Knot::EyeSplice,
            Knot::ShortSplice,
            Knot::Clips,
            Knot::HandSplice,
            Knot::SwagedSocket,
        ] {
            for hmpe in [false, true] {
                let (left, source) = left_by(knot, hmpe).unwrap();
                assert!(left > 0.0 && left < 1.0 && !source.is_empty(), "{knot:?}");
            }
        }
    }

    #[test]
    fn an_untested_knot_has_no_figure() {
        assert_eq!(strength_kept("cow hitch", Fibre::Natural), None);
        assert_eq!(least_kept(Fibre::Natural), 0.45);
        assert_eq!(least_kept(Fibre::Hmpe), 0.33);
    }
}
