//! A rig laid out on the ground: itself with the tension of every part of line,
//! then the zone round it. Both show the plan's own frame, x to the right.

use steadypull_contract::answer::{DangerArea, Outline, RigState, Standoff};
use steadypull_contract::show::{figures, percent};

use super::super::{Drawing, Figure, Frame};
use super::danger::{danger_areas, danger_key, danger_label};
use super::ground::{Ground, extent, fitted};
use super::key::{places, scale_bar};
use super::labels::draw as draw_labels;
use super::marks::{self, Thing};
use super::naming::labels;
use super::room::{Area, Room, Stroke};
use super::shapes::centre;
use super::zone_panel::zone_panel;
use crate::BriefError;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, text_width, wrap};
use crate::ink::INK;

/// Greatest height of the rig over the width.
const RIG_HIGH: f64 = 0.85;
/// Room for labels round the rig, in text sizes.
const ROUND: f64 = 3.6;

/// Draws the rig and its zone.
pub(super) fn draw(
    rig: &RigState,
    standoff: &Standoff,
    frame: Frame,
) -> Result<Drawing, BriefError> {
    let danger = &standoff.danger_areas;
    let mut canvas = Canvas::new();
    let nothing = || Figure::PlanView.nothing("the answer has no outlines of its rig");
    let mut y = rig_panel(&mut canvas, standoff, danger, frame).ok_or_else(nothing)?;
    if !standoff.zone.is_empty() {
        y = zone_panel(&mut canvas, standoff, danger, y, frame).unwrap_or(y);
    }
    if frame.notes {
        y = places(&mut canvas, standoff, y, frame);
    }
    Ok(Drawing {
        height: y + frame.size * 0.3,
        body: canvas.into_body(),
        words: words(rig, standoff, frame),
    })
}

/// The rig with its tensions; gives back the lowest base line used.
fn rig_panel(
    canvas: &mut Canvas,
    standoff: &Standoff,
    danger: &[DangerArea],
    frame: Frame,
) -> Option<f64> {
    let s = frame.size;
    let size = extent(standoff.outlines.iter().flat_map(|o| &o.points))?;
    let edges = (s * 0.6, frame.width - s * 0.6);
    let ground = fitted(size, edges, s * ROUND, frame.width * RIG_HIGH)?;
    let bottom = ground.bottom() + s * ROUND;
    let panel = ((0.0, 0.0), (frame.width, bottom));
    danger_areas(canvas, danger, &ground, panel, s);
    for outline in in_order(&standoff.outlines) {
        marks::draw(canvas, outline, &ground, s);
    }
    let room = room(standoff, &ground, bottom, frame);
    let mut named = labels(standoff, &ground, &room.marks, frame);
    named.extend(danger.iter().map(|area| danger_label(area, &ground)));
    let without_room = draw_labels(canvas, &room, &named, s * 0.9);
    let mut y = bottom + s * 0.8;
    scale_bar(canvas, &ground, y, frame);
    axes(canvas, (frame.width - s * 3.2, y), s);
    y = key(canvas, &standoff.outlines, y, frame);
    if !danger.is_empty() {
        y = danger_key(canvas, y, frame);
    }
    if !without_room.is_empty() {
        let text = format!("No room beside it for: {}.", without_room.join("; "));
        y = small_text(canvas, &text, y, frame);
    }
    Some(y)
}

/// Vehicles under lines, lines under marks.
pub(super) fn in_order(outlines: &[Outline]) -> Vec<&Outline> {
    let mut sorted: Vec<&Outline> = outlines.iter().collect();
    sorted.sort_by_key(|o| Thing::of(o));
    sorted
}

/// What labels must keep clear of.
fn room(standoff: &Standoff, ground: &Ground, bottom: f64, frame: Frame) -> Room {
    let sheet = Area {
        left: 0.0,
        top: 0.0,
        right: frame.width,
        bottom,
    };
    let mut room = Room {
        sheet,
        marks: Vec::new(),
        strokes: Vec::new(),
    };
    for outline in &standoff.outlines {
        let points = on_sheet(outline, ground);
        let thing = Thing::of(outline);
        match thing {
            Thing::Line => room.strokes.extend(strokes(&points)),
            Thing::Vehicle => {
                room.strokes.extend(strokes(&points));
                room.strokes
                    .extend(points.last().zip(points.first()).map(|(a, b)| (*a, *b)));
            }
            _ => {
                let wide = thing.radius() * frame.size * 2.0;
                room.marks.push(Area::round(centre(&points), wide, wide));
            }
        }
    }
    room
}

/// Corners of an outline on the sheet.
pub(super) fn on_sheet(outline: &Outline, ground: &Ground) -> Vec<At> {
    outline.points.iter().map(|p| ground.at(*p)).collect()
}

