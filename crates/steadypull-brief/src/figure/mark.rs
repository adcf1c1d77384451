//! Marks: states as shapes, links as numbers. The same in every figure.

use steadypull_contract::answer::{LinkState, RungVerdict};

use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::Weight;
use crate::ink::{ACCENT, INK, WHITE};

/// A shape that stands for a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    /// A filled disc: in.
    Disc,
    /// An open ring: in reserve, within.
    Ring,
    /// Half a disc: a step on the way.
    Half,
    /// A triangle: take care, over a limit.
    Triangle,
    /// A diamond: over breaking.
    Diamond,
    /// An empty square: nothing there, nothing known.
    Square,
    /// A cross: out.
    Cross,
    /// A bar: too weak.
    Dash,
}

/// The mark of a link's state.
pub(super) fn of_link(state: LinkState) -> Mark {
    match state {
        LinkState::Within => Mark::Ring,
        LinkState::OverWll | LinkState::OverPolicy => Mark::Triangle,
        LinkState::OverMbs => Mark::Diamond,
        LinkState::Unrated => Mark::Square,
        LinkState::Refused => Mark::Cross,
    }
}

/// The mark of a method's verdict.
pub(super) fn of_rung(verdict: RungVerdict) -> Mark {
    match verdict {
        RungVerdict::First => Mark::Disc,
        RungVerdict::Step => Mark::Half,
        RungVerdict::Reserve => Mark::Ring,
        RungVerdict::TooWeak => Mark::Dash,
        RungVerdict::NotOnHand => Mark::Square,
        RungVerdict::RuledOut => Mark::Cross,
    }
}

impl Mark {
    /// Draws the mark round a centre.
    pub(super) fn draw(self, canvas: &mut Canvas, (x, y): At, radius: f64) {
        let r = radius;
        let pen = Pen::full(INK, r * 0.36);
        match self {
            Self::Disc => canvas.circle((x, y), r, Some(INK), None),
            Self::Ring => canvas.circle((x, y), r * 0.82, Some(WHITE), Some(pen)),
            Self::Half => {
                canvas.circle((x, y), r * 0.82, Some(WHITE), Some(pen));
                canvas.polygon(&half_disc((x, y), r), Some(INK), None);
            }
            Self::Triangle => {
                canvas.polygon(
                    &[(x, y - r), (x + r, y + r * 0.8), (x - r, y + r * 0.8)],
                    Some(INK),
                    None,
                );
            }
            Self::Diamond => {
                canvas.polygon(
                    &[
                        (x, y - r * 1.15),
                        (x + r * 1.15, y),
                        (x, y + r * 1.15),
                        (x - r * 1.15, y),
                    ],
                    Some(INK),
                    None,
                );
            }
            Self::Square => canvas.rect(
                (x - r * 0.8, y - r * 0.8),
                (r * 1.6, r * 1.6),
                Some(WHITE),
                Some(pen),
            ),
            Self::Cross => {
                let pen = Pen::full(INK, r * 0.55);
                let d = r * 0.85;
                canvas.line((x - d, y - d), (x + d, y + d), pen);
                canvas.line((x - d, y + d), (x + d, y - d), pen);
            }
            Self::Dash => canvas.line((x - r, y), (x + r, y), Pen::full(INK, r * 0.6)),
        }
    }
}

fn half_disc((x, y): At, r: f64) -> Vec<At> {
    // Eighths of a turn on the left side; a polygon is round enough at this size.
    let d = r * 0.707;
    vec![
        (x, y - r),
        (x - d * 0.54, y - r * 0.924),
        (x - d, y - d),
        (x - r * 0.924, y - d * 0.54),
        (x - r, y),
        (x - r * 0.924, y + d * 0.54),
        (x - d, y + d),
        (x - d * 0.54, y + r * 0.924),
        (x, y + r),
    ]
}

/// A link's number in a ring.
pub(super) fn badge(canvas: &mut Canvas, (x, y): At, size: f64, number: usize) {
    canvas.circle(
        (x, y),
        size * 0.72,
        Some(WHITE),
        Some(Pen::full(ACCENT, size * 0.1)),
    );
    let text = size * if number > 9 { 0.72 } else { 0.85 };
    canvas.text(
        (x, y + text * 0.36),
        &number.to_string(),
        text,
        (Weight::Bold, Hang::Middle),
    );
}

/// A dimension line with an arrow head at both ends.
pub(super) fn dimension(canvas: &mut Canvas, a: At, b: At, size: f64) {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = (dx * dx + dy * dy).sqrt();
    if long.is_nan() || long <= 0.0 {
        return;
    }
    canvas.line(a, b, Pen::full(INK, size * 0.08));
    let (ux, uy) = (dx / long, dy / long);
    let head = (size * 0.5).min(long * 0.4);
    for (tip, way) in [(a, 1.0), (b, -1.0)] {
        let base = (tip.0 + ux * head * way, tip.1 + uy * head * way);
        let side = (-uy * head * 0.3, ux * head * 0.3);
        let corners = [
            tip,
            (base.0 + side.0, base.1 + side.1),
            (base.0 - side.0, base.1 - side.1),
        ];
        canvas.polygon(&corners, Some(INK), None);
    }
}
