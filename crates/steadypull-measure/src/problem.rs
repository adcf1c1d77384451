//! What can be wrong with what a calculation is given.

use thiserror::Error;

/// Why there is no answer; each says what, where and what to do.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Problem {
    /// A setting outside its range.
    #[error("{what} must be from {low} to {high}, not {got}")]
    OutOfRange {
        /// The setting.
        what: &'static str,
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
        /// What was given.
        got: f64,
    },
    /// A value that is no number, counted from 1.
    #[error("{what}: value {place} is not a finite number; leave it out or mend the record")]
    NotFinite {
        /// The values.
        what: &'static str,
        /// Its place, from 1.
        place: usize,
    },
    /// Too few values.
    #[error("{what}: at least {least} are needed, got {got}")]
    TooFew {
        /// The values.
        what: &'static str,
        /// Fewest that would do.
        least: usize,
        /// How many there are.
        got: usize,
    },
    /// Lists that belong together differ in length.
    #[error("{what}: {first} and {second} values that belong together; give as many of each")]
    Unequal {
        /// The values.
        what: &'static str,
        /// Length of the first list.
        first: usize,
        /// Length of the second.
        second: usize,
    },
    /// Values that must rise do not, at this place from 1.
    #[error("{what} must rise from value to value; value {place} does not")]
    NotRising {
        /// The values.
        what: &'static str,
        /// Its place, from 1.
        place: usize,
    },
    /// The values do not allow the calculation.
    #[error("{0}")]
    Degenerate(&'static str),
}

/// `value` if it lies in `low..=high`; not-a-numbers do not.
pub(crate) fn in_range(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, Problem> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(Problem::OutOfRange {
            what,
            low,
            high,
            got: value,
        })
    }
}

/// At least `least` values, each a finite number.
pub(crate) fn finite(what: &'static str, values: &[f64], least: usize) -> Result<(), Problem> {
    if let Some(i) = values.iter().position(|v| !v.is_finite()) {
        return Err(Problem::NotFinite { what, place: i + 1 });
    }
    if values.len() < least {
        return Err(Problem::TooFew {
            what,
            least,
            got: values.len(),
        });
    }
    Ok(())
}

/// Finite values that rise from one to the next.
pub(crate) fn rising(what: &'static str, values: &[f64], least: usize) -> Result<(), Problem> {
    finite(what, values, least)?;
    match values.windows(2).position(|w| w[1] <= w[0]) {
        Some(i) => Err(Problem::NotRising { what, place: i + 2 }),
        None => Ok(()),
    }
}

/// Two lists of one length.
pub(crate) fn equal(what: &'static str, first: usize, second: usize) -> Result<(), Problem> {
    if first == second {
        Ok(())
    } else {
        Err(Problem::Unequal {
            what,
            first,
            second,
        })
    }
}
