//! What sets cells apart and how numbers are written, found together: the pair under which most
//! cells are values, in rows of equal length.

use crate::letters;
use crate::recipe::{Decimal, Delimiter, Encoding, Grouping, Notation};

use super::cell::Looks;
use super::{Choice, Sure};

/// Delimiters in the order they are preferred where nothing else decides.
const DELIMITERS: [Delimiter; 5] = [
    Delimiter::Tab,
    Delimiter::Semicolon,
    Delimiter::Pipe,
    Delimiter::Comma,
    Delimiter::Spaces,
];

const fn notation(decimal: Decimal, grouping: Grouping) -> Notation {
    Notation { decimal, grouping }
}

/// Notations in the order they are preferred where nothing else decides.
const NOTATIONS: [Notation; 8] = [
    notation(Decimal::Dot, Grouping::None),
    notation(Decimal::Comma, Grouping::None),
    notation(Decimal::Dot, Grouping::Comma),
    notation(Decimal::Comma, Grouping::Dot),
    notation(Decimal::Dot, Grouping::Space),
    notation(Decimal::Comma, Grouping::Space),
    notation(Decimal::Dot, Grouping::Apostrophe),
    notation(Decimal::Comma, Grouping::Apostrophe),
];

pub(super) type Lines = Vec<(u64, Vec<String>)>;

/// A way to take a text apart.
pub(super) struct Split {
    pub delimiter: Delimiter,
    pub notation: Notation,
    /// Cells in a row.
    pub columns: usize,
    /// The rows, with the line each begins on.
    pub rows: Lines,
    /// The share of cells that are values, in rows of the usual length.
    score: f64,
    /// A row before the numbers has as many cells.
    has_header: bool,
    /// There are quotation marks in it.
    quoted: bool,
}

/// The rows of a text.
pub(super) fn split(text: &[u8], delimiter: Delimiter, encoding: Encoding, most: usize) -> Lines {
    let (mut at, mut line) = (0, 1);
    let mut rows = Vec::new();
    while at < text.len() && rows.len() < most {
        let row = letters::split(text, at, delimiter);
        let cells = row
            .cells
            .iter()
            .map(|c| letters::text(c, encoding).trim().to_string())
            .collect();
        rows.push((line, cells));
        line += row.lines;
        at = row.next;
    }
    rows
}

/// The best way to take a text apart, and why. None where nothing in it is a number.
pub(super) fn guess(text: &[u8], encoding: Encoding, most: usize) -> Option<(Split, Vec<Choice>)> {
    let mut ways: Vec<Split> = DELIMITERS
        .iter()
        .filter_map(|d| best_notation(text, *d, encoding, most))
        .collect();
    // A stable sort keeps the order of preference among equals.
    ways.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
    let mut ways = ways.into_iter();
    let best = ways.next()?;
    let delimiter = tell_delimiter(&best, ways.as_slice());
    let mut choices = vec![delimiter];
    choices.extend(tell_notation(&best));
    Some((best, choices))
}

/// Score first; a header of the same length is worth 15 % of it, more than one column next to
/// nothing.
fn rank(way: &Split) -> f64 {
    let header = if way.has_header { 30.0 } else { 0.0 };
    (way.score * 200.0).round() + header + if way.columns > 1 { 0.2 } else { 0.0 }
}

fn best_notation(
    text: &[u8],
    delimiter: Delimiter,
    encoding: Encoding,
    most: usize,
) -> Option<Split> {
    let rows = split(text, delimiter, encoding, most);
    let columns = usual_length(&rows)?;
    let mut best: Option<(f64, Notation)> = None;
    let quoted = text.contains(&b'"');
    for notation in possible(delimiter, quoted) {
        let score = score(&rows, columns, notation);
        if best.is_none_or(|b| score > b.0) {
            best = Some((score, notation));
        }
    }
    let (score, notation) = best.filter(|b| b.0 > 0.0)?;
    let has_header = header_fits(&rows, columns, notation);
    Some(Split {
        delimiter,
        notation,
        columns,
        rows,
        score,
        has_header,
        quoted,
    })
}

/// Marks that are the delimiter too stand within quotes alone.
fn possible(delimiter: Delimiter, quoted: bool) -> impl Iterator<Item = Notation> {
    let mark = delimiter.byte();
    let clear = move |n: &Notation| n.decimal.byte() != mark && !n.grouping.is(char::from(mark));
    NOTATIONS
        .into_iter()
        .filter(move |n| clear(n) || (quoted && delimiter == Delimiter::Comma))
}

/// The later two thirds, where headers have ended.
fn later(rows: &Lines) -> impl Iterator<Item = &Vec<String>> {
    let is_blank = |r: &&Vec<String>| r.iter().all(|c| c.is_empty()) && r.len() <= 1;
    rows[rows.len() / 3..]
        .iter()
        .map(|r| &r.1)
        .filter(move |r| !is_blank(r))
}

fn usual_length(rows: &Lines) -> Option<usize> {
    let mut counts = std::collections::BTreeMap::new();
    for row in later(rows) {
        *counts.entry(row.len()).or_insert(0) += 1;
    }
    counts
        .into_iter()
        .max_by_key(|(_, n)| *n)
        .map(|(length, _)| length)
}

fn score(rows: &Lines, columns: usize, notation: Notation) -> f64 {
    let (mut values, mut numbers, mut all) = (0, 0, 0);
    for row in later(rows) {
        all += row.len().max(columns);
        if row.len() != columns {
            continue;
        }
        let looks = row.iter().map(|c| Looks::of(c, notation));
        for look in looks {
            values += usize::from(look.is_value());
            numbers += usize::from(matches!(look, Looks::Number(_)));
        }
    }
    if numbers == 0 {
        0.0
    } else {
        values as f64 / all as f64
    }
}

