//! Loads measured, as marks, and what the fitted line makes of the same stretch, as curves.

use steadypull_contract::answer::{FittedLine, FittedPull};

use super::super::chart::frame as chart_frame;
use super::super::force_time::text_block;
use super::super::mark::Mark;
use super::{Drawing, Frame, SHAPES, field, load_axis, range};
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Pen};
use crate::ink::{ACCENT, INK, WHITE};

/// Readings drawn of all pulls together at most.
const MARKS_MOST: usize = 180;

pub(super) fn draw(line: &FittedLine, frame: Frame) -> Drawing {
    let s = frame.size;
    let (low, high) = range(line.pulls.iter().flat_map(|pull| &pull.force_n));
    let (field, up) = field(frame, |field| load_axis((low, high), frame, field));
    let across = stretch_axis(line, frame, (field.left, field.right));
    let mut canvas = Canvas::new();
    let words = (&across, Some("Stretch"));
    chart_frame(&mut canvas, field, words, (&up, "Load"), s);
    let at = |stretch: f64, force: f64| (across.at(stretch), up.at(force));
    for pull in &line.pulls {
        let fitted = pull
            .stretch_m
            .iter()
            .zip(&pull.force_n)
            .zip(&pull.residual_n);
        let points: Vec<At> = fitted.map(|((x, f), left)| at(*x, f + left)).collect();
        canvas.polyline(&points, Pen::full(ACCENT, s * 0.12));
    }
    for (pull, shape) in line.pulls.iter().zip(SHAPES.iter().cycle()) {
        for reading in shown(line, pull) {
            let centre = at(pull.stretch_m[reading], pull.force_n[reading]);
            mark(&mut canvas, *shape, centre, s * 0.26);
        }
    }
    let named = format!(
        "{} Curves: the fitted line over the same stretch.",
        key(line)
    );
    let y = text_block(&mut canvas, &named, field.bottom + s * 2.7, frame);
    Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: format!(
            "Loads of {} pulls up to {} against stretch, with the fitted line through them, {} about it.",
            line.pulls.len(),
            frame.units.force(high),
            frame.units.hand_force(line.noise_n)
        ),
    }
}

/// The stretch of every pull of a line.
pub(super) fn stretch_axis(line: &FittedLine, frame: Frame, sheet: (f64, f64)) -> Axis {
    let (least, greatest) = range(line.pulls.iter().flat_map(|pull| &pull.stretch_m));
    let ends = (least.min(0.0), greatest);
    Axis::straight(ends, frame.units.length_axis(), sheet, 6)
}

/// Readings of a pull that are drawn: evenly fewer where there are very many.
pub(super) fn shown(line: &FittedLine, pull: &FittedPull) -> impl Iterator<Item = usize> {
    let all: usize = line.pulls.iter().map(|pull| pull.force_n.len()).sum();
    let every = all.div_ceil(MARKS_MOST).max(1);
    let lengths = [&pull.stretch_m, &pull.force_n, &pull.residual_n].map(Vec::len);
    (0..lengths.into_iter().min().unwrap_or(0)).step_by(every)
}

/// A mark of one reading, thin, so that many can be told apart.
pub(super) fn mark(canvas: &mut Canvas, shape: Mark, (x, y): At, r: f64) {
    let (pen, white) = (Pen::full(INK, r * 0.35), Some(WHITE));
    match shape {
        Mark::Cross => canvas.strokes(
            &[
                ((x - r, y - r), (x + r, y + r)),
                ((x - r, y + r), (x + r, y - r)),
            ],
            pen,
        ),
        Mark::Square => canvas.rect((x - r, y - r), (2.0 * r, 2.0 * r), white, Some(pen)),
        Mark::Triangle => canvas.polygon(
            &[(x, y - r), (x + r, y + r), (x - r, y + r)],
            white,
            Some(pen),
        ),
        Mark::Disc => canvas.circle((x, y), r * 0.8, Some(INK), None),
        Mark::Dash => canvas.line((x - r, y), (x + r, y), pen),
        _ => canvas.circle((x, y), r, white, Some(pen)),
    }
}

/// Which shape is which pull.
pub(super) fn key(line: &FittedLine) -> String {
    let word = |shape: &Mark| match shape {
        Mark::Cross => "crosses",
        Mark::Square => "squares",
        Mark::Triangle => "triangles",
        Mark::Disc => "dots",
        Mark::Dash => "dashes",
        _ => "rings",
    };
    let of = SHAPES.iter().enumerate().filter_map(|(at, shape)| {
        let names: Vec<&str> = line
            .pulls
            .iter()
            .skip(at)
            .step_by(SHAPES.len())
            .map(|pull| &pull.name[..])
            .collect();
        (!names.is_empty()).then(|| format!("{}: {}", word(shape), names.join(", ")))
    });
    let all: Vec<String> = of.collect();
    format!("Measured, {}.", all.join("; "))
}
