//! The figure of `docs/convergence.svg`: how far the speed of what flies is off
//! by the number of segments, and by the step.

use crate::convergence::{CASES, SEGMENTS, STEPS, percent_off};
use crate::figure::{ACCENT, Panel, mark, page, text};
use core::fmt::Write;
use steadypull_engine::letgo::StepChoice;

const UP: (f64, f64) = (-8.0, 2.0);

/// The figure as an SVG document.
pub fn chart() -> String {
    let mut svg = page(
        980.0,
        520.0,
        "Greatest speed of what flies: how far off by segments and step",
    );
    let left = Panel {
        place: (84.0, 60.0, 380.0, 300.0),
        across: (7.0, 290.0),
        up: UP,
    };
    let right = Panel {
        place: (560.0, 60.0, 380.0, 300.0),
        across: (0.021, 0.48),
        up: UP,
    };
    let settled: Vec<f64> = CASES.iter().map(|case| case.settled_m_s()).collect();
    let segments = SEGMENTS.map(|n| (n as f64, n.to_string()));
    axes(
        &mut svg,
        &left,
        &segments,
        "segments of 9 m of line, step by the wave",
    );
    let steps = STEPS.map(|share| (share, share.to_string()));
    axes(
        &mut svg,
        &right,
        &steps,
        "fixed step, 64 segments, over the crossing of one by the wave",
    );
    for (i, case) in CASES.iter().enumerate() {
        let (shape, straight) = (i % 3, i < 3);
        let by_segments = SEGMENTS.map(|n| {
            let speed = case.speed_m_s(n, StepChoice::ByWave);
            (n as f64, percent_off(speed, settled[i]))
        });
        left.line(&mut svg, &by_segments, shape, straight);
        let by_step = STEPS.map(|share| (share, percent_off(case.at_step_m_s(share), settled[i])));
        right.line(&mut svg, &by_step, shape, straight);
        legend(&mut svg, i, case.name);
    }
    default_here(&mut svg, &left, 64.0, "default");
    default_here(&mut svg, &right, 0.29, "as chosen by the wave");
    foot(&mut svg);
    svg.push_str("</svg>\n");
    svg
}

fn axes(svg: &mut String, panel: &Panel, across: &[(f64, String)], words: &str) {
    panel.shade_up(svg, -1.0, 1.0);
    panel.ticks_across(svg, across);
    let percents: Vec<(f64, String)> = (-8..=2).map(|p| (f64::from(p), format!("{p} %"))).collect();
    panel.ticks_up(svg, &percents);
    panel.frame(svg, words, "off what it settles to");
}

fn default_here(svg: &mut String, panel: &Panel, at: f64, words: &str) {
    let (x, top) = (panel.x(at), panel.place.1);
    let _ = writeln!(
        svg,
        r#"<path d="M{x:.1} {top:.1}v{:.1}" stroke="{ACCENT}" stroke-width="1.5"/>"#,
        panel.place.3
    );
    text(svg, (x - 6.0, top + panel.place.3 - 8.0), "end", 12, words);
}

fn legend(svg: &mut String, i: usize, name: &str) {
    let (x, y) = (90.0 + 180.0 * (i % 3) as f64, 432.0 + 22.0 * (i / 3) as f64);
    mark(svg, i % 3, (x, y), i < 3);
    text(svg, (x + 12.0, y + 4.0), "start", 13, name);
}

fn foot(svg: &mut String) {
    for (i, words) in [
        "Shaded: 1 %. Settled: closed forms (c e; rod and end mass; simple wave); a stiffening line with hardware: 1024 segments.",
        "No gravity, air or ground. Straight: 88 kN at 18 %, 0.35 kg/m; stiffening: 70 kN (e/0.18)² and 0.55 kg/m.",
    ]
    .into_iter()
    .enumerate()
    {
        text(svg, (84.0, 486.0 + 18.0 * i as f64), "start", 12, words);
    }
}
