//! What drives the answer: for each result, the inputs by their share in its spread.
//!
//! Two bars a group of inputs: filled, what goes with them alone; open, what would be
//! left if all others were known. Whiskers are the sampling intervals.

use steadypull_contract::answer::{Chance, Driver, Drivers};

use super::chance::ChanceFigure;
use super::{Drawing, Frame};
use crate::BriefError;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, wrap, wrap_label};
use crate::ink::{ACCENT, GREY, INK, RULE, WHITE};

/// Most rows of a result, and in a brief.
const MOST_ROWS: usize = 7;
const BRIEF_ROWS: usize = 4;
/// Least total share that is drawn.
const LEAST: f64 = 0.005;

/// Draws the bars of every result.
pub(super) fn draw(answer: &Chance, frame: Frame) -> Result<Drawing, BriefError> {
    if answer.drivers.is_empty() {
        return Err(ChanceFigure::Tornado.nothing("no drivers were worked out"));
    }
    let s = frame.size;
    let mut canvas = Canvas::new();
    let mut y = legend(&mut canvas, frame);
    for result in &answer.drivers {
        y = panel(&mut canvas, result, y, frame);
    }
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: words(answer),
    })
}

/// What the bars mean; gives back the lowest base line used.
fn legend(canvas: &mut Canvas, frame: Frame) -> f64 {
    let s = frame.size;
    let mut y = s;
    let items = [
        (true, "filled: share of the spread that goes with it alone"),
        (
            false,
            "open: share that would be left if all else were known (alone and with others)",
        ),
    ];
    for (filled, text) in items {
        let bar = ((0.0, y - s * 0.72), (s * 2.2, s * 0.75));
        let fill = if filled { ACCENT } else { WHITE };
        canvas.rect(bar.0, bar.1, Some(fill), Some(Pen::full(INK, s * 0.09)));
        for line in wrap(text, s * 0.9, Weight::Regular, frame.width - s * 2.8) {
            canvas.text((s * 2.8, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
            y += s * 0.9 * LEADING;
        }
    }
    let text = "whisker: sampling interval";
    canvas.line(
        (0.0, y - s * 0.35),
        (s * 2.2, y - s * 0.35),
        Pen::full(INK, s * 0.12),
    );
    canvas.text((s * 2.8, y), text, s * 0.9, (Weight::Regular, Hang::Left));
    y
}

/// One result; gives back the lowest base line used.
fn panel(canvas: &mut Canvas, result: &Drivers, top: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let mut y = top + s * 2.2;
    canvas.text(
        (0.0, y),
        &sentence_case(&result.result),
        s,
        (Weight::Bold, Hang::Left),
    );
    let told: Vec<&Driver> = result
        .drivers
        .iter()
        .filter(|d| d.total >= LEAST)
        .take(if frame.notes { MOST_ROWS } else { BRIEF_ROWS })
        .collect();
    if told.is_empty() {
        y += small * LEADING;
        let text = "does not vary, or too seldom to tell what drives it";
        canvas.coloured_text((0.0, y), text, small, (Weight::Regular, Hang::Left), GREY);
        return y;
    }
    let name_wide = (frame.width * 0.36).min(s * 19.0);
    let value_wide = s * 6.4;
    let sides = (name_wide + s * 0.6, frame.width - value_wide);
    y += s * 0.4;
    let first = y;
    for driver in &told {
        y = row(canvas, driver, y, sides, frame);
    }
    scale(canvas, (first, y), sides, s);
    y + s * 1.3
}

fn row(canvas: &mut Canvas, driver: &Driver, top: f64, sides: (f64, f64), frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let name_wide = sides.0 - s * 0.8;
    let lines = wrap_label(&driver.what, small, Weight::Regular, name_wide, 2);
    let high = (lines.len() as f64 * small * LEADING).max(s * 1.7) + s * 0.35;
    let middle = top + high / 2.0;
    let from = middle + small * 0.35 - (lines.len() as f64 - 1.0) * small * LEADING / 2.0;
    canvas.lines((0.0, from), &lines, small, (Weight::Regular, Hang::Left));
    let at = |share: f64| {
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        };
        sides.0 + share * (sides.1 - sides.0)
    };
    let outline = Pen::full(INK, s * 0.09);
    let bars = [
        (
            middle - s * 0.68,
            driver.alone,
            (driver.alone_low, driver.alone_high),
            ACCENT,
        ),
        (
            middle + s * 0.04,
            driver.total,
            (driver.total_low, driver.total_high),
            WHITE,
        ),
    ];
    for (y, share, (low, high), fill) in bars {
        canvas.rect(
            (sides.0, y),
            (at(share) - sides.0, s * 0.64),
            Some(fill),
            Some(outline),
        );
        // White under the whisker, so that it shows on the filled bar.
        let y = y + s * 0.32;
        canvas.line((at(low), y), (at(high), y), Pen::full(WHITE, s * 0.28));
        canvas.line((at(low), y), (at(high), y), Pen::full(INK, s * 0.12));
        for x in [at(low), at(high)] {
            canvas.line(
                (x, y - s * 0.18),
                (x, y + s * 0.18),
                Pen::full(INK, s * 0.12),
            );
        }
    }
    let text = format!("{} | {}", whole(driver.alone), whole(driver.total));
    canvas.text(
        (frame.width, middle + small * 0.35),
        &text,
        small,
        (Weight::Bold, Hang::Right),
    );
    top + high
}

/// Marks at the quarters, and the axis.
fn scale(canvas: &mut Canvas, (top, bottom): (f64, f64), sides: (f64, f64), s: f64) {
    for quarter in 0..=4_u32 {
        let x = sides.0 + f64::from(quarter) * 0.25 * (sides.1 - sides.0);
        if quarter > 0 {
            canvas.line((x, top), (x, bottom), Pen::dashed(RULE, s * 0.04, "2 3"));
        }
        canvas.text(
            (x, bottom + s * 1.15),
            &format!("{} %", 25 * quarter),
            s * 0.8,
            (Weight::Regular, Hang::Middle),
        );
    }
    let pen = Pen::full(INK, s * 0.09);
    canvas.line((sides.0, top), (sides.0, bottom), pen);
    canvas.line((sides.0, bottom), (sides.1, bottom), pen);
}

/// A share as a whole percentage; what sampling left a little under nothing is nothing.
fn whole(share: f64) -> String {
    format!("{:.0} %", (share * 100.0).max(0.0))
}

fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

fn words(answer: &Chance) -> String {
    let of = |result: &Drivers| {
        let told = result.drivers.iter().filter(|d| d.total >= LEAST).take(3);
        let told: Vec<String> = told
            .map(|d| {
                format!(
                    "{} {} alone, {} in all",
                    d.what,
                    whole(d.alone),
                    whole(d.total)
                )
            })
            .collect();
        if told.is_empty() {
            format!("{}: does not vary.", sentence_case(&result.result))
        } else {
            format!("{}: {}.", sentence_case(&result.result), told.join("; "))
        }
    };
    let all: Vec<String> = answer.drivers.iter().map(of).collect();
    format!("Shares of the spread of each result. {}", all.join(" "))
}
