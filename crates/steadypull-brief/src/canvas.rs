//! A sheet that collects SVG shapes and text.
//!
//! Coordinates run right and down in the unit of the sheet. No coordinate that
//! is not finite, and no character that XML forbids, gets past this file.

use std::fmt::Write as _;

use crate::fonts::{self, Weight};
use crate::ink::{INK, WHITE};

/// A point on the sheet.
pub type At = (f64, f64);

/// Where a text is hung up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hang {
    /// At its left end.
    Left,
    /// At its middle.
    Middle,
    /// At its right end.
    Right,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Pen {
    /// Colour.
    pub colour: &'static str,
    /// Width.
    pub width: f64,
    /// Dash pattern; empty for a full line.
    pub dash: &'static str,
}

impl Pen {
    /// A full line.
    pub fn full(colour: &'static str, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: "",
        }
    }

    /// A dashed line.
    pub fn dashed(colour: &'static str, width: f64, dash: &'static str) -> Self {
        Self {
            colour,
            width,
            dash,
        }
    }

    fn attributes(self) -> String {
        let dash = if self.dash.is_empty() {
            String::new()
        } else {
            format!(" stroke-dasharray=\"{}\"", self.dash)
        };
        format!(
            "stroke=\"{}\" stroke-width=\"{}\"{dash}",
            self.colour,
            number(self.width)
        )
    }
}

/// A sheet under the pen.
#[derive(Debug, Clone, Default)]
pub struct Canvas {
    body: String,
}

impl Canvas {
    /// An empty sheet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The shapes so far.
    pub fn into_body(self) -> String {
        self.body
    }

    /// A straight line.
    pub fn line(&mut self, from: At, to: At, pen: Pen) {
        let _ = write!(
            self.body,
            "<path d=\"M{} {}L{} {}\" fill=\"none\" {}/>",
            number(from.0),
            number(from.1),
            number(to.0),
            number(to.1),
            pen.attributes()
        );
    }

    /// A broken line through points.
    pub fn polyline(&mut self, points: &[At], pen: Pen) {
        if points.len() > 1 {
            let d = path_through(points);
            let _ = write!(
                self.body,
                "<path d=\"{d}\" fill=\"none\" stroke-linejoin=\"round\" {}/>",
                pen.attributes()
            );
        }
    }

    /// Many separate strokes in one path.
    pub fn strokes(&mut self, strokes: &[(At, At)], pen: Pen) {
        if strokes.is_empty() {
            return;
        }
        let mut d = String::new();
        for (from, to) in strokes {
            d.push_str(&path_through(&[*from, *to]));
        }
        let _ = write!(
            self.body,
            "<path d=\"{d}\" fill=\"none\" {}/>",
            pen.attributes()
        );
    }

    /// A closed shape.
    pub fn polygon(&mut self, points: &[At], fill: Option<&str>, pen: Option<Pen>) {
        if points.len() < 2 {
            return;
        }
        let d = path_through(points);
        let _ = write!(self.body, "<path d=\"{d}Z\" {}/>", paint(fill, pen));
    }

    /// A rectangle.
    pub fn rect(&mut self, corner: At, size: At, fill: Option<&str>, pen: Option<Pen>) {
        let _ = write!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" {}/>",
            number(corner.0),
            number(corner.1),
            number(size.0.max(0.0)),
            number(size.1.max(0.0)),
            paint(fill, pen)
        );
    }

    /// A circle.
    pub fn circle(&mut self, centre: At, radius: f64, fill: Option<&str>, pen: Option<Pen>) {
        let _ = write!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>",
            number(centre.0),
            number(centre.1),
            number(radius),
            paint(fill, pen)
        );
    }

    /// One line of text on a base line.
    pub fn text(&mut self, at: At, text: &str, size: f64, style: (Weight, Hang)) {
        self.coloured_text(at, text, size, style, INK);
    }

    /// One line of text in a colour.
    pub fn coloured_text(
        &mut self,
        at: At,
        text: &str,
        size: f64,
        style: (Weight, Hang),
        colour: &str,
    ) {
        let text = escape(text);
        if text.trim().is_empty() {
            return;
        }
        let weight = if style.0 == Weight::Bold {
            " font-weight=\"700\""
        } else {
            ""
        };
        let anchor = match style.1 {
            Hang::Left => "",
            Hang::Middle => " text-anchor=\"middle\"",
            Hang::Right => " text-anchor=\"end\"",
        };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{colour}\"{weight}{anchor}>{text}</text>",
            number(at.0),
            number(at.1),
            number(size)
        );
    }

    /// Text on a white ground, readable over lines.
    pub fn text_on_white(&mut self, at: At, text: &str, size: f64, style: (Weight, Hang)) {
        let wide = fonts::text_width(text, size, style.0);
        let left = match style.1 {
            Hang::Left => at.0,
            Hang::Middle => at.0 - wide / 2.0,
            Hang::Right => at.0 - wide,
        };
        let pad = size * 0.2;
        self.rect(
            (left - pad, at.1 - size * 0.92),
            (wide + 2.0 * pad, size * 1.22),
            Some(WHITE),
            None,
        );
        self.text(at, text, size, style);
    }

    /// Lines of text one under the other from a first base line.
    pub fn lines(&mut self, at: At, lines: &[String], size: f64, style: (Weight, Hang)) {
        for (i, line) in lines.iter().enumerate() {
            self.text((at.0, at.1 + i as f64 * size * LEADING), line, size, style);
        }
    }

    /// Another drawing's shapes, moved.
    pub fn place(&mut self, at: At, body: &str) {
        let _ = write!(
            self.body,
            "<g transform=\"translate({} {})\">{body}</g>",
            number(at.0),
            number(at.1)
        );
    }

    /// Hatching at 45 degrees inside a closed shape, clipped by arithmetic so
    /// that a drawing needs no pattern and no identifier.
    pub fn hatch(&mut self, points: &[At], gap: f64, pen: Pen) {
        self.strokes(&hatch_strokes(points, gap), pen);
    }
}

