//! Peak force and movement against run-up speed, the window hatched.

use steadypull_contract::answer::{Answer, KineticPull};

use super::chart::{Field, frame as chart_frame, mark_room};
use super::force_time::{draw_limits, greatest, kinetic, level_notes, rating_levels, text_block};
use super::{Drawing, Figure, Frame, kinetic_limits};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::content::sentence;
use crate::fonts::Weight;
use crate::ink::{ACCENT, INK, TINT};

/// Draws the chart.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let pull = kinetic(answer, Figure::RunUpWindow)?;
    let curve = &pull.window.curve;
    if curve.len() < 2 {
        let words = &pull.window.words;
        return Err(Figure::RunUpWindow.nothing(format!("the window has no curve ({words})")));
    }
    let s = frame.size;
    let levels = rating_levels(
        &kinetic_limits(&answer.options, &answer.load_path),
        answer,
        frame,
    );
    let peaks: Vec<f64> = curve.iter().map(|p| p.peak_force_n).collect();
    let top = levels
        .iter()
        .map(|l| l.tension_n)
        .filter(|t| *t <= greatest(&peaks) * 1.5)
        .fold(greatest(&peaks), f64::max);
    let field = Field {
        left: 0.0,
        right: frame.width - s * 0.8,
        top: s * 1.9,
        bottom: s * 1.9 + (frame.width * 0.26).max(s * 9.5),
    };
    let force = Axis::straight(
        (0.0, top * 1.02),
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
    let moves: Vec<f64> = curve.iter().map(|p| p.movement_m).collect();
    let movement = Axis::straight(
        (0.0, greatest(&moves)),
        frame.units.length_axis(),
        (lower.bottom, lower.top),
        3,
    );
    let left = mark_room(&force, s).max(mark_room(&movement, s));
    let (field, lower) = (Field { left, ..field }, Field { left, ..lower });
    let speeds: Vec<f64> = curve.iter().map(|p| p.speed_m_s).collect();
    let speed = Axis::straight(
        (0.0, greatest(&speeds)),
        frame.units.speed_axis(),
        (left, field.right),
        6,
    );

    let mut canvas = Canvas::new();
    shade(&mut canvas, pull, &speed, &[field, lower], s);
    chart_frame(
        &mut canvas,
        field,
        (&speed, None),
        (&force, "Peak force"),
        s,
    );
    chart_frame(
        &mut canvas,
        lower,
        (&speed, Some("Run-up speed")),
        (&movement, "Movement (at the wanted chance)"),
        s,
    );
    draw_limits(&mut canvas, &levels, &force, field, s);
    let line = |value: &dyn Fn(usize) -> f64| -> Vec<At> {
        (0..curve.len())
            .map(|i| (speed.at(curve[i].speed_m_s), value(i)))
            .collect()
    };
    canvas.polyline(
        &line(&|i| force.at(curve[i].peak_force_n)),
        Pen::full(ACCENT, s * 0.2),
    );
    canvas.polyline(
        &line(&|i| movement.at(curve[i].movement_m)),
        Pen::full(ACCENT, s * 0.2),
    );
    let x = speed.at(pull.run_up_speed_m_s);
    for panel in [field, lower] {
        canvas.line((x, panel.top), (x, panel.bottom), Pen::full(INK, s * 0.14));
    }
    canvas.circle((x, force.at(pull.peak_force_n)), s * 0.35, Some(INK), None);
    window_words(&mut canvas, pull, &speed, field.top + s * 1.3, field, s);

    let mut y = lower.bottom + s * 2.8;
    y = text_block(&mut canvas, &sentence(&pull.window.words), y, frame);
    let now = upright_words(pull, frame);
    y = text_block(&mut canvas, &now, y, frame);
    if !pull.window.limited_by.is_empty() {
        y = text_block(
            &mut canvas,
            &format!("Greatest speed set by: {}.", pull.window.limited_by),
            y,
            frame,
        );
    }
    if frame.notes {
        y = level_notes(&mut canvas, &levels, y, frame);
    }
    let words = format!("{} {now}", sentence(&pull.window.words));
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words,
    })
}

/// What the upright line is: never a recommendation where there is no window.
pub(super) fn upright_words(pull: &KineticPull, frame: Frame) -> String {
    let what = match (pull.window.empty, pull.run_up_planned) {
        (true, true) => "the planned run-up, not a speed to use:",
        (true, false) => "worked out for, not a speed to use:",
        (false, true) => "run-up planned",
        (false, false) => "run-up taken",
    };
    format!(
        "Upright line: {what} {}, peak {}.",
        frame.units.speed(pull.run_up_speed_m_s),
        frame.units.force(pull.peak_force_n)
    )
}

/// Hatches the window on every panel.
pub(super) fn shade(
    canvas: &mut Canvas,
    pull: &KineticPull,
    speed: &Axis,
    fields: &[Field],
    s: f64,
) {
    let window = &pull.window;
    let (Some(least), Some(greatest), false) =
        (window.least_m_s, window.greatest_m_s, window.empty)
    else {
        return;
    };
    let (from, to) = (speed.at(least), speed.at(greatest));
    for field in fields {
        let corners = Field {
            left: from,
            right: to,
            ..*field
        }
        .corners();
        canvas.polygon(&corners, Some(TINT), None);
        canvas.hatch(&corners, s * 0.8, Pen::full(ACCENT, s * 0.05));
        canvas.polygon(&corners, None, Some(Pen::full(ACCENT, s * 0.1)));
    }
}

/// Names the window on a base line, or says that there is none.
pub(super) fn window_words(
    canvas: &mut Canvas,
    pull: &KineticPull,
    speed: &Axis,
    y: f64,
    field: Field,
    s: f64,
) {
    let window = &pull.window;
    match (window.least_m_s, window.greatest_m_s) {
        (Some(least), Some(greatest)) if !window.empty => {
            let middle = (speed.at(least) + speed.at(greatest)) / 2.0;
            let x = middle.clamp(field.left + s * 3.5, field.right - s * 3.5);
            canvas.text_on_white((x, y), "WINDOW", s, (Weight::Bold, Hang::Middle));
        }
        _ => {
            let words = "NO WINDOW: no run-up speed is right";
            canvas.text_on_white((field.right, y), words, s, (Weight::Bold, Hang::Right));
        }
    }
}
