//! The brief, or a test report, on A4 paper, as PDF.
//!
//! `pieces` cuts the brief's words and figures into pieces that never split,
//! `flow` sets them on pages, and each page is one SVG that is turned into PDF
//! with the text kept as text. Type gets smaller, within reason, until two
//! pages hold everything (three with studies by chance or of dampers). If they do not, figures that a crew can spare are told
//! in words, then the longest small lists are cut and say how much more the JSON
//! answer holds; limits, warnings and cautions are never cut, and take more
//! pages if they must. A report is never cut: it takes the pages that it takes.

mod flow;
mod pieces;

use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use steadypull_contract::answer::TestsReport;
use steadypull_contract::show::Units;

use crate::canvas::number;
use crate::content::{Block, Brief, ListKind, brief, test_report};
use crate::figure::Frame;
use crate::fonts::FAMILY;
use crate::ink::WHITE;
use crate::picture::tree;
use crate::studied::Source;
use crate::{BriefError, BriefFigure, Figure, Studied};

/// A4 in points.
const PAPER: (f64, f64) = (595.28, 841.89);
/// Text sizes to try, in points.
const SIZES: [f64; 5] = [8.6, 8.2, 7.8, 7.4, 7.0];
/// Items of a small list to keep once the smallest type is not enough.
const KEEP: [usize; 10] = [80, 60, 48, 38, 30, 24, 18, 12, 6, 0];
/// Figures that may be told in words where paper runs out, the first first.
const SPARE: [Figure; 6] = [
    Figure::Resistance,
    Figure::LetGoEnergy,
    Figure::RunUpWindow,
    Figure::OptionsLadder,
    Figure::WinchHaul,
    Figure::RunUpChances,
];
/// Pages wanted at most; one more with studies.
const PAGES: usize = 2;

/// The brief as a PDF; `made_on` is printed as it is given.
pub fn pdf<'a>(
    of: impl Into<Studied<'a>>,
    units: Units,
    made_on: &str,
) -> Result<Vec<u8>, BriefError> {
    let of = of.into();
    let brief = brief(of, units, made_on);
    let pages = fitted(&brief, of, units)?;
    bound(&brief, &pages)
}

/// Text size of a report, in points.
const REPORT_SIZE: f64 = 8.2;

/// The report of a test day as a PDF: whole, on as many pages as it takes.
pub fn test_report_pdf(report: &TestsReport, units: Units) -> Result<Vec<u8>, BriefError> {
    let words = test_report(report, units);
    let sheets = pieces::report(&words, Source::Tests(report), units, REPORT_SIZE)?;
    bound(&words, &flow::pages(&sheets, REPORT_SIZE))
}

/// The pages: the largest type that fits two, then figures in words, then
/// shorter small lists; failing that three pages, and failing that all of it.
fn fitted(brief: &Brief, of: Studied, units: Units) -> Result<Vec<String>, BriefError> {
    let wanted = PAGES + usize::from(of.any());
    let mut tried: Vec<Vec<String>> = Vec::new();
    let smallest = SIZES[SIZES.len() - 1];
    let mut attempts: Vec<(Brief, f64)> = SIZES.iter().map(|size| (brief.clone(), *size)).collect();
    let in_words = (1..=SPARE.len()).map(|n| told(brief, &SPARE[..n], of, units));
    attempts.extend(in_words.map(|brief| (brief, smallest)));
    let all_told = told(brief, &SPARE, of, units);
    attempts.extend(
        KEEP.iter()
            .map(|keep| (shortened(&all_told, *keep), smallest)),
    );
    for (brief, size) in &attempts {
        let pages = flow::pages(
            &pieces::sheets(brief, Source::Plan(of), units, *size)?,
            *size,
        );
        if pages.len() <= wanted {
            return Ok(pages);
        }
        tried.push(pages);
    }
    // Two pages cannot hold it: the fewest that cut as little as may be.
    let fewest = tried.iter().map(Vec::len).min().unwrap_or(0);
    let first = tried.iter().position(|pages| pages.len() == fewest);
    Ok(tried.swap_remove(first.unwrap_or(0)))
}

/// The brief with some figures told in words: their own descriptions.
fn told(brief: &Brief, figures: &[Figure], of: Studied, units: Units) -> Brief {
    let mut brief = brief.clone();
    let frame = Frame {
        width: flow::COLUMN,
        size: 8.0,
        units,
        notes: false,
    };
    for block in brief.sections.iter_mut().flat_map(|s| &mut s.blocks) {
        if let Block::Figure(which) = block
            && figures.iter().any(|f| BriefFigure::Answer(*f) == *which)
            && let Ok(drawing) = which.draw(Source::Plan(of), frame)
        {
            *block = Block::Text(drawing.words);
        }
    }
    brief
}

/// The brief with small lists cut to `keep` items, each saying what is missing.
fn shortened(brief: &Brief, keep: usize) -> Brief {
    let mut brief = brief.clone();
    for block in brief.sections.iter_mut().flat_map(|s| &mut s.blocks) {
        if let Block::List {
            kind: ListKind::Small,
            items,
        } = block
            && items.len() > keep + 1
        {
            let more = items.len() - keep;
            items.truncate(keep);
            items.push(format!("{more} more in the JSON answer"));
        }
    }
    brief
}

fn bound(brief: &Brief, pages: &[String]) -> Result<Vec<u8>, BriefError> {
    let error = |what: &str| BriefError::Pdf(what.into());
    let mut document = krilla::Document::new();
    let (wide, high) = (PAPER.0 as f32, PAPER.1 as f32);
    for body in pages {
        let (w, h) = (number(PAPER.0), number(PAPER.1));
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" font-family=\"{FAMILY}\"><rect width=\"{w}\" height=\"{h}\" fill=\"{WHITE}\"/>{body}</svg>"
        );
        let tree = tree(&svg)?;
        let settings =
            PageSettings::from_wh(wide, high).ok_or_else(|| error("the page has no size"))?;
        let size = Size::from_wh(wide, high).ok_or_else(|| error("the page has no size"))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or_else(|| error("the page could not be drawn"))?;
        surface.finish();
        page.finish();
    }
    let title = format!("{}: {}", brief.banner.words, brief.title);
    document.set_metadata(Metadata::new().title(title).language("en".into()));
    document
        .finish()
        .map_err(|e| BriefError::Pdf(format!("{e:?}")))
}
