//! The plan view: vehicles, line, dampers and zones from above, to scale.
//!
//! The sheet's right is the contract's +x (casualty to tug) and its top is +y.

use steadypull_contract::answer::{Answer, Outline, PlanPoint, Standoff};

use super::mark::dimension;
use super::{Drawing, Figure, Frame};
use crate::BriefError;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, text_width, wrap, wrap_label};
use crate::ink::{ACCENT, INK, TINT, WHITE};

/// Where the ground lies on the sheet.
#[derive(Debug, Clone, Copy)]
struct Ground {
    /// Sheet units in a metre.
    scale: f64,
    left: f64,
    top: f64,
    low: At,
    high: At,
    /// Whether the zone is too low to hold its warning.
    low_zone: bool,
}

impl Ground {
    fn at(&self, point: PlanPoint) -> At {
        (
            self.left + (tame(point.x_m) - self.low.0) * self.scale,
            self.top + (self.high.1 - tame(point.y_m)) * self.scale,
        )
    }

    fn bottom(&self) -> f64 {
        self.top + (self.high.1 - self.low.1) * self.scale
    }
}

fn tame(value: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-1e5, 1e5)
    } else {
        0.0
    }
}

/// Draws the plan.
pub(super) fn draw(answer: &Answer, frame: Frame) -> Result<Drawing, BriefError> {
    if answer.lowering.is_some() && answer.load_path.links.is_empty() {
        return Err(Figure::PlanView.nothing("nothing is pulled; see the figure of the lowering"));
    }
    let standoff = &answer.standoff;
    let s = frame.size;
    let ground = ground(standoff, frame)
        .ok_or_else(|| Figure::PlanView.nothing("the answer has no zone and no outlines"))?;
    let mut canvas = Canvas::new();
    zones(&mut canvas, standoff, &ground, s);
    for outline in &standoff.outlines {
        draw_outline(&mut canvas, outline, &ground, s);
    }
    vehicle_labels(&mut canvas, standoff, &ground, frame);
    warning(&mut canvas, standoff, &ground, frame);
    let mut y = dimensions(&mut canvas, standoff, &ground, frame);
    y = key(&mut canvas, standoff, &ground, y, frame);
    if frame.notes {
        y = places(&mut canvas, standoff, y, frame);
    }
    Ok(Drawing {
        height: y + s * 0.3,
        body: canvas.into_body(),
        words: words(standoff, frame),
    })
}

