//! Bytes to letters and letters to cells.

use std::borrow::Cow;

use crate::recipe::{Delimiter, Encoding};

/// The longest row that is taken for one, bytes.
pub(crate) const LONGEST_ROW: usize = 1 << 16;
/// The most cells a row may have.
pub(crate) const MOST_COLUMNS: u32 = 16_384;

/// The bytes without a byte order mark; UTF-16 as UTF-8. True where some were no letters.
pub(crate) fn as_ascii_based(bytes: &[u8], encoding: Encoding) -> (Cow<'_, [u8]>, bool) {
    match encoding {
        Encoding::Utf8 => (
            bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes).into(),
            false,
        ),
        Encoding::Latin1 => (bytes.into(), false),
        Encoding::Utf16Le => utf_16(
            bytes.strip_prefix(b"\xff\xfe").unwrap_or(bytes),
            u16::from_le_bytes,
        ),
        Encoding::Utf16Be => utf_16(
            bytes.strip_prefix(b"\xfe\xff").unwrap_or(bytes),
            u16::from_be_bytes,
        ),
    }
}

fn utf_16(bytes: &[u8], word: fn([u8; 2]) -> u16) -> (Cow<'_, [u8]>, bool) {
    let (pairs, odd) = bytes.as_chunks::<2>();
    let mut bad = !odd.is_empty();
    let mut text = String::with_capacity(pairs.len());
    for letter in char::decode_utf16(pairs.iter().map(|p| word(*p))) {
        bad |= letter.is_err();
        text.push(letter.unwrap_or(char::REPLACEMENT_CHARACTER));
    }
    (text.into_bytes().into(), bad)
}

/// A cell as text.
pub(crate) fn text(cell: &[u8], encoding: Encoding) -> Cow<'_, str> {
    match encoding {
        Encoding::Latin1 if !cell.is_ascii() => cell.iter().map(|&b| char::from(b)).collect(),
        _ => String::from_utf8_lossy(cell),
    }
}

/// Where the line that begins at `at` ends, and where the next begins: `\n`, `\r\n` and `\r` all
/// end lines.
pub(crate) fn line_end(bytes: &[u8], at: usize) -> (usize, usize) {
    let end = memchr::memchr2(b'\n', b'\r', &bytes[at..]).map_or(bytes.len(), |n| at + n);
    (end, after_end(bytes, end))
}

/// Where the next line begins after a line end at `end`.
pub(crate) fn after_end(bytes: &[u8], end: usize) -> usize {
    match (bytes.get(end), bytes.get(end + 1)) {
        (Some(b'\r'), Some(b'\n')) => end + 2,
        (Some(_), _) => end + 1,
        (None, _) => end,
    }
}

/// Bytes without their last `lines` lines.
pub(crate) fn without_foot(bytes: &[u8], lines: u32) -> &[u8] {
    let mut end = bytes.len();
    for _ in 0..lines {
        end = last_line(&bytes[..end]);
    }
    &bytes[..end]
}

/// Where the last line begins.
pub(crate) fn last_line(bytes: &[u8]) -> usize {
    let mut end = bytes.len();
    if end > 0 && bytes[end - 1] == b'\n' {
        end -= 1;
    }
    if end > 0 && bytes[end - 1] == b'\r' {
        end -= 1;
    }
    memchr::memrchr2(b'\n', b'\r', &bytes[..end]).map_or(0, |n| n + 1)
}

/// One row as its cells.
#[derive(Debug, Default)]
pub(crate) struct Row<'a> {
    /// The cells, without their quotation marks.
    pub cells: Vec<Cow<'a, [u8]>>,
    /// Where the next row begins.
    pub next: usize,
    /// Lines it spans.
    pub lines: u64,
    /// A quotation mark opens and never closes.
    pub open_quote: bool,
}

/// The row that begins at `at`, its cells set apart by `delimiter`; a quoted cell may hold
/// delimiters and line ends.
pub(crate) fn split(bytes: &[u8], at: usize, delimiter: Delimiter) -> Row<'_> {
    let (end, next) = line_end(bytes, at);
    let plain = memchr::memchr(b'"', &bytes[at..end]).is_none();
    if delimiter == Delimiter::Spaces {
        let parts = bytes[at..end].split(|b| matches!(b, b' ' | b'\t'));
        let mut cells: Vec<_> = parts.filter(|c| !c.is_empty()).map(unquoted).collect();
        if cells.is_empty() {
            cells.push(Cow::Borrowed(&[]));
        }
        return Row {
            cells,
            next,
            lines: 1,
            open_quote: false,
        };
    }
    if plain {
        let cells = bytes[at..end]
            .split(|&b| b == delimiter.byte())
            .map(Cow::Borrowed)
            .collect();
        return Row {
            cells,
            next,
            lines: 1,
            open_quote: false,
        };
    }
    split_quoted(bytes, at, delimiter.byte())
}

