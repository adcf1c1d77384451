//! Cuts the brief, or a report, into pieces for the pages.

use std::rc::Rc;

use steadypull_contract::show::Units;

use super::PAPER;
use super::flow::{Band, COLUMN, FULL, GUTTER, MARGIN, Piece, Sheets};
use crate::canvas::{Canvas, Hang, LEADING, Pen, number};
use crate::content::{Banner, Block, Brief, ListKind, Pair, Section, Table, Topic};
use crate::figure::{Frame, signal};
use crate::fonts::{Weight, wrap};
use crate::ink::{GREY, INK, RULE, WHITE};
use crate::studied::Source;
use crate::{BriefError, BriefFigure, HandSignal};

const REGULAR: (Weight, Hang) = (Weight::Regular, Hang::Left);
const BOLD: (Weight, Hang) = (Weight::Bold, Hang::Left);
/// Tallest foot that may stand on every page.
const FOOT: f64 = PAPER.1 * 0.15;

/// Rows of a table that are not parted.
const FEW: usize = 4;

/// A width and a text size to cut for.
#[derive(Debug, Clone, Copy)]
struct Cut<'a> {
    of: Source<'a>,
    units: Units,
    width: f64,
    size: f64,
}

/// The brief cut for a text size.
pub(super) fn sheets(
    brief: &Brief,
    of: Source,
    units: Units,
    size: f64,
) -> Result<Sheets, BriefError> {
    let full = Cut {
        of,
        units,
        width: FULL,
        size,
    };
    let column = Cut {
        width: COLUMN,
        ..full
    };
    let mut top = head(brief, full);
    top.extend(banner(&brief.banner, full));
    let mut flowing = Vec::new();
    for section in &brief.sections {
        if section.topic == Topic::LoadPath {
            top.extend(section_pieces(section, full)?);
        } else {
            flowing.extend(section_pieces(section, column)?);
        }
    }
    let mut bands = vec![Band::Full(top), Band::Columns(flowing)];
    let mut foot = foot(&brief.cautions.join(" "), &brief.footer, full);
    if foot.height > FOOT {
        // Too long to stand on every page: the cautions close the brief instead.
        bands.push(Band::Full(cautions(brief, full)));
        foot = self::foot("", &brief.footer, full);
    }
    Ok(Sheets { bands, foot })
}

/// A report cut for a text size: over the whole width, figures two by two, its title at the
/// foot of every page.
pub(super) fn report(
    report: &Brief,
    of: Source,
    units: Units,
    size: f64,
) -> Result<Sheets, BriefError> {
    let cut = Cut {
        of,
        units,
        width: FULL,
        size,
    };
    let mut pieces = head(report, cut);
    pieces.extend(banner(&report.banner, cut));
    pieces.extend(cautions(report, cut));
    for section in &report.sections {
        pieces.push(heading(&section.heading, cut));
        let is_figure = |block: &Block| matches!(block, Block::Figure(_));
        for run in section.blocks.chunk_by(|a, b| is_figure(a) && is_figure(b)) {
            pieces.extend(run_pieces(run, &section.heading, cut)?);
        }
    }
    let title = [&report.title[..], &report.about.join(" · ")].join(" · ");
    Ok(Sheets {
        bands: vec![Band::Full(pieces)],
        foot: foot(&title, &report.footer, cut),
    })
}

/// Figures that follow each other, two in a row; any other block as it is.
fn run_pieces(run: &[Block], heading: &str, cut: Cut) -> Result<Vec<Piece>, BriefError> {
    let mut pieces = Vec::new();
    for pair in run.chunks(2) {
        match pair {
            [Block::Figure(left), Block::Figure(right)] => {
                pieces.push(beside((*left, *right), heading, cut)?);
            }
            blocks => {
                for block in blocks {
                    pieces.extend(block_pieces(block, heading, cut)?);
                }
            }
        }
        pieces.push(gap(cut.size * 0.25));
    }
    Ok(pieces)
}

