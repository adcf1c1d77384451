//! The kinetic pull in time: tension above, movement of the casualty below.

use steadypull_contract::answer::{Answer, KineticPull};
use steadypull_contract::show::{AxisUnit, seconds};

use super::chart::{Field, frame as chart_frame, mark_room, thinned};
use super::mark::badge;
use super::{Drawing, Figure, Frame, LineLimit, kinetic_limits, link_number};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, wrap};
use crate::ink::{ACCENT, GREY, INK};

/// Draws the chart.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let pull = kinetic(answer, Figure::ForceTime)?;
    let series = &pull.series;
    let n = series.time_s.len().min(series.force_n.len());
    if n < 2 {
        return Err(Figure::ForceTime.nothing("the pull has no time series"));
    }
    let s = frame.size;
    let limits = kinetic_limits(&answer.options, &answer.load_path);
    let lines = limit_lines(pull, &limits, answer, frame);
    // A limit far over the pull would squash the curve: it is then named only.
    let top = lines
        .iter()
        .map(|l| l.tension_n)
        .filter(|t| *t <= pull.peak_force_n * 3.0)
        .fold(greatest(&series.force_n).max(pull.peak_force_n), f64::max);
    let field = Field {
        left: 0.0,
        right: frame.width - s * 0.6,
        top: s * 1.9,
        bottom: s * 1.9 + (frame.width * 0.29).max(s * 10.5),
    };
    let force = Axis::straight(
        (0.0, top * 1.04),
        frame.units.force_axis(),
        (field.bottom, field.top),
        6,
    );
    let lower_top = field.bottom + s * 3.5;
    let lower = Field {
        top: lower_top,
        bottom: lower_top + s * 4.0,
        ..field
    };
    let movement_top = greatest(&series.casualty_movement_m).max(pull.movement_m);
    let movement = Axis::straight(
        (0.0, movement_top),
        frame.units.length_axis(),
        (lower.bottom, lower.top),
        3,
    );
    let left = mark_room(&force, s).max(mark_room(&movement, s));
    let (field, lower) = (Field { left, ..field }, Field { left, ..lower });
    let time_end = greatest(&series.time_s);
    let time = Axis::straight(
        (0.0, time_end),
        AxisUnit { name: "s", si: 1.0 },
        (left, field.right),
        6,
    );

    let mut canvas = Canvas::new();
    chart_frame(
        &mut canvas,
        field,
        (&time, None),
        (&force, "Force in the line"),
        s,
    );
    chart_frame(
        &mut canvas,
        lower,
        (&time, Some("Time from the start of the run")),
        (&movement, "Movement of the casualty"),
        s,
    );
    draw_limits(&mut canvas, &lines, &force, field, s);
    let curve: Vec<At> = (0..n)
        .map(|i| (time.at(series.time_s[i]), force.at(series.force_n[i])))
        .collect();
    canvas.polyline(&thinned(&curve, 1.0), Pen::full(ACCENT, s * 0.2));
    let moved: Vec<At> = series
        .time_s
        .iter()
        .zip(&series.casualty_movement_m)
        .map(|(t, m)| (time.at(*t), movement.at(*m)))
        .collect();
    canvas.polyline(&thinned(&moved, 1.0), Pen::full(ACCENT, s * 0.2));
    let mut y = lower.bottom + s * 2.6;
    y = events(&mut canvas, pull, (&time, &force), (field, lower), y, frame);
    y = notes(&mut canvas, &lines, pull, y, frame);
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: words(pull, &lines, frame),
    })
}

/// The kinetic pull, or why there is none.
pub(super) fn kinetic(answer: &Answer, figure: Figure) -> Result<&KineticPull, BriefError> {
    answer.pull.kinetic.as_ref().ok_or_else(|| {
        let why = answer.pull.missing.clone();
        figure.nothing(why.unwrap_or_else(|| "no kinetic pull in the answer".into()))
    })
}

pub(super) fn greatest(values: &[f64]) -> f64 {
    values
        .iter()
        .copied()
        .filter(|v| v.is_finite())
        .fold(0.0, f64::max)
}

/// A level that matters.
pub(super) struct Level {
    pub tension_n: f64,
    pub letter: char,
    pub dash: &'static str,
    pub words: String,
    pub number: Option<usize>,
}

fn limit_lines(
    pull: &KineticPull,
    limits: &(Option<LineLimit>, Option<LineLimit>),
    answer: &Answer,
    frame: Frame,
) -> Vec<Level> {
    let mut lines = rating_levels(limits, answer, frame);
    if pull.peak_force_fixed_n.is_finite() && pull.peak_force_fixed_n > 0.0 {
        lines.push(Level {
            tension_n: pull.peak_force_fixed_n,
            letter: 'F',
            dash: "1 2",
            words: format!(
                "{}: peak if the casualty does not move at all",
                frame.units.force(pull.peak_force_fixed_n)
            ),
            number: None,
        });
    }
    lines
}

