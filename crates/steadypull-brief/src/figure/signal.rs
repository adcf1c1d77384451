//! Hand signals: a person from the front, drawn with a few strokes.

use crate::canvas::{At, Canvas, Pen};
use crate::ink::{ACCENT, INK, WHITE};

/// A hand signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandSignal {
    /// Take up or pull on.
    ComeOn,
    /// Everything stops at once.
    Stop,
    /// Let the line go slack.
    SlackOff,
    /// Keep everything as it is.
    Hold,
}

impl HandSignal {
    /// Every signal.
    pub const ALL: [Self; 4] = [Self::Stop, Self::Hold, Self::ComeOn, Self::SlackOff];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::ComeOn => "COME ON",
            Self::Stop => "STOP",
            Self::SlackOff => "SLACK OFF",
            Self::Hold => "HOLD",
        }
    }

    /// How it is given and what it asks.
    pub fn how(self) -> &'static str {
        match self {
            Self::ComeOn => "One arm up, forearm beckoning: pull on, slowly.",
            Self::Stop => "Both arms crossed over the head: everything stops at once.",
            Self::SlackOff => "Both arms down, palms pushing away: let the line go slack.",
            Self::Hold => "One fist raised and still: keep the load, nothing moves.",
        }
    }
}

/// Width of a pictogram over its height.
pub const WIDE: f64 = 0.9;

/// Draws a signal with its upper left corner at (0, 0).
pub fn draw(signal: HandSignal, high: f64) -> String {
    let u = high / 20.0;
    let at = |x: f64, y: f64| -> At { (x * u, y * u) };
    let mut canvas = Canvas::new();
    let limb = Pen::full(INK, 1.5 * u);
    canvas.circle(at(9.0, 6.4), 1.9 * u, Some(INK), None);
    canvas.polygon(
        &[at(6.4, 9.2), at(11.6, 9.2), at(10.9, 14.6), at(7.1, 14.6)],
        Some(INK),
        None,
    );
    canvas.polyline(&[at(7.8, 14.4), at(7.3, 19.6)], limb);
    canvas.polyline(&[at(10.2, 14.4), at(10.7, 19.6)], limb);
    let hand = |canvas: &mut Canvas, x: f64, y: f64| {
        canvas.circle(
            at(x, y),
            1.15 * u,
            Some(WHITE),
            Some(Pen::full(INK, 0.6 * u)),
        )
    };
    match signal {
        HandSignal::Stop => {
            canvas.polyline(&[at(6.8, 9.8), at(4.6, 5.6), at(12.2, 1.4)], limb);
            canvas.polyline(&[at(11.2, 9.8), at(13.4, 5.6), at(5.8, 1.4)], limb);
            hand(&mut canvas, 12.6, 1.4);
            hand(&mut canvas, 5.4, 1.4);
        }
        HandSignal::Hold => {
            canvas.polyline(&[at(6.8, 9.8), at(5.2, 14.2)], limb);
            canvas.polyline(&[at(11.2, 9.8), at(14.0, 7.6), at(13.8, 2.4)], limb);
            canvas.circle(at(13.8, 2.2), 1.5 * u, Some(INK), None);
        }
        HandSignal::ComeOn => {
            canvas.polyline(&[at(6.8, 9.8), at(5.2, 14.2)], limb);
            canvas.polyline(&[at(11.2, 9.8), at(15.0, 8.6), at(13.4, 3.6)], limb);
            hand(&mut canvas, 13.2, 3.0);
            arrow(&mut canvas, at(16.6, 2.0), at(15.2, 0.8), at(11.6, 0.8), u);
        }
        HandSignal::SlackOff => {
            canvas.polyline(&[at(6.8, 9.8), at(3.6, 12.4), at(2.6, 9.6)], limb);
            canvas.polyline(&[at(11.2, 9.8), at(14.4, 12.4), at(15.4, 9.6)], limb);
            hand(&mut canvas, 2.5, 9.2);
            hand(&mut canvas, 15.5, 9.2);
            arrow(&mut canvas, at(2.5, 13.4), at(2.5, 14.4), at(2.5, 17.4), u);
            arrow(
                &mut canvas,
                at(15.5, 13.4),
                at(15.5, 14.4),
                at(15.5, 17.4),
                u,
            );
        }
    }
    canvas.into_body()
}

fn arrow(canvas: &mut Canvas, from: At, bend: At, tip: At, u: f64) {
    canvas.polyline(&[from, bend, tip], Pen::full(ACCENT, 0.8 * u));
    let (dx, dy) = (tip.0 - bend.0, tip.1 - bend.1);
    let long = (dx * dx + dy * dy).sqrt().max(1e-9);
    let (dx, dy) = (dx / long * 1.5 * u, dy / long * 1.5 * u);
    let head = [
        (tip.0 + dx, tip.1 + dy),
        (tip.0 - dy, tip.1 + dx),
        (tip.0 + dy, tip.1 - dx),
    ];
    canvas.polygon(&head, Some(ACCENT), None);
}