/// The strokes of a broken line.
pub(super) fn strokes(points: &[At]) -> Vec<Stroke> {
    points.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Arrows along x and y of the plan's frame.
fn axes(canvas: &mut Canvas, (x, y): At, s: f64) {
    let long = s * 1.7;
    let pen = Pen::full(INK, s * 0.1);
    let (right, up) = ((x + long, y), (x, y - long));
    canvas.polyline(&[up, (x, y), right], pen);
    let head = s * 0.42;
    let (a, b) = (head * 0.4, head);
    canvas.polygon(
        &[right, (right.0 - b, y - a), (right.0 - b, y + a)],
        Some(INK),
        None,
    );
    canvas.polygon(&[up, (x - a, up.1 + b), (x + a, up.1 + b)], Some(INK), None);
    let style = (Weight::Bold, Hang::Left);
    canvas.text((right.0 + s * 0.3, y + s * 0.25), "x", s * 0.9, style);
    canvas.text((x + s * 0.4, up.1 + s * 0.5), "y", s * 0.9, style);
}

/// The marks that are drawn, with their words; gives back the lowest base line.
fn key(canvas: &mut Canvas, outlines: &[Outline], y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let mut things: Vec<Thing> = outlines.iter().map(Thing::of).collect();
    things.sort();
    things.dedup();
    let (mut x, mut y) = (0.0, y + small * LEADING * 1.3);
    for thing in things {
        let Some(word) = thing.word() else { continue };
        let wide = s * 1.5 + text_width(word, small, Weight::Regular);
        if x > 0.0 && x + wide > frame.width {
            (x, y) = (0.0, y + small * LEADING);
        }
        marks::mark(canvas, thing, (x + s * 0.6, y - small * 0.35), s);
        canvas.text((x + s * 1.4, y), word, small, (Weight::Regular, Hang::Left));
        x += wide + s;
    }
    y
}

fn small_text(canvas: &mut Canvas, text: &str, y: f64, frame: Frame) -> f64 {
    let small = frame.size * 0.9;
    let mut y = y + frame.size * 0.3;
    for line in wrap(text, small, Weight::Regular, frame.width) {
        y += small * LEADING;
        canvas.text((0.0, y), &line, small, (Weight::Regular, Hang::Left));
    }
    y
}

fn words(rig: &RigState, standoff: &Standoff, frame: Frame) -> String {
    let force = |n| frame.units.force(n);
    let parts: Vec<String> = rig
        .runs
        .iter()
        .flat_map(|run| run.parts.iter().map(move |part| (run, part)))
        .map(|(run, part)| {
            let tension = if run.slack {
                "slack".into()
            } else {
                force(part.tension_n)
            };
            format!("{} to {} {tension}", part.from, part.to)
        })
        .collect();
    let efficiency = rig.efficiency.map_or(String::new(), |e| {
        format!(" ({} of that without friction)", percent(e))
    });
    format!(
        "The rig seen from above, to scale, with the tension in every part of line: {}. Haul {}, pull at the casualty {}, advantage {}{efficiency}. Below it the zone: nobody inside while any line is loaded. The rule distance is {}.",
        parts.join("; "),
        force(rig.haul_n),
        force(rig.pull_n),
        figures(rig.real_advantage),
        frame.units.length(standoff.rule_m)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_contract::answer::PlanPoint;
    use steadypull_contract::show::Units;

    fn place(x_m: f64, y_m: f64) -> PlanPoint {
        PlanPoint { x_m, y_m }
    }

    fn standoff() -> Standoff {
        Standoff {
            rule_m: 10.0,
            rule: String::new(),
            computed_reach_m: 5.0,
            computed_governs: false,
            quantile: 0.95,
            runs: 1,
            failed_runs: 0,
            zone: Vec::new(),
            rule_zone: Vec::new(),
            behind_casualty_m: 0.0,
            behind_tug_m: 0.0,
            beside_m: 0.0,
            outlines: vec![Outline {
                what: "line".into(),
                name: "haul".into(),
                closed: false,
                points: vec![place(0.0, 0.0), place(10.0, 8.0)],
                tension_n: Some(24_100.0),
            }],
            places: Vec::new(),
            danger_areas: Vec::new(),
        }
    }

    const FRAME: Frame = Frame {
        width: 328.0,
        size: 12.0,
        units: Units::Metric,
        notes: false,
    };

    fn drawn(danger: &[DangerArea]) -> String {
        let mut canvas = Canvas::new();
        rig_panel(&mut canvas, &standoff(), danger, FRAME).expect("a line has a size");
        canvas.into_body()
    }

    #[test]
    fn danger_areas_are_hatched_named_and_in_the_key() {
        let corners = [place(0.0, 0.0), place(10.0, 0.0), place(10.0, 8.0)];
        let with = drawn(&[DangerArea {
            name: "bight at corner".into(),
            why: "it flies into the bight".into(),
            corners: corners.into(),
        }]);
        assert!(with.contains(">bight at corner<") && with.contains(">danger area: "));
        assert!(with.contains("stroke-dasharray"));
        let without = drawn(&[]);
        assert!(!without.contains("danger area") && !without.contains("stroke-dasharray"));
        assert!(without.contains(">24.1 kN<"));
    }
}
