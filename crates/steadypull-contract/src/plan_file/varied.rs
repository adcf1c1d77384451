//! What a study puts in place of one number: values of a list, or draws.
//!
//! | written | means |
//! |---|---|
//! | `["2.2 t", "2.4 t"]`, or as text `2.2 t, 2.4 t` | these values, one after another |
//! | `2.2 t to 2.6 t in 5 values`, `{ low, high, values = 5 }` | evenly from end to end, in SI |
//! | any spread of a plan file | drawn from it |
//! | one value | that value throughout |

use steadypull_engine::chance::Distribution;
use toml::de::{DeTable, DeValue};

use super::quantity::short;
use super::spread;
use super::value::{Fault, Value};
use super::vary::Variable;

/// Most values of one input.
const MOST_VALUES: usize = 100_000;

/// What a study makes of one number of a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Varied {
    /// Each of these, SI.
    Listed(Vec<f64>),
    /// Drawn, SI.
    Drawn(Distribution),
}

/// Reads what a study says of a number of this sort.
pub(super) type ReadVaried = fn(&DeValue) -> Result<Reading, Fault>;

/// What was read, before the limits of the key.
pub(super) enum Reading {
    Values(Vec<f64>),
    Spread((f64, f64), Distribution),
}

/// What the study's `value` makes of `variable`.
pub(super) fn of(variable: &Variable, value: &DeValue) -> Result<Varied, Fault> {
    let limits = variable.limits;
    let out_of_range = |what: &str| {
        let fault = Fault::new(what.into());
        match variable.limit_text {
            Some(text) => fault.expecting(text),
            None => fault,
        }
    };
    match (variable.read)(value)? {
        Reading::Values(values) => {
            let inside =
                |size: &f64| limits.is_none_or(|(low, high)| *size >= low && *size <= high);
            match values.iter().all(inside) {
                true => Ok(Varied::Listed(values)),
                false => Err(out_of_range("has a value out of range")),
            }
        }
        Reading::Spread(band, distribution) => {
            let cut = spread::cut(band, distribution, limits)?;
            cut.map(Varied::Drawn)
                .ok_or_else(|| out_of_range("reaches out of range"))
        }
    }
}

/// Reads what a study says of a `T`.
pub(super) fn read<T: Value>(value: &DeValue) -> Result<Reading, Fault> {
    let Some(of) = T::NUMBER else {
        return Err(Fault::new("is no number".into()));
    };
    let size = |value: T| (of.size)(&value);
    let one = |value: &DeValue| match value {
        // A plain number may stand in quotes or not.
        DeValue::String(text) => T::from_text(text).map(size),
        other => T::from_toml(other).map(size),
    };
    let values = match value {
        DeValue::Array(list) => list.iter().map(|item| one(item.get_ref())).collect(),
        DeValue::Table(table) if table.contains_key("values") => from_to(table, one),
        DeValue::String(text) => match text_form(text) {
            TextForm::Even(ends, count) => {
                let read = |text: &str| T::from_text(text).map(size);
                even(read(&ends.0)?, read(&ends.1)?, count)
            }
            TextForm::List(items) => items.iter().map(|t| T::from_text(t).map(size)).collect(),
            TextForm::Other => match spread::read(&of, value) {
                Some(found) => {
                    let found = found?;
                    return Ok(Reading::Spread(found.band, found.distribution));
                }
                None => one(value).map(|value| vec![value]),
            },
        },
        DeValue::Table(_) => match spread::read(&of, value) {
            Some(found) => {
                let found = found?;
                return Ok(Reading::Spread(found.band, found.distribution));
            }
            None => one(value).map(|value| vec![value]),
        },
        other => one(other).map(|value| vec![value]),
    }?;
    if values.is_empty() || values.len() > MOST_VALUES {
        let fault = Fault::new(format!("has {} values", values.len()));
        return Err(fault.expecting(format!("1 to {MOST_VALUES}")));
    }
    match values.iter().find(|size| (of.of)(**size).is_none()) {
        Some(size) => Err(Fault::new(format!("cannot be {size}")).expecting(of.what)),
        None => Ok(Reading::Values(values)),
    }
}

enum TextForm<'t> {
    Even((String, String), &'t str),
    List(Vec<&'t str>),
    Other,
}

fn text_form(text: &str) -> TextForm<'_> {
    let text = text.trim();
    let counted = text
        .strip_suffix(" values")
        .and_then(|t| t.rsplit_once(" in "));
    if let Some((ends, count)) = counted
        && let Some((low, high)) = ends.split_once(" to ")
    {
        return TextForm::Even(spread::with_one_unit(low.trim(), high.trim()), count.trim());
    }
    // A comma with a space behind it parts values; one in a number is refused.
    if text.contains(", ") && !text.contains("likely") {
        return TextForm::List(text.split(", ").map(str::trim).collect());
    }
    TextForm::Other
}

fn from_to(
    table: &DeTable,
    one: impl Fn(&DeValue) -> Result<f64, Fault>,
) -> Result<Vec<f64>, Fault> {
    let get = |key: &str| table.get(key).map(|value| value.get_ref());
    match (get("low"), get("high"), get("values")) {
        (Some(low), Some(high), Some(DeValue::Integer(count))) if table.len() == 3 => {
            even(one(low)?, one(high)?, count.as_str())
        }
        _ => Err(Fault::new("is a table that makes no row of values".into())
            .expecting("{ low = ..., high = ..., values = 5 }")),
    }
}

/// Evenly from `low` to `high`, both met to the bit.
fn even(low: f64, high: f64, count: &str) -> Result<Vec<f64>, Fault> {
    let wanted = count.parse::<usize>().ok();
    let Some(count) = wanted.filter(|count| (2..=MOST_VALUES).contains(count)) else {
        let fault = Fault::new(format!("asks for {} values", short(count)));
        return Err(fault.expecting(format!("2 to {MOST_VALUES}, such as \"in 5 values\"")));
    };
    if low >= high {
        let fault = Fault::new("is no range: its low end is not below its high end".into());
        return Err(fault.hinting("give the low end first"));
    }
    let at = |i: usize| {
        let share = i as f64 / (count - 1) as f64;
        low * (1.0 - share) + high * share
    };
    Ok((0..count).map(at).collect())
}
