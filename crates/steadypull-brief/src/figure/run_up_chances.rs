//! Chances of a kinetic pull against run-up speed: shifting and working load limits
//! above, letting go below on a scale of one in so many, the window hatched.

use steadypull_contract::answer::{Answer, KineticPull, Probability, SpeedChances};
use steadypull_contract::show::{AxisUnit, one_in, percent};

use super::chart::{Field, frame as chart_frame, mark_room};
use super::force_time::{kinetic, text_block};
use super::run_up_window::{shade, upright_words, window_words};
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::content::sentence;
use crate::fonts::{Weight, text_width};
use crate::ink::{ACCENT, GREY, INK, RULE, TINT};

/// Smallest chance on the lower scale.
const LEAST: f64 = 1e-6;
/// Dashes of what must not happen often.
const HARM: &str = "6 3";
/// Dashes of the worst of the other limits.
const OTHER: &str = "2 1.6";
/// Dashes of what policy asks.
const ASKED: &str = "0.7 2.2";

/// Draws the chart.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let pull = kinetic(answer, Figure::RunUpChances)?;
    let chances = &pull.window.chances;
    if chances.len() < 2 {
        return Err(Figure::RunUpChances.nothing("no chances were worked out"));
    }
    let s = frame.size;
    let good = Pen::full(ACCENT, s * 0.26);
    let harm = Pen::dashed(INK, s * 0.2, HARM);
    let other = Pen::dashed(INK, s * 0.16, OTHER);
    let mut keys = vec![(good, "shifts it"), (harm, "a part passes its WLL")];
    if others_matter(chances) {
        keys.push((other, "the worst of policy's other limits passed"));
    }
    let mut canvas = Canvas::new();
    let top = legend(&mut canvas, &keys, frame) + s * 2.2;
    let field = Field {
        left: 0.0,
        right: frame.width - s * 0.8,
        top,
        bottom: top + (frame.width * 0.2).max(s * 9.0),
    };
    let lower_top = field.bottom + s * 3.5;
    let lower = Field {
        top: lower_top,
        bottom: lower_top + s * 7.0,
        ..field
    };
    let per_cent = AxisUnit {
        name: "%",
        si: 0.01,
    };
    let likely = Axis::straight((0.0, 1.0), per_cent, (field.bottom, field.top), 5);
    let rare = rare_axis(&lower);
    let left = mark_room(&likely, s).max(mark_room(&rare, s));
    let (field, lower) = (Field { left, ..field }, Field { left, ..lower });
    let fastest = chances.iter().map(|c| c.speed_m_s).fold(0.0, f64::max);
    let speed = Axis::straight(
        (0.0, fastest),
        frame.units.speed_axis(),
        (left, field.right),
        6,
    );
    let chart = Chart {
        chances,
        speed: &speed,
        s,
    };
    shade(&mut canvas, pull, &speed, &[field, lower], s);
    chart.band(&mut canvas, &likely, |c| c.shifts);
    chart.band(&mut canvas, &likely, |c| c.passes_wll);
    chart.band(&mut canvas, &rare, |c| c.lets_go);
    chart_frame(&mut canvas, field, (&speed, None), (&likely, "Chance"), s);
    chart_frame(
        &mut canvas,
        lower,
        (&speed, Some("Run-up speed")),
        (&rare, "A part lets go"),
        s,
    );
    let asked = &pull.window.asked;
    chart.level(&mut canvas, field, &likely, asked.shifts, "asked");
    chart.level(&mut canvas, field, &likely, asked.passes_wll, "allowed");
    chart.level(&mut canvas, lower, &rare, asked.lets_go, "allowed");
    chart.curve(&mut canvas, &likely, |c| c.shifts, good);
    if others_matter(chances) {
        canvas.polyline(&chart.points(&likely, worst_other), other);
    }
    chart.curve(&mut canvas, &likely, |c| c.passes_wll, harm);
    chart.curve(&mut canvas, &rare, |c| c.lets_go, harm);
    upright(&mut canvas, pull, &speed, [field, lower], s);
    // Beside the name of the axis.
    let beside = Field {
        left: left.max(s * 5.0),
        ..field
    };
    window_words(&mut canvas, pull, &speed, field.top - s * 0.7, beside, s);
    sure(&mut canvas, pull, &speed, lower, s);
    let (height, words) = notes(&mut canvas, pull, lower.bottom + s * 2.8, frame);
    Ok(Drawing {
        height: height + s * 0.4,
        body: canvas.into_body(),
        words,
    })
}

/// Decades from one in a million to certain, told as people say them.
fn rare_axis(field: &Field) -> Axis {
    let plain = AxisUnit {
        name: "1 in so many pulls",
        si: 1.0,
    };
    let mut axis = Axis::decades((LEAST, 1.0), plain, (field.bottom, field.top));
    let words = |p: f64| {
        if p > 0.99 {
            "every".to_string()
        } else if p <= LEAST * 1.5 {
            "million".into()
        } else {
            one_in(p).replace("1 in ", "").replace("10 %", "10")
        }
    };
    for (value, text) in &mut axis.marks {
        *text = words(*value);
    }
    axis
}

struct Chart<'a> {
    chances: &'a [SpeedChances],
    speed: &'a Axis,
    s: f64,
}

