//! Delimited text.
//!
//! Most rows are plain numbers between delimiters and are read in one pass over their bytes.
//! A row with anything else in it is split into cells and read cell by cell; both ways give the
//! same numbers.

use crate::letters::{self, LONGEST_ROW, MOST_COLUMNS, Row};
use crate::log::{Log, PlaceKind, Places};
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Decimal, Delimiter, Encoding, Grouping, Layout, Recipe, Rows};
use crate::take::{Cell, Columns, How, Texts, check_headers};

use super::hands::Hands;
use super::quick::Quick;

pub(super) struct Text<'r> {
    pub recipe: &'r Recipe,
    encoding: Encoding,
    delimiter: Delimiter,
    rows: &'r Rows,
    pub comment: Option<&'r [u8]>,
}

pub(super) fn read(bytes: &[u8], recipe: &Recipe, how: How) -> Result<(Log, Texts), Mistakes> {
    read_by(bytes, recipe, how, Hands::new())
}

/// The same with so many hands.
pub(super) fn read_by(
    bytes: &[u8],
    recipe: &Recipe,
    how: How,
    hands: Hands,
) -> Result<(Log, Texts), Mistakes> {
    let Layout::Text {
        encoding,
        delimiter,
        notation,
        rows,
        comment,
    } = &recipe.layout
    else {
        return Err(Mistakes::one(Kind::WrongFormat, Place::File, ""));
    };
    if bytes.is_empty() {
        return Err(Mistakes::one(Kind::Empty, Place::File, ""));
    }
    let comment = comment.as_deref().map(str::as_bytes);
    let text = Text {
        recipe,
        encoding: *encoding,
        delimiter: *delimiter,
        rows,
        comment,
    };
    text.check(notation.decimal, notation.grouping)?;
    let (body, is_bad) = letters::as_ascii_based(bytes, *encoding);
    let mut columns = Columns::new(
        recipe,
        *notation,
        rows.columns,
        Places::new(PlaceKind::Text),
        how,
    )?;
    tell_of_bad_letters(&mut columns, &body, *encoding, is_bad);
    let start = text.past_head(&body)?;
    let body = letters::without_foot(&body, rows.foot_lines);
    text.fill(&mut columns, body, start, (how, hands))?;
    if how == How::Whole && rows.foot_lines == 0 && !body.ends_with(b"\n") && !body.ends_with(b"\r")
    {
        let last = columns.rows().saturating_sub(1);
        columns
            .mistakes
            .add(Kind::OpenEnd, columns.places.of(last, 0), "");
    }
    columns.finish(None, None)
}

fn tell_of_bad_letters(columns: &mut Columns<'_>, body: &[u8], encoding: Encoding, is_bad: bool) {
    let broken = match encoding {
        Encoding::Utf8 => std::str::from_utf8(body).err().map(|e| e.valid_up_to()),
        _ => {
            is_bad.then(|| memchr::memmem::find(body, "\u{fffd}".as_bytes()).unwrap_or(body.len()))
        }
    };
    if let Some(at) = broken {
        let line = letters::line_ends(&body[..at]) + 1;
        let found = String::from_utf8_lossy(&body[at..body.len().min(at + 4)]);
        columns
            .mistakes
            .add(Kind::BadLetters, Place::Line { line, column: 0 }, &found);
    }
}

