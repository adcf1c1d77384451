//! The load of a pull against its stretch: on the way up, and dashed on the way back.

use steadypull_contract::answer::DrawnPull;

use super::super::chart::frame as chart_frame;
use super::super::force_time::text_block;
use super::{Drawing, Frame, field, load_axis, range};
use crate::axis::Axis;
use crate::canvas::{At, Canvas, Pen};
use crate::ink::{ACCENT, INK};

/// Draws the loop; `None` without a stretch.
pub(super) fn draw(drawn: &DrawnPull, frame: Frame) -> Option<Drawing> {
    let points = drawn.stretch_m.len().min(drawn.force_n.len());
    if points < 2 {
        return None;
    }
    let (stretch, force) = (&drawn.stretch_m[..points], &drawn.force_n[..points]);
    let s = frame.size;
    let (low, high) = range(force);
    let (field, up) = field(frame, |field| load_axis((low, high), frame, field));
    let (least, greatest) = range(stretch);
    let across = Axis::straight(
        (least.min(0.0), greatest),
        frame.units.length_axis(),
        (field.left, field.right),
        6,
    );
    let mut canvas = Canvas::new();
    let words = (&across, Some("Stretch from taut"));
    chart_frame(&mut canvas, field, words, (&up, "Load"), s);
    let at = |at: usize| (across.at(stretch[at]), up.at(force[at]));
    let turn = (0..points).fold(0, |turn, at| {
        if stretch[at] > stretch[turn] {
            at
        } else {
            turn
        }
    });
    let part = |of: std::ops::Range<usize>| of.map(at).collect::<Vec<At>>();
    canvas.polyline(&part(0..turn + 1), Pen::full(ACCENT, s * 0.16));
    canvas.polyline(&part(turn..points), Pen::dashed(INK, s * 0.14, "5 3"));
    let named = match turn + 1 < points {
        true => "Full: the stretch grows; dashed: it comes back. Between: what was kept.",
        false => "The stretch grows to the end: nothing shows what comes back.",
    };
    let y = text_block(&mut canvas, named, field.bottom + s * 2.7, frame);
    Some(Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: format!(
            "The load of pull {} rises to {} over a stretch of {}. {named}",
            drawn.levels.pull,
            frame.units.force(high),
            frame.units.length(greatest)
        ),
    })
}
