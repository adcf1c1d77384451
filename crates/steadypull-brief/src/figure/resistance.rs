//! What holds the casualty: each term, the sums, and what the rig is designed for.

use steadypull_contract::answer::{Answer, ForceRange};
use steadypull_contract::show::{figures, percent};

use super::force_time::text_block;
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{Canvas, Hang, Pen};
use crate::fonts::{Weight, text_width, wrap_label};
use crate::ink::{ACCENT, INK, RULE, TINT};

/// One bar.
struct Row<'a> {
    name: &'a str,
    range: ForceRange,
    sum: bool,
}

/// Draws the bars.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let situation = &answer.situation;
    if situation.terms.is_empty() {
        return Err(Figure::Resistance.nothing("the answer has no terms of resistance"));
    }
    let s = frame.size;
    let term = situation.terms.iter().map(|t| Row {
        name: &t.name,
        range: t.range,
        sum: false,
    });
    let sums = [
        ("Sum, moving", situation.sliding),
        ("Sum to start it, slowly", situation.break_out),
        ("Sum to start it, fast", situation.break_out_fast),
    ];
    let rows: Vec<Row> = term
        .chain(sums.into_iter().map(|(name, range)| Row {
            name,
            range,
            sum: true,
        }))
        .collect();
    let finite = |v: f64| if v.is_finite() { v } else { 0.0 };
    let low = rows
        .iter()
        .map(|r| finite(r.range.low_n).min(finite(r.range.median_n)))
        .fold(0.0, f64::min);
    let high = rows
        .iter()
        .map(|r| finite(r.range.high_n).max(finite(r.range.median_n)))
        .fold(finite(situation.design_n), f64::max);
    let name_wide = (frame.width * 0.3).min(s * 13.0);
    let value_wide = value_room(&rows, frame);
    let axis = Axis::straight(
        (low, high),
        frame.units.force_axis(),
        (name_wide, frame.width - value_wide - s * 0.8),
        5,
    );
    let mut canvas = Canvas::new();
    let heading = format!("median (5 to 95 %), {}", axis.unit);
    canvas.text(
        (frame.width, s),
        &heading,
        s * 0.9,
        (Weight::Bold, Hang::Right),
    );
    let mut y = s * 1.4;
    let top = y;
    for row in &rows {
        y = draw_row(&mut canvas, row, &axis, y, name_wide, frame);
    }
    scale(&mut canvas, &axis, (top, y), s);
    let x = axis.at(situation.design_n);
    canvas.line((x, top), (x, y), Pen::dashed(INK, s * 0.2, "6 3"));
    let design = format!("DESIGN {}", frame.units.force(situation.design_n));
    let half = text_width(&design, s * 0.95, Weight::Bold) / 2.0;
    canvas.text_on_white(
        (x.clamp(half, (frame.width - half).max(half)), y + s * 2.6),
        &design,
        s * 0.95,
        (Weight::Bold, Hang::Middle),
    );
    let mut y = y + s * 3.0;
    let words = words(answer, frame);
    y = text_block(&mut canvas, &words, y, frame);
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words,
    })
}

/// Room for the widest value.
fn value_room(rows: &[Row], frame: Frame) -> f64 {
    let widest = rows.iter().map(|row| {
        let weight = if row.sum {
            Weight::Bold
        } else {
            Weight::Regular
        };
        text_width(&value(row, frame), frame.size * 0.85, weight)
    });
    widest.fold(0.0, f64::max).min(frame.width * 0.42)
}

fn value(row: &Row, frame: Frame) -> String {
    let unit = frame.units.force_axis().si;
    format!(
        "{} ({} to {})",
        figures(row.range.median_n / unit),
        figures(row.range.low_n / unit),
        figures(row.range.high_n / unit)
    )
}

fn draw_row(
    canvas: &mut Canvas,
    row: &Row,
    axis: &Axis,
    top: f64,
    name_wide: f64,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let weight = if row.sum {
        Weight::Bold
    } else {
        Weight::Regular
    };
    let small = s * 0.9;
    let lines = wrap_label(row.name, small, weight, name_wide - s * 0.6, 2);
    let high = lines.len() as f64 * small * 1.2 + s * 0.8;
    canvas.lines(
        (0.0, top + small * 1.15),
        &lines,
        small,
        (weight, Hang::Left),
    );
    let middle = top + high / 2.0 - s * 0.1;
    let (zero, end) = (axis.at(0.0), axis.at(row.range.median_n));
    let (from, to) = (zero.min(end), zero.max(end));
    let thick = s * 1.1;
    let corners = [
        (from, middle - thick / 2.0),
        (to, middle - thick / 2.0),
        (to, middle + thick / 2.0),
        (from, middle + thick / 2.0),
    ];
    canvas.polygon(
        &corners,
        Some(if row.sum { ACCENT } else { TINT }),
        Some(Pen::full(INK, s * 0.07)),
    );
    if end < zero {
        canvas.hatch(&corners, s * 0.5, Pen::full(INK, s * 0.06));
    }
    let (a, b) = (axis.at(row.range.low_n), axis.at(row.range.high_n));
    for (width, colour) in [(0.3, crate::ink::WHITE), (0.13, INK)] {
        canvas.line((a, middle), (b, middle), Pen::full(colour, s * width));
    }
    for x in [a, b] {
        canvas.line(
            (x, middle - s * 0.35),
            (x, middle + s * 0.35),
            Pen::full(INK, s * 0.13),
        );
    }
    let range = value(row, frame);
    canvas.text(
        (frame.width, middle + small * 0.36),
        &range,
        s * 0.85,
        (weight, Hang::Right),
    );
    canvas.line(
        (0.0, top + high),
        (frame.width, top + high),
        Pen::full(RULE, s * if row.sum { 0.08 } else { 0.04 }),
    );
    top + high
}

fn scale(canvas: &mut Canvas, axis: &Axis, (top, bottom): (f64, f64), s: f64) {
    for (value, text) in &axis.marks {
        let x = axis.at(*value);
        canvas.line((x, bottom), (x, bottom + s * 0.3), Pen::full(INK, s * 0.07));
        canvas.text(
            (x, bottom + s * 1.3),
            text,
            s * 0.85,
            (Weight::Regular, Hang::Middle),
        );
    }
    let zero = axis.at(0.0);
    canvas.line((zero, top), (zero, bottom), Pen::full(INK, s * 0.1));
}

fn words(answer: &Answer, frame: Frame) -> String {
    let situation = &answer.situation;
    let held = situation
        .held_by
        .as_ref()
        .filter(|_| situation.fixed_end)
        .map_or(String::new(), |what| {
            format!(" Held by {what}: a fixed end until it is cleared.")
        });
    format!(
        "Designed for {}, the {} quantile of the sum that starts it; {} times its weight. Whiskers 5 to 95 %; hatched bars help.{held}",
        frame.units.force(situation.design_n),
        percent(situation.design_quantile),
        figures(situation.design_over_weight)
    )
}