/// A row of text before the first of numbers has as many cells as that one.
fn header_fits(rows: &Lines, columns: usize, notation: Notation) -> bool {
    let is_numbers = |r: &Vec<String>| {
        r.len() == columns
            && r.iter()
                .any(|c| matches!(Looks::of(c, notation), Looks::Number(_)))
    };
    let Some(first) = rows.iter().position(|r| is_numbers(&r.1)) else {
        return false;
    };
    let mut before = rows[..first].iter().rev().map(|r| &r.1);
    let Some(header) = before.find(|r| r.iter().any(|c| !c.is_empty())) else {
        return false;
    };
    // Any line is one cell to a delimiter that is not in it; it is a header when no other is.
    let is_whole = columns > 1 || !header[0].contains([',', ';', '\t', '|']);
    header.len() == columns && is_whole
}

fn named(delimiter: Delimiter) -> &'static str {
    match delimiter {
        Delimiter::Comma => "comma",
        Delimiter::Semicolon => "semicolon",
        Delimiter::Tab => "tab",
        Delimiter::Pipe => "pipe",
        Delimiter::Spaces => "spaces",
    }
}

fn tell_delimiter(best: &Split, others: &[Split]) -> Choice {
    let close: Vec<&Split> = others
        .iter()
        .filter(|o| {
            o.columns != best.columns && o.score > best.score - 0.1 && o.columns + best.columns > 2
        })
        .collect();
    let tied = close.iter().any(|o| rank(o) >= rank(best) - 0.5);
    let sure = match (close.is_empty(), tied) {
        (true, _) => Sure::Certain,
        (false, false) => Sure::Likely,
        (false, true) => Sure::Unsure,
    };
    let share = (best.score * 100.0).round();
    let why = match best.columns {
        1 => "every row has one cell".to_string(),
        n => format!("rows have {n} cells with it, {share} % of them values"),
    };
    let choice = Choice::new("layout.delimiter", named(best.delimiter), sure, why);
    let mark = |o: &Split| decimal_named(o.notation.decimal);
    close.iter().fold(choice, |c, o| {
        let columns = if o.columns == 1 {
            "1 column".to_string()
        } else {
            format!("{} columns", o.columns)
        };
        c.or(
            named(o.delimiter),
            format!("it gives {columns} with a decimal {}", mark(o)),
        )
    })
}

fn decimal_named(decimal: Decimal) -> &'static str {
    match decimal {
        Decimal::Dot => "dot",
        Decimal::Comma => "comma",
    }
}

fn grouping_named(grouping: Grouping) -> &'static str {
    match grouping {
        Grouping::None => "none",
        Grouping::Comma => "comma",
        Grouping::Dot => "dot",
        Grouping::Space => "space",
        Grouping::Apostrophe => "apostrophe",
    }
}

/// Which other notations read every cell as well, but some of them to another value.
fn tell_notation(best: &Split) -> [Choice; 2] {
    let mut others = Vec::new();
    for notation in possible(best.delimiter, best.quoted).filter(|n| *n != best.notation) {
        if score(&best.rows, best.columns, notation) < best.score {
            continue;
        }
        let cells = later(&best.rows)
            .filter(|r| r.len() == best.columns)
            .flatten();
        let differing = cells
            .filter_map(|c| differs(c, best.notation, notation))
            .next();
        others.extend(differing.map(|(cell, ours, theirs)| (notation, cell, ours, theirs)));
    }
    let sure = match (others.is_empty(), best.notation.decimal) {
        (true, _) => Sure::Certain,
        // A dot before exactly three digits all through is a decimal mark far more often than not.
        (false, Decimal::Dot) if best.notation.grouping == Grouping::None => Sure::Likely,
        _ => Sure::Unsure,
    };
    let decimal = decimal_named(best.notation.decimal);
    let grouping = grouping_named(best.notation.grouping);
    let has_mark = |mark: u8| {
        best.rows.iter().any(|r| {
            r.1.iter()
                .any(|c| c.contains(char::from(mark)) && Looks::of(c, best.notation) != Looks::Text)
        })
    };
    let why = if others.is_empty() && !has_mark(best.notation.decimal.byte()) {
        "no number has a fraction".to_string()
    } else if others.is_empty() {
        "no other reads all the numbers".to_string()
    } else {
        format!(
            "{} reads the numbers as well, to other values",
            if others.len() == 1 {
                "another"
            } else {
                "others"
            }
        )
    };
    let choice = Choice::new("layout.notation.decimal", decimal, sure, why.clone());
    let choice = others.iter().fold(choice, |c, (n, cell, ours, theirs)| {
        let value = format!(
            "{}, grouping {}",
            decimal_named(n.decimal),
            grouping_named(n.grouping)
        );
        c.or(value, format!("`{cell}` is {ours} as chosen, {theirs} so"))
    });
    [
        choice,
        Choice::new("layout.notation.grouping", grouping, sure, why),
    ]
}

fn differs(cell: &str, ours: Notation, theirs: Notation) -> Option<(String, f64, f64)> {
    match (Looks::of(cell, ours), Looks::of(cell, theirs)) {
        (Looks::Number(a), Looks::Number(b)) if a != b => Some((cell.to_string(), a, b)),
        _ => None,
    }
}
