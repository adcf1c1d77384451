//! Rows of nothing but plain numbers and clocks, in one pass over their bytes.

use super::feed::bad_letters;
use super::text::Text;
use crate::clock;
use crate::letters::{self, LONGEST_ROW};
use crate::number;
use crate::recipe::{Layout, Time};
use crate::take::{Columns, GAP, How, Plain, Slot};

/// Reads rows that hold nothing but plain numbers and clocks.
pub(super) struct Quick<'r> {
    slots: Vec<Slot>,
    comment: Option<&'r [u8]>,
    delimiter: u8,
    decimal: u8,
    clock: Option<Time>,
    /// How many numbers a row has.
    numbers: usize,
    pub is_utf_8: bool,
}

impl<'r> Quick<'r> {
    /// None where cells have to be looked at one by one.
    pub fn new(columns: &Columns<'_>, text: &Text<'r>, how: How) -> Option<Self> {
        let Layout::Text {
            notation,
            delimiter,
            ..
        } = &text.recipe.layout
        else {
            return None;
        };
        // A decimal mark that is the delimiter too counts within quotes alone.
        let is_clear = notation.decimal.byte() != delimiter.byte();
        let plain = how == How::Whole && is_clear && !columns.slots.contains(&Slot::Date);
        plain.then(|| Self {
            slots: columns.slots.clone(),
            comment: text.comment,
            delimiter: delimiter.byte(),
            decimal: notation.decimal.byte(),
            clock: columns.has_stamps().then(|| text.recipe.time.clone()),
            numbers: columns.raw.len(),
            is_utf_8: text.is_utf_8(),
        })
    }

    /// Reads the rows from `from` on, up to the first that needs the slow way.
    pub fn rows(&self, rows: &mut Plain, body: &[u8], from: usize) {
        rows.clear(self.numbers);
        rows.end = from;
        let mut now = vec![f64::NAN; self.numbers];
        while rows.end < body.len() {
            let Some((next, stamp)) = self.row(&mut now, body, rows.end) else {
                break;
            };
            for (column, value) in rows.numbers.iter_mut().zip(&now) {
                column.push(*value);
            }
            if self.clock.is_some() {
                rows.stamps.push(stamp);
            }
            rows.rows += 1;
            rows.end = next;
        }
    }

    /// Where a text has bytes that are no letters, where that can be.
    pub fn bad_letters(&self, text: &[u8]) -> Option<usize> {
        bad_letters(text).filter(|_| self.is_utf_8)
    }

    /// Reads a row into `now`; where the next begins and the moment in it. None where the row
    /// needs the slow way.
    #[inline]
    fn row(&self, now: &mut [f64], body: &[u8], mut at: usize) -> Option<(usize, i64)> {
        let mut stamp = GAP;
        let last = self.slots.len() - 1;
        at = self.past_spaces(body, at);
        if self.comment.is_some_and(|c| body[at..].starts_with(c)) {
            return None;
        }
        for (column, slot) in self.slots.iter().enumerate() {
            match slot {
                Slot::Number(slot) => (now[*slot], at) = self.number(body, at)?,
                Slot::Skip => at = self.cell_end(body, at)?,
                Slot::Stamp | Slot::Date => {
                    let end = self.cell_end(body, at)?;
                    stamp = self.stamp(&body[at..end])?;
                    at = end;
                }
            }
            at = if column == last {
                self.row_end(body, at)?
            } else {
                self.past_delimiter(body, at)?
            };
        }
        Some((at, stamp))
    }

    /// A number, within quotation marks or without.
    #[inline]
    fn number(&self, body: &[u8], at: usize) -> Option<(f64, usize)> {
        if body.get(at) != Some(&b'"') {
            return number::quick(body, at, self.decimal);
        }
        let (value, end) = number::quick(body, at + 1, self.decimal)?;
        (body.get(end) == Some(&b'"')).then_some((value, end + 1))
    }

    /// Between runs of spaces there is no empty cell, only a missing one.
    fn unless_missing(&self, at: usize, length: usize) -> Option<usize> {
        (length > 0 || self.delimiter != b' ').then_some(at + length)
    }

    fn stamp(&self, cell: &[u8]) -> Option<i64> {
        match self.clock.as_ref()? {
            Time::DateClock { order, .. } => clock::stamp(cell, *order),
            _ => clock::clock(cell),
        }
    }

    #[inline]
    fn past_spaces(&self, body: &[u8], mut at: usize) -> usize {
        let is_tab_space = self.delimiter == b' ';
        while matches!(body.get(at), Some(b' '))
            || (is_tab_space && matches!(body.get(at), Some(b'\t')))
        {
            at += 1;
        }
        at
    }

    #[inline]
    fn past_delimiter(&self, body: &[u8], at: usize) -> Option<usize> {
        let next = self.past_spaces(body, at);
        if self.delimiter == b' ' {
            return (next > at).then_some(next);
        }
        (body.get(next) == Some(&self.delimiter)).then(|| self.past_spaces(body, next + 1))
    }

    #[inline]
    fn row_end(&self, body: &[u8], at: usize) -> Option<usize> {
        let at = self.past_spaces(body, at);
        match body.get(at) {
            Some(b'\n') => Some(at + 1),
            Some(b'\r') | None => Some(letters::after_end(body, at)),
            Some(_) => None,
        }
    }

    /// Where a cell that is not a number ends; none where it is quoted or the row is too long.
    #[inline]
    fn cell_end(&self, body: &[u8], at: usize) -> Option<usize> {
        let limit = body.len().min(at + LONGEST_ROW / 2);
        for (n, &byte) in body[at..limit].iter().enumerate() {
            let is_gap = self.delimiter == b' ' && byte == b'\t';
            match byte {
                b'"' => return None,
                b'\n' | b'\r' => return self.unless_missing(at, n),
                _ if byte == self.delimiter || is_gap => return Some(at + n),
                _ => {}
            }
        }
        if limit == body.len() {
            self.unless_missing(at, limit - at)
        } else {
            None
        }
    }
}
