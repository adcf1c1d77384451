//! Ends of a wire rope: the share of its strength they carry.
//!
//! Within five points: it depends on the rope, the fitter and the day.

use crate::source::{Source, Status};

/// Splices read in US Army FM 55-501 par. 12-100; the others from memory.
pub const SOURCE: Source = Source::new(
    "splice: US Army FM 55-501 par. 12-100; others Wire Rope Users Manual",
    Status::FromMemory,
);

/// How a wire rope ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Termination {
    /// U-bolt clips, rightly set.
    Clips,
    /// Spliced by hand round a thimble.
    HandSplice,
    /// Swaged socket.
    SwagedSocket,
    /// Spelter (poured) socket.
    SpelterSocket,
}

impl Termination {
    /// Share of rope strength carried: low and high.
    pub fn efficiency_band(self) -> (f64, f64) {
        match self {
            Self::Clips => (0.80, 0.80),
            Self::HandSplice => (0.70, 0.90),
            Self::SwagedSocket => (0.95, 1.00),
            Self::SpelterSocket => (1.00, 1.00),
        }
    }

    /// The share to plan with: the low end.
    pub fn efficiency(self) -> f64 {
        self.efficiency_band().0
    }
}

#[cfg(test)]
mod tests {
    use super::Termination;

    #[test]
    fn plans_with_the_low_end() {
        assert_eq!(Termination::HandSplice.efficiency(), 0.70);
    }
}