/// Two figures side by side.
fn beside(
    (left, right): (BriefFigure, BriefFigure),
    heading: &str,
    cut: Cut,
) -> Result<Piece, BriefError> {
    let column = Cut {
        width: COLUMN,
        ..cut
    };
    let (mut canvas, mut highest) = (Canvas::new(), 0.0);
    for (x, which) in [(0.0, left), (COLUMN + GUTTER, right)] {
        let mut y = 0.0;
        for piece in figure_pieces(which, heading, column)? {
            canvas.place((x, y), &piece.body);
            y += piece.height;
        }
        highest = f64::max(highest, y);
    }
    Ok(Piece::alone(highest, canvas.into_body()))
}

fn cautions(brief: &Brief, cut: Cut) -> Vec<Piece> {
    let mut pieces = vec![heading("Cautions", cut)];
    for caution in &brief.cautions {
        pieces.extend(item(caution, ListKind::Bullet, 0, cut));
    }
    pieces
}

/// Lines of text, one piece each.
fn text_pieces(
    text: &str,
    size: f64,
    style: (Weight, Hang),
    colour: &'static str,
    cut: Cut,
) -> Vec<Piece> {
    let lines = wrap(text, size, style.0, cut.width);
    lines
        .iter()
        .map(|line| {
            let mut canvas = Canvas::new();
            canvas.coloured_text((0.0, size), line, size, style, colour);
            Piece::alone(size * LEADING, canvas.into_body())
        })
        .collect()
}

fn gap(height: f64) -> Piece {
    Piece::alone(height, String::new())
}

fn head(brief: &Brief, cut: Cut) -> Vec<Piece> {
    let mut pieces = text_pieces(&brief.title, cut.size * 1.9, BOLD, INK, cut);
    for line in &brief.about {
        pieces.extend(text_pieces(line, cut.size, REGULAR, GREY, cut));
    }
    pieces.push(gap(cut.size * 0.5));
    pieces
}

/// The verdict: white on ink when it stops the pull, else in a frame. One
/// piece, unless its reasons are endless: then they follow as plain lines.
fn banner(banner: &Banner, cut: Cut) -> Vec<Piece> {
    let s = cut.size;
    let pad = s;
    let colour = if banner.stop { WHITE } else { INK };
    let wide = cut.width - 2.0 * pad;
    let mut canvas = Canvas::new();
    let mut y = pad * 0.6 + s * 2.2;
    canvas.coloured_text((pad, y), banner.words, s * 2.2, BOLD, colour);
    let reasons = banner.reasons.iter().map(|r| format!("• {r}"));
    let (inside, after): (Vec<String>, Vec<String>) =
        reasons
            .enumerate()
            .fold((Vec::new(), Vec::new()), |(mut a, mut b), (i, r)| {
                if i < 14 && r.len() < 600 {
                    a.push(r)
                } else {
                    b.push(r)
                }
                (a, b)
            });
    let headline = [(banner.headline.clone(), s * 1.2, Weight::Bold)];
    for (text, size, weight) in headline
        .into_iter()
        .chain(inside.into_iter().map(|r| (r, s, Weight::Regular)))
    {
        y += size * 0.15;
        for line in wrap(&text, size, weight, wide).iter().take(40) {
            y += size * LEADING;
            canvas.coloured_text((pad, y), line, size, (weight, Hang::Left), colour);
        }
    }
    let high = y + pad * 0.8;
    let mut ground = Canvas::new();
    let fill = if banner.stop { INK } else { WHITE };
    ground.rect(
        (1.0, 0.0),
        (cut.width - 2.0, high),
        Some(fill),
        Some(Pen::full(INK, s * 0.25)),
    );
    let mut pieces = vec![Piece::alone(
        high + s * 0.4,
        ground.into_body() + &canvas.into_body(),
    )];
    for reason in &after {
        pieces.extend(text_pieces(reason, s, REGULAR, INK, cut));
    }
    pieces
}

fn heading(text: &str, cut: Cut) -> Piece {
    let s = cut.size;
    let size = s * 1.12;
    let mut canvas = Canvas::new();
    let lines = wrap(text, size, Weight::Bold, cut.width);
    canvas.lines((0.0, s * 0.8 + size), &lines, size, BOLD);
    let y = s * 0.8 + lines.len() as f64 * size * LEADING;
    canvas.line((0.0, y), (cut.width, y), Pen::full(INK, s * 0.1));
    Piece {
        keep: true,
        ..Piece::alone(y + s * 0.3, canvas.into_body())
    }
}

