//! The figures of a study by chance.

use steadypull_contract::answer::Chance;

use super::{Drawing, Frame, plan_view, tornado};
use crate::BriefError;

/// A figure that a study by chance can be drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChanceFigure {
    /// What drives each result.
    Tornado,
    /// Where things come down, at several quantiles, with the zone and its band.
    ZoneMap,
}

impl ChanceFigure {
    /// Every figure.
    pub const ALL: [Self; 2] = [Self::Tornado, Self::ZoneMap];

    /// A short name for files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tornado => "tornado",
            Self::ZoneMap => "zone-map",
        }
    }

    /// The words over it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Tornado => "What drives the answer",
            Self::ZoneMap => "Where things come down if a part lets go, to scale",
        }
    }

    /// A refusal to draw, with its reason.
    pub(crate) fn nothing(self, why: impl Into<String>) -> BriefError {
        BriefError::NoChanceFigure {
            figure: self,
            why: why.into(),
        }
    }
}

/// Draws a figure.
pub(crate) fn draw(
    answer: &Chance,
    which: ChanceFigure,
    frame: Frame,
) -> Result<Drawing, BriefError> {
    match which {
        ChanceFigure::Tornado => tornado::draw(answer, frame),
        ChanceFigure::ZoneMap => plan_view::chance_zone::draw(answer, frame),
    }
}
