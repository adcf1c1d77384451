//! The tail of a line that parts inside.
//!
//! It is a free end like any other, but its line is as long as where the break is says.
//! A line that goes round a block parts in one part of line at a time.

use super::ends::FreeEndOf;
use super::pieces::Piece;
use super::scene::Scene;
use crate::letgo::bodies::plus;
use crate::letgo::side_setup::SHORTEST_M;
use crate::letgo::sides::INSIDE;
use crate::units::Mass;

/// A break inside a piece of line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Inside {
    /// Share of the piece, from the end that its run comes to first.
    pub along: f64,
    /// Rest length of the piece, m.
    pub piece_m: f64,
    /// Rest length of the same line in its run before the piece, m.
    pub before_m: f64,
    /// Rest length of the whole line, m.
    pub whole_m: f64,
}

impl Inside {
    /// How far along its line, at rest, m.
    pub fn at_m(&self) -> f64 {
        self.before_m + self.along * self.piece_m
    }

    /// Elsewhere in the piece.
    pub fn at(self, along: f64) -> Self {
        Self { along, ..self }
    }
}

impl FreeEndOf {
    /// The tail left on the side of stop `segment` (or of the next, `to_last`) when the
    /// line that piece `at` is parts in the middle of it.
    pub fn tail(
        scene: &Scene,
        (run, segment, at): (usize, usize, usize),
        to_last: bool,
        share: f64,
    ) -> Option<Self> {
        const MIDDLE: f64 = 0.5;
        let whole = Self::new(scene, (run, segment, at), to_last, share, Mass::ZERO)?;
        let piece = &whole.lines.last()?.0;
        let name = &scene.pieces[run][segment][at].name;
        let laid_m = line_m(&scene.pieces[run], name);
        let inside = Inside {
            along: MIDDLE,
            piece_m: piece.rest_m,
            before_m: line_m(&scene.pieces[run][..segment], name),
            // More of it may lie on a drum.
            whole_m: laid_m.max(piece.line.length.get()),
        };
        let whole = Self {
            inside: Some(inside),
            ..whole
        };
        whole.broken_at(scene, MIDDLE)
    }

    /// The same tail of a line that parts elsewhere in its piece; none where hardly any
    /// of it is left. Nothing else than a tail moves.
    pub fn broken_at(&self, scene: &Scene, along: f64) -> Option<Self> {
        let inside = self.inside?;
        let keep = if self.to_last { 1.0 - along } else { along };
        let piece_m = keep * inside.piece_m;
        if piece_m < SHORTEST_M {
            return None;
        }
        let mut tail = self.clone();
        let last = tail.lines.last_mut()?;
        tail.own_m += piece_m - last.0.rest_m;
        last.0.rest_m = piece_m;
        tail.inside = Some(inside.at(along));
        let length_m = scene.solved.runs[self.run].length_m[self.segment];
        let held = scene.place(self.towards(scene));
        let out = if self.to_last { -1.0 } else { 1.0 };
        let way = scene.way(self.run, self.segment);
        tail.from_m = plus(held, out * tail.own_m.min(length_m), way);
        Some(tail)
    }

    /// The places at which its line is tried to part inside this piece, as shares of
    /// the piece.
    pub fn places(&self) -> Vec<f64> {
        let (Some(inside), Some((line, _))) = (self.inside, self.lines.last()) else {
            return Vec::new();
        };
        let Some(stated) = line.line.parts_at else {
            return INSIDE.to_vec();
        };
        // The place that is stated lies in one piece of a line that goes round a block.
        let along = (stated * inside.whole_m - inside.before_m) / inside.piece_m;
        let here = Some(along).filter(|along| (0.0..=1.0).contains(along));
        here.into_iter().collect()
    }
}

/// Rest length of the line `name` in some parts of line, m.
fn line_m(parts: &[Vec<Piece>], name: &str) -> f64 {
    let here = parts.iter().flatten().filter(|p| p.name == name);
    here.filter_map(|p| p.stretchy.as_ref())
        .map(|s| s.rest_m)
        .sum()
}
