//! A page of plain characters, 80 columns wide, that nothing can break.
//!
//! Everything printed goes through here: names from a plan file may hold any
//! character, so control characters (which could move the cursor, colour the
//! screen or hide a line) are replaced before they reach a terminal.

/// Columns of a page.
pub const WIDTH: usize = 80;

/// Columns that text stands in from the left.
const INDENT: usize = 2;

/// Columns of a fact's label.
const LABEL: usize = 24;

/// Widest mark that text stands behind; a wider one is part of the text.
const WIDEST_MARK: usize = 26;

/// Words that stay on one line with the number before them.
const UNITS: [&str; 20] = [
    "kN", "N", "t", "lbf", "m", "mm", "ft", "km/h", "mph", "m/s", "ft/s", "J", "kJ", "kg", "lb",
    "%", "s", "g", "deg", "kPa",
];

/// A page being written.
#[derive(Default)]
pub struct Page {
    text: String,
}

impl Page {
    /// The finished page.
    pub fn finish(self) -> String {
        self.text
    }

    /// An empty line.
    pub fn gap(&mut self) {
        self.text.push('\n');
    }

    /// The head of a section: its name, and what it answers.
    pub fn heading(&mut self, name: &str, answers: &str) {
        self.gap();
        self.hang(&format!("{name}  "), 0, answers);
        self.text += &"-".repeat(WIDTH);
        self.gap();
    }

    /// A paragraph.
    pub fn paragraph(&mut self, text: &str) {
        self.hang("", INDENT, text);
    }

    /// A paragraph from the left edge.
    pub fn flush_left(&mut self, text: &str) {
        self.hang("", 0, text);
    }

    /// A paragraph further in, under the line above it.
    pub fn under(&mut self, text: &str) {
        self.hang("", INDENT + 4, text);
    }

    /// A paragraph behind a mark, such as a number or a dash.
    pub fn item(&mut self, mark: &str, text: &str) {
        self.hang(&format!("{mark} "), INDENT, text);
    }

    /// A label with what belongs to it.
    pub fn fact(&mut self, label: &str, value: &str) {
        self.hang(
            &format!("{label:<width$} ", width = LABEL - 1),
            INDENT,
            value,
        );
    }

    /// A line as it is, cut at nothing: for drawings that are known to fit.
    pub fn drawn(&mut self, line: &str) {
        self.text += printable(line).trim_end();
        self.gap();
    }

    /// Text to the left, and a word against the right edge.
    pub fn sides(&mut self, left: &str, right: &str) {
        let left = printable(left);
        let right = printable(right);
        let room = WIDTH.saturating_sub(width(&right) + 2);
        if width(&left) <= room {
            self.drawn(&format!("{left}{right:>gap$}", gap = WIDTH - width(&left)));
        } else {
            let indent = width(&left) - width(left.trim_start());
            self.hang("", indent.min(INDENT), &left);
            self.drawn(&format!("{right:>WIDTH$}"));
        }
    }

    /// A table: names on the left, numbers right-aligned under their heads.
    ///
    /// A name too long for its column gets a line of its own.
    pub fn table<const N: usize>(&mut self, heads: &[&str; N], rows: &[[String; N]]) {
        let widths = column_widths(heads, rows);
        let numbers: usize = widths[1..].iter().map(|w| w + 2).sum();
        let name_room = WIDTH.saturating_sub(INDENT + numbers);
        let name_width = widths[0].min(name_room);
        let heads = heads.map(String::from);
        for row in std::iter::once(&heads).chain(rows) {
            let mut name = printable(&row[0]);
            if width(&name) > name_width {
                self.paragraph(&name);
                name = String::new();
            }
            let mut line = format!("{:INDENT$}{name:<name_width$}", "");
            for (cell, column) in row[1..].iter().zip(&widths[1..]) {
                line += &format!("  {:>column$}", printable(cell));
            }
            self.drawn(&line);
        }
    }

    /// Wraps `text` behind `mark`, its further lines standing under its first.
    fn hang(&mut self, mark: &str, indent: usize, text: &str) {
        let (mut mark, mut text) = (printable(mark), printable(text));
        if width(&mark) > WIDEST_MARK {
            text = format!("{}: {text}", mark.trim_end());
            mark = String::new();
        }
        let inset = indent + width(&mark);
        let lines = wrapped(&text, WIDTH - inset);
        for (number, line) in lines.iter().enumerate() {
            let lead = if number == 0 { mark.as_str() } else { "" };
            let lead = format!("{:indent$}{lead:<rest$}", "", rest = inset - indent);
            self.drawn(&format!("{lead}{line}"));
        }
    }
}

/// Columns of `text`, a character a column.
pub fn width(text: &str) -> usize {
    text.chars().count()
}

