//! The way down to scale with the vehicle at several places, and under it the
//! holding force, both along the same level distance.

use steadypull_contract::answer::{Answer, Lowering};

use super::chart::{Field, frame as chart_frame, mark_room};
use super::force_time::{greatest, text_block};
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::Weight;
use crate::ink::{ACCENT, GREY, INK, TINT, WHITE};

/// Vehicles drawn along the way.
const VEHICLES: usize = 5;
/// Heights of a wagon's box over its feet, m (assumed; for the drawing only).
const SILL_M: f64 = 0.5;
const BODY_M: f64 = 1.1;
const ROOF_M: f64 = 1.8;
/// Body past each axle and wheel radius, m (for the drawing only).
const PAST_AXLE_M: f64 = 0.85;
const WHEEL_M: f64 = 0.38;

/// Draws profile and force.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    let Some(lowering) = &answer.lowering else {
        return Err(Figure::Lowering.nothing("the plan describes no lowering"));
    };
    if lowering.way.len() < 2 || lowering.series.distance_m.len() < 2 {
        return Err(Figure::Lowering.nothing("the lowering has no way to draw"));
    }
    let s = frame.size;
    let (first, last) = (
        lowering.way[0].level_m,
        lowering.way[lowering.way.len() - 1].level_m,
    );
    let heights = || lowering.way.iter().map(|p| p.height_m);
    let top = heights().fold(f64::MIN, f64::max) + ROOF_M + 0.8;
    let foot = heights().fold(f64::MAX, f64::min) - 0.5;
    let force_top = greatest(&lowering.series.hold_high_n).max(lowering.greatest_design_n);
    let probe = Axis::straight((0.0, force_top), frame.units.force_axis(), (1.0, 0.0), 5);
    let left = mark_room(&probe, s);
    let right = frame.width - s * 0.6;
    let per_metre = (right - left) / (last - first).max(1.0);
    let ground = Ground {
        left,
        first,
        top_m: top,
        y: s * 0.4,
        per_metre,
    };
    let mut canvas = Canvas::new();
    ground.draw(&mut canvas, lowering, foot, s);
    let chart_top = ground.at(first, foot).1 + s * 2.6;
    let field = Field {
        left,
        right,
        top: chart_top,
        bottom: chart_top + (frame.width * 0.2).max(s * 8.0),
    };
    let y = force(
        &mut canvas,
        lowering,
        field,
        (first, last, force_top),
        frame,
    );
    let words = words(lowering, frame);
    let y = text_block(&mut canvas, &words, y, frame);
    Ok(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words,
    })
}

/// Metres to the sheet, one scale both ways.
struct Ground {
    left: f64,
    first: f64,
    top_m: f64,
    y: f64,
    per_metre: f64,
}

impl Ground {
    fn at(&self, level_m: f64, height_m: f64) -> At {
        (
            self.left + (level_m - self.first) * self.per_metre,
            self.y + (self.top_m - height_m) * self.per_metre,
        )
    }

    fn draw(&self, canvas: &mut Canvas, lowering: &Lowering, foot: f64, s: f64) {
        let mut outline: Vec<At> = lowering
            .way
            .iter()
            .map(|p| self.at(p.level_m, p.height_m))
            .collect();
        let line = outline.clone();
        let last = lowering.way[lowering.way.len() - 1].level_m;
        outline.push(self.at(last, foot));
        outline.push(self.at(self.first, foot));
        canvas.polygon(&outline, Some(TINT), None);
        canvas.polyline(&line, Pen::full(INK, s * 0.16));
        let count = lowering.series.distance_m.len();
        for i in 0..VEHICLES {
            let at = i * (count - 1) / (VEHICLES - 1);
            self.vehicle(canvas, lowering, at, i + 1, s);
        }
    }