fn unquoted(cell: &[u8]) -> Cow<'_, [u8]> {
    let inner = cell.strip_prefix(b"\"").and_then(|c| c.strip_suffix(b"\""));
    inner.unwrap_or(cell).into()
}

fn split_quoted(bytes: &[u8], mut at: usize, delimiter: u8) -> Row<'_> {
    let mut row = Row {
        lines: 1,
        ..Row::default()
    };
    loop {
        let mut end = at;
        let from = at + bytes[at..].iter().take_while(|b| **b == b' ').count();
        let quoted = (bytes.get(from) == Some(&b'"')).then(|| quoted(bytes, from + 1));
        row.open_quote |= matches!(quoted, Some(None));
        let cell = match quoted.flatten() {
            Some((cell, after)) => {
                row.lines += line_ends(&bytes[from..after]);
                end = after;
                cell
            }
            None => Cow::Borrowed(&bytes[at..at]),
        };
        let rest = &bytes[end..];
        let stop = memchr::memchr3(delimiter, b'\n', b'\r', rest).map_or(bytes.len(), |n| end + n);
        let trailing = &bytes[end..stop];
        row.cells
            .push(if trailing.trim_ascii().is_empty() && end > at {
                cell
            } else {
                (&bytes[at..stop]).into()
            });
        at = stop + 1;
        if bytes.get(stop) != Some(&delimiter) {
            row.next = after_end(bytes, stop);
            return row;
        }
    }
}

/// What stands between the quotation marks, and where it goes on after them.
fn quoted(bytes: &[u8], from: usize) -> Option<(Cow<'_, [u8]>, usize)> {
    let limit = bytes.len().min(from + LONGEST_ROW);
    let mut at = from;
    let mut doubled = false;
    loop {
        at += memchr::memchr(b'"', &bytes[at..limit])?;
        if at + 1 >= limit || bytes[at + 1] != b'"' {
            break;
        }
        doubled = true;
        at += 2;
        if at > limit {
            return None;
        }
    }
    let inside = &bytes[from..at];
    let cell = if doubled {
        undouble(inside).into()
    } else {
        inside.into()
    };
    Some((cell, at + 1))
}

fn undouble(inside: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(inside.len());
    let mut at = 0;
    while at < inside.len() {
        out.push(inside[at]);
        at += if inside[at..].starts_with(b"\"\"") {
            2
        } else {
            1
        };
    }
    out
}

/// How many line ends there are.
pub(crate) fn line_ends(bytes: &[u8]) -> u64 {
    let returns = memchr::memchr_iter(b'\r', bytes).count();
    let feeds = memchr::memchr_iter(b'\n', bytes).count();
    let pairs = memchr::memmem::find_iter(bytes, b"\r\n").count();
    (returns + feeds - pairs) as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<String> {
        let row = split(text.as_bytes(), 0, Delimiter::Comma);
        row.cells.iter().map(|c| text_of(c)).collect()
    }

    fn text_of(cell: &[u8]) -> String {
        text(cell, Encoding::Utf8).into_owned()
    }

    #[test]
    fn quotes_hold_delimiters_and_line_ends() {
        assert_eq!(
            cells("a,\"b,\nc\",\"d \"\"e\"\"\"\nnext"),
            ["a", "b,\nc", "d \"e\""]
        );
        assert_eq!(split(b"\"a\r\nb\",2\r\n3", 0, Delimiter::Comma).next, 10);
        assert_eq!(split(b"\"a\r\nb\",2\r\n3", 0, Delimiter::Comma).lines, 2);
        assert_eq!(cells("5\" pipe,\"open"), ["5\" pipe", "\"open"]);
        assert!(split(b"1,\"open\n2,3\n", 0, Delimiter::Comma).open_quote);
    }

    #[test]
    fn feet_are_cut_by_lines() {
        assert_eq!(without_foot(b"1\n2\r\n3\r4", 2), b"1\n2\r\n");
        assert_eq!(without_foot(b"1\n", 5), b"");
        assert_eq!(line_ends(b"a\r\nb\rc\nd"), 3);
    }
}
