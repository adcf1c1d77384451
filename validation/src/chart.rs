//! Computed against published, on logarithmic axes around the line of equality.
//!
//! Every value that is above nothing on both sides is a mark; its shape says
//! how far the source was seen, so the picture reads without colour. A band is
//! a bar from end to end with its mark in the middle: it holds where the bar
//! crosses the line.

use crate::check::{Against, Outcome};
use core::fmt::Write;
use steadypull_engine::source::Status;

const SIZE: f64 = 680.0;
const LEFT: f64 = 80.0;
const TOP: f64 = 60.0;
const PLOT: f64 = 560.0;
const INK: &str = "#1b1f24";
const ACCENT: &str = "#b3470f";

/// The statuses that have marks, with their words.
const MARKS: [Status; 4] = [
    Status::Read,
    Status::Computed,
    Status::FromMemory,
    Status::CommonPractice,
];

/// The chart as an SVG document.
pub fn chart(outcomes: &[Outcome]) -> String {
    let axis = Axis::of(outcomes);
    let mut svg = String::new();
    let _ = writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE} {SIZE}" width="{SIZE}" height="{SIZE}" font-family="sans-serif" font-size="13" fill="{INK}" role="img" aria-labelledby="title">"#
    );
    let count: usize = outcomes.iter().map(|o| plotted(o).len()).sum();
    let _ = writeln!(
        svg,
        r#"<title id="title">Computed against published, {count} values</title>"#
    );
    let _ = writeln!(
        svg,
        r##"<rect width="{SIZE}" height="{SIZE}" fill="#ffffff"/>"##
    );
    let _ = writeln!(
        svg,
        r#"<text x="{LEFT}" y="32" font-size="17">Computed against published, {count} values</text>"#
    );
    axes(&mut svg, axis);
    for outcome in outcomes {
        for point in plotted(outcome) {
            let (left, right, y) = (axis.x(point.low), axis.x(point.high), axis.y(point.got));
            if left < right {
                let _ = writeln!(
                    svg,
                    r#"<path d="M{left:.1} {y:.1}H{right:.1}" stroke="{INK}"/>"#
                );
            }
            let mark = mark(outcome.check.source.status, 0.5 * (left + right), y);
            let _ = writeln!(svg, "{mark}");
        }
    }
    legend(&mut svg);
    svg.push_str("</svg>\n");
    svg
}

/// What is drawn of one value: the published band (a value is one of no width)
/// and what was computed.
#[derive(Clone, Copy)]
struct Point {
    low: f64,
    high: f64,
    got: f64,
}

/// The values and closed bands that have a place on logarithmic axes.
fn plotted(outcome: &Outcome) -> Vec<Point> {
    let got = outcome.check.got.iter();
    let points: Vec<Point> = match &outcome.check.against {
        Against::Values { expected, .. } => expected
            .iter()
            .zip(got)
            .map(|(&e, &got)| Point {
                low: e,
                high: e,
                got,
            })
            .collect(),
        Against::Bands(bands) => bands
            .iter()
            .zip(got)
            .map(|(&(low, high), &got)| Point { low, high, got })
            .collect(),
        Against::Statements(_) => Vec::new(),
    };
    points
        .into_iter()
        .filter(|p| p.low > 0.0 && p.got > 0.0 && p.high < f64::MAX)
        .collect()
}

/// Whole decades from `low` to `high`, the same both ways.
#[derive(Clone, Copy)]
struct Axis {
    low: f64,
    high: f64,
}

impl Axis {
    fn of(outcomes: &[Outcome]) -> Self {
        let ends = |p: Point| [p.low, p.high, p.got];
        let decades = outcomes
            .iter()
            .flat_map(plotted)
            .flat_map(ends)
            .map(libm::log10);
        let (low, high) = decades.fold((0.0, 1.0), |(low, high): (f64, f64), d| {
            (low.min(d), high.max(d))
        });
        Self {
            low: low.floor(),
            high: high.ceil(),
        }
    }

    fn share(self, value: f64) -> f64 {
        (libm::log10(value) - self.low) / (self.high - self.low)
    }