impl Text<'_> {
    fn check(&self, decimal: Decimal, grouping: Grouping) -> Result<(), Mistakes> {
        let mut wrong = Mistakes::default();
        let mut say = |key: &str, found: &str| {
            wrong.add(Kind::Recipe, Place::Recipe { key: key.into() }, found)
        };
        if grouping.is(char::from(decimal.byte())) {
            say(
                "layout.notation.grouping",
                "the grouping mark is the decimal mark",
            );
        }
        if grouping == Grouping::Space && self.delimiter == Delimiter::Spaces {
            say(
                "layout.notation.grouping",
                "the grouping mark is the delimiter",
            );
        }
        if self.rows.columns == 0 || self.rows.columns > MOST_COLUMNS {
            say("layout.rows.columns", &self.rows.columns.to_string());
        }
        let is_number = |c: &u8| c.is_ascii_digit() || b"+-.,".contains(c);
        if self
            .comment
            .is_some_and(|c| c.first().is_none_or(is_number))
        {
            say("layout.comment", "a comment may not begin like a number");
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }

    /// Where the rows begin, after a look at the names and units in the head.
    fn past_head(&self, body: &[u8]) -> Result<usize, Mistakes> {
        let mut at = 0;
        let (mut names, mut units) = (None, None);
        for line in 1..=self.rows.head_lines {
            if at >= body.len() {
                return Err(Mistakes::one(Kind::NoNumbers, Place::File, ""));
            }
            let (end, next) = letters::line_end(body, at);
            for (wanted, cells) in [
                (self.rows.names_line, &mut names),
                (self.rows.units_line, &mut units),
            ] {
                if wanted == Some(line) && end - at <= LONGEST_ROW {
                    *cells = Some(self.header_cells(body, at));
                }
            }
            at = next;
        }
        let line_of = |is_names| {
            if is_names {
                self.rows.names_line
            } else {
                self.rows.units_line
            }
        };
        let place = |is_names, column| Place::Line {
            line: u64::from(line_of(is_names).unwrap_or(0)),
            column,
        };
        check_headers(self.recipe, names.as_deref(), units.as_deref(), place)?;
        Ok(at)
    }

    fn header_cells(&self, body: &[u8], at: usize) -> Vec<String> {
        let row = letters::split(body, at, self.delimiter);
        header_texts(&row, self.encoding, self.comment)
    }

    fn fill(
        &self,
        columns: &mut Columns<'_>,
        body: &[u8],
        start: usize,
        (how, mut hands): (How, Hands),
    ) -> Result<(), Mistakes> {
        if how == How::Whole {
            columns.reserve(rows_expected(body, start));
        }
        let quick = Quick::new(columns, self, how);
        let mut at = start;
        let mut line = u64::from(self.rows.head_lines) + 1;
        while at < body.len() && !columns.enough() {
            if let Some(quick) = &quick {
                (at, line) = hands.take_plain(quick, columns, body, (at, line))?;
            }
            if at < body.len() {
                let (next, lines) = self.slow_row(columns, body, at, line)?;
                at = next;
                line += lines;
            }
        }
        Ok(())
    }

    /// Takes a row cell by cell; where the next begins and how many lines this one spans.
    fn slow_row(
        &self,
        columns: &mut Columns<'_>,
        body: &[u8],
        at: usize,
        line: u64,
    ) -> Result<(usize, u64), Mistakes> {
        let (end, next) = letters::line_end(body, at);
        let trimmed = body[at..end].trim_ascii();
        let is_comment = self.comment.is_some_and(|c| trimmed.starts_with(c));
        if trimmed.is_empty() || trimmed == b"\x1a" || is_comment {
            let place = Place::Line { line, column: 0 };
            columns.mistakes.add(
                Kind::Skipped,
                place,
                &letters::text(cut(trimmed), self.encoding),
            );
            return Ok((next, 1));
        }
        columns.begin(line);
        if end - at > LONGEST_ROW {
            columns.lose_row(
                Kind::LongLine,
                &letters::text(cut(&body[at..end]), self.encoding),
            );
            return columns.end().map(|()| (next, 1));
        }
        let row = letters::split(body, at, self.delimiter);
        self.take_cells(columns, &row, line, trimmed);
        columns.end()?;
        Ok((row.next, row.lines))
    }

    fn take_cells(&self, columns: &mut Columns<'_>, row: &Row<'_>, line: u64, shown: &[u8]) {
        let wanted = self.rows.columns as usize;
        let mut cells = row.cells.as_slice();
        if cells.len() == wanted + 1 && cells[wanted].trim_ascii().is_empty() {
            columns
                .mistakes
                .add(Kind::TrailingDelimiter, Place::Line { line, column: 0 }, "");
            cells = &cells[..wanted];
        }
        if row.open_quote {
            let found = letters::text(cut(shown), self.encoding);
            columns
                .mistakes
                .add(Kind::OpenQuote, Place::Line { line, column: 0 }, &found);
        }
        let found = || letters::text(cut(shown), self.encoding);
        match cells.len().cmp(&wanted) {
            std::cmp::Ordering::Less => columns.lose_row(Kind::ShortRow, &found()),
            std::cmp::Ordering::Greater => columns.lose_row(Kind::LongRow, &found()),
            std::cmp::Ordering::Equal => {
                for (column, cell) in (1..).zip(cells) {
                    let text = letters::text(cell, self.encoding);
                    columns.put(column, &Cell::Text(&text));
                }
            }
        }
    }
}

/// The cells of a row of names or units, as a recipe keeps them.
pub(crate) fn header_texts(
    row: &Row<'_>,
    encoding: Encoding,
    comment: Option<&[u8]>,
) -> Vec<String> {
    let mut cells: Vec<&[u8]> = row.cells.iter().map(|c| c.trim_ascii()).collect();
    if let Some(first) = cells.first_mut() {
        *first = comment
            .and_then(|c| first.strip_prefix(c))
            .unwrap_or(first)
            .trim_ascii();
    }
    if comment.is_some() && row.cells.len() > 1 && cells[0].is_empty() {
        cells.remove(0);
    }
    cells
        .into_iter()
        .map(|c| letters::text(c, encoding).into_owned())
        .collect()
}

fn cut(found: &[u8]) -> &[u8] {
    &found[..found.len().min(400)]
}

/// How many rows there will be, by the length of the first.
fn rows_expected(body: &[u8], start: usize) -> usize {
    let head = &body[start..body.len().min(start + (1 << 16))];
    let lines = letters::line_ends(head).max(1) as usize;
    let each = head.len() / lines;
    (body.len() - start) / each.max(2) + (body.len() - start) / each.max(2) / 50 + 16
}
