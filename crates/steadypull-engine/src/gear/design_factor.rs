//! Design factors (breaking over working load) of the lifting standards.

use crate::source::{Source, Status};

/// The standards named by each kind; not opened.
pub const SOURCE: Source = Source::new("standards named", Status::FromMemory);

/// Gear with a standard design factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standard {
    /// Webbing sling, EN 1492-1.
    WebbingSlingEn,
    /// Synthetic sling, ASME B30.9.
    SyntheticSlingUs,
    /// Grade 8 fitting, EN 1677.
    Grade8FittingEn,
    /// Wire rope sling.
    WireRopeSling,
}

impl Standard {
    /// Breaking load over working load.
    pub fn design_factor(self) -> f64 {
        match self {
            Self::WebbingSlingEn => 7.0,
            Self::SyntheticSlingUs | Self::WireRopeSling => 5.0,
            Self::Grade8FittingEn => 4.0,
        }
    }
}