/// Distance of base lines over text size.
pub const LEADING: f64 = 1.28;

fn paint(fill: Option<&str>, pen: Option<Pen>) -> String {
    let fill = format!("fill=\"{}\"", fill.unwrap_or("none"));
    pen.map_or(fill.clone(), |pen| format!("{fill} {}", pen.attributes()))
}

fn path_through(points: &[At]) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let _ = write!(
            d,
            "{}{} {}",
            if i == 0 { 'M' } else { 'L' },
            number(*x),
            number(*y)
        );
    }
    d
}

/// Strokes along x + y = constant where they lie inside the shape (even-odd).
fn hatch_strokes(points: &[At], gap: f64) -> Vec<(At, At)> {
    let sums = points.iter().map(|p| p.0 + p.1);
    let low = sums.clone().fold(f64::INFINITY, f64::min);
    let high = sums.fold(f64::NEG_INFINITY, f64::max);
    let mut strokes = Vec::new();
    if !(low.is_finite() && high.is_finite() && gap > 0.0) || (high - low) / gap > 2000.0 {
        return strokes;
    }
    let mut sum = ((low / gap).floor() + 1.0) * gap;
    while sum < high {
        let mut crossings: Vec<f64> = Vec::new();
        for (i, a) in points.iter().enumerate() {
            let b = points[(i + 1) % points.len()];
            let (sa, sb) = (a.0 + a.1 - sum, b.0 + b.1 - sum);
            if (sa <= 0.0) != (sb <= 0.0) {
                crossings.push(a.0 + (b.0 - a.0) * sa / (sa - sb));
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            strokes.push(((pair[0], sum - pair[0]), (pair[1], sum - pair[1])));
        }
        sum += gap;
    }
    strokes
}

/// A coordinate: two decimals at most, never a word.
pub fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    // Far off any sheet, and past what single precision can place.
    let value = value.clamp(-1e5, 1e5);
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" || text.is_empty() {
        "0".into()
    } else {
        text.into()
    }
}

/// Text for SVG and HTML: markup escaped, control and direction-changing
/// characters (which could hide or reorder a warning) shown as a question mark.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' | '\r' => out.push(' '),
            c if c.is_control() || is_hidden(c) => out.push('?'),
            c => out.push(c),
        }
    }
    out
}

fn is_hidden(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}'
        | '\u{feff}' | '\u{fff0}'..='\u{fffc}' | '\u{fffe}' | '\u{ffff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_are_always_numbers() {
        let cases = [
            (1.0, "1"),
            (1.256, "1.26"),
            (-0.001, "0"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (1e300, "100000"),
            (10.50, "10.5"),
            (100.0, "100"),
        ];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn markup_and_hidden_characters_are_disarmed() {
        assert_eq!(
            escape("<a & \"b\">\u{202e}\0"),
            "&lt;a &amp; &quot;b&quot;&gt;??"
        );
    }

    #[test]
    fn hatching_stays_inside() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let strokes = hatch_strokes(&square, 2.0);
        assert_eq!(strokes.len(), 9);
        for ((x1, y1), (x2, y2)) in strokes {
            for v in [x1, y1, x2, y2] {
                assert!((-1e-9..=10.0 + 1e-9).contains(&v), "{v}");
            }
        }
    }
}
