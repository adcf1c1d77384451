//! The figure of `docs/snap_back.svg`: published speeds, reaches and orders of
//! snap-back, and what the model says, as shares of what was published.

use crate::cases::thrown_by_wire;
use crate::figure::{ACCENT, INK, Panel, mark, page, text};
use crate::published::{self, Published};
use crate::rope_recoil::{ROPE_M, at_strength, front_over_crossing, trial};
use core::fmt::Write;
use steadypull_engine::line::rope_data::{HMPE, NYLON, POLYESTER, WIRE};
use steadypull_engine::units::Length;

const ROW: f64 = 58.0;
const TOP: f64 = 74.0;
const ENDS: (f64, f64) = (0.1, 10.0);

/// One published figure with what the model says of it.
struct Row {
    /// Its id and what it is.
    what: &'static str,
    /// What was published, in words.
    published: &'static str,
    /// The published figure itself, with what its source allows; none where what was
    /// seen is no figure.
    of: Option<Published>,
    /// The model's values with their names.
    model: Vec<(&'static str, f64)>,
    /// Where it lies outside, why; or what to know.
    note: &'static str,
}

/// The figure as an SVG document.
pub fn chart() -> String {
    let rows = rows();
    let height = TOP + ROW * rows.len() as f64 + 76.0;
    let mut svg = page(
        980.0,
        height,
        "Published snap-back, and what the model says",
    );
    let panel = Panel {
        place: (430.0, TOP - 16.0, 520.0, ROW * rows.len() as f64 + 10.0),
        across: ENDS,
        up: (0.0, 1.0),
    };
    for (i, row) in rows.iter().enumerate() {
        allowed(&mut svg, &panel, row, TOP + ROW * i as f64);
    }
    let ticks = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0].map(|v| (v, format!("{v} x")));
    panel.ticks_across(&mut svg, &ticks);
    for (i, row) in rows.iter().enumerate() {
        draw(&mut svg, &panel, row, TOP + ROW * i as f64);
    }
    let _ = writeln!(
        svg,
        r#"<path d="M{0:.1} {1:.1}v{2:.1}" stroke="{ACCENT}" stroke-width="1.5"/>"#,
        panel.x(1.0),
        panel.place.1,
        panel.place.3
    );
    foot(&mut svg, &panel);
    svg.push_str("</svg>\n");
    svg
}

fn rows() -> Vec<Row> {
    let thickness = Length::from_mm(24.0);
    let [nylon, polyester, hmpe] = [NYLON, POLYESTER, HMPE].map(|fit| at_strength(fit, thickness));
    let wire = at_strength(WIRE, Length::from_mm(11.0));
    let [tailed, bare] = [true, false].map(|with_tail| trial(0.5, with_tail, 1.0));
    vec![
        Row {
            what: "CV-SNAP-01 speed, synthetic line",
            published: "up to 222 m/s (800 km/h), no method given",
            of: Some(published::SYNTHETIC_M_S),
            model: vec![
                ("nylon", nylon.0),
                ("polyester", polyester.0),
                ("HMPE", hmpe.0),
            ],
            note: "an order; bare ends at full strength",
        },
        Row {
            what: "CV-SNAP-01 speed, wire",
            published: "up to 138.9 m/s (500 km/h), no method given",
            of: Some(published::WIRE_M_S),
            model: vec![("wire", wire.0)],
            note: "far below: no linear wire from rest gives more",
        },
        Row {
            what: "CV-SNAP-01 reach past the holder",
            published: "about as far as the line is long",
            of: Some(published::REACH_LENGTHS),
            model: vec![
                ("nylon", nylon.1),
                ("polyester", polyester.1),
                ("HMPE", hmpe.1),
                ("wire", wire.1),
            ],
            note: "20 m of line; in lengths of it",
        },
        Row {
            what: "CV-SNAP-05 front reaches the held end",
            published: "a front at the speed of the wave",
            of: Some(published::FRONT_OVER_CROSSING),
            model: vec![("nylon", front_over_crossing(NYLON, thickness))],
            note: "time over L/c",
        },
        Row {
            what: "CV-SYN-03 stretch of HMPE at break",
            published: "about 2 %",
            of: Some(published::HMPE_STRETCH_PERCENT),
            model: vec![("HMPE", 100.0 * HMPE.strain_at_break())],
            note: "",
        },
        Row {
            what: "CV-SYN-03 end with elastic tail",
            published: "over 15 m in under a second",
            of: Some(published::TAIL_M),
            model: vec![
                ("m in 1 s", tailed.flown_m),
                ("mean m/s over 15 m", tailed.over_15_m_m_s),
            ],
            note: "22 m of tail, 10 m of HMPE, at half its strength",
        },
        Row {
            what: "CV-SYN-03 end without a tail",
            published: "did not snap back",
            of: None,
            model: vec![("m in 1 s", bare.flown_m)],
            note: "outside, on the safe side: the break itself loses nothing here",
        },
        Row {
            what: "CV-DIST-04 block of 91 kg thrown",
            published: "up to 274 m (300 yd)",
            of: Some(published::BLOCK_M),
            model: vec![
                ("20 m of wire", thrown_by_wire(20.0)),
                ("60 m", thrown_by_wire(60.0)),
                ("300 m", thrown_by_wire(300.0)),
            ],
            note: "an order; little wire holds too little energy",
        },
    ]
}

