//! The figures of a test day: each pull in time and against its stretch, lines fitted,
//! set-ups compared. Curves and marks differ by dash and shape, never by colour alone.

mod fitted;
mod load_stretch;
mod load_time;
mod residuals;
mod strip;

use steadypull_contract::answer::TestsReport;

use super::chart::{Field, mark_room};
use super::mark::Mark;
use super::{Drawing, Frame};
use crate::BriefError;
use crate::axis::Axis;

/// A figure of a test day, by its place in the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TestFigure {
    /// The load of a pull in time, with its events.
    LoadTime(usize),
    /// The load of a pull against its stretch.
    LoadStretch(usize),
    /// Measured and fitted load of a line against stretch.
    Fitted(usize),
    /// What is left over about a line.
    Residuals(usize),
    /// Pulls and means by set-up of a comparison.
    Strip(usize),
}

impl TestFigure {
    /// A short name, for the page.
    pub fn name(self) -> String {
        let (word, at) = match self {
            Self::LoadTime(at) => ("load-time", at),
            Self::LoadStretch(at) => ("load-stretch", at),
            Self::Fitted(at) => ("fitted", at),
            Self::Residuals(at) => ("residuals", at),
            Self::Strip(at) => ("strip", at),
        };
        format!("{word}-{}", at + 1)
    }

    /// The words over it.
    pub fn title(self) -> &'static str {
        match self {
            Self::LoadTime(_) => "Load in time",
            Self::LoadStretch(_) => "Load against stretch",
            Self::Fitted(_) => "Measured and fitted load",
            Self::Residuals(_) => "What is left over about the line",
            Self::Strip(_) => "Each pull, and the mean with its interval",
        }
    }
}

/// Draws a figure.
pub(crate) fn draw(
    report: &TestsReport,
    which: TestFigure,
    frame: Frame,
) -> Result<Drawing, BriefError> {
    let drawn = match which {
        TestFigure::LoadTime(at) => {
            let both = report.read.pulls.get(at).zip(report.drawn.get(at));
            both.map(|(pull, drawn)| load_time::draw(pull, &drawn.levels, frame))
        }
        TestFigure::LoadStretch(at) => {
            let drawn = report.drawn.get(at);
            drawn.and_then(|drawn| load_stretch::draw(drawn, frame))
        }
        TestFigure::Fitted(at) => line(report, at).map(|line| fitted::draw(line, frame)),
        TestFigure::Residuals(at) => line(report, at).map(|line| residuals::draw(line, frame)),
        TestFigure::Strip(at) => {
            let compare = report.compare.as_ref();
            let one = compare.and_then(|of| Some((of.compared.get(at)?, &of.predicted[..])));
            one.map(|(compared, predicted)| strip::draw(compared, predicted, frame))
        }
    };
    drawn.ok_or(BriefError::NoTestFigure {
        figure: which.name(),
    })
}

fn line(report: &TestsReport, at: usize) -> Option<&steadypull_contract::answer::FittedLine> {
    report.fit.as_ref()?.lines.get(at)
}

/// Shapes that tell pulls apart, in order; beyond them they begin again.
const SHAPES: [Mark; 6] = [
    Mark::Ring,
    Mark::Cross,
    Mark::Square,
    Mark::Triangle,
    Mark::Disc,
    Mark::Dash,
];

/// Text with a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The field of a figure that fills the frame, for a left axis that is laid out on it.
fn field(frame: Frame, up: impl Fn(Field) -> Axis) -> (Field, Axis) {
    let s = frame.size;
    let top = s * 1.9;
    let field = Field {
        left: 0.0,
        right: frame.width - s * 0.8,
        top,
        bottom: top + (frame.width * 0.36).max(s * 11.0),
    };
    let axis = up(field);
    let left = mark_room(&axis, s);
    (Field { left, ..field }, axis)
}

/// The axis of a load: from nothing up, and below it only where loads lie there that are no
/// noise about nothing.
fn load_axis((low, high): (f64, f64), frame: Frame, field: Field) -> Axis {
    let low = if low < -0.03 * high { low } else { 0.0 };
    let sheet = (field.bottom, field.top);
    Axis::straight((low, high * 1.04), frame.units.force_axis(), sheet, 6)
}

/// Least and greatest of what is a number; 0 to 0 where nothing is.
fn range<'a>(values: impl IntoIterator<Item = &'a f64>) -> (f64, f64) {
    let mut ends: Option<(f64, f64)> = None;
    for value in values.into_iter().copied().filter(|v| v.is_finite()) {
        let (low, high) = ends.unwrap_or((value, value));
        ends = Some((low.min(value), high.max(value)));
    }
    ends.unwrap_or((0.0, 0.0))
}
