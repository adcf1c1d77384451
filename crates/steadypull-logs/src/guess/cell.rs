//! What a cell looks like.

use crate::clock;
use crate::number::{means_no_value, means_overload};
use crate::recipe::{DateOrder, Notation};

/// What a cell looks like under a notation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Looks {
    Empty,
    Number(f64),
    Clock,
    Date,
    Stamp,
    /// A word for no value or too large a value.
    NoValue,
    Text,
}

const ORDERS: [DateOrder; 3] = [
    DateOrder::YearMonthDay,
    DateOrder::DayMonthYear,
    DateOrder::MonthDayYear,
];

impl Looks {
    pub fn of(cell: &str, notation: Notation) -> Self {
        let cell = cell.trim();
        if cell.is_empty() {
            return Self::Empty;
        }
        if let Ok(value) = notation.read(cell) {
            return Self::Number(value);
        }
        let bytes = cell.as_bytes();
        if clock::clock(bytes).is_some() {
            Self::Clock
        } else if ORDERS.iter().any(|o| clock::date(bytes, *o).is_some()) {
            Self::Date
        } else if ORDERS.iter().any(|o| clock::stamp(bytes, *o).is_some()) {
            Self::Stamp
        } else if means_no_value(cell) || means_overload(cell) {
            Self::NoValue
        } else {
            with_unit(cell, notation).map_or(Self::Text, Self::Number)
        }
    }

    pub fn is_value(self) -> bool {
        !matches!(self, Self::Text)
    }

    pub fn is_filled_value(self) -> bool {
        self.is_value() && self != Self::Empty
    }
}

/// `12.5 kN` and the like.
fn with_unit(cell: &str, notation: Notation) -> Option<f64> {
    crate::take::value_and_unit(notation, cell).map(|v| v.0)
}
