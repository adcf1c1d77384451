//! The zone round a rig laid out on the ground, to its own scale.

use steadypull_contract::answer::{DangerArea, Standoff};

use super::super::Frame;
use super::danger::danger_areas;
use super::ground::{extent, fitted};
use super::key::scale_bar;
use super::laid_out::in_order;
use super::marks::{self, Thing};
use super::shapes::zones;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, wrap};
use crate::ink::{ACCENT, INK};

/// Greatest height of the zone over the width.
const ZONE_HIGH: f64 = 0.6;

/// The zone with the rig in it; gives back the lowest base line used.
pub(super) fn zone_panel(
    canvas: &mut Canvas,
    standoff: &Standoff,
    danger: &[DangerArea],
    y: f64,
    frame: Frame,
) -> Option<f64> {
    let s = frame.size;
    let y = y + s * 2.2;
    let heading = "NOBODY INSIDE while any line is loaded";
    let lines = wrap(heading, s, Weight::Bold, frame.width);
    canvas.lines((0.0, y), &lines, s, (Weight::Bold, Hang::Left));
    let top = y + (lines.len() as f64 - 1.0) * s * LEADING + s * 0.8;
    let corners = standoff.zone.iter().chain(&standoff.rule_zone);
    let all = corners.chain(standoff.outlines.iter().flat_map(|o| &o.points));
    let edges = (s * 0.3, frame.width - s * 0.3);
    let ground = fitted(extent(all)?, edges, top, frame.width * ZONE_HIGH)?;
    zones(canvas, standoff, &ground, s);
    let whole = ((0.0, top), (frame.width, ground.bottom()));
    danger_areas(canvas, danger, &ground, whole, s);
    for outline in in_order(&standoff.outlines) {
        if Thing::of(outline).shows_small() {
            marks::draw(canvas, outline, &ground, s * 0.6);
        }
    }
    let y = ground.bottom() + s * 1.4;
    scale_bar(canvas, &ground, y, frame);
    Some(zone_key(canvas, standoff, y, frame))
}

fn zone_key(canvas: &mut Canvas, standoff: &Standoff, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let governs = if standoff.computed_governs {
        "the computed flight"
    } else {
        "the rule"
    };
    let wide = extent(standoff.zone.iter()).map_or(String::new(), |(low, high)| {
        let length = |m: f64| frame.units.length(m);
        format!("{} by {}, ", length(high.0 - low.0), length(high.1 - low.1))
    });
    let items = [
        (
            Pen::full(ACCENT, s * 0.2),
            format!("zone: {wide}set by {governs}"),
        ),
        (
            Pen::dashed(INK, s * 0.11, "5 3"),
            format!("rule: {}", frame.units.length(standoff.rule_m)),
        ),
    ];
    let mut y = y + s * 0.3;
    for (pen, text) in items {
        let from = y + small * LEADING - small * 0.35;
        canvas.line((0.0, from), (s * 2.2, from), pen);
        for line in wrap(&text, small, Weight::Regular, frame.width - s * 2.8) {
            y += small * LEADING;
            canvas.text((s * 2.8, y), &line, small, (Weight::Regular, Hang::Left));
        }
    }
    y
}
