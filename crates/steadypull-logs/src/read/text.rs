//! Delimited text.
//!
//! Most rows are plain numbers between delimiters and are read in one pass over their bytes.
//! A row with anything else in it is split into cells and read cell by cell; both ways give the
//! same numbers.

use std::io::{self, Read};

use crate::letters::{self, LONGEST_ROW, MOST_COLUMNS, Row};
use crate::log::{Log, PlaceKind, Places};
use crate::mistake::{Kind, Mistake, Mistakes, Place};
use crate::recipe::{Decimal, Delimiter, Encoding, Grouping, Layout, Recipe, Rows};
use crate::take::{Cell, Columns, How, Plain, Texts, check_headers};

use super::feed::{Feed, bad_letters};
use super::hands::{Broken, Hands, Window};
use super::quick::Quick;

pub(super) struct Text<'r> {
    pub recipe: &'r Recipe,
    encoding: Encoding,
    delimiter: Delimiter,
    rows: &'r Rows,
    pub comment: Option<&'r [u8]>,
}

pub(super) fn read(
    source: &mut (dyn Read + Send),
    recipe: &Recipe,
    how: How,
    hands: &Hands,
) -> Result<(Log, Texts), Broken> {
    let Layout::Text { encoding, rows, .. } = &recipe.layout else {
        return Err(Mistakes::one(Kind::WrongFormat, Place::File, "").into());
    };
    let is_wide = matches!(encoding, Encoding::Utf16Le | Encoding::Utf16Be);
    if !is_wide && rows.foot_lines == 0 {
        return read_feed(Feed::new(source, hands.part), None, recipe, (how, hands));
    }
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes)?;
    let (body, is_bad) = letters::as_ascii_based(&bytes, *encoding);
    let bad = match is_wide {
        true => is_bad.then(|| {
            let mark = memchr::memmem::find(&body, "\u{fffd}".as_bytes());
            mark.unwrap_or(body.len())
        }),
        false => bad_letters(&body).filter(|_| *encoding == Encoding::Utf8),
    };
    let bad = bad.map(|at| (body.as_ref(), at));
    let mut rows = letters::without_foot(&body, rows.foot_lines);
    read_feed(Feed::new(&mut rows, hands.part), bad, recipe, (how, hands))
}

