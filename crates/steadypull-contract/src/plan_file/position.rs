//! Byte offsets to lines and columns, counted in characters from 1.

use core::ops::Range;

/// Where something stands in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Place {
    pub line: u32,
    pub column: u32,
    pub end_column: u32,
}

/// The text by its lines.
#[derive(Debug)]
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub fn new(text: &'t str) -> Self {
        let after_breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        Self {
            text,
            starts: core::iter::once(0).chain(after_breaks).collect(),
        }
    }

    /// The place of the bytes in `span`; a span over several lines ends with
    /// its first, and an empty one is one column wide.
    pub fn place(&self, span: &Range<usize>) -> Place {
        let start = span.start.min(self.text.len());
        let line = self.starts.partition_point(|&s| s <= start).max(1);
        let content = self.line(line as u32);
        let from = start - self.starts[line - 1];
        let to = span.end.max(start).saturating_sub(self.starts[line - 1]);
        let column = columns_before(content, from) + 1;
        let end_column = (columns_before(content, to) + 1).max(column + 1);
        Place {
            line: line as u32,
            column,
            end_column,
        }
    }

    /// The line with this number, without its line break.
    pub fn line(&self, number: u32) -> &'t str {
        let at = (number as usize).saturating_sub(1);
        let Some(&start) = self.starts.get(at) else {
            return "";
        };
        let end = self.starts.get(at + 1).copied().unwrap_or(self.text.len());
        let line = self.text.get(start..end).unwrap_or("");
        line.trim_end_matches(['\n', '\r'])
    }
}

fn columns_before(line: &str, byte: usize) -> u32 {
    line.char_indices().take_while(|(at, _)| *at < byte).count() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let lines = Lines::new("a = 1\r\n\tslope = \"8\u{b0}\" # x\r\nlast");
        let at = lines.place(&(16..21));
        assert_eq!((at.line, at.column, at.end_column), (2, 10, 14));
        assert_eq!(lines.line(2), "\tslope = \"8\u{b0}\" # x");
        let end = lines.place(&(32..99));
        assert_eq!((end.line, end.column, end.end_column), (3, 5, 6));
    }

    #[test]
    fn nothing_is_out_of_reach() {
        let lines = Lines::new("");
        assert_eq!(
            lines.place(&(7..9)),
            Place {
                line: 1,
                column: 1,
                end_column: 2
            }
        );
        assert_eq!(lines.line(9), "");
    }
}