/// Levels of the first WLL and the first MBS to be reached.
pub(super) fn rating_levels(
    limits: &(Option<LineLimit>, Option<LineLimit>),
    answer: &Answer,
    frame: Frame,
) -> Vec<Level> {
    let level = |limit: &LineLimit, letter, dash, rating| Level {
        tension_n: limit.tension_n,
        letter,
        dash,
        words: format!(
            "{}: first {rating} after derating is reached, {}",
            frame.units.force(limit.tension_n),
            limit.link
        ),
        number: link_number(&answer.load_path, &limit.link),
    };
    let wll = limits.0.iter().map(|l| level(l, 'W', "7 3", "WLL"));
    let mbs = limits.1.iter().map(|l| level(l, 'M', "7 2 1 2", "MBS"));
    wll.chain(mbs).collect()
}

/// Draws the levels with their letters at the right edge.
pub(super) fn draw_limits(
    canvas: &mut Canvas,
    lines: &[Level],
    force: &Axis,
    field: Field,
    s: f64,
) {
    let mut taken: Vec<f64> = Vec::new();
    for line in lines {
        let y = force.at(line.tension_n);
        if y <= field.top + 1e-6 {
            continue;
        }
        canvas.line(
            (field.left, y),
            (field.right, y),
            Pen::dashed(INK, s * 0.14, line.dash),
        );
        let beside = taken.iter().filter(|t| (*t - y).abs() < s * 1.2).count();
        taken.push(y);
        let x = field.right - s * 0.8 - beside as f64 * s * 3.2;
        canvas.text_on_white(
            (x, y - s * 0.25),
            &line.letter.to_string(),
            s,
            (Weight::Bold, Hang::Middle),
        );
        if let Some(number) = line.number {
            badge(canvas, (x - s * 1.5, y - s * 0.2), s * 0.9, number);
        }
    }
}

/// Numbers the events on the curve and names them below.
fn events(
    canvas: &mut Canvas,
    pull: &KineticPull,
    (time, force): (&Axis, &Axis),
    (field, lower): (Field, Field),
    y: f64,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let mut named = Vec::new();
    let mut last: f64 = f64::NEG_INFINITY;
    let mut level = 0;
    for (i, event) in pull.events.iter().take(12).enumerate() {
        let letter = char::from(b'a' + i as u8);
        let x = time.at(event.time_s);
        for panel in [field, lower] {
            let pen = Pen::dashed(GREY, s * 0.06, "2 2");
            canvas.line((x, panel.top), (x, panel.bottom), pen);
        }
        level = if x - last < s * 1.1 { level + 1 } else { 0 };
        last = x;
        let base = field.bottom + s * 1.15 + f64::from(level.min(1)) * s * 0.9;
        canvas.text_on_white(
            (x, base),
            &letter.to_string(),
            s * 0.9,
            (Weight::Bold, Hang::Middle),
        );
        named.push(format!("{letter} {} {}", event.what, when(event.time_s)));
        if event.what.to_lowercase().contains("peak") {
            canvas.circle((x, force.at(pull.peak_force_n)), s * 0.35, Some(INK), None);
        }
    }
    if pull.events.len() > 12 {
        named.push(format!(
            "{} more in the JSON answer",
            pull.events.len() - 12
        ));
    }
    text_block(canvas, &named.join(";  "), y + s * 0.2, frame)
}

/// A time to the millisecond: the step of the run means no more.
fn when(time_s: f64) -> String {
    seconds((time_s * 1e3).round() / 1e3)
}

fn notes(canvas: &mut Canvas, lines: &[Level], pull: &KineticPull, y: f64, frame: Frame) -> f64 {
    let mut y = text_block(
        canvas,
        &format!(
            "Peak {} at {} run-up, line {}.",
            frame.units.force(pull.peak_force_n),
            frame.units.speed(pull.run_up_speed_m_s),
            pull.line
        ),
        y,
        frame,
    );
    y = level_notes(canvas, lines, y, frame);
    y
}

/// Names the levels.
pub(super) fn level_notes(canvas: &mut Canvas, lines: &[Level], y: f64, frame: Frame) -> f64 {
    let mut y = y;
    for line in lines {
        let number = line
            .number
            .map_or(String::new(), |n| format!(" (link {n})"));
        y = text_block(
            canvas,
            &format!("{}  {}{number}", line.letter, line.words),
            y,
            frame,
        );
    }
    y
}

/// Wrapped text from a base line on; gives back the last base line.
pub(super) fn text_block(canvas: &mut Canvas, text: &str, y: f64, frame: Frame) -> f64 {
    let size = frame.size * 0.9;
    let mut y = y;
    for line in wrap(text, size, Weight::Regular, frame.width) {
        y += size * LEADING;
        canvas.text((0.0, y), &line, size, (Weight::Regular, Hang::Left));
    }
    y
}

fn words(pull: &KineticPull, lines: &[Level], frame: Frame) -> String {
    let levels: Vec<&str> = lines.iter().map(|l| l.words.as_str()).collect();
    let events: Vec<String> = pull
        .events
        .iter()
        .map(|e| format!("{} at {}", e.what, when(e.time_s)))
        .collect();
    format!(
        "Force in the line rises to {} at a run-up of {}; the casualty moves {}. {}. {}.",
        frame.units.force(pull.peak_force_n),
        frame.units.speed(pull.run_up_speed_m_s),
        frame.units.length(pull.movement_m),
        events.join(", "),
        levels.join(". ")
    )
}
