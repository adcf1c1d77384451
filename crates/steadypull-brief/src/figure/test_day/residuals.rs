//! What is left over about a fitted line, against stretch.

use steadypull_contract::answer::FittedLine;

use super::super::chart::frame as chart_frame;
use super::super::force_time::text_block;
use super::fitted::{key, mark, shown, stretch_axis};
use super::{Drawing, Frame, SHAPES, field};
use crate::axis::Axis;
use crate::canvas::{Canvas, Pen};
use crate::ink::INK;

pub(super) fn draw(line: &FittedLine, frame: Frame) -> Drawing {
    let s = frame.size;
    let sizes = line.pulls.iter().flat_map(|pull| &pull.residual_n);
    let most = sizes
        .filter(|v| v.is_finite())
        .fold(2.0 * line.noise_n, |m, v| m.max(v.abs()));
    let (field, up) = field(frame, |field| {
        let sheet = (field.bottom, field.top);
        Axis::straight((-most, most), frame.units.hand_force_axis(), sheet, 6)
    });
    let across = stretch_axis(line, frame, (field.left, field.right));
    let mut canvas = Canvas::new();
    let words = (&across, Some("Stretch"));
    chart_frame(&mut canvas, field, words, (&up, "Fitted less measured"), s);
    for (level, pen) in [
        (0.0, Pen::full(INK, s * 0.1)),
        (2.0 * line.noise_n, Pen::dashed(INK, s * 0.08, "5 3")),
        (-2.0 * line.noise_n, Pen::dashed(INK, s * 0.08, "5 3")),
    ] {
        let y = up.at(level);
        canvas.line((field.left, y), (field.right, y), pen);
    }
    for (pull, shape) in line.pulls.iter().zip(SHAPES.iter().cycle()) {
        for reading in shown(line, pull) {
            let x = across.at(pull.stretch_m[reading]);
            let y = up.at(pull.residual_n[reading]);
            mark(&mut canvas, *shape, (x, y), s * 0.26);
        }
    }
    let noise = frame.units.hand_force(2.0 * line.noise_n);
    let named = format!("{} Dashed: two standard deviations, {noise}.", key(line));
    let y = text_block(&mut canvas, &named, field.bottom + s * 2.7, frame);
    let like = match line.residuals_like_noise {
        true => "They pass for noise.",
        false => "They are not like noise.",
    };
    Drawing {
        height: y + s * 0.4,
        body: canvas.into_body(),
        words: format!("Fitted less measured loads against stretch. {named} {like}"),
    }
}
