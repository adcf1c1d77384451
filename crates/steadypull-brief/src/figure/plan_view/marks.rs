//! Marks of a rig laid out on the ground: each sort of thing has its own shape,
//! told apart without colour.

use steadypull_contract::answer::Outline;

use super::ground::Ground;
use super::shapes::centre;
use crate::canvas::{At, Canvas, Pen};
use crate::ink::{INK, TINT, WHITE};

/// What an outline is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Thing {
    /// Casualty, tug, or a vehicle that is an anchor.
    Vehicle,
    /// A part of line.
    Line,
    /// A point of a vehicle.
    Point,
    /// The apex of a bridle.
    Apex,
    /// A winch.
    Winch,
    /// A block.
    Block,
    /// A ring.
    Ring,
    /// A tree.
    Tree,
    /// Pickets.
    Pickets,
    /// A buried log.
    Deadman,
    /// A ground plate.
    Plate,
    /// Any other anchor.
    Anchor,
    /// A damper.
    Damper,
}

impl Thing {
    /// What an outline is, by its word in the contract.
    pub(super) fn of(outline: &Outline) -> Self {
        match outline.what.as_str() {
            "casualty" | "tug" | "anchor vehicle" => Self::Vehicle,
            "line" => Self::Line,
            "bridle apex" => Self::Apex,
            "winch" => Self::Winch,
            "block" => Self::Block,
            "ring" => Self::Ring,
            "anchor tree" => Self::Tree,
            "anchor pickets" => Self::Pickets,
            "anchor deadman" => Self::Deadman,
            "anchor plate" => Self::Plate,
            "anchor" => Self::Anchor,
            "damper" => Self::Damper,
            _ => Self::Point,
        }
    }

    /// Its word in the key; none where its name or its line says enough.
    pub(super) fn word(self) -> Option<&'static str> {
        match self {
            Self::Vehicle | Self::Line => None,
            Self::Point => Some("recovery point"),
            Self::Apex => Some("bridle apex"),
            Self::Winch => Some("winch"),
            Self::Block => Some("block"),
            Self::Ring => Some("ring"),
            Self::Tree => Some("tree"),
            Self::Pickets => Some("pickets"),
            Self::Deadman => Some("deadman"),
            Self::Plate => Some("ground plate"),
            Self::Anchor => Some("anchor"),
            Self::Damper => Some("damper"),
        }
    }

    /// Whether it can be told apart on a small drawing: vehicles, lines, anchors.
    pub(super) fn shows_small(self) -> bool {
        matches!(
            self,
            Self::Vehicle
                | Self::Line
                | Self::Tree
                | Self::Pickets
                | Self::Deadman
                | Self::Plate
                | Self::Anchor
        )
    }

    /// Half the size of its mark, in text sizes.
    pub(super) fn radius(self) -> f64 {
        match self {
            Self::Vehicle | Self::Line => 0.0,
            Self::Point | Self::Apex => 0.26,
            Self::Winch => 0.34,
            Self::Ring => 0.4,
            Self::Block | Self::Damper => 0.46,
            Self::Tree | Self::Pickets | Self::Deadman | Self::Plate | Self::Anchor => 0.55,
        }
    }
}

/// Draws an outline; a mark stands over its middle and never shrinks below what
/// can be told apart.
pub(super) fn draw(canvas: &mut Canvas, outline: &Outline, ground: &Ground, s: f64) {
    let points: Vec<At> = outline.points.iter().map(|p| ground.at(*p)).collect();
    if points.is_empty() {
        return;
    }
    match Thing::of(outline) {
        Thing::Vehicle => vehicle(canvas, &points, s),
        Thing::Line => canvas.polyline(&points, Pen::full(INK, s * 0.2)),
        thing => {
            if outline.closed {
                canvas.polygon(&points, Some(TINT), Some(Pen::full(INK, s * 0.1)));
            }
            mark(canvas, thing, centre(&points), s);
        }
    }
}

/// A vehicle with a wedge at its nose: its second and third corner are in front.
fn vehicle(canvas: &mut Canvas, corners: &[At], s: f64) {
    canvas.polygon(corners, Some(TINT), Some(Pen::full(INK, s * 0.12)));
    if let [back_right, front_right, front_left, back_left] = corners {
        let share = |a: &At, b: &At, t: f64| (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
        let right = share(back_right, front_right, 0.78);
        let left = share(back_left, front_left, 0.78);
        let nose = share(front_right, front_left, 0.5);
        canvas.polyline(&[right, nose, left], Pen::full(INK, s * 0.09));
    }
}

/// The mark of a thing round a point.
pub(super) fn mark(canvas: &mut Canvas, thing: Thing, at: At, s: f64) {
    let r = thing.radius() * s;
    let thin = Pen::full(INK, s * 0.1);
    let edge = Some(Pen::full(WHITE, s * 0.06));
    let square = |half: f64| ((at.0 - half, at.1 - half), (2.0 * half, 2.0 * half));
    match thing {
        Thing::Vehicle | Thing::Line => {}
        Thing::Point => canvas.circle(at, r, Some(WHITE), Some(thin)),
        Thing::Apex => canvas.circle(at, r, Some(INK), edge),
        Thing::Winch => {
            let (corner, size) = square(r);
            canvas.rect(corner, size, Some(INK), edge);
        }
        Thing::Block => {
            canvas.circle(at, r, Some(WHITE), Some(thin));
            canvas.circle(at, r * 0.32, Some(INK), None);
        }
        Thing::Ring => canvas.circle(at, r, Some(WHITE), Some(Pen::full(INK, s * 0.24))),
        Thing::Tree => {
            canvas.circle(at, r, Some(INK), edge);
            canvas.circle(at, r * 0.5, None, Some(Pen::full(WHITE, s * 0.08)));
        }
        Thing::Pickets => pickets(canvas, at, r),
        Thing::Deadman => {
            let (corner, size) = ((at.0 - r, at.1 - r * 0.4), (2.0 * r, r * 0.8));
            canvas.rect(corner, size, Some(INK), edge);
        }
        Thing::Plate => {
            let (corner, size) = square(r * 0.85);
            canvas.rect(corner, size, Some(WHITE), Some(thin));
            let d = r * 0.85;
            canvas.line((at.0 - d, at.1 - d), (at.0 + d, at.1 + d), thin);
            canvas.line((at.0 - d, at.1 + d), (at.0 + d, at.1 - d), thin);
        }
        Thing::Anchor => {
            let corners = [
                (at.0, at.1 - r),
                (at.0 + r, at.1),
                (at.0, at.1 + r),
                (at.0 - r, at.1),
            ];
            canvas.polygon(&corners, Some(INK), edge);
        }
        Thing::Damper => {
            let (corner, size) = ((at.0 - r * 0.6, at.1 - r), (r * 1.2, r * 2.0));
            canvas.rect(corner, size, Some(INK), edge);
        }
    }
}

/// Three pickets in a row.
fn pickets(canvas: &mut Canvas, (x, y): At, r: f64) {
    for along in [-0.75, 0.0, 0.75] {
        let x = x + along * r;
        let corners = [
            (x - r * 0.34, y - r * 0.7),
            (x + r * 0.34, y - r * 0.7),
            (x, y + r * 0.8),
        ];
        canvas.polygon(&corners, Some(INK), Some(Pen::full(WHITE, r * 0.1)));
    }
}