/// Reads a text as it comes; `bad` is a text and where it has bytes that are no letters, if
/// that is known.
fn read_feed(
    mut feed: Feed<'_>,
    bad: Option<(&[u8], usize)>,
    recipe: &Recipe,
    (how, hands): (How, &Hands),
) -> Result<(Log, Texts), Broken> {
    let Layout::Text {
        encoding,
        delimiter,
        notation,
        rows,
        comment,
    } = &recipe.layout
    else {
        return Err(Mistakes::one(Kind::WrongFormat, Place::File, "").into());
    };
    let text = Text {
        recipe,
        encoding: *encoding,
        delimiter: *delimiter,
        rows,
        comment: comment.as_deref().map(str::as_bytes),
    };
    let mut window = Window::new(bad);
    text.fetch(&mut feed, &mut window)?;
    if window.text.is_empty() {
        return Err(Mistakes::one(Kind::Empty, Place::File, "").into());
    }
    text.check(notation.decimal, notation.grouping)?;
    let places = Places::new(PlaceKind::Text);
    let mut columns = Columns::new(recipe, *notation, rows.columns, places, how)?;
    text.past_head(&mut feed, &mut window)?;
    text.fill(&mut columns, &mut feed, &mut window, (how, hands))?;
    if how == How::Whole && rows.foot_lines == 0 && !feed.is_closed {
        let last = columns.rows().saturating_sub(1);
        let place = columns.places.of(last, 0);
        columns.mistakes.add(Kind::OpenEnd, place, "");
    }
    if let Some((line, found)) = window.bad_letters {
        let place = Place::Line { line, column: 0 };
        let mistake = Mistake::new(Kind::BadLetters, place, &found);
        columns.mistakes.put_first(mistake);
    }
    Ok(columns.finish(None, None)?)
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

    pub fn is_utf_8(&self) -> bool {
        self.encoding == Encoding::Utf8
    }

    /// Fetches the next lines of the text.
    fn fetch(&self, feed: &mut Feed<'_>, window: &mut Window) -> io::Result<()> {
        let is_first = window.line == 1 && window.text.is_empty();
        window.fetch(feed, self.is_utf_8())?;
        if is_first && self.is_utf_8() && window.text.starts_with(b"\xef\xbb\xbf") {
            window.at = 3;
        }
        Ok(())
    }

    /// Goes to where the rows begin, after a look at the names and units in the head.
    fn past_head(&self, feed: &mut Feed<'_>, window: &mut Window) -> Result<(), Broken> {
        let (mut names, mut units) = (None, None);
        for line in 1..=self.rows.head_lines {
            // A name in quotes may run on past its line.
            while window.text.len() - window.at < 2 * LONGEST_ROW && !feed.ended {
                self.fetch(feed, window)?;
            }
            let (body, at) = (&window.text, window.at);
            if at >= body.len() {
                return Err(Mistakes::one(Kind::NoNumbers, Place::File, "").into());
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
            (window.at, window.line) = (next, window.line + 1);
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
        Ok(check_headers(
            self.recipe,
            names.as_deref(),
            units.as_deref(),
            place,
        )?)
    }

    fn header_cells(&self, body: &[u8], at: usize) -> Vec<String> {
        let row = letters::split(body, at, self.delimiter);
        header_texts(&row, self.encoding, self.comment)
    }

    fn fill(
        &self,
        columns: &mut Columns<'_>,
        feed: &mut Feed<'_>,
        window: &mut Window,
        (how, hands): (How, &Hands),
    ) -> Result<(), Broken> {
        let quick = Quick::new(columns, self, how);
        let mut rows = Plain::default();
        // How far one goes on alone after a row that was not plain: further each time, for
        // where there is one there are others.
        let (mut alone, mut passed, mut together_from) = (hands.part, 0, 0);
        while !columns.enough() {
            if let Some(quick) = &quick
                && window.is_empty()
                && passed >= together_from
                && hands.threads > 1
            {
                columns.expect_many();
                let taken = hands.take_plain(quick, columns, feed, window)?;
                alone = if taken < alone { 2 * alone } else { hands.part };
                together_from = passed + alone;
            }
            if window.is_empty() {
                self.fetch(feed, window)?;
                if window.is_empty() {
                    break;
                }
            }
            let before = window.at;
            if let Some(quick) = &quick {
                quick.rows(&mut rows, &window.text, window.at);
                window.line = columns.take_rows(window.line, &rows)?;
                window.at = rows.end;
            }
            passed += window.at - before;
            if !window.is_empty() {
                passed += self.slow_row(columns, feed, window)?;
            }
        }
        Ok(())
    }

    /// Takes a row cell by cell; how many bytes it had.
    fn slow_row(
        &self,
        columns: &mut Columns<'_>,
        feed: &mut Feed<'_>,
        window: &mut Window,
    ) -> Result<usize, Broken> {
        self.reach_row_end(feed, window)?;
        let (body, at, line) = (&window.text, window.at, window.line);
        let (end, next) = letters::line_end(body, at);
        let trimmed = body[at..end].trim_ascii();
        let is_comment = self.comment.is_some_and(|c| trimmed.starts_with(c));
        let (next, lines) = if trimmed.is_empty() || trimmed == b"\x1a" || is_comment {
            let place = Place::Line { line, column: 0 };
            columns.mistakes.add(
                Kind::Skipped,
                place,
                &letters::text(cut(trimmed), self.encoding),
            );
            (next, 1)
        } else if end - at > LONGEST_ROW {
            columns.begin(line);
            columns.lose_row(
                Kind::LongLine,
                &letters::text(cut(&body[at..end]), self.encoding),
            );
            columns.end()?;
            (next, 1)
        } else {
            columns.begin(line);
            let row = letters::split(body, at, self.delimiter);
            self.take_cells(columns, &row, line, trimmed);
            columns.end()?;
            (row.next, row.lines)
        };
        (window.at, window.line) = (next, line + lines);
        Ok(next - at)
    }

    /// Fetches lines until the row at hand is whole: a quoted cell may run on past its line, and
    /// whether it ends is looked for over [`LONGEST_ROW`] bytes.
    fn reach_row_end(&self, feed: &mut Feed<'_>, window: &mut Window) -> io::Result<()> {
        loop {
            let (end, _) = letters::line_end(&window.text, window.at);
            let line = &window.text[window.at..end];
            if feed.ended || memchr::memchr(b'"', line).is_none() {
                return Ok(());
            }
            let row = letters::split(&window.text, window.at, self.delimiter);
            if row.next + LONGEST_ROW < window.text.len() {
                return Ok(());
            }
            self.fetch(feed, window)?;
        }
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
