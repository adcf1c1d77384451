//! Zones, vehicles, lines and what hangs on them, drawn on the ground.

use steadypull_contract::answer::{Outline, Standoff};

use super::super::Frame;
use super::ground::Ground;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::{Weight, text_width};
use crate::ink::{ACCENT, INK, TINT, WHITE};

pub(super) fn zones(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, s: f64) {
    let zone: Vec<At> = standoff.zone.iter().map(|p| ground.at(*p)).collect();
    canvas.hatch(&zone, s * 0.9, Pen::full(ACCENT, s * 0.035));
    canvas.polygon(&zone, None, Some(Pen::full(ACCENT, s * 0.2)));
    let rule: Vec<At> = standoff.rule_zone.iter().map(|p| ground.at(*p)).collect();
    canvas.polygon(&rule, None, Some(Pen::dashed(INK, s * 0.11, "5 3")));
}

pub(super) fn draw_outline(canvas: &mut Canvas, outline: &Outline, ground: &Ground, s: f64) {
    let points: Vec<At> = outline.points.iter().map(|p| ground.at(*p)).collect();
    let what = outline.what.to_lowercase();
    if what.contains("damper") {
        // A mark, not a shape to scale: on a wide plan it shrinks with the line.
        let middle = centre(&points);
        let half = (ground.scale * 0.5).clamp(s * 0.16, s * 0.5);
        canvas.rect(
            (middle.0 - half * 0.6, middle.1 - half),
            (half * 1.2, half * 2.0),
            Some(INK),
            Some(Pen::full(WHITE, s * 0.06)),
        );
    } else if what.contains("point") {
        canvas.circle(
            centre(&points),
            s * 0.22,
            Some(WHITE),
            Some(Pen::full(INK, s * 0.1)),
        );
    } else if outline.closed {
        canvas.polygon(&points, Some(TINT), Some(Pen::full(INK, s * 0.12)));
    } else {
        canvas.polyline(&points, Pen::full(INK, s * 0.22));
    }
}

pub(super) fn centre(points: &[At]) -> At {
    let n = points.len().max(1) as f64;
    let sum = points
        .iter()
        .fold((0.0, 0.0), |a, p| (a.0 + p.0, a.1 + p.1));
    (sum.0 / n, sum.1 / n)
}

fn vehicle<'a>(standoff: &'a Standoff, what: &str) -> Option<&'a Outline> {
    standoff
        .outlines
        .iter()
        .find(|o| o.what.eq_ignore_ascii_case(what) && !o.points.is_empty())
}

/// Names the vehicles, over them, each leaning outwards so that a short line
/// on a wide plan still leaves both names legible.
pub(super) fn vehicle_labels(
    canvas: &mut Canvas,
    standoff: &Standoff,
    ground: &Ground,
    frame: Frame,
) {
    let s = frame.size;
    let size = s * 0.9;
    let middle = |what| vehicle(standoff, what).map(|o| centre(&corners(o, ground)).0);
    let apart = match (middle("casualty"), middle("tug")) {
        (Some(a), Some(b)) => b - a,
        _ => f64::INFINITY,
    };
    let wide = |text: &str| text_width(text, size, Weight::Bold);
    let lean = ((wide("CASUALTY") + wide("TUG")) / 2.0 + s - apart).max(0.0) / 2.0;
    for (what, way) in [("casualty", -1.0), ("tug", 1.0)] {
        let Some(outline) = vehicle(standoff, what) else {
            continue;
        };
        let points = corners(outline, ground);
        let top = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        let text = what.to_uppercase();
        let half = wide(&text) / 2.0 + s * 0.3;
        let x = (centre(&points).0 + way * lean).clamp(half, (frame.width - half).max(half));
        canvas.text_on_white(
            (x, top - s * 0.5),
            &text,
            size,
            (Weight::Bold, Hang::Middle),
        );
    }
}

pub(super) fn corners(outline: &Outline, ground: &Ground) -> Vec<At> {
    outline.points.iter().map(|p| ground.at(*p)).collect()
}

/// "Nobody inside" in the zone, under the line.
pub(super) fn warning(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, frame: Frame) {
    if standoff.zone.is_empty() {
        return;
    }
    let s = frame.size;
    let lowest = standoff
        .outlines
        .iter()
        .filter(|o| o.closed)
        .flat_map(|o| &o.points)
        .map(|p| ground.at(*p).1)
        .filter(|y| y.is_finite())
        .fold(f64::NEG_INFINITY, f64::max);
    let zone: Vec<At> = standoff.zone.iter().map(|p| ground.at(*p)).collect();
    let x = centre(&zone).0;
    let below = lowest.max(centre(&zone).1);
    if ground.low_zone {
        let words = "NOBODY INSIDE while the line is loaded";
        canvas.text((0.0, s), words, s, (Weight::Bold, Hang::Left));
        return;
    }
    let y = below + (ground.bottom() - below) / 2.0;
    canvas.text_on_white(
        (x, y),
        "NOBODY INSIDE",
        s * 1.15,
        (Weight::Bold, Hang::Middle),
    );
    let small = (Weight::Regular, Hang::Middle);
    canvas.text_on_white((x, y + s * 1.3), "while the line is loaded", s * 0.9, small);
}
