//! Draws an answer: SVG figures, PNG, a brief and a test report as HTML or PDF.
//!
//! Bytes in, bytes out: no files, clock, threads or fonts of the machine, so
//! that it runs in a browser too and the same answer always gives the same
//! bytes. The drawings show what the contract says and nothing else; the HTML
//! and the PDF print one shared text (`content`).
//!
//! | file | holds |
//! |---|---|
//! | `figure/` | one file a figure |
//! | `content/` | the words of the brief and of the report: the one model behind HTML and PDF |
//! | `html/` | either as a page that stands alone |
//! | `pdf/` | either laid out on A4 |
//! | `studied.rs` | an answer with the studies asked for with it |
//! | `canvas`, `axis`, `fonts`, `ink` | shapes, scales, text widths, colours |

mod axis;
mod canvas;
pub mod content;
mod error;
mod figure;
mod fonts;
mod html;
mod ink;
mod pdf;
mod picture;
mod studied;

pub use error::BriefError;
pub use figure::Figure;
pub use figure::chance::ChanceFigure;
pub use figure::signal::HandSignal;
pub use figure::test_day::TestFigure;
pub use html::{html, style, test_report_html};
pub use pdf::{pdf, test_report_pdf};
pub use picture::png;
pub use studied::{BriefFigure, Studied};

use steadypull_contract::answer::{Answer, Chance, DamperDesign};
use steadypull_contract::show::Units;

/// Width of a figure that stands alone.
const WIDE: f64 = 720.0;
/// Text size of a figure that stands alone.
const TEXT: f64 = 13.0;

/// White round a figure that stands alone.
const MARGIN: f64 = 16.0;

/// One figure of an answer as an SVG document.
pub fn figure(answer: &Answer, which: Figure, units: Units) -> Result<String, BriefError> {
    let drawing = figure::draw(answer, which, frame(units))?;
    Ok(alone(drawing, which.title(), which.name()))
}

/// One figure of a study by chance as an SVG document.
pub fn chance_figure(
    answer: &Chance,
    which: ChanceFigure,
    units: Units,
) -> Result<String, BriefError> {
    let drawing = figure::chance::draw(answer, which, frame(units))?;
    Ok(alone(drawing, which.title(), which.name()))
}

/// The frame of a figure that stands alone.
fn frame(units: Units) -> figure::Frame {
    figure::Frame {
        width: WIDE - 2.0 * MARGIN,
        size: TEXT,
        units,
        notes: true,
    }
}

/// Arrival energy by damper set-up, one panel a set-up, as an SVG document; `None`
/// where nothing was worked out.
pub fn damper_figure(design: &DamperDesign, units: Units) -> Option<String> {
    let drawing = figure::damper_set_ups::draw(design, frame(units))?;
    Some(alone(drawing, DAMPER_TITLE, DAMPER_FIGURE))
}

/// Name of the figure of [`damper_figure`], for files.
pub const DAMPER_FIGURE: &str = "damper-set-ups";
/// The words over it.
const DAMPER_TITLE: &str = "Arrival energy by damper set-up";

/// A drawing on a sheet of its own.
fn alone(drawing: figure::Drawing, title: &str, id: &str) -> String {
    let mut sheet = canvas::Canvas::new();
    sheet.place((MARGIN, MARGIN), &drawing.body);
    let framed = figure::Drawing {
        height: drawing.height + 2.0 * MARGIN,
        body: sheet.into_body(),
        words: drawing.words,
    };
    figure::svg(&framed, title, id, WIDE)
}
