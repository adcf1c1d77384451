//! Danger areas: ground on which nobody stands for a reason of its own.

use steadypull_contract::answer::DangerArea;

use super::super::Frame;
use super::ground::Ground;
use super::labels::{Label, Sort};
use super::shapes::centre;
use crate::canvas::{At, Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, wrap};
use crate::ink::INK;

/// Hatches the danger areas, closer and in ink, so that they stand out of the
/// zone's own hatching in print too.
pub(super) fn danger_areas(canvas: &mut Canvas, areas: &[DangerArea], ground: &Ground, s: f64) {
    for area in areas {
        let corners: Vec<At> = area.corners.iter().map(|p| ground.at(*p)).collect();
        danger_hatch(canvas, &corners, s);
    }
}

fn danger_hatch(canvas: &mut Canvas, corners: &[At], s: f64) {
    canvas.hatch(corners, s * 0.5, Pen::full(INK, s * 0.05));
    canvas.polygon(corners, None, Some(Pen::dashed(INK, s * 0.09, "3 2")));
}

/// Its name, upon it.
pub(super) fn danger_label(area: &DangerArea, ground: &Ground) -> Label {
    let corners: Vec<At> = area.corners.iter().map(|p| ground.at(*p)).collect();
    Label {
        sort: Sort::Node,
        text: area.name.clone(),
        instead: area.name.clone(),
        targets: vec![centre(&corners)],
        upon: true,
        weight: Weight::Bold,
    }
}

/// Its hatching with what it means; gives back the lowest base line used.
pub(super) fn danger_key(canvas: &mut Canvas, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let y = y + s * 0.9 * LEADING;
    let (top, bottom, right) = (y - s * 0.75, y + s * 0.1, s * 2.2);
    let corners = [(0.0, top), (right, top), (right, bottom), (0.0, bottom)];
    danger_hatch(canvas, &corners, s);
    let words = "danger area: nobody here while any line is loaded";
    let mut y = y - s * 0.9 * LEADING;
    for line in wrap(words, s * 0.9, Weight::Regular, frame.width - s * 2.8) {
        y += s * 0.9 * LEADING;
        canvas.text((s * 2.8, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
    }
    y
}
