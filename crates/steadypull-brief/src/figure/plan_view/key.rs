//! Scale bar, key, and the notes of a figure that is printed alone.

use steadypull_contract::answer::Standoff;

use super::super::Frame;
use super::ground::Ground;
use crate::canvas::{Canvas, Hang, LEADING, Pen};
use crate::fonts::{Weight, text_width, wrap, wrap_label};
use crate::ink::{ACCENT, INK, WHITE};

/// Scale bar and key; gives back the lowest base line used.
pub(super) fn key(
    canvas: &mut Canvas,
    standoff: &Standoff,
    ground: &Ground,
    y: f64,
    frame: Frame,
) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let y = y + s * 1.6;
    let bar_end = scale_bar(canvas, ground, y, frame);
    let governs = if standoff.computed_governs {
        "the computed flight"
    } else {
        "the rule"
    };
    let mut items = vec![
        (
            Pen::full(ACCENT, s * 0.2),
            format!("zone: nobody inside (set by {governs})"),
        ),
        (
            Pen::dashed(INK, s * 0.11, "5 3"),
            format!("rule: {}", frame.units.length(standoff.rule_m)),
        ),
    ];
    if standoff.zone.is_empty() {
        items.remove(0);
    }
    let left = bar_end + s * 1.5;
    let widest = items
        .iter()
        .map(|(_, text)| text_width(text, small, Weight::Regular));
    let needed = widest.fold(0.0, f64::max) + s * 3.2;
    // Beside the scale bar where it fits, else under it.
    let (left, mut y) = if left + needed < frame.width {
        (left, y - small * LEADING)
    } else {
        (0.0, y + s * 0.3)
    };
    for (pen, text) in items {
        y += small * LEADING;
        canvas.line(
            (left, y - small * 0.35),
            (left + s * 2.2, y - small * 0.35),
            pen,
        );
        canvas.text(
            (left + s * 2.8, y),
            &text,
            small,
            (Weight::Regular, Hang::Left),
        );
    }
    if standoff
        .outlines
        .iter()
        .any(|o| o.what.to_lowercase().contains("damper"))
    {
        y += small * LEADING;
        canvas.rect(
            (left + s * 0.8, y - s * 0.8),
            (s * 0.55, s * 0.85),
            Some(INK),
            None,
        );
        canvas.text(
            (left + s * 2.8, y),
            "damper",
            small,
            (Weight::Regular, Hang::Left),
        );
    }
    y
}

/// A scale bar from the left edge, its length beside it; gives back where it ends.
pub(super) fn scale_bar(canvas: &mut Canvas, ground: &Ground, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let small = s * 0.9;
    let unit = frame.units.length_axis();
    let across = frame.width * 0.22 / ground.scale / unit.si;
    let bar = round_below(across);
    let wide = bar * unit.si * ground.scale;
    for (i, fill) in [INK, WHITE, INK, WHITE].into_iter().enumerate() {
        let quarter = wide / 4.0;
        canvas.rect(
            (i as f64 * quarter, y - s * 0.45),
            (quarter, s * 0.4),
            Some(fill),
            Some(Pen::full(INK, s * 0.06)),
        );
    }
    let label = frame.units.length(bar * unit.si);
    let style = (Weight::Bold, Hang::Left);
    canvas.text((wide + s * 0.5, y), &label, small, style);
    wide + s * 0.5 + text_width(&label, small, Weight::Bold)
}

/// The greatest of 1, 2, 5 times a power of ten at or below a length.
fn round_below(length: f64) -> f64 {
    let mut step = 1e-3;
    while step * 10.0 <= length && step < 1e6 {
        step *= 10.0;
    }
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|n| n * step)
        .find(|v| *v <= length)
        .unwrap_or(step)
}

/// Who stands where, for a figure that is printed alone.
pub(super) fn places(canvas: &mut Canvas, standoff: &Standoff, y: f64, frame: Frame) -> f64 {
    let s = frame.size;
    let mut y = y + s * 0.5;
    for place in &standoff.places {
        for line in wrap_label(
            &format!("{}: {}", place.who, place.place),
            s * 0.9,
            Weight::Regular,
            frame.width,
            4,
        ) {
            y += s * 0.9 * LEADING;
            canvas.text((0.0, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
        }
    }
    for line in wrap(&standoff.rule, s * 0.9, Weight::Regular, frame.width) {
        y += s * 0.9 * LEADING;
        canvas.text((0.0, y), &line, s * 0.9, (Weight::Regular, Hang::Left));
    }
    y
}

#[cfg(test)]
mod tests {
    use super::round_below;

    #[test]
    fn scale_bars_are_round() {
        for (length, bar) in [(7.3, 5.0), (19.9, 10.0), (130.0, 100.0), (0.4, 0.2)] {
            assert!((round_below(length) - bar).abs() < 1e-9, "{length}");
        }
    }
}
