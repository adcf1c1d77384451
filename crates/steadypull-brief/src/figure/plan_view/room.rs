//! Room for labels on a drawing: what is drawn already, and what a label in a
//! place would hide.

use crate::canvas::At;

/// A box on the sheet: its left, top, right and bottom edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    /// A box of a size round a point.
    pub(super) fn round((x, y): At, wide: f64, high: f64) -> Self {
        Self {
            left: x - wide / 2.0,
            top: y - high / 2.0,
            right: x + wide / 2.0,
            bottom: y + high / 2.0,
        }
    }

    pub(super) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    pub(super) fn middle(&self) -> At {
        (
            (self.left + self.right) / 2.0,
            (self.top + self.bottom) / 2.0,
        )
    }

    /// Whether it is the mark of a point.
    pub(super) fn is_round(&self, (x, y): At) -> bool {
        let middle = self.middle();
        (middle.0 - x).abs() + (middle.1 - y).abs() < 0.5
    }

    /// The box inside the round mark that fills it.
    fn shrunk(&self) -> Self {
        let (wide, high) = (self.right - self.left, self.bottom - self.top);
        Self::round(self.middle(), wide * 0.7, high * 0.7)
    }

    /// Whether a stroke passes through it.
    fn is_crossed_by(&self, (a, b): Stroke) -> bool {
        // The share of the stroke inside both pairs of edges (Liang and Barsky).
        let (mut from, mut to) = (0.0f64, 1.0f64);
        let sides = [
            (a.0, b.0 - a.0, self.left, self.right),
            (a.1, b.1 - a.1, self.top, self.bottom),
        ];
        for (start, way, low, high) in sides {
            if way.abs() < 1e-9 {
                if start <= low || start >= high {
                    return false;
                }
                continue;
            }
            let (first, last) = ((low - start) / way, (high - start) / way);
            from = from.max(first.min(last));
            to = to.min(first.max(last));
        }
        from < to
    }
}

/// A stroke from one point to another.
pub(super) type Stroke = (At, At);

/// Whether two strokes cross between their ends.
fn cross((a, b): Stroke, (c, d): Stroke) -> bool {
    let side = |p: At, q: At, r: At| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// What is drawn already, and how far the sheet goes.
#[derive(Debug, Clone)]
pub(super) struct Room {
    /// The sheet.
    pub sheet: Area,
    /// Marks, which no label may hide.
    pub marks: Vec<Area>,
    /// Lines, which a label had better not hide.
    pub strokes: Vec<Stroke>,
}

/// A label in its place.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    /// Where it stands.
    pub area: Area,
    /// What it names.
    pub target: At,
    /// The stroke that joins the two, where they stand apart.
    pub leader: Option<Stroke>,
    /// How far off it stands, in text sizes.
    pub far: f64,
    /// That and what it hides.
    pub cost: f64,
}

/// What hiding a line costs in text sizes of distance; a leader through a mark,
/// which could be read as the mark's, costs more, one across a line less.
const HIDES: f64 = 20.0;
const THROUGH: f64 = 60.0;
const CROSSES: f64 = 2.0;

impl Room {
    /// What a label in a place hides, with its leader, in text sizes; none where
    /// it may not be.
    pub(super) fn hidden(
        &self,
        area: &Area,
        leader: Option<Stroke>,
        target: At,
        others: &[Option<Placed>],
    ) -> Option<f64> {
        let others = || others.iter().flatten();
        let on_words = others().any(|o| o.area.overlaps(area));
        if on_words || !self.sheet.holds(area) || self.marks.iter().any(|m| m.overlaps(area)) {
            return None;
        }
        let leaders = || others().filter_map(|o| o.leader);
        let lines = self.strokes.iter().filter(|s| area.is_crossed_by(**s));
        let led = leaders().filter(|l| area.is_crossed_by(*l));
        let cost = HIDES * (lines.count() + 2 * led.count()) as f64;
        let Some(leader) = leader else {
            return Some(cost);
        };
        // A leader through other words could be read as theirs.
        if others().any(|o| o.area.is_crossed_by(leader)) {
            return None;
        }
        let marks = self.marks.iter().filter(|m| !m.is_round(target));
        let through = marks.filter(|m| m.shrunk().is_crossed_by(leader)).count();
        let across = self.strokes.iter().copied().chain(leaders());
        let across = across.filter(|s| cross(*s, leader)).count();
        Some(cost + THROUGH * through as f64 + CROSSES * across as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes_through_a_box_are_seen() {
        let area = Area::round((0.0, 0.0), 2.0, 2.0);
        assert!(area.is_crossed_by(((-5.0, 0.0), (5.0, 0.1))));
        assert!(area.is_crossed_by(((0.0, 0.0), (0.2, 0.0))), "inside");
        assert!(!area.is_crossed_by(((-5.0, 2.0), (5.0, 2.0))));
        assert!(!area.is_crossed_by(((1.5, -5.0), (1.5, 5.0))));
    }
}
