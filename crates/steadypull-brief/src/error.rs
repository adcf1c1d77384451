//! Why a brief could not be drawn.

use crate::{ChanceFigure, Figure};

/// Why a figure or brief could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BriefError {
    /// The answer holds nothing for this figure.
    #[error("nothing to draw for `{figure}`: {why}", figure = figure.name())]
    NothingToDraw {
        /// The figure asked for.
        figure: Figure,
        /// Why there is nothing, in words.
        why: String,
    },
    /// The study by chance holds nothing for this figure.
    #[error("nothing to draw for `{figure}`: {why}", figure = figure.name())]
    NoChanceFigure {
        /// The figure asked for.
        figure: ChanceFigure,
        /// Why there is nothing, in words.
        why: String,
    },
    /// No dampers were designed.
    #[error("nothing to draw for `{name}`: no dampers were designed", name = crate::DAMPER_FIGURE)]
    NoDamperFigure,
    /// What is drawn holds nothing of a test day for this figure.
    #[error("nothing to draw for `{figure}`: there is no such pull, line or comparison")]
    NoTestFigure {
        /// The figure asked for.
        figure: String,
    },
    /// An SVG could not be read.
    #[error("the SVG could not be read: {0}")]
    Svg(String),
    /// The picture asked for has no usable size.
    #[error("a picture {wide} pixels wide cannot be made (1 to {greatest})")]
    PixelSize {
        /// Width asked for.
        wide: u32,
        /// Greatest width allowed.
        greatest: u32,
    },
    /// The PNG could not be written.
    #[error("the PNG could not be written: {0}")]
    Png(String),
    /// The PDF could not be written.
    #[error("the PDF could not be written: {0}")]
    Pdf(String),
}