fn held(value: f64) -> f64 {
    value.clamp(ENDS.0, ENDS.1)
}

fn allowed(svg: &mut String, panel: &Panel, row: &Row, y: f64) {
    let Some(published) = row.of else { return };
    let (low, high) = published.allowed;
    let (left, right) = (panel.x(held(low)), panel.x(held(high)));
    if left < right {
        let _ = writeln!(
            svg,
            r##"<rect x="{left:.1}" y="{:.1}" width="{:.1}" height="28" fill="#e3e8ed"/>"##,
            y - 12.0,
            right - left
        );
    }
}

fn draw(svg: &mut String, panel: &Panel, row: &Row, y: f64) {
    text(svg, (24.0, y), "start", 13, row.what);
    text(svg, (24.0, y + 16.0), "start", 12, row.published);
    text(svg, (24.0, y + 31.0), "start", 11, row.note);
    let mut words = Vec::new();
    for (shape, &(name, value)) in row.model.iter().enumerate() {
        let share = value / row.of.map_or(1.0, |of| of.figure);
        mark(svg, shape, (panel.x(held(share)), y + 2.0), shape < 3);
        if !(ENDS.0..=ENDS.1).contains(&share) {
            let x = panel.x(held(share));
            let _ = writeln!(
                svg,
                r#"<path d="M{:.1} {:.1}h10m-4 -4l4 4l-4 4" fill="none" stroke="{INK}"/>"#,
                x + 6.0,
                y + 2.0
            );
        }
        words.push(format!("{name} {}", three_figures(value)));
    }
    text(
        svg,
        (panel.place.0 + 6.0, y + 31.0),
        "start",
        11,
        &words.join("; "),
    );
}

fn three_figures(value: f64) -> String {
    match value.abs() {
        v if v >= 100.0 => format!("{value:.0}"),
        v if v >= 10.0 => format!("{value:.1}"),
        _ => format!("{value:.2}"),
    }
}

fn foot(svg: &mut String, panel: &Panel) {
    let y = panel.place.1 + panel.place.3 + 44.0;
    text(
        svg,
        (panel.place.0 + panel.place.2 / 2.0, y),
        "middle",
        13,
        "model over published",
    );
    let lengths = format!(
        "Shaded: what the source allows. Marks: circle, square, triangle, open circle in the order of the words. Ropes of {ROPE_M} m unless said."
    );
    text(svg, (24.0, y + 24.0), "start", 12, &lengths);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_outside_the_axis_is_held_at_its_end_and_figures_keep_three_digits() {
        assert_eq!(held(0.001), ENDS.0);
        assert_eq!(held(50.0), ENDS.1);
        assert_eq!(
            ["45.2", "270", "0.96"],
            [45.17, 269.9, 0.956].map(three_figures)
        );
    }
}