    fn x(self, value: f64) -> f64 {
        LEFT + PLOT * self.share(value)
    }

    fn y(self, value: f64) -> f64 {
        TOP + PLOT * (1.0 - self.share(value))
    }
}

fn axes(svg: &mut String, axis: Axis) {
    let (right, bottom) = (LEFT + PLOT, TOP + PLOT);
    for decade in (axis.low as i32)..=(axis.high as i32) {
        let value = libm::pow(10.0, f64::from(decade));
        let (x, y) = (axis.x(value), axis.y(value));
        let _ = writeln!(
            svg,
            r##"<path d="M{x:.1} {TOP}V{bottom}M{LEFT} {y:.1}H{right}" stroke="#d9dce0"/>"##
        );
        let _ = writeln!(
            svg,
            r#"<text x="{x:.1}" y="{:.1}" text-anchor="middle">1e{decade}</text>"#,
            bottom + 20.0
        );
        let _ = writeln!(
            svg,
            r#"<text x="{:.1}" y="{:.1}" text-anchor="end">1e{decade}</text>"#,
            LEFT - 8.0,
            y + 4.0
        );
    }
    let _ = writeln!(
        svg,
        r#"<path d="M{LEFT} {bottom}L{right} {TOP}" stroke="{ACCENT}" stroke-width="1.5"/>"#
    );
    let _ = writeln!(
        svg,
        r#"<path d="M{LEFT} {TOP}V{bottom}H{right}" fill="none" stroke="{INK}"/>"#
    );
    let _ = writeln!(
        svg,
        r#"<text x="{:.1}" y="{:.1}" text-anchor="middle">published (each in its own unit)</text>"#,
        LEFT + PLOT / 2.0,
        bottom + 42.0
    );
    let _ = writeln!(
        svg,
        r#"<text transform="translate(24 {:.1}) rotate(-90)" text-anchor="middle">computed</text>"#,
        TOP + PLOT / 2.0
    );
}

fn mark(status: Status, x: f64, y: f64) -> String {
    let path = match status {
        Status::Read => {
            return format!(
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="4" fill="none" stroke="{INK}"/>"#
            );
        }
        Status::Computed => format!("M{:.1} {:.1}h7v7h-7z", x - 3.5, y - 3.5),
        Status::FromMemory => format!("M{x:.1} {:.1}l4 8h-8z", y - 5.0),
        Status::CommonPractice | Status::Assumed => {
            format!("M{x:.1} {:.1}l5 5l-5 5l-5 -5z", y - 5.0)
        }
    };
    format!(r#"<path d="{path}" fill="none" stroke="{INK}"/>"#)
}

fn legend(svg: &mut String) {
    for (i, status) in MARKS.into_iter().enumerate() {
        let y = TOP + 24.0 + 22.0 * i as f64;
        let mark = mark(status, LEFT + 20.0, y);
        let _ = writeln!(
            svg,
            r#"{mark}<text x="{:.1}" y="{:.1}">{}</text>"#,
            LEFT + 34.0,
            y + 4.0,
            status.words()
        );
    }
    let y = TOP + 24.0 + 22.0 * MARKS.len() as f64;
    let _ = writeln!(
        svg,
        r#"<path d="M{:.1} {y:.1}h16" stroke="{ACCENT}" stroke-width="1.5"/><text x="{:.1}" y="{:.1}">computed = published</text>"#,
        LEFT + 12.0,
        LEFT + 34.0,
        y + 4.0
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Tolerance, check};
    use steadypull_engine::source::Source;

    #[test]
    fn equal_values_lie_on_the_line_and_nothing_has_no_mark() {
        let source = Source::new("invented", Status::Read);
        let pair = check("CV-X", "marks", source, "-").values(
            [10.0, 0.0],
            [10.0, 0.0],
            Tolerance::Exact,
            "",
        );
        let outcomes = [Outcome::judge(pair)];
        let axis = Axis::of(&outcomes);
        assert!((axis.x(10.0) - LEFT - (TOP + PLOT - axis.y(10.0))).abs() < 1e-9);
        // One mark, and one in the legend.
        assert_eq!(chart(&outcomes).matches("<circle").count(), 2);
    }
}
