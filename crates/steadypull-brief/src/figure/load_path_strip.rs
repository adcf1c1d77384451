//! The load-path strip: the chain drawn left to right, one cell a link.
//!
//! The height of a cell is the link's WLL after derating; the fill is the load.
//! A pointer on its right edge marks the load's share of MBS on the same height.
//! In a rig laid out on the ground the haul comes first; each branch follows on a
//! row of its own, named after the place where it joins.

use steadypull_contract::answer::{Answer, Link, LinkKind};
use steadypull_contract::show::percent;

use super::mark::{badge, of_link};
use super::strands::{Row, lines_of, strands};
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::content::sentence;
use crate::fonts::{Weight, text_width, wrap, wrap_label};
use crate::ink::{ACCENT, GREY, INK, TINT, WHITE};

/// Top of a cell under the top of its row, and its height, in text sizes.
const GAUGE_TOP: f64 = 1.5;
const GAUGE_HIGH: f64 = 4.0;
/// Room between two cells, and before the first, in text sizes.
const GAP: f64 = 0.9;
const EDGE: f64 = 0.7;

/// Draws the strip.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let path = &answer.load_path;
    if path.links.is_empty() {
        let why = path
            .missing
            .clone()
            .unwrap_or_else(|| "the load path has no links".into());
        return Err(Figure::LoadPathStrip.nothing(why));
    }
    let s = frame.size;
    let mut canvas = Canvas::new();
    let mut y = ends(&mut canvas, answer, frame);
    let strands = strands(&path.links);
    let in_row = links_in_a_row(strands[0].links.len(), frame);
    for line in lines_of(&strands, in_row) {
        y += draw_line(&mut canvas, &line, in_row, y, frame);
    }
    let legend = format!(
        "{} A full cell is the link's WLL after derating (its MBS where it has no WLL); the fill is the load. The pointer marks the load's share of MBS.",
        sentence(&path.load_case)
    );
    let lines = wrap(&legend, s * 0.85, Weight::Regular, frame.width);
    for (i, line) in lines.iter().enumerate() {
        let at = (0.0, y + s + i as f64 * s * 0.85 * LEADING);
        canvas.coloured_text(at, line, s * 0.85, (Weight::Regular, Hang::Left), GREY);
    }
    y += s * 0.6 + lines.len() as f64 * s * 0.85 * LEADING;
    Ok(Drawing {
        height: y + s * 0.3,
        body: canvas.into_body(),
        words: words(answer, frame),
    })
}

/// Draws one line of the strip; gives back the height taken.
fn draw_line(canvas: &mut Canvas, line: &[Row], in_row: usize, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let cell = cell_width(in_row, frame);
    let headings: Vec<Vec<String>> = line
        .iter()
        .map(|row| {
            let wide = row.links.len() as f64 * (cell + GAP * s);
            let words = row
                .joins
                .map_or(String::new(), |n| format!("Branch at {n}"));
            wrap_label(&words, s, Weight::Bold, wide, 2)
        })
        .collect();
    let high = headings.iter().map(Vec::len).max().unwrap_or(0) as f64 * s * LEADING;
    let mut tallest: f64 = 0.0;
    for (row, heading) in line.iter().zip(&headings) {
        let left = row.column as f64 * (cell + GAP * s);
        if row.joins.is_some() {
            canvas.lines((left, y + s * 1.1), heading, s, (Weight::Bold, Hang::Left));
            stub(
                canvas,
                (left, y + heading.len() as f64 * s * LEADING),
                y + high,
                s,
            );
        }
        tallest = tallest.max(draw_row(canvas, row, (left, y + high), cell, frame));
    }
    high + tallest
}

/// The line from a branch's heading down to its row, whose top is `top`.
fn stub(canvas: &mut Canvas, (left, from): (f64, f64), top: f64, s: f64) {
    let row = top + (GAUGE_TOP + GAUGE_HIGH / 2.0) * s;
    let ends = [(left + s * 0.2, from + s * 0.35), (left + s * 0.2, row)];
    canvas.polyline(&ends, Pen::full(INK, s * 0.22));
}

/// Width of a cell.
fn cell_width(in_row: usize, frame: Frame) -> f64 {
    let s = frame.size;
    (frame.width - 2.0 * EDGE * s - GAP * s * (in_row as f64 - 1.0)) / in_row as f64
}