fn section_pieces(section: &Section, cut: Cut) -> Result<Vec<Piece>, BriefError> {
    let s = cut.size;
    let mut pieces = vec![heading(&section.heading, cut)];
    for block in &section.blocks {
        pieces.extend(block_pieces(block, &section.heading, cut)?);
        pieces.push(gap(s * 0.25));
    }
    Ok(pieces)
}

fn block_pieces(block: &Block, heading: &str, cut: Cut) -> Result<Vec<Piece>, BriefError> {
    let s = cut.size;
    Ok(match block {
        Block::Text(text) => text_pieces(text, s, REGULAR, INK, cut),
        // Long and rarely read: run together, parted by bullets.
        Block::List {
            kind: ListKind::Small,
            items,
        } => text_pieces(&items.join(" • "), s * 0.88, REGULAR, INK, cut),
        Block::List { kind, items } => {
            let each = items.iter().enumerate();
            each.flat_map(|(i, text)| item(text, *kind, i, cut))
                .collect()
        }
        Block::Pairs(pairs) => pairs.iter().map(|pair| pair_piece(pair, cut)).collect(),
        Block::Table(table) => table_pieces(table, cut),
        Block::Figure(which) => figure_pieces(*which, heading, cut)?,
        Block::Signals(signals) => vec![signals_piece(signals, cut)],
    })
}

/// An item of a list, its mark beside its first line.
fn item(text: &str, kind: ListKind, index: usize, cut: Cut) -> Vec<Piece> {
    let s = cut.size;
    let size = if kind == ListKind::Small { s * 0.88 } else { s };
    let indent = if kind == ListKind::Tick {
        s * 1.5
    } else {
        s * 1.1
    };
    let lines = wrap(text, size, Weight::Regular, cut.width - indent);
    lines
        .iter()
        .enumerate()
        .map(|(i, line)| {
            let mut canvas = Canvas::new();
            if i == 0 {
                match kind {
                    ListKind::Tick => canvas.rect(
                        (s * 0.1, s * 0.15),
                        (s * 0.85, s * 0.85),
                        None,
                        Some(Pen::full(INK, s * 0.1)),
                    ),
                    ListKind::Numbered => {
                        canvas.text((0.0, size), &(index + 1).to_string(), size, BOLD)
                    }
                    ListKind::Bullet | ListKind::Small => {
                        canvas.text((s * 0.2, size), "•", size, REGULAR)
                    }
                }
            }
            canvas.text((indent, size), line, size, REGULAR);
            let last = i + 1 == lines.len();
            Piece::alone(
                size * LEADING + if last { s * 0.12 } else { 0.0 },
                canvas.into_body(),
            )
        })
        .collect()
}

/// A name, a value on the right, a note beside them.
fn pair_piece(pair: &Pair, cut: Cut) -> Piece {
    let s = cut.size;
    let step = s * LEADING;
    let name_wide = cut.width * if pair.value.is_empty() { 0.24 } else { 0.30 };
    let value_right = cut.width * 0.52;
    let note_left = if pair.value.is_empty() {
        cut.width * 0.26
    } else {
        cut.width * 0.54
    };
    let name = wrap(&pair.name, s, Weight::Bold, name_wide);
    let value = wrap(
        &pair.value,
        s,
        Weight::Bold,
        value_right - name_wide - s * 0.5,
    );
    let note = wrap(&pair.note, s, Weight::Regular, cut.width - note_left);
    let mut canvas = Canvas::new();
    canvas.lines((0.0, s), &name, s, BOLD);
    canvas.lines((value_right, s), &value, s, (Weight::Bold, Hang::Right));
    canvas.lines((note_left, s), &note, s, REGULAR);
    let rows = name.len().max(value.len()).max(note.len()).max(1);
    let y = s * 0.25 + rows as f64 * step;
    canvas.line((0.0, y), (cut.width, y), Pen::full(RULE, s * 0.05));
    Piece::alone(y + s * 0.15, canvas.into_body())
}