    fn vehicle(&self, canvas: &mut Canvas, lowering: &Lowering, i: usize, number: usize, s: f64) {
        let series = &lowering.series;
        let (x, z) = (series.upper_level_m[i], series.upper_height_m[i]);
        let base = lowering.wheelbase_m;
        let cos = (series.lower_level_m[i] - x) / base;
        let sin = (z - series.lower_height_m[i]) / base;
        let point =
            |along: f64, up: f64| self.at(x + along * cos + up * sin, z - along * sin + up * cos);
        let (tail, nose) = (-PAST_AXLE_M, base + PAST_AXLE_M);
        // A cabin with its bonnet at the nose, up or down the way.
        let along = |share: f64| {
            if lowering.nose_down {
                tail + share * (nose - tail)
            } else {
                nose - share * (nose - tail)
            }
        };
        let corners = [
            (along(0.0), SILL_M),
            (along(0.0), ROOF_M),
            (along(0.6), ROOF_M),
            (along(0.72), BODY_M),
            (along(1.0), BODY_M),
            (along(1.0), SILL_M),
        ];
        let body: Vec<At> = corners.iter().map(|(a, u)| point(*a, *u)).collect();
        canvas.polygon(&body, Some(WHITE), Some(Pen::full(INK, s * 0.1)));
        for axle in [0.0, base] {
            let radius = WHEEL_M * self.per_metre;
            canvas.circle(
                point(axle, WHEEL_M),
                radius,
                Some(WHITE),
                Some(Pen::full(INK, s * 0.1)),
            );
        }
        let middle = point(0.5 * base, 0.5 * (SILL_M + BODY_M));
        canvas.text(
            (middle.0, middle.1 + s * 0.3),
            &number.to_string(),
            s * 0.9,
            (Weight::Bold, Hang::Middle),
        );
    }
}

/// The holding force; the last base line.
fn force(
    canvas: &mut Canvas,
    lowering: &Lowering,
    field: Field,
    (first, last, top): (f64, f64, f64),
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let up = Axis::straight(
        (0.0, top),
        frame.units.force_axis(),
        (field.bottom, field.top),
        5,
    );
    let scale = (field.right - field.left) / (last - first).max(1.0);
    let x = |level: f64| field.left + (level - first) * scale;
    // The level axis shares the drawing's scale, so its marks are placed by hand.
    let mut bare = up.clone();
    bare.marks.clear();
    chart_frame(
        canvas,
        field,
        (&bare, None),
        (&up, "Holding force at the vehicle"),
        s,
    );
    let series = &lowering.series;
    let curve = |of: &[f64]| -> Vec<At> {
        series
            .upper_level_m
            .iter()
            .zip(of)
            .map(|(level, n)| (x(*level), up.at(*n)))
            .collect()
    };
    let mut band = curve(&series.hold_low_n);
    band.extend(curve(&series.hold_high_n).into_iter().rev());
    canvas.polygon(&band, Some(TINT), None);
    canvas.polyline(&curve(&series.hold_n), Pen::full(ACCENT, s * 0.2));
    let design = up.at(lowering.greatest_design_n);
    canvas.line(
        (field.left, design),
        (field.right, design),
        Pen::dashed(INK, s * 0.14, "7 3"),
    );
    canvas.text_on_white(
        (field.right - s * 0.8, design - s * 0.25),
        "D",
        s,
        (Weight::Bold, Hang::Middle),
    );
    let count = series.distance_m.len();
    for i in 0..VEHICLES {
        let at = i * (count - 1) / (VEHICLES - 1);
        let mark = x(series.upper_level_m[at]);
        canvas.line(
            (mark, field.top),
            (mark, field.bottom),
            Pen::dashed(GREY, s * 0.06, "2 2"),
        );
        canvas.text(
            (mark, field.bottom + s * 1.2),
            &(i + 1).to_string(),
            s * 0.9,
            (Weight::Bold, Hang::Middle),
        );
    }
    field.bottom + s * 1.8
}

fn words(lowering: &Lowering, frame: Frame) -> String {
    let units = frame.units;
    let count = lowering.series.distance_m.len();
    let places: Vec<String> = (0..VEHICLES)
        .map(|i| i * (count - 1) / (VEHICLES - 1))
        .enumerate()
        .map(|(n, i)| {
            format!(
                "{} at {}: {}",
                n + 1,
                units.length(lowering.series.distance_m[i]),
                units.force(lowering.series.hold_n[i])
            )
        })
        .collect();
    format!(
        "Upper axle along the way, and what the line holds there (median; band 5 to 95 %): {}. \
         Greatest {} at {}. D: parts are judged at {}. Vehicle and ground to one scale, drawn as a wagon.",
        places.join("; "),
        units.force(lowering.greatest.median_n),
        units.length(lowering.greatest_at_m),
        units.force(lowering.greatest_design_n)
    )
}
