//! The frame of a chart: marks, rules, names of its sides.

use crate::axis::Axis;
use crate::canvas::{At, Canvas, Hang, Pen};
use crate::fonts::{Weight, text_width};
use crate::ink::{INK, RULE};

/// The field of a chart on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field {
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
}

impl Field {
    /// Corners in order.
    pub(super) fn corners(self) -> [At; 4] {
        [
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        ]
    }
}

/// Draws rules, marks and the frame; `across_words` is left out on a panel that
/// shares its scale with the one below.
pub(super) fn frame(
    canvas: &mut Canvas,
    field: Field,
    across: (&Axis, Option<&str>),
    up: (&Axis, &str),
    size: f64,
) {
    let small = size * 0.9;
    let hair = Pen::full(RULE, size * 0.04);
    for (value, text) in &up.0.marks {
        let y = up.0.at(*value);
        canvas.line((field.left, y), (field.right, y), hair);
        canvas.text(
            (field.left - size * 0.4, y + small * 0.35),
            text,
            small,
            (Weight::Regular, Hang::Right),
        );
    }
    for (value, text) in &across.0.marks {
        let x = across.0.at(*value);
        canvas.line(
            (x, field.bottom),
            (x, field.bottom + size * 0.3),
            Pen::full(INK, size * 0.07),
        );
        if across.1.is_some() {
            canvas.text(
                (x, field.bottom + size * 1.3),
                text,
                small,
                (Weight::Regular, Hang::Middle),
            );
        }
    }
    let outline = Pen::full(INK, size * 0.08);
    canvas.line((field.left, field.top), (field.left, field.bottom), outline);
    canvas.line(
        (field.left, field.bottom),
        (field.right, field.bottom),
        outline,
    );
    canvas.text(
        (0.0, field.top - size * 0.75),
        &format!("{} ({})", up.1, up.0.unit),
        size,
        (Weight::Bold, Hang::Left),
    );
    if let Some(words) = across.1 {
        canvas.text(
            (field.right, field.bottom + size * 2.55),
            &format!("{words} ({})", across.0.unit),
            size,
            (Weight::Bold, Hang::Right),
        );
    }
}

/// Room for the widest mark of an upright axis.
pub(super) fn mark_room(axis: &Axis, size: f64) -> f64 {
    let widest = axis
        .marks
        .iter()
        .map(|m| text_width(&m.1, size * 0.9, Weight::Regular));
    widest.fold(0.0, f64::max) + size * 0.6
}

/// A curve thinned to what the sheet can show: in each step across, the first,
/// lowest, highest and last point, so that no peak is lost.
pub(super) fn thinned(points: &[At], step: f64) -> Vec<At> {
    let mut out: Vec<At> = Vec::new();
    let mut column: Vec<At> = Vec::new();
    let flush = |column: &mut Vec<At>, out: &mut Vec<At>| {
        if let (Some(first), Some(last)) = (column.first().copied(), column.last().copied()) {
            let low = column
                .iter()
                .copied()
                .reduce(|a, b| if b.1 < a.1 { b } else { a });
            let high = column
                .iter()
                .copied()
                .reduce(|a, b| if b.1 > a.1 { b } else { a });
            let mut keep = vec![first];
            keep.extend(low);
            keep.extend(high);
            keep.push(last);
            keep.sort_by(|a, b| a.0.total_cmp(&b.0));
            keep.dedup();
            out.extend(keep);
        }
        column.clear();
    };
    for point in points {
        if column.first().is_some_and(|first| point.0 - first.0 > step) {
            flush(&mut column, &mut out);
        }
        column.push(*point);
    }
    flush(&mut column, &mut out);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thinning_keeps_the_peak() {
        let points: Vec<At> = (0..10_000)
            .map(|i| (f64::from(i) / 100.0, if i == 5432 { 9.0 } else { 1.0 }))
            .collect();
        let thin = thinned(&points, 1.0);
        assert!(thin.len() < 450, "{}", thin.len());
        assert!(thin.iter().any(|p| p.1 == 9.0));
    }
}