fn table_pieces(table: &Table, cut: Cut) -> Vec<Piece> {
    let s = cut.size;
    let mut pieces = text_pieces(&table.caption, s, BOLD, INK, cut);
    let headings: Vec<String> = table
        .columns
        .iter()
        .map(|c| c.heading.to_string())
        .collect();
    let mut head = row_piece(table, &headings, Weight::Bold, cut);
    head.keep = true;
    pieces.iter_mut().for_each(|p| p.keep = true);
    let under = Rc::new(head.clone());
    pieces.push(head);
    // A table of a few rows stands on one page.
    let whole = table.rows.len() <= FEW;
    let row = |(at, row): (usize, &Vec<String>)| Piece {
        keep: whole && at + 1 < table.rows.len(),
        under: Some(Rc::clone(&under)),
        ..row_piece(table, row, Weight::Regular, cut)
    };
    pieces.extend(table.rows.iter().enumerate().map(row));
    pieces
}

fn row_piece(table: &Table, cells: &[String], weight: Weight, cut: Cut) -> Piece {
    let s = cut.size;
    let mut canvas = Canvas::new();
    let mut left = 0.0;
    let mut rows = 1;
    for (column, cell) in table.columns.iter().zip(cells) {
        let wide = cut.width * column.share;
        let lines = wrap(cell, s, weight, wide - s * 0.8);
        rows = rows.max(lines.len());
        let (x, hang) = if column.number {
            (left + wide - s * 0.8, Hang::Right)
        } else {
            (left, Hang::Left)
        };
        canvas.lines((x, s), &lines, s, (weight, hang));
        left += wide;
    }
    let y = s * 0.25 + rows as f64 * s * LEADING;
    canvas.line((0.0, y), (cut.width, y), Pen::full(RULE, s * 0.05));
    Piece::alone(y + s * 0.1, canvas.into_body())
}

fn figure_pieces(which: BriefFigure, heading: &str, cut: Cut) -> Result<Vec<Piece>, BriefError> {
    let s = cut.size;
    let frame = Frame {
        width: cut.width,
        size: s * 0.94,
        units: cut.units,
        notes: false,
    };
    let drawing = which.draw(cut.of, frame)?;
    let mut pieces = Vec::new();
    if which.title() != heading {
        pieces = text_pieces(which.title(), s, BOLD, INK, cut);
        pieces.iter_mut().for_each(|p| p.keep = true);
    }
    // A figure swollen by endless words is shrunk to a page rather than cut.
    let most = PAPER.1 - 2.0 * MARGIN - FOOT - s * 6.0;
    let share = (most / drawing.height).min(1.0);
    let body = format!(
        "<g transform=\"translate(0 {}) scale({share:.4})\">{}</g>",
        number(s * 0.3),
        drawing.body
    );
    pieces.push(Piece::alone(drawing.height * share + s * 0.4, body));
    Ok(pieces)
}

/// The hand signals side by side.
fn signals_piece(signals: &[HandSignal], cut: Cut) -> Piece {
    let s = cut.size;
    let cell = cut.width / signals.len().max(1) as f64;
    let high = s * 5.6;
    let mut canvas = Canvas::new();
    let mut lowest = 0.0;
    for (i, signal) in signals.iter().enumerate() {
        let left = i as f64 * cell;
        canvas.place((left, s * 0.3), &signal::draw(*signal, high));
        let mut y = high + s * 1.5;
        canvas.text((left, y), signal.word(), s, BOLD);
        for line in wrap(signal.how(), s * 0.88, Weight::Regular, cell - s * 0.7) {
            y += s * 0.88 * LEADING;
            canvas.text((left, y), &line, s * 0.88, REGULAR);
        }
        lowest = f64::max(lowest, y);
    }
    Piece::alone(lowest + s * 0.6, canvas.into_body())
}

/// What stands in bold and what under it, at the foot of every page.
fn foot(bold: &str, footer: &str, cut: Cut) -> Piece {
    let s = cut.size;
    let small = s * 0.88;
    let mut canvas = Canvas::new();
    canvas.line((0.0, 0.0), (cut.width, 0.0), Pen::full(INK, s * 0.1));
    let mut y = s * 0.2;
    for (text, weight) in [
        (bold.to_string(), Weight::Bold),
        (footer.to_string(), Weight::Regular),
    ] {
        for line in wrap(&text, small, weight, cut.width - s * 7.0) {
            y += small * LEADING;
            canvas.text((0.0, y), &line, small, (weight, Hang::Left));
        }
    }
    Piece::alone(y + s * 0.5, canvas.into_body())
}
