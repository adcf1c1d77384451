//! Distances of the zone under and beside the plan of a straight rig.

use steadypull_contract::answer::{PlanPoint, Standoff};

use super::super::Frame;
use super::super::mark::dimension;
use super::ground::{Ground, tame};
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, text_width};
use crate::ink::INK;

/// Distances under and beside the plan; gives back the lowest base line used.
pub(super) fn dimensions(
    canvas: &mut Canvas,
    standoff: &Standoff,
    ground: &Ground,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let at = |x_m, y_m| ground.at(PlanPoint { x_m, y_m });
    let tug_x = standoff
        .outlines
        .iter()
        .filter(|o| !o.closed && o.what.to_lowercase().contains("line"))
        .flat_map(|o| &o.points)
        .map(|p| tame(p.x_m))
        .fold(0.0, f64::max);
    let y = ground.bottom() + s * 1.1;
    let stops = [
        (
            -standoff.behind_casualty_m,
            0.0,
            "behind casualty",
            standoff.behind_casualty_m,
        ),
        (0.0, tug_x, "line", tug_x),
        (
            tug_x,
            tug_x + standoff.behind_tug_m,
            "behind tug",
            standoff.behind_tug_m,
        ),
    ];
    let mut texts = Vec::new();
    for (from, to, what, length) in stops {
        let (a, b) = (at(from, 0.0).0, at(to, 0.0).0);
        if b - a > s * 0.2 {
            for x in [a, b] {
                canvas.line(
                    (x, ground.bottom() + s * 0.3),
                    (x, y + s * 0.5),
                    Pen::full(INK, s * 0.06),
                );
            }
            dimension(canvas, (a, y), (b, y), s);
        }
        texts.push((
            (a + b) / 2.0,
            format!("{what} {}", frame.units.length(length)),
        ));
    }
    let lowest = dimension_texts(canvas, &texts, y + s * 1.3, frame);
    beside(canvas, standoff, ground, frame);
    lowest
}

/// Writes the distances under their arrows, moved apart or stacked to stay legible.
fn dimension_texts(canvas: &mut Canvas, texts: &[(f64, String)], y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let size = s * 0.9;
    let mut row_ends: Vec<f64> = Vec::new();
    let mut lowest = y;
    for (x, text) in texts {
        let half = text_width(text, size, Weight::Bold) / 2.0;
        let x = x.clamp(
            half.min(frame.width / 2.0),
            (frame.width - half).max(frame.width / 2.0),
        );
        let row = row_ends
            .iter()
            .position(|end| x - half > end + s * 0.6)
            .unwrap_or(row_ends.len());
        if row == row_ends.len() {
            row_ends.push(0.0);
        }
        row_ends[row] = x + half;
        let base = y + row as f64 * size * LEADING;
        canvas.text((x, base), text, size, (Weight::Bold, Hang::Middle));
        lowest = f64::max(lowest, base);
    }
    lowest
}

fn beside(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, frame: Frame) {
    let s = frame.size;
    let at = |y_m| {
        ground.at(PlanPoint {
            x_m: ground.low.0,
            y_m,
        })
    };
    let x = ground.left - s * 0.9;
    let (a, b) = (at(standoff.beside_m).1, at(0.0).1);
    if b - a > s * 0.2 {
        for y in [a, b] {
            canvas.line(
                (x - s * 0.4, y),
                (ground.left - s * 0.2, y),
                Pen::full(INK, s * 0.06),
            );
        }
        dimension(canvas, (x, a), (x, b), s);
    }
    let text = format!("beside {} each side", frame.units.length(standoff.beside_m));
    let wide = text_width(&text, s * 0.9, Weight::Bold);
    let left = (x - s * 0.5).max(0.0).min(frame.width - wide);
    // Over the zone's top left corner, where its outline is cut off or empty.
    canvas.text_on_white(
        (left, (a - s * 0.5).max(ground.top - s * 0.6)),
        &text,
        s * 0.9,
        (Weight::Bold, Hang::Left),
    );
}