/// `text` without characters that move the cursor or turn the writing around.
pub fn printable(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => ' ',
            c if c.is_control() => '?',
            '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '?',
            c => c,
        })
        .collect()
}

fn column_widths<const N: usize>(heads: &[&str; N], rows: &[[String; N]]) -> [usize; N] {
    std::array::from_fn(|column| {
        let cells = rows.iter().map(|row| width(&row[column]));
        cells.chain([width(heads[column])]).max().unwrap_or(0)
    })
}

/// `text` in lines of at most `room` columns, broken at spaces where it can be.
pub fn wrapped(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in pieces(text).iter().flat_map(|piece| chopped(piece, room)) {
        let last = lines.len() - 1;
        let used = width(&lines[last]);
        if used == 0 {
            lines[last] = word;
        } else if used + 1 + width(&word) <= room {
            lines[last] += &format!(" {word}");
        } else {
            lines.push(word);
        }
    }
    lines
}

/// The words of `text`, a number and its unit being one, and so a command between
/// backticks: it is typed as it stands.
fn pieces(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match pieces.last_mut() {
            Some(last) if quotes_on(last) || belongs_to(last, word) => {
                *last += &format!(" {word}");
            }
            _ => pieces.push(word.into()),
        }
    }
    pieces
}

/// Whether a command that began in `piece` is not at its end.
fn quotes_on(piece: &str) -> bool {
    piece.matches('`').count() % 2 == 1
}

/// Whether `word` is the unit, or the next thousands, of the number before it.
fn belongs_to(before: &str, word: &str) -> bool {
    if !before.ends_with(|c: char| c.is_ascii_digit()) {
        return false;
    }
    let bare = word.trim_end_matches(|c: char| ",.;:)".contains(c));
    let thousands = bare.len() == 3 && bare.chars().all(|c| c.is_ascii_digit());
    thousands || UNITS.contains(&bare)
}

/// A piece cut to parts that fit: between its words, or where a word alone is too long.
fn chopped(piece: &str, room: usize) -> Vec<String> {
    if width(piece) <= room {
        return vec![piece.into()];
    }
    let cut = |word: &str| -> Vec<String> {
        let characters: Vec<char> = word.chars().collect();
        let chunks = characters.chunks(room);
        chunks.map(|chunk| chunk.iter().collect()).collect()
    };
    piece.split(' ').flat_map(cut).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page(write: impl FnOnce(&mut Page)) -> String {
        let mut page = Page::default();
        write(&mut page);
        page.finish()
    }

    #[test]
    fn wraps_under_the_first_word() {
        let text = page(|p| p.item("1.", &"word ".repeat(20)));
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].starts_with("  1. word"), "{text}");
        assert!(lines[1].starts_with("     word"), "{text}");
        assert!(lines.iter().all(|line| width(line) <= WIDTH), "{text}");
    }

    #[test]
    fn a_number_keeps_its_unit() {
        let filler = "x".repeat(70);
        let text = page(|p| p.paragraph(&format!("{filler} 45 200 lbf, more")));
        assert!(text.contains("\n  45 200 lbf, more"), "{text}");
    }

    #[test]
    fn a_command_stays_on_one_line_wherever_it_falls() {
        for before in 0..90 {
            let filler = "x".repeat(before);
            let text = page(|p| p.paragraph(&format!("{filler} run `steadypull lowering PLAN`.")));
            assert!(text.contains("`steadypull lowering PLAN`."), "{text}");
            assert!(text.lines().map(width).max() <= Some(WIDTH), "{text}");
        }
        let odd = page(|p| p.paragraph(&format!("`{}", "word ".repeat(40))));
        assert!(odd.matches("word").count() == 40, "{odd}");
        assert!(odd.lines().map(width).max() <= Some(WIDTH), "{odd}");
    }

    #[test]
    fn no_name_moves_the_cursor_or_breaks_the_page() {
        let name = format!("\u{1b}[2J\r\u{202e}{}", "y".repeat(300));
        let text = page(|p| {
            p.heading(&name, "what");
            p.paragraph(&name);
            p.fact(&name, &name);
            p.sides(&name, "WITHIN");
            p.table(&["Link", "Load"], &[[name.clone(), "45 kN".into()]]);
        });
        assert!(!text.contains(['\u{1b}', '\r', '\u{202e}']), "{text}");
        assert!(text.contains("?[2J"), "{text}");
        let widest = text.lines().map(width).max();
        assert!(widest <= Some(WIDTH), "{text}");
    }

    #[test]
    fn numbers_stand_under_their_heads() {
        let rows = [
            ["strap".into(), "5.0 kN".into()],
            ["bow".into(), "45.2 kN".into()],
        ];
        let text = page(|p| p.table(&["Link", "Load"], &rows));
        assert_eq!(
            text,
            "  Link      Load\n  strap   5.0 kN\n  bow    45.2 kN\n"
        );
    }
}