/// Names the two ends of the chain; gives back the height taken.
fn ends(canvas: &mut Canvas, answer: &Answer, frame: Frame) -> f64 {
    let s = frame.size;
    let half = frame.width * 0.47;
    let casualty = wrap_label(
        &format!("CASUALTY {}", answer.plan.casualty),
        s,
        Weight::Bold,
        half,
        2,
    );
    let tug = wrap_label(
        &format!("{} TUG", answer.plan.tug),
        s,
        Weight::Bold,
        half,
        2,
    );
    canvas.lines((0.0, s), &casualty, s, (Weight::Bold, Hang::Left));
    canvas.lines((frame.width, s), &tug, s, (Weight::Bold, Hang::Right));
    casualty.len().max(tug.len()) as f64 * s * LEADING + s * 0.2
}

fn links_in_a_row(links: usize, frame: Frame) -> usize {
    let fit = ((frame.width / (frame.size * 7.4)) as usize).clamp(1, 12);
    let rows = links.div_ceil(fit);
    links.div_ceil(rows)
}

/// Draws one row of cells; gives back the height taken.
fn draw_row(
    canvas: &mut Canvas,
    row: &Row,
    (from, top): (f64, f64),
    cell: f64,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let gap = s * GAP;
    let edge = s * EDGE;
    let gauge_top = top + s * GAUGE_TOP;
    let gauge_high = s * GAUGE_HIGH;
    let middle = gauge_top + gauge_high / 2.0;
    let end = from + edge + row.links.len() as f64 * (cell + gap) - gap + edge;
    canvas.line((from, middle), (end, middle), Pen::full(INK, s * 0.22));
    if row.carries_on {
        let tip = frame.width;
        canvas.polygon(
            &[
                (tip, middle),
                (tip - s * 0.7, middle - s * 0.4),
                (tip - s * 0.7, middle + s * 0.4),
            ],
            Some(INK),
            None,
        );
    }
    let mut tallest: f64 = 0.0;
    for (i, link) in row.links.iter().enumerate() {
        let left = from + edge + i as f64 * (cell + gap);
        gauge(canvas, link, (left, gauge_top), (cell, gauge_high), s);
        badge(
            canvas,
            (left + s * 0.15, gauge_top + s * 0.1),
            s,
            row.first + i + 1,
        );
        let under = caption(
            canvas,
            link,
            (left, gauge_top + gauge_high),
            cell + gap * 0.25,
            frame,
        );
        tallest = tallest.max(under);
    }
    s * GAUGE_TOP + gauge_high + tallest + s * 0.4
}

fn gauge(canvas: &mut Canvas, link: &Link, corner: (f64, f64), size: (f64, f64), s: f64) {
    let (left, top) = corner;
    let (wide, high) = size;
    canvas.rect(corner, size, Some(WHITE), None);
    let (share, of) = match (known(link.share_of_wll), known(link.share_of_mbs)) {
        (Some(share), _) => (Some(share), "of WLL"),
        (None, Some(share)) if link.kind == LinkKind::Anchor => (Some(share), "of low hold"),
        (None, Some(share)) => (Some(share), "of MBS, no WLL"),
        (None, None) => (None, ""),
    };
    if let Some(share) = share {
        let level = top + high * (1.0 - share.clamp(0.0, 1.0));
        canvas.rect((left, level), (wide, top + high - level), Some(TINT), None);
        if share > 1.0 {
            let box_points = [
                (left, top),
                (left + wide, top),
                (left + wide, top + high),
                (left, top + high),
            ];
            canvas.hatch(&box_points, s * 0.55, Pen::full(INK, s * 0.07));
        }
        canvas.line(
            (left, level),
            (left + wide, level),
            Pen::full(ACCENT, s * 0.2),
        );
    }
    let border = if link.weakest { s * 0.3 } else { s * 0.09 };
    canvas.rect(corner, size, None, Some(Pen::full(INK, border)));
    if let Some(share) = known(link.share_of_mbs) {
        let y = top + high * (1.0 - share.clamp(0.0, 1.0));
        let x = left + wide;
        canvas.polygon(
            &[
                (x - s * 0.75, y),
                (x + s * 0.1, y - s * 0.38),
                (x + s * 0.1, y + s * 0.38),
            ],
            Some(INK),
            Some(Pen::full(WHITE, s * 0.06)),
        );
    }
    let figure = share.map_or("unrated".into(), percent);
    let shown = fit(&figure, s * 1.1, wide - s * 0.9);
    let middle = left + wide / 2.0 - s * 0.1;
    canvas.text_on_white(
        (middle, top + high * 0.5 + s * 0.3),
        &figure,
        shown,
        (Weight::Bold, Hang::Middle),
    );
    if share.is_some() {
        canvas.text_on_white(
            (middle, top + high * 0.5 + s * 1.35),
            of,
            fit(of, s * 0.8, wide - s * 0.6),
            (Weight::Regular, Hang::Middle),
        );
    }
    if link.weakest {
        flag(canvas, (left + wide / 2.0, top), s);
    }
}

