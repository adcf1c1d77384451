//! What the drawn figures share: the page, a panel with axes, marks told apart
//! by shape so that they read without colour.

use core::fmt::Write;

pub const INK: &str = "#1b1f24";
pub const ACCENT: &str = "#b3470f";
const GRID: &str = "#d9dce0";
const SHADE: &str = "#eef1f4";

/// Opens an SVG page with its title.
pub fn page(width: f64, height: f64, title: &str) -> String {
    let mut svg = String::new();
    let _ = writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" font-family="sans-serif" font-size="13" fill="{INK}" role="img" aria-labelledby="title">"#
    );
    let _ = writeln!(svg, r#"<title id="title">{title}</title>"#);
    let _ = writeln!(
        svg,
        r##"<rect width="{width}" height="{height}" fill="#ffffff"/>"##
    );
    text(&mut svg, (24.0, 32.0), "start", 17, title);
    svg
}

/// One line of text, anchored at its start, middle or end.
pub fn text(svg: &mut String, (x, y): (f64, f64), anchor: &str, size: u32, words: &str) {
    let _ = writeln!(
        svg,
        r#"<text x="{x:.1}" y="{y:.1}" font-size="{size}" text-anchor="{anchor}">{words}</text>"#
    );
}

/// The shapes of marks, in the order in which they are used.
pub fn mark(svg: &mut String, shape: usize, (x, y): (f64, f64), filled: bool) {
    let fill = if filled { INK } else { "#ffffff" };
    let path = match shape % 3 {
        0 => {
            let _ = writeln!(
                svg,
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="4" fill="{fill}" stroke="{INK}"/>"#
            );
            return;
        }
        1 => format!("M{:.1} {:.1}h7v7h-7z", x - 3.5, y - 3.5),
        _ => format!("M{x:.1} {:.1}l4.5 8h-9z", y - 5.0),
    };
    let _ = writeln!(svg, r#"<path d="{path}" fill="{fill}" stroke="{INK}"/>"#);
}

/// A rectangle with a logarithmic axis across and a straight one up.
#[derive(Debug, Clone, Copy)]
pub struct Panel {
    /// Left, top, width and height on the page.
    pub place: (f64, f64, f64, f64),
    /// Ends of the axis across, above nothing.
    pub across: (f64, f64),
    /// Ends of the axis up.
    pub up: (f64, f64),
}

impl Panel {
    /// Where a value lies across.
    pub fn x(&self, value: f64) -> f64 {
        let (low, high) = (libm::log(self.across.0), libm::log(self.across.1));
        self.place.0 + self.place.2 * (libm::log(value) - low) / (high - low)
    }

    /// Where a value lies up, held inside the panel.
    pub fn y(&self, value: f64) -> f64 {
        let share = (value - self.up.0) / (self.up.1 - self.up.0);
        self.place.1 + self.place.3 * (1.0 - share.clamp(0.0, 1.0))
    }

    /// Shades what lies between two values up.
    pub fn shade_up(&self, svg: &mut String, low: f64, high: f64) {
        let (top, bottom) = (self.y(high), self.y(low));
        let _ = writeln!(
            svg,
            r#"<rect x="{:.1}" y="{top:.1}" width="{:.1}" height="{:.1}" fill="{SHADE}"/>"#,
            self.place.0,
            self.place.2,
            bottom - top
        );
    }

    /// Grid lines and words at the given places across.
    pub fn ticks_across(&self, svg: &mut String, ticks: &[(f64, String)]) {
        let (_, top, _, height) = self.place;
        for (value, words) in ticks {
            let x = self.x(*value);
            let _ = writeln!(
                svg,
                r#"<path d="M{x:.1} {top:.1}v{height:.1}" stroke="{GRID}"/>"#
            );
            text(svg, (x, top + height + 18.0), "middle", 12, words);
        }
    }

    /// Grid lines and words at the given places up.
    pub fn ticks_up(&self, svg: &mut String, ticks: &[(f64, String)]) {
        let (left, _, width, _) = self.place;
        for (value, words) in ticks {
            let y = self.y(*value);
            let _ = writeln!(
                svg,
                r#"<path d="M{left:.1} {y:.1}h{width:.1}" stroke="{GRID}"/>"#
            );
            text(svg, (left - 8.0, y + 4.0), "end", 12, words);
        }
    }

    /// The frame and what the axes say.
    pub fn frame(&self, svg: &mut String, across: &str, up: &str) {
        let (left, top, width, height) = self.place;
        let _ = writeln!(
            svg,
            r#"<path d="M{left:.1} {top:.1}v{height:.1}h{width:.1}" fill="none" stroke="{INK}"/>"#
        );
        text(
            svg,
            (left + width / 2.0, top + height + 40.0),
            "middle",
            13,
            across,
        );
        let _ = writeln!(
            svg,
            r#"<text transform="translate({:.1} {:.1}) rotate(-90)" text-anchor="middle">{up}</text>"#,
            left - 52.0,
            top + height / 2.0
        );
    }

    /// A line through points with a mark at each.
    pub fn line(&self, svg: &mut String, points: &[(f64, f64)], shape: usize, filled: bool) {
        let places: Vec<(f64, f64)> = points
            .iter()
            .map(|&(a, b)| (self.x(a), self.y(b)))
            .collect();
        let path: Vec<String> = places
            .iter()
            .map(|(x, y)| format!("{x:.1} {y:.1}"))
            .collect();
        let dash = if filled {
            ""
        } else {
            r#" stroke-dasharray="5 3""#
        };
        let _ = writeln!(
            svg,
            r#"<path d="M{}" fill="none" stroke="{INK}"{dash}/>"#,
            path.join("L")
        );
        for place in places {
            mark(svg, shape, place, filled);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_is_logarithmic_across_and_straight_up_and_keeps_its_marks_inside() {
        let panel = Panel {
            place: (100.0, 50.0, 200.0, 300.0),
            across: (1.0, 100.0),
            up: (-2.0, 1.0),
        };
        assert!((panel.x(10.0) - 200.0).abs() < 1e-9);
        assert!((panel.y(0.0) - 150.0).abs() < 1e-9);
        assert_eq!(panel.y(9.0), 50.0);
        assert_eq!(panel.y(-9.0), 350.0);
    }
}
