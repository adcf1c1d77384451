//! The labels of a rig laid out on the ground: what they say and what they name.

use steadypull_contract::answer::{Outline, Standoff};

use super::super::Frame;
use super::ground::Ground;
use super::labels::{Label, Sort};
use super::laid_out::{on_sheet, strokes};
use super::marks::Thing;
use super::room::{Area, Stroke};
use super::shapes::centre;
use crate::canvas::At;
use crate::fonts::Weight;

/// Names of vehicles and of all that lines turn at, and tensions, those of short
/// parts of line first: they have the least room.
pub(super) fn labels(
    standoff: &Standoff,
    ground: &Ground,
    marks: &[Area],
    frame: Frame,
) -> Vec<Label> {
    let mut found: Vec<(f64, Label)> = Vec::new();
    for outline in &standoff.outlines {
        let points = on_sheet(outline, ground);
        let label = match Thing::of(outline) {
            Thing::Point | Thing::Damper => continue,
            Thing::Vehicle => vehicle_label(outline, &points),
            Thing::Line => match tension(outline, frame) {
                Some(text) => line_label(&outline.name, text, &points, marks),
                None => continue,
            },
            _ => name_label(outline, centre(&points)),
        };
        let long = strokes(&points).iter().map(long).sum();
        found.push((long, label));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, label)| label).collect()
}

/// Length of a stroke.
fn long((from, to): &Stroke) -> f64 {
    let (x, y) = (to.0 - from.0, to.1 - from.1);
    (x * x + y * y).sqrt()
}

/// A vehicle's name, upon it or a little behind its middle, away from the winch.
fn vehicle_label(outline: &Outline, corners: &[At]) -> Label {
    let middle = centre(corners);
    let back = match corners {
        [a, _, _, b] => ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0),
        _ => middle,
    };
    let behind = |share: f64| {
        (
            middle.0 + share * (back.0 - middle.0),
            middle.1 + share * (back.1 - middle.1),
        )
    };
    let text = match outline.what.as_str() {
        "anchor vehicle" => outline.name.clone(),
        what => what.to_uppercase(),
    };
    Label {
        sort: Sort::Vehicle,
        instead: text.clone(),
        text,
        targets: [0.0, 0.12, 0.3].map(behind).to_vec(),
        upon: true,
        weight: Weight::Bold,
    }
}

fn name_label(outline: &Outline, middle: At) -> Label {
    Label {
        sort: Sort::Node,
        text: outline.name.clone(),
        instead: outline.name.clone(),
        targets: vec![middle],
        upon: false,
        weight: Weight::Regular,
    }
}

fn tension(outline: &Outline, frame: Frame) -> Option<String> {
    let tension = outline.tension_n?;
    Some(if tension > 0.0 {
        frame.units.force(tension)
    } else {
        "slack".into()
    })
}

/// A tension, somewhere along what the marks at its ends leave to be seen.
fn line_label(run: &str, text: String, points: &[At], marks: &[Area]) -> Label {
    let ends = points.first().zip(points.last());
    let targets = ends.map_or(Vec::new(), |(from, to)| {
        let (from, to) = seen(*from, *to, marks);
        let at = |share: f64| {
            (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            )
        };
        [0.5, 0.38, 0.62, 0.25, 0.75].map(at).to_vec()
    });
    Label {
        sort: Sort::Line,
        instead: format!("{run} {text}"),
        text,
        targets,
        upon: false,
        weight: Weight::Bold,
    }
}

/// A stroke without what marks at its ends hide; all of it where they hide it all.
fn seen(from: At, to: At, marks: &[Area]) -> Stroke {
    let long = long(&(from, to));
    let hidden = |end: At| {
        let at_end = marks.iter().filter(|m| m.is_round(end));
        at_end.map(|m| (m.right - m.left) / 2.0).fold(0.0, f64::max)
    };
    let (start, stop) = (hidden(from), long - hidden(to));
    if stop <= start {
        return (from, to);
    }
    let at = |off: f64| {
        (
            from.0 + off / long * (to.0 - from.0),
            from.1 + off / long * (to.1 - from.1),
        )
    };
    (at(start), at(stop))
}