impl Chart<'_> {
    fn points(&self, up: &Axis, of: impl Fn(&SpeedChances) -> f64) -> Vec<At> {
        let at = |c: &SpeedChances| (self.speed.at(c.speed_m_s), up.at(of(c)));
        self.chances.iter().map(at).collect()
    }

    /// The sampling interval, shaded between two hair lines.
    fn band(&self, canvas: &mut Canvas, up: &Axis, of: impl Fn(&SpeedChances) -> Probability) {
        let low = self.points(up, |c| of(c).low);
        let high = self.points(up, |c| of(c).high);
        let around: Vec<At> = low.iter().chain(high.iter().rev()).copied().collect();
        canvas.polygon(&around, Some(TINT), None);
        for edge in [low, high] {
            canvas.polyline(&edge, Pen::full(RULE, self.s * 0.05));
        }
    }

    fn curve(
        &self,
        canvas: &mut Canvas,
        up: &Axis,
        of: impl Fn(&SpeedChances) -> Probability,
        pen: Pen,
    ) {
        canvas.polyline(&self.points(up, |c| of(c).value), pen);
    }

    /// What policy asks, with its word at the right edge.
    fn level(&self, canvas: &mut Canvas, field: Field, up: &Axis, at: f64, word: &str) {
        let s = self.s;
        let y = up.at(at);
        canvas.line(
            (field.left, y),
            (field.right, y),
            Pen::dashed(INK, s * 0.12, ASKED),
        );
        let number = if at < 0.01 {
            one_in(at)
        } else {
            percent(at).replace(".00 %", " %").replace(".0 %", " %")
        };
        canvas.text_on_white(
            (field.right - s * 0.3, y - s * 0.3),
            &format!("{number} {word}"),
            s * 0.85,
            (Weight::Regular, Hang::Right),
        );
    }
}

/// Chance of the likeliest of the other limits to be passed.
fn worst_other(chances: &SpeedChances) -> f64 {
    let others = chances.past_limits.iter().map(|l| l.passes.value);
    others.fold(0.0, f64::max)
}

/// Whether another limit is likelier passed than a working load limit somewhere.
fn others_matter(chances: &[SpeedChances]) -> bool {
    chances
        .iter()
        .any(|c| worst_other(c) > c.passes_wll.value + 0.02)
}

/// What the lines of the upper panel are; gives back the last base line.
fn legend(canvas: &mut Canvas, keys: &[(Pen, &str)], frame: Frame) -> f64 {
    let s = frame.size;
    let (mut x, mut y) = (0.0, s);
    for (pen, words) in keys {
        let wide = s * 3.0 + text_width(words, s * 0.95, Weight::Bold);
        if x > 0.0 && x + wide > frame.width {
            (x, y) = (0.0, y + s * 1.4);
        }
        canvas.line((x, y - s * 0.35), (x + s * 2.6, y - s * 0.35), *pen);
        let at = (x + s * 3.0, y);
        canvas.text(at, words, s * 0.95, (Weight::Bold, Hang::Left));
        x += wide + s * 1.5;
    }
    y
}

/// The run-up taken, through both panels.
fn upright(canvas: &mut Canvas, pull: &KineticPull, speed: &Axis, panels: [Field; 2], s: f64) {
    let x = speed.at(pull.run_up_speed_m_s);
    for panel in panels {
        canvas.line((x, panel.top), (x, panel.bottom), Pen::full(INK, s * 0.14));
    }
}

/// A bar along the foot of the window where sampling leaves no doubt.
fn sure(canvas: &mut Canvas, pull: &KineticPull, speed: &Axis, field: Field, s: f64) {
    let window = &pull.window;
    let (Some(least), Some(greatest), false) = (
        window.sure_least_m_s,
        window.sure_greatest_m_s,
        window.empty,
    ) else {
        return;
    };
    let (from, to) = (speed.at(least), speed.at(greatest));
    canvas.rect(
        (from, field.bottom - s * 0.45),
        ((to - from).max(s * 0.2), s * 0.45),
        Some(INK),
        None,
    );
}

fn notes(canvas: &mut Canvas, pull: &KineticPull, y: f64, frame: Frame) -> (f64, String) {
    let window = &pull.window;
    let at = &pull.at_run_up;
    let here = format!(
        "There it shifts {}, passes a WLL {}, a part lets go {}.",
        percent(at.shifts.value),
        percent(at.passes_wll.value),
        one_in(at.lets_go.value)
    );
    let upright = upright_words(pull, frame);
    let mut y = text_block(canvas, &sentence(&window.words), y, frame);
    y = text_block(canvas, &format!("{upright} {here}"), y, frame);
    if let Some(by) = &window.opened_by {
        y = text_block(canvas, &format!("Would open with {by}."), y, frame);
    }
    let key = format!(
        "Shaded: 90 % of the sampling error of {} pulls. Hatched: window; black foot: sure whatever that error.",
        pull.chances.samples
    );
    for line in crate::fonts::wrap(&key, frame.size * 0.85, Weight::Regular, frame.width) {
        y += frame.size * 0.85 * crate::canvas::LEADING;
        canvas.coloured_text(
            (0.0, y),
            &line,
            frame.size * 0.85,
            (Weight::Regular, Hang::Left),
            GREY,
        );
    }
    let rows: Vec<String> = window
        .chances
        .iter()
        .step_by(3)
        .map(|c| {
            format!(
                "{}: shifts {}, passes a WLL {}, lets go {}, {}",
                frame.units.speed(c.speed_m_s),
                percent(c.shifts.value),
                percent(c.passes_wll.value),
                one_in(c.lets_go.value),
                c.stands.words()
            )
        })
        .collect();
    let words = format!(
        "{} {upright} {here} {}.",
        sentence(&window.words),
        rows.join("; ")
    );
    (y, words)
}