/// Fits everything with a size into the frame; none if nothing has one.
fn ground(standoff: &Standoff, frame: Frame) -> Option<Ground> {
    let corners = standoff
        .zone
        .iter()
        .chain(&standoff.rule_zone)
        .chain(standoff.outlines.iter().flat_map(|o| &o.points));
    let (mut low, mut high) = (
        (f64::INFINITY, f64::INFINITY),
        (f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    for corner in corners {
        let (x, y) = (tame(corner.x_m), tame(corner.y_m));
        low = (low.0.min(x), low.1.min(y));
        high = (high.0.max(x), high.1.max(y));
    }
    let (long, wide) = (high.0 - low.0, (high.1 - low.1).max(2.0));
    if !(long > 0.0 && long.is_finite()) {
        return None;
    }
    let s = frame.size;
    let beside_room = s * 1.6;
    let across = frame.width - beside_room - s * 0.4;
    let scale = (across / long).min(frame.width * 0.62 / wide);
    let left = beside_room + (across - long * scale) / 2.0;
    // The room between the line and the zone's lower edge, less a vehicle.
    let low_zone = (-low.1).min(wide) * scale - scale < s * 4.4;
    Some(Ground {
        scale,
        left,
        top: s * if low_zone { 3.3 } else { 1.8 },
        low,
        high,
        low_zone,
    })
}

fn zones(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, s: f64) {
    let zone: Vec<At> = standoff.zone.iter().map(|p| ground.at(*p)).collect();
    canvas.hatch(&zone, s * 0.9, Pen::full(ACCENT, s * 0.035));
    canvas.polygon(&zone, None, Some(Pen::full(ACCENT, s * 0.2)));
    let rule: Vec<At> = standoff.rule_zone.iter().map(|p| ground.at(*p)).collect();
    canvas.polygon(&rule, None, Some(Pen::dashed(INK, s * 0.11, "5 3")));
}

fn draw_outline(canvas: &mut Canvas, outline: &Outline, ground: &Ground, s: f64) {
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

fn centre(points: &[At]) -> At {
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
fn vehicle_labels(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, frame: Frame) {
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

fn corners(outline: &Outline, ground: &Ground) -> Vec<At> {
    outline.points.iter().map(|p| ground.at(*p)).collect()
}

/// "Nobody inside" in the zone, under the line.
fn warning(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, frame: Frame) {
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

/// Distances under and beside the plan; gives back the lowest base line used.
fn dimensions(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, frame: Frame) -> f64 {
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

/// Scale bar and key; gives back the lowest base line used.
fn key(canvas: &mut Canvas, standoff: &Standoff, ground: &Ground, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let unit = frame.units.length_axis();
    let across = frame.width * 0.22 / ground.scale / unit.si;
    let bar = round_below(across);
    let y = y + s * 1.6;
    let wide = bar * unit.si * ground.scale;
    for (i, fill) in [INK, WHITE, INK, WHITE].into_iter().enumerate() {
        let quarter = wide / 4.0;
        canvas.rect(
            (i as f64 * quarter, y - s * 0.45),
            (quarter, s * 0.4),
            Some(fill),
            Some(Pen::full(INK, s * 0.06)),
        );
    }
    let label = frame.units.length(bar * unit.si);
    canvas.text(
        (wide + s * 0.5, y),
        &label,
        small,
        (Weight::Bold, Hang::Left),
    );
    let governs = if standoff.computed_governs {
        "the computed flight"
    } else {
        "the rule"
    };
    let mut items = vec![
        (
            Pen::full(ACCENT, s * 0.2),
            format!("zone: nobody inside (set by {governs})"),
        ),
        (
            Pen::dashed(INK, s * 0.11, "5 3"),
            format!("rule: {}", frame.units.length(standoff.rule_m)),
        ),
    ];
    if standoff.zone.is_empty() {
        items.remove(0);
    }
    let left = wide + text_width(&label, small, Weight::Bold) + s * 2.0;
    let widest = items
        .iter()
        .map(|(_, text)| text_width(text, small, Weight::Regular));
    let needed = widest.fold(0.0, f64::max) + s * 3.2;
    // Beside the scale bar where it fits, else under it.
    let (left, mut y) = if left + needed < frame.width {
        (left, y - small * LEADING)
    } else {
        (0.0, y + s * 0.3)
    };
    for (pen, text) in items {
        y += small * LEADING;
        canvas.line(
            (left, y - small * 0.35),
            (left + s * 2.2, y - small * 0.35),
            pen,
        );
        canvas.text(
            (left + s * 2.8, y),
            &text,
            small,
            (Weight::Regular, Hang::Left),
        );
    }
    if standoff
        .outlines
        .iter()
        .any(|o| o.what.to_lowercase().contains("damper"))
    {
        y += small * LEADING;
        canvas.rect(
            (left + s * 0.8, y - s * 0.8),
            (s * 0.55, s * 0.85),
            Some(INK),
            None,
        );
        canvas.text(
            (left + s * 2.8, y),
            "damper",
            small,
            (Weight::Regular, Hang::Left),
        );
    }
    y
}

/// The greatest of 1, 2, 5 times a power of ten at or below a length.
fn round_below(length: f64) -> f64 {
    let mut step = 1e-3;
    while step * 10.0 <= length && step < 1e6 {
        step *= 10.0;
    }
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|n| n * step)
        .find(|v| *v <= length)
        .unwrap_or(step)
}

/// Who stands where, for a figure that is printed alone.
fn places(canvas: &mut Canvas, standoff: &Standoff, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let mut y = y + s * 0.5;
    for place in &standoff.places {
        for line in wrap_label(
            &format!("{}: {}", place.who, place.place),
            s * 0.9,
            Weight::Regular,
            frame.width,
            4,
        ) {
            y += s * 0.9 * LEADING;
            canvas.text((0.0, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
        }
    }
    for line in wrap(&standoff.rule, s * 0.9, Weight::Regular, frame.width) {
        y += s * 0.9 * LEADING;
        canvas.text((0.0, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
    }
    y
}

fn words(standoff: &Standoff, frame: Frame) -> String {
    let length = |m| frame.units.length(m);
    format!(
        "Seen from above, to scale. Nobody inside the zone while the line is loaded: {} behind the casualty, {} behind the tug, {} to each side of the line. The rule distance is {}.",
        length(standoff.behind_casualty_m),
        length(standoff.behind_tug_m),
        length(standoff.beside_m),
        length(standoff.rule_m)
    )
}

#[cfg(test)]
mod tests {
    use super::round_below;

    #[test]
    fn scale_bars_are_round() {
        for (length, bar) in [(7.3, 5.0), (19.9, 10.0), (130.0, 100.0), (0.4, 0.2)] {
            assert!((round_below(length) - bar).abs() < 1e-9, "{length}");
        }
    }
}
