//! Set-ups side by side: a row each, its pulls as rings, its mean with the interval over them.

use steadypull_contract::answer::{Compared, ComparedSetUp, Predicted, axis_unit, in_unit};

use super::super::force_time::text_block;
use super::super::mark::Mark;
use super::{Drawing, Frame, capital, range};
use crate::axis::Axis;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, wrap_label};
use crate::ink::{ACCENT, INK, RULE, WHITE};

/// Share of the width for the names of the set-ups.
const NAMES: f64 = 0.25;
/// Height of a row over the text size.
const ROW: f64 = 3.8;

pub(super) fn draw(compared: &Compared, predicted: &[Predicted], frame: Frame) -> Drawing {
    let s = frame.size;
    let names = frame.width * NAMES;
    let (top, rows) = (s * 0.6, compared.setups.len() as f64);
    let bottom = top + rows.max(1.0) * s * ROW;
    let told = |setup: &ComparedSetUp| prediction(predicted, compared, setup);
    let ends = compared.setups.iter().flat_map(|setup| {
        let means = [setup.mean, setup.mean_low, setup.mean_high, told(setup)];
        setup
            .values
            .iter()
            .copied()
            .chain(means.into_iter().flatten())
    });
    let ends = range(&ends.collect::<Vec<f64>>());
    let across = Axis::straight(
        ends,
        axis_unit(frame.units, &compared.unit),
        (names, frame.width - s * 1.5),
        5,
    );
    let mut canvas = Canvas::new();
    for (value, text) in &across.marks {
        let x = across.at(*value);
        canvas.line((x, top), (x, bottom), Pen::full(RULE, s * 0.04));
        let at = (x, bottom + s * 1.2);
        canvas.text(at, text, s * 0.9, (Weight::Regular, Hang::Middle));
    }
    let title = format!("{} ({})", compared.reading.title(), across.unit);
    let at = (frame.width - s * 1.5, bottom + s * 2.5);
    canvas.text(at, &capital(&title), s, (Weight::Bold, Hang::Right));
    for (at, setup) in compared.setups.iter().enumerate() {
        let y = top + (at as f64 + 0.5) * s * ROW;
        row(&mut canvas, setup, told(setup), &across, y, frame);
    }
    let any = compared.setups.iter().any(|setup| told(setup).is_some());
    let named = format!(
        "Rings: pulls. Bar: mean; whiskers: its interval by the spread of pulls.{}",
        if any { " Diamond: predicted." } else { "" }
    );
    let y = text_block(&mut canvas, &named, bottom + s * 2.6, frame);
    Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: format!("{} {named}", in_words(compared, frame)),
    }
}

fn prediction(predicted: &[Predicted], compared: &Compared, setup: &ComparedSetUp) -> Option<f64> {
    let of_it = |row: &&Predicted| row.setup == setup.name && row.reading == compared.reading;
    predicted.iter().find(of_it).map(|row| row.predicted)
}

fn row(
    canvas: &mut Canvas,
    setup: &ComparedSetUp,
    predicted: Option<f64>,
    across: &Axis,
    y: f64,
    frame: Frame,
) {
    let s = frame.size;
    let lines = wrap_label(
        &setup.name,
        s,
        Weight::Bold,
        frame.width * (NAMES - 0.02),
        2,
    );
    let base = y + s * (0.35 - 0.6 * lines.len().saturating_sub(1) as f64);
    canvas.lines((0.0, base), &lines, s, (Weight::Bold, Hang::Left));
    let pulls = match setup.pulls {
        1 => "1 pull".into(),
        pulls => format!("{pulls} pulls"),
    };
    let under = base + s * LEADING * lines.len() as f64;
    canvas.text(
        (0.0, under),
        &pulls,
        s * 0.85,
        (Weight::Regular, Hang::Left),
    );
    let (high, low) = (y - s * 0.55, y + s * 0.55);
    for (at, value) in setup.values.iter().enumerate() {
        // Set a little apart, so that pulls alike are not drawn as one.
        let apart = (at % 3) as f64 * s * 0.3;
        let pen = Pen::full(INK, s * 0.1);
        canvas.circle((across.at(*value), low + apart), s * 0.3, None, Some(pen));
    }
    if let Some((from, to)) = setup.mean_low.zip(setup.mean_high) {
        let (from, to) = (across.at(from), across.at(to));
        canvas.line((from, high), (to, high), Pen::full(ACCENT, s * 0.16));
        for x in [from, to] {
            let pen = Pen::full(ACCENT, s * 0.16);
            canvas.line((x, high - s * 0.3), (x, high + s * 0.3), pen);
        }
    }
    if let Some(mean) = setup.mean.map(|mean| across.at(mean)) {
        canvas.line(
            (mean, high - s * 0.6),
            (mean, high + s * 0.6),
            Pen::full(INK, s * 0.28),
        );
    }
    if let Some(predicted) = predicted.map(|value| across.at(value)) {
        canvas.circle((predicted, high), s * 0.5, Some(WHITE), None);
        Mark::Diamond.draw(canvas, (predicted, high), s * 0.38);
    }
}

fn in_words(compared: &Compared, frame: Frame) -> String {
    let show = |value: f64| in_unit(frame.units, &compared.unit, value);
    let told = |setup: &ComparedSetUp| {
        let mean = setup
            .mean
            .map_or("no mean".into(), |mean| format!("mean {}", show(mean)));
        let between = setup.mean_low.zip(setup.mean_high);
        let between = between.map_or(String::new(), |(low, high)| {
            format!(" ({} to {})", show(low), show(high))
        });
        format!("{}: {} pulls, {mean}{between}.", setup.name, setup.pulls)
    };
    let all: Vec<String> = compared.setups.iter().map(told).collect();
    all.join(" ")
}
