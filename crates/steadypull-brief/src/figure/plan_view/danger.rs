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
/// zone's own hatching in print too. What lies outside the panel between `low` and
/// `high` on the sheet is cut off: the zone shows it.
pub(super) fn danger_areas(
    canvas: &mut Canvas,
    areas: &[DangerArea],
    ground: &Ground,
    (low, high): (At, At),
    s: f64,
) {
    for area in areas {
        let corners: Vec<At> = area.corners.iter().map(|p| ground.at(*p)).collect();
        let inside = cut(&corners, low, high);
        if inside.len() > 2 {
            danger_hatch(canvas, &inside, s);
        }
    }
}

/// A polygon cut to a box (Sutherland and Hodgman 1974), side by side.
fn cut(corners: &[At], low: At, high: At) -> Vec<At> {
    let sides: [&dyn Fn(At) -> f64; 4] = [
        &|p| p.0 - low.0,
        &|p| high.0 - p.0,
        &|p| p.1 - low.1,
        &|p| high.1 - p.1,
    ];
    let mut left = corners.to_vec();
    for inside in sides {
        let mut kept = Vec::new();
        for (k, &b) in left.iter().enumerate() {
            let a = left[(k + left.len() - 1) % left.len()];
            let (in_a, in_b) = (inside(a), inside(b));
            if (in_a < 0.0) != (in_b < 0.0) {
                let t = in_a / (in_a - in_b);
                kept.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            }
            if in_b >= 0.0 {
                kept.push(b);
            }
        }
        left = kept;
    }
    left
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

#[cfg(test)]
mod tests {
    use super::cut;

    #[test]
    fn what_lies_outside_is_cut_off() {
        let (low, high) = ((0.0, 0.0), (10.0, 10.0));
        let triangle = [(5.0, 5.0), (25.0, 5.0), (5.0, 9.0)];
        let left = cut(&triangle, low, high);
        assert_eq!(left.len(), 4);
        assert!(left.iter().all(|p| (0.0..=10.0).contains(&p.0)));
        assert_eq!(cut(&triangle, low, (30.0, 10.0)), triangle);
        assert!(cut(&[(20.0, 1.0), (30.0, 1.0), (25.0, 5.0)], low, high).is_empty());
    }
}
