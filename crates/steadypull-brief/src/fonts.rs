//! The two fonts of every drawing, and how wide text is in them.
//!
//! Only these bytes are used, never the fonts of the machine: the same answer
//! gives the same drawing everywhere. Widths are sums of advances; kerning is
//! left out, which errs on the wide side by a per cent or two.

use std::sync::{Arc, OnceLock};

use usvg::fontdb;

/// Family name in SVG and CSS.
pub const FAMILY: &str = "Open Sans";
/// The regular cut, a TrueType subset (see `fonts/NOTICE.md`).
pub const REGULAR: &[u8] = include_bytes!("../fonts/OpenSans-Regular.ttf");
/// The bold cut.
pub const BOLD: &[u8] = include_bytes!("../fonts/OpenSans-Bold.ttf");

/// How heavy a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Running text.
    Regular,
    /// Words that must be seen first.
    Bold,
}

/// Advance widths of a font in shares of the text size.
struct Advances {
    by_char: Vec<f64>,
    missing: f64,
}

/// Past the last character that the subsets hold.
const CHARS: u32 = 0x2270;

fn advances(weight: Weight) -> &'static Advances {
    static CUTS: [OnceLock<Advances>; 2] = [const { OnceLock::new() }; 2];
    let (cell, bytes) = match weight {
        Weight::Regular => (&CUTS[0], REGULAR),
        Weight::Bold => (&CUTS[1], BOLD),
    };
    cell.get_or_init(|| read_advances(bytes))
}

fn read_advances(bytes: &[u8]) -> Advances {
    let Ok(face) = ttf_parser::Face::parse(bytes, 0) else {
        return Advances {
            by_char: Vec::new(),
            missing: 0.6,
        };
    };
    let em = f64::from(face.units_per_em());
    let width = |glyph| f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) / em;
    let missing = width(ttf_parser::GlyphId(0));
    let by_char = (0..CHARS)
        .map(|code| {
            char::from_u32(code)
                .and_then(|c| face.glyph_index(c))
                .map_or(missing, width)
        })
        .collect();
    Advances { by_char, missing }
}

/// Width of a text, in the unit of `size`.
pub fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
    let advances = advances(weight);
    let shares: f64 = text
        .chars()
        .map(|c| {
            advances
                .by_char
                .get(c as usize)
                .copied()
                .unwrap_or(advances.missing)
        })
        .sum();
    shares * size
}

/// Breaks a text into lines no wider than `width`; words that are longer than
/// a line are broken anywhere. Never loses a character but the spaces at breaks.
pub fn wrap(text: &str, size: f64, weight: Weight, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in glue(text)
        .split([' ', '\n', '\t'])
        .filter(|word| !word.is_empty())
    {
        let joined = if line.is_empty() {
            word.to_string()
        } else {
            format!("{line} {word}")
        };
        if text_width(&joined, size, weight) <= width {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = break_word(word, size, weight, width, &mut lines);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Text with hard spaces inside numbers and between a number and its unit: a
/// line break after the `45` of `45 200 lbf` would change what people read.
pub fn glue(text: &str) -> String {
    const UNITS: [&str; 19] = [
        "kN", "N", "lbf", "t", "kg", "lb", "m", "mm", "ft", "km/h", "mph", "m/s", "ft/s", "J",
        "kJ", "s", "g", "%", "deg",
    ];
    let mut out = String::with_capacity(text.len());
    for (i, word) in text.split(' ').enumerate() {
        let unit = word.trim_end_matches(['.', ',', ';', ':', ')']);
        let carries_on = word.starts_with(|c: char| c.is_ascii_digit()) || UNITS.contains(&unit);
        let after_digit = out.ends_with(|c: char| c.is_ascii_digit());
        if i > 0 {
            out.push(if after_digit && carries_on {
                '\u{a0}'
            } else {
                ' '
            });
        }
        out.push_str(word);
    }
    out
}

/// Pushes full lines of an over-long word and gives back its last piece.
fn break_word(
    word: &str,
    size: f64,
    weight: Weight,
    width: f64,
    lines: &mut Vec<String>,
) -> String {
    let mut piece = String::new();
    let mut wide = 0.0;
    for c in word.chars() {
        let step = text_width(c.encode_utf8(&mut [0; 4]), size, weight);
        if wide + step > width && !piece.is_empty() {
            // After a hyphen where there is one; a name is then still read as one.
            let hyphen = piece.rfind(['-', '_']).map_or(piece.len(), |at| at + 1);
            let rest = piece.split_off(hyphen);
            lines.push(std::mem::replace(&mut piece, rest));
            wide = text_width(&piece, size, weight);
        }
        piece.push(c);
        wide += step;
    }
    piece
}

/// As `wrap`, but at most `most` lines; the last then ends in an ellipsis.
/// For labels whose full text stands elsewhere on the same sheet.
pub fn wrap_label(text: &str, size: f64, weight: Weight, width: f64, most: usize) -> Vec<String> {
    let mut lines = wrap(text, size, weight, width);
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            while !last.is_empty() && text_width(&format!("{last}…"), size, weight) > width {
                last.pop();
            }
            last.push('…');
        }
    }
    lines
}

/// A font database with our two cuts and nothing else.
pub fn database() -> Arc<fontdb::Database> {
    static DATABASE: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    Arc::clone(DATABASE.get_or_init(|| {
        let mut database = fontdb::Database::new();
        database.load_font_data(REGULAR.to_vec());
        database.load_font_data(BOLD.to_vec());
        database.set_sans_serif_family(FAMILY);
        Arc::new(database)
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_lose_nothing() {
        let text = "A shackle of 4.75 t and Donaudampfschifffahrtsgesellschaftsgegenstand, twice";
        let lines = wrap(text, 10.0, Weight::Regular, 60.0);
        assert!(lines.len() > 4);
        for line in &lines {
            assert!(text_width(line, 10.0, Weight::Regular) <= 60.0, "{line}");
        }
        let joined: String = lines.concat().split_whitespace().collect();
        assert_eq!(joined, text.split_whitespace().collect::<String>());
    }

    #[test]
    fn long_names_break_after_their_hyphens() {
        let lines = wrap("a-long-name-of-a-strap", 10.0, Weight::Regular, 60.0);
        assert_eq!(lines, ["a-long-", "name-of-a-", "strap"]);
        for line in lines {
            assert!(text_width(&line, 10.0, Weight::Regular) <= 60.0);
        }
    }

    #[test]
    fn numbers_are_not_broken() {
        assert_eq!(
            glue("at 45 200 lbf, then 3 m."),
            "at 45\u{a0}200\u{a0}lbf, then 3\u{a0}m."
        );
        let lines = wrap("load 45 200 lbf", 10.0, Weight::Regular, 50.0);
        assert_eq!(lines, ["load", "45\u{a0}200\u{a0}lbf"]);
    }

    #[test]
    fn both_cuts_are_found_by_family() {
        let database = database();
        assert_eq!(database.len(), 2);
        for face in database.faces() {
            assert_eq!(face.families[0].0, FAMILY);
        }
    }

    #[test]
    fn label_says_that_it_was_cut() {
        let lines = wrap_label("one two three four five six", 10.0, Weight::Bold, 40.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
    }
}
