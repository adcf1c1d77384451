//! The recipe of a delimited text.

use crate::letters::{self, LONGEST_ROW};
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Encoding, Layout, Recipe, Rows};

use super::delimiter::{self, Lines, Split};
use super::table::{self, Body, MOST_FOOT, Sample};
use super::{Choice, LOOKED_AT, Sure, encoding};

/// Bytes looked at from the start.
const HEAD: usize = 1 << 18;
/// Bytes looked at from the end.
const TAIL: usize = 1 << 14;

pub(super) fn guess(bytes: &[u8]) -> Result<(Recipe, Vec<Choice>), Mistakes> {
    let (encoding, tell_encoding) = encoding::guess(bytes)?;
    let (head, tail) = ends(bytes, encoding)?;
    let nothing = || Mistakes::one(Kind::NoNumbers, Place::File, "");
    let (split, tell_split) = delimiter::guess(&head, encoding, LOOKED_AT).ok_or_else(nothing)?;
    let comment = comment_sign(&split.rows);
    let body = table::find_body(&split.rows, split.columns, split.notation, comment)
        .ok_or_else(nothing)?;
    let last = last_rows(&split, &head, &tail, encoding);
    let mut choices = vec![super::format("text", "it is text"), tell_encoding];
    choices.extend(tell_split);
    let rows = Rows {
        head_lines: body.head_lines,
        names_line: body.names_line,
        units_line: body.units_line,
        foot_lines: table::foot(&without_comments(&last, comment), &body, split.notation),
        columns: u32::try_from(split.columns).unwrap_or(u32::MAX),
    };
    table::tell_rows(&rows, &mut choices);
    if let Some(comment) = comment {
        choices.push(Choice::new(
            "layout.comment",
            comment,
            Sure::Likely,
            "lines begin with it",
        ));
    }
    let (time, channels) = sample(&split, &body, &rows, comment).columns(&mut choices)?;
    let Split {
        delimiter,
        notation,
        ..
    } = split;
    let layout = Layout::Text {
        encoding,
        delimiter,
        notation,
        rows,
        comment: comment.map(str::to_string),
    };
    Ok((
        Recipe {
            layout,
            time,
            channels,
        },
        choices,
    ))
}

/// Whole lines from the start and from the end, as UTF-8 or Latin-1; no tail where the head is
/// all there is.
fn ends(bytes: &[u8], encoding: Encoding) -> Result<(Vec<u8>, Vec<u8>), Mistakes> {
    let is_wide = matches!(encoding, Encoding::Utf16Le | Encoding::Utf16Be);
    let (head, tail) = if is_wide {
        (2 * HEAD, 2 * TAIL)
    } else {
        (HEAD, TAIL)
    };
    let (start, _) = letters::as_ascii_based(&bytes[..bytes.len().min(head)], encoding);
    if bytes.len() <= head {
        return Ok((start.into_owned(), Vec::new()));
    }
    let whole = memchr::memrchr2(b'\n', b'\r', &start).map_or(0, |n| n + 1);
    if whole == 0 {
        let place = Place::Line { line: 1, column: 0 };
        return Err(Mistakes::one(
            Kind::NoNumbers,
            place,
            &format!("a line of more than {LONGEST_ROW} bytes"),
        ));
    }
    let from = (bytes.len() - tail) & !usize::from(is_wide);
    let (end, _) = letters::as_ascii_based(&bytes[from..], encoding);
    let cut = letters::line_end(&end, 0).1;
    Ok((start[..whole].to_vec(), end[cut..].to_vec()))
}

/// What comments begin with, where some line does.
fn comment_sign(rows: &Lines) -> Option<&'static str> {
    ["#", "%", "//", "!"]
        .into_iter()
        .find(|sign| rows.iter().any(|r| r.1[0].starts_with(sign)))
}

fn without_comments(rows: &Lines, comment: Option<&str>) -> Lines {
    // Trailing comments are left out by their sign, not by counting.
    let is_comment = |cells: &Vec<String>| comment.is_some_and(|c| cells[0].starts_with(c));
    let mut rows = rows.clone();
    while rows.last().is_some_and(|r| is_comment(&r.1)) {
        rows.pop();
    }
    rows
}

/// The last rows of the file, their lines counted onwards from the head's.
fn last_rows(split: &Split, head: &[u8], tail: &[u8], encoding: Encoding) -> Lines {
    let text = if tail.is_empty() { head } else { tail };
    let all = delimiter::split(text, split.delimiter, encoding, usize::MAX);
    let shift = if tail.is_empty() { 0 } else { 1 << 20 };
    let skipped = all.len().saturating_sub(MOST_FOOT + 2);
    all.into_iter()
        .skip(skipped)
        .map(|(line, cells)| (line + shift, cells))
        .collect()
}

fn sample(split: &Split, body: &Body, rows: &Rows, comment: Option<&str>) -> Sample {
    let is_comment = |cells: &Vec<String>| comment.is_some_and(|c| cells[0].starts_with(c));
    let usual = |cells: &&Vec<String>| cells.len() == split.columns && !is_comment(cells);
    let cells = split.rows[body.first..]
        .iter()
        .map(|r| &r.1)
        .filter(usual)
        .cloned()
        .collect();
    let others = split.rows[..body.first]
        .iter()
        .filter(|r| Some(r.0) != rows.names_line.map(u64::from));
    let head: Vec<String> = others.map(|r| r.1.join(",")).collect();
    Sample::new(
        body.names.clone(),
        body.units.clone(),
        cells,
        split.notation,
        head.join("\n"),
    )
}
