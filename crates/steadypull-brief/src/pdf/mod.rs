//! The brief on A4 paper, as PDF.
//!
//! `pieces` cuts the brief's words and figures into pieces that never split,
//! `flow` sets them on pages, and each page is one SVG that is turned into PDF
//! with the text kept as text. Type gets smaller, within reason, until two
//! pages hold everything. If they do not, the longest small lists are cut and
//! say how much more the JSON answer holds; limits, warnings and cautions are
//! never cut, and take more pages if they must.

mod flow;
mod pieces;

use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use steadypull_contract::answer::Answer;
use steadypull_contract::show::Units;

use crate::BriefError;
use crate::canvas::number;
use crate::content::{Block, Brief, ListKind, brief};
use crate::fonts::FAMILY;
use crate::ink::WHITE;
use crate::picture::tree;

/// A4 in points.
const PAPER: (f64, f64) = (595.28, 841.89);
/// Text sizes to try, in points.
const SIZES: [f64; 5] = [8.6, 8.2, 7.8, 7.4, 7.0];
/// Items of a small list to keep once the smallest type is not enough.
const KEEP: [usize; 5] = [40, 20, 10, 5, 0];
/// Pages wanted at most.
const PAGES: usize = 2;

/// The brief as a PDF; `made_on` is printed as it is given.
pub fn pdf(answer: &Answer, units: Units, made_on: &str) -> Result<Vec<u8>, BriefError> {
    let brief = brief(answer, units, made_on);
    let pages = fitted(&brief, answer, units)?;
    bound(&brief, &pages)
}

/// The pages, in the largest type that fits.
fn fitted(brief: &Brief, answer: &Answer, units: Units) -> Result<Vec<String>, BriefError> {
    let set = |brief: &Brief, size: f64| -> Result<Vec<String>, BriefError> {
        Ok(flow::pages(
            &pieces::sheets(brief, answer, units, size)?,
            size,
        ))
    };
    for size in SIZES {
        let pages = set(brief, size)?;
        if pages.len() <= PAGES {
            return Ok(pages);
        }
    }
    for keep in KEEP {
        let pages = set(&shortened(brief, keep), SIZES[SIZES.len() - 1])?;
        if pages.len() <= PAGES {
            return Ok(pages);
        }
    }
    // Two pages cannot hold it: then nothing is cut, and the type stays legible.
    set(brief, SIZES[1])
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