/// A share that can be drawn.
fn known(share: Option<f64>) -> Option<f64> {
    share.filter(|v| v.is_finite())
}

/// The word and the pointer of the weakest link.
fn flag(canvas: &mut Canvas, (x, top): (f64, f64), s: f64) {
    let word = "WEAKEST";
    let size = s * 0.85;
    let half = text_width(word, size, Weight::Bold) / 2.0 + s * 0.3;
    canvas.rect(
        (x - half, top - s * 1.5),
        (2.0 * half, s * 1.1),
        Some(INK),
        None,
    );
    canvas.polygon(
        &[
            (x - s * 0.4, top - s * 0.45),
            (x + s * 0.4, top - s * 0.45),
            (x, top),
        ],
        Some(INK),
        None,
    );
    canvas.coloured_text(
        (x, top - s * 0.65),
        word,
        size,
        (Weight::Bold, Hang::Middle),
        WHITE,
    );
}

/// Words under a cell; gives back their height.
fn caption(
    canvas: &mut Canvas,
    link: &Link,
    (left, top): (f64, f64),
    wide: f64,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let small = s * 0.86;
    let step = small * LEADING;
    let mut y = top + s * 0.45 + small;
    of_link(link.state).draw(canvas, (left + s * 0.4, y - small * 0.36), s * 0.38);
    let word = link.state.word();
    let word_size = fit(word, small, wide - s);
    canvas.text((left + s, y), word, word_size, (Weight::Bold, Hang::Left));
    let strength = if link.kind == LinkKind::Anchor {
        "low hold"
    } else {
        "MBS"
    };
    let mbs = link
        .share_of_mbs
        .map_or(format!("{strength} unknown"), |share| {
            format!("{} of {strength}", percent(share))
        });
    let parts = [
        (frame.units.force(link.load_n), Weight::Bold, INK, 2),
        (mbs, Weight::Regular, INK, 2),
        (link.name.clone(), Weight::Bold, INK, 4),
        (link.words.clone(), Weight::Regular, GREY, 3),
    ];
    for (text, weight, colour, most) in parts {
        for line in wrap_label(&text, small, weight, wide, most) {
            y += step;
            canvas.coloured_text((left, y), &line, small, (weight, Hang::Left), colour);
        }
    }
    y - top + small * 0.4
}

/// Text size at which a text is no wider than `wide`.
fn fit(text: &str, size: f64, wide: f64) -> f64 {
    let at_size = text_width(text, size, Weight::Bold);
    if at_size > wide && wide > 0.0 {
        size * (wide / at_size).max(0.55)
    } else {
        size
    }
}

fn words(answer: &Answer, frame: Frame) -> String {
    let links: Vec<String> = answer
        .load_path
        .links
        .iter()
        .enumerate()
        .map(|(i, link)| {
            let share = link
                .share_of_wll
                .map_or("no WLL".into(), |s| format!("{} of WLL", percent(s)));
            let weakest = if link.weakest { ", weakest link" } else { "" };
            let branch = link
                .joins
                .as_ref()
                .map_or(String::new(), |node| format!(" on the branch at {node}"));
            format!(
                "{} {}{branch}: {}, {share}, {}{weakest}",
                i + 1,
                link.name,
                frame.units.force(link.load_n),
                link.state.word()
            )
        })
        .collect();
    format!("Links from casualty to tug. {}.", links.join(". "))
}
