//! The methods, least hazardous first: one row a method.

use steadypull_contract::answer::{Answer, Rung};
use steadypull_contract::show::{one_in, percent};

use super::mark::of_rung;
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::content::sentence;
use crate::fonts::{Weight, text_width, wrap};
use crate::ink::{ACCENT, GREY, INK, RULE, TINT};

/// Draws the ladder.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let ladder = &answer.options.ladder;
    if ladder.is_empty() {
        return Err(Figure::OptionsLadder.nothing("the answer has no methods"));
    }
    let s = frame.size;
    let mut canvas = Canvas::new();
    let mut y = 0.0;
    for (i, rung) in ladder.iter().enumerate() {
        y = draw_rung(&mut canvas, rung, i + 1, y, frame);
    }
    let legend = "Bar: chance that it shifts the casualty as found, whisker two standard errors either way; upright mark: after digging first.";
    for line in wrap(legend, s * 0.85, Weight::Regular, frame.width) {
        y += s * 0.85 * LEADING;
        canvas.coloured_text(
            (0.0, y),
            &line,
            s * 0.85,
            (Weight::Regular, Hang::Left),
            GREY,
        );
    }
    let words: Vec<String> = ladder
        .iter()
        .enumerate()
        .map(|(i, r)| {
            format!(
                "{} {}: {}, shifts {}. {}",
                i + 1,
                r.method.title(),
                r.verdict.word(),
                chance(r),
                sentence(&r.reason)
            )
        })
        .collect();
    Ok(Drawing {
        height: y + s * 0.5,
        body: canvas.into_body(),
        words: words.join(" "),
    })
}

fn draw_rung(canvas: &mut Canvas, rung: &Rung, number: usize, top: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let mut y = top + s * 1.5;
    let title = format!("{number}  {}", rung.method.title());
    canvas.text((0.0, y), &title, s, (Weight::Bold, Hang::Left));
    let verdict_x = (frame.width * 0.36).max(s * 12.6);
    let chance_wide = text_width("over 99.9 %", s, Weight::Bold);
    // On a phone the bar has the next line to itself.
    let one_line = frame.width > s * 34.0;
    let bar_x = if one_line {
        verdict_x + s * 10.0
    } else {
        s * 1.4
    };
    let bar_wide = frame.width - bar_x - chance_wide - s * 0.6;
    of_rung(rung.verdict).draw(canvas, (verdict_x + s * 0.5, y - s * 0.36), s * 0.5);
    let word = (verdict_x + s * 1.5, y);
    canvas.text(
        word,
        rung.verdict.word(),
        s * 0.95,
        (Weight::Bold, Hang::Left),
    );
    if !one_line {
        y += s * 1.5;
    }
    bar(canvas, rung, (bar_x, y), bar_wide, s);
    canvas.text(
        (frame.width, y),
        &chance(rung),
        s,
        (Weight::Bold, Hang::Right),
    );
    let loads = if frame.notes {
        loads(rung, frame)
    } else {
        short(rung)
    };
    for (text, colour) in [(rung.reason.as_str(), INK), (loads.as_str(), GREY)] {
        for line in wrap(text, s * 0.9, Weight::Regular, frame.width - s * 1.4) {
            y += s * 0.9 * LEADING;
            canvas.coloured_text(
                (s * 1.4, y),
                &line,
                s * 0.9,
                (Weight::Regular, Hang::Left),
                colour,
            );
        }
    }
    y += s * 0.7;
    canvas.line((0.0, y), (frame.width, y), Pen::full(RULE, s * 0.06));
    y
}

fn bar(canvas: &mut Canvas, rung: &Rung, (x, y): (f64, f64), wide: f64, s: f64) {
    let (top, high) = (y - s * 0.8, s * 0.9);
    let at = |share: f64| {
        x + wide
            * if share.is_finite() {
                share.clamp(0.0, 1.0)
            } else {
                0.0
            }
    };
    if let Some(p) = rung.shift_probability {
        canvas.rect(
            (x, top),
            (at(p) - x, high),
            Some(TINT),
            Some(Pen::full(ACCENT, s * 0.08)),
        );
        if let Some(error) = rung.shift_probability_error {
            let (low, up) = (at(p - 2.0 * error), at(p + 2.0 * error));
            canvas.line(
                (low, y - s * 0.35),
                (up, y - s * 0.35),
                Pen::full(INK, s * 0.12),
            );
        }
    }
    if let Some(p) = rung.shift_probability_after_digging {
        canvas.line(
            (at(p), top - s * 0.2),
            (at(p), top + high + s * 0.2),
            Pen::full(INK, s * 0.22),
        );
    }
    canvas.rect(
        (x, top),
        (wide, high),
        None,
        Some(Pen::full(RULE, s * 0.06)),
    );
}

/// What a brief has room for.
fn short(rung: &Rung) -> String {
    if rung.stoppable {
        String::new()
    } else {
        "CANNOT BE STOPPED once under way.".into()
    }
}

fn chance(rung: &Rung) -> String {
    rung.shift_probability.map_or("not known".into(), percent)
}

fn loads(rung: &Rung, frame: Frame) -> String {
    let mut parts = Vec::new();
    let force = |n: f64| frame.units.force(n);
    if let Some(n) = rung.needed_n {
        parts.push(format!("needs {}", force(n)));
    }
    if let Some(n) = rung.available_n {
        parts.push(format!("can bring {}", force(n)));
    }
    if let Some(n) = rung.peak_load_n {
        parts.push(format!("peak load {}", force(n)));
    }
    if let Some(j) = rung.stored_energy_j {
        parts.push(format!("stores {}", frame.units.energy(j)));
    }
    if let Some(p) = rung.shift_probability_after_digging {
        parts.push(format!("shifts after digging {}", percent(p)));
    }
    if let Some(risks) = &rung.risks {
        parts.push(format!(
            "a part passes its WLL {}, lets go {}",
            percent(risks.passes_wll.value),
            one_in(risks.lets_go.value)
        ));
    }
    parts.push(if rung.stoppable {
        "can be stopped".into()
    } else {
        "CANNOT BE STOPPED".into()
    });
    format!("{}.", parts.join(", "))
}
