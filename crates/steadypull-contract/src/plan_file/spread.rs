//! A range or a distribution in place of one number.
//!
//! | written | means | middle |
//! |---|---|---|
//! | `2.2 t to 2.6 t` | anywhere between, none likelier | half way |
//! | `2.2 t to 2.6 t, likely 2.3 t` | triangular | the likely value |
//! | `2.4 t +/- 0.2 t`, `2.4 t +/- 8 %` | normal, 19 in 20 inside: the tolerance is 2 standard deviations | the value |
//! | `{ low, high }`, `{ low, likely, high }` | as the first two | |
//! | `{ mean, sd }` | normal | the mean |
//! | `{ median, spread }` | log-normal; `spread` is the 1-sigma of its logarithm | the median |
//!
//! A tolerance behind a plus-minus sign is read as an interval of high confidence,
//! not as one standard deviation: that is what it has meant by tradition (JCGM
//! 100:2008, GUM, note to 7.2.2, which warns of it; coverage factor 2 as in 7.2.1
//! and 6.3.3; from memory). A bell curve is cut off at the limits of its key.

use steadypull_engine::chance::{Distribution, DistributionError, LogNormal, normal_cdf};
use toml::de::{DeTable, DeValue};

use super::number::Number;
use super::quantity::{number, short, split};
use super::spelling::nearest;
use super::unit_table::Share;
use super::value::{Fault, Value};

/// Standard deviations in the tolerance behind a plus-minus sign.
const TOLERANCE_SD: f64 = 2.0;
/// Standard deviations either way that must lie within the limits of the key.
const BAND_SD: f64 = 2.0;

/// A spread as it was written.
pub(super) struct Found<T> {
    /// What everything uses that does not reckon with chance.
    pub middle: T,
    /// Least and greatest size that must lie within the limits of the key: all of
    /// a range, 19 in 20 of a bell curve.
    pub band: (f64, f64),
    /// Sizes in SI, before the limits cut anything off.
    pub distribution: Distribution,
    /// As written, on one line.
    pub text: String,
}

/// What a text or a table says, before its pieces are read.
enum Form<P> {
    Between { low: P, likely: Option<P>, high: P },
    Tolerance { value: P, tolerance: P },
    Normal { mean: P, sd: P },
    LogNormal { median: P, spread: P },
}

/// The spread in `value`, unless it is one value alone.
pub(super) fn read<T: Value>(of: &Number<T>, value: &DeValue) -> Option<Result<Found<T>, Fault>> {
    let found = match value {
        DeValue::String(text) => of_text(of, text)?,
        DeValue::Table(table) => of_table(of, table),
        _ => return None,
    };
    if of.whole {
        let fault = Fault::new("is a spread, and only one whole number will do".into());
        return Some(Err(fault.expecting(T::expected())));
    }
    Some(found)
}

/// Whether a value that did not read looks as if a spread was meant.
pub(super) fn hint(value: &DeValue) -> Option<String> {
    let DeValue::String(text) = value else {
        return None;
    };
    let (_, unit) = split(text.trim());
    let joined = unit.contains(|c: char| c.is_ascii_digit())
        && unit.contains(['-', '\u{2013}', '~', '/', '+'])
        || text.to_lowercase().contains("about");
    joined.then(|| {
        "a range is written \"LOW to HIGH\", a tolerance \"VALUE +/- TOLERANCE\"".to_string()
    })
}

fn of_text<T: Value>(of: &Number<T>, text: &str) -> Option<Result<Found<T>, Fault>> {
    let form = form(text)?;
    Some(read_texts(of, form).map(|found| Found {
        text: short(text.trim()),
        ..found
    }))
}

fn form(text: &str) -> Option<Form<&str>> {
    let sign = ["+/-", "\u{b1}"].into_iter().find(|s| text.contains(s));
    if let Some((value, tolerance)) = sign.and_then(|sign| text.split_once(sign)) {
        return Some(Form::Tolerance {
            value: value.trim(),
            tolerance: tolerance.trim(),
        });
    }
    let (ends, likely) = match text.split_once("likely") {
        Some((ends, likely)) => {
            let ends = ends.trim_end().trim_end_matches("most");
            (ends.trim_end().trim_end_matches(','), Some(likely.trim()))
        }
        None => (text, None),
    };
    let (low, high) = match ends.trim().strip_prefix("between ") {
        Some(ends) => ends.split_once(" and ")?,
        None => ends.split_once(" to ")?,
    };
    Some(Form::Between {
        low: low.trim(),
        likely,
        high: high.trim(),
    })
}

fn read_texts<T: Value>(of: &Number<T>, form: Form<&str>) -> Result<Found<T>, Fault> {
    match form {
        Form::Between { low, likely, high } => {
            let all = [low, high].into_iter().chain(likely);
            let unit = all
                .map(|piece| split(piece).1)
                .rfind(|unit| !unit.is_empty());
            let piece = |text: &str| T::from_text(&with_unit(text, unit));
            let likely = likely.map(piece).transpose()?;
            between(of, piece(low)?, likely, piece(high)?)
        }
        Form::Tolerance { value, tolerance } => {
            let half = half_width(of, value, tolerance)?;
            let (digits, unit) = split(value);
            let unit = if unit.is_empty() {
                split(tolerance).1
            } else {
                unit
            };
            let middle = match unit {
                "" => T::from_text(value)?,
                "%" if split(value).1.is_empty() => T::from_text(value)?,
                unit => T::from_text(&format!("{digits} {unit}"))?,
            };
            normal(of, middle, half / TOLERANCE_SD)
        }
        // Only a table says these.
        Form::Normal { mean, sd } => {
            let sd = (of.size)(&T::from_text(sd)?);
            normal(of, T::from_text(mean)?, sd)
        }
        Form::LogNormal { median, spread } => {
            log_normal(of, T::from_text(median)?, share_of(spread)?)
        }
    }
}

/// `2.2 to 2.6 t`: the unit said once is that of both.
pub(super) fn with_one_unit(low: &str, high: &str) -> (String, String) {
    let units = [low, high].map(|piece| split(piece).1);
    let unit = units.into_iter().rfind(|unit| !unit.is_empty());
    (with_unit(low, unit), with_unit(high, unit))
}

fn with_unit(text: &str, unit: Option<&str>) -> String {
    match (split(text), unit) {
        ((digits, ""), Some(unit)) if !digits.is_empty() => format!("{digits} {unit}"),
        _ => text.into(),
    }
}

/// A distribution cut off at the limits of its key; none if the band of it that
/// must lie within them does not.
pub(super) fn cut(
    band: (f64, f64),
    distribution: Distribution,
    limits: Option<(f64, f64)>,
) -> Result<Option<Distribution>, Fault> {
    let (low, high) = limits.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    let inside = |end: f64| end >= low && end <= high;
    if !inside(band.0) || !inside(band.1) {
        return Ok(None);
    }
    let cut = distribution.within(low, high);
    cut.map(Some).map_err(|error| fault_of(&error))
}

/// The tolerance in SI: in the unit of the value, in another, or in per cent of it.
fn half_width<T: Value>(of: &Number<T>, value: &str, tolerance: &str) -> Result<f64, Fault> {
    let ((digits, unit), (by, by_unit)) = (split(value), split(tolerance));
    let expecting = |fault: Fault| fault.expecting(expected::<T>());
    let no_number = || expecting(Fault::new("has no number on one side of its +/-".into()));
    if digits.is_empty() || by.is_empty() {
        return Err(no_number());
    }
    let (centre, by) = (
        number(digits).map_err(expecting)?,
        number(by).map_err(expecting)?,
    );
    let relative = by_unit == "%" && unit != "%";
    if relative && of.unit == "rad" {
        let fault = Fault::new("has a tolerance in per cent, and of what is not plain".into());
        return Err(fault.hinting("give the tolerance in degrees, such as \"8 deg +/- 1 deg\""));
    }
    if !relative && !by_unit.is_empty() && !unit.is_empty() && unit != by_unit {
        if of.unit == "rad" {
            let fault = Fault::new("has a tolerance in another unit".into());
            return Err(fault.hinting("give both in degrees"));
        }
        return Ok((of.size)(&T::from_text(tolerance)?));
    }
    let by = if relative {
        by / 100.0 * centre.abs()
    } else {
        by
    };
    let unit = if relative || by_unit.is_empty() {
        unit
    } else {
        by_unit
    };
    let size = |number: f64| T::from_text(&format!("{number} {unit}")).map(|v| (of.size)(&v));
    Ok(0.5 * (size(centre + by)? - size(centre - by)?))
}

fn of_table<T: Value>(of: &Number<T>, table: &DeTable) -> Result<Found<T>, Fault> {
    let form = table_form(table).map_err(|fault| fault.expecting(expected::<T>()))?;
    let piece = |value: &DeValue| match value {
        // A plain number may stand in quotes or not.
        DeValue::String(text) => T::from_text(text),
        other => T::from_toml(other),
    };
    let found = match form {
        Form::Between { low, likely, high } => {
            let likely = likely.map(piece).transpose()?;
            between(of, piece(low)?, likely, piece(high)?)
        }
        Form::Normal { mean, sd }
        | Form::Tolerance {
            value: mean,
            tolerance: sd,
        } => {
            let sd = (of.size)(&piece(sd)?);
            normal(of, piece(mean)?, sd)
        }
        Form::LogNormal { median, spread } => {
            log_normal(of, piece(median)?, share_of(&raw(spread))?)
        }
    }?;
    let mut written: Vec<_> = table.iter().collect();
    written.sort_by_key(|(name, _)| name.span().start);
    let written = written
        .into_iter()
        .map(|(name, value)| format!("{} {}", name.get_ref(), raw(value.get_ref())));
    Ok(Found {
        text: short(&written.collect::<Vec<_>>().join(", ")),
        ..found
    })
}

/// A number or text as written, without quotes.
fn raw(value: &DeValue) -> String {
    match value {
        DeValue::String(text) => text.to_string(),
        DeValue::Integer(n) => n.as_str().into(),
        DeValue::Float(n) => n.as_str().into(),
        _ => String::new(),
    }
}

const KEYS: [&str; 7] = ["low", "likely", "high", "mean", "sd", "median", "spread"];

fn table_form<'v, 't>(table: &'v DeTable<'t>) -> Result<Form<&'v DeValue<'t>>, Fault> {
    for (name, _) in table.iter() {
        let name: &str = name.get_ref();
        if !KEYS.contains(&name) {
            let fault = Fault::new(format!("holds an unknown key \"{}\"", short(name)));
            return Err(match nearest(name, KEYS) {
                Some(meant) => fault.hinting(format!("did you mean {meant}?")),
                None => fault,
            });
        }
    }
    let get = |key: &str| table.get(key).map(|value| value.get_ref());
    let count = table.len();
    match KEYS.map(get) {
        [Some(low), likely, Some(high), ..] if count == 2 + usize::from(likely.is_some()) => {
            Ok(Form::Between { low, likely, high })
        }
        [_, _, _, Some(mean), Some(sd), ..] if count == 2 => Ok(Form::Normal { mean, sd }),
        [.., Some(median), Some(spread)] if count == 2 => Ok(Form::LogNormal { median, spread }),
        _ => Err(Fault::new("is a table that makes no spread".into())),
    }
}

/// The spread of a logarithm: `30 %` or `0.3`.
fn share_of(text: &str) -> Result<f64, Fault> {
    let read = if text.contains('%') {
        Share::from_text(text).map(|share| share.0)
    } else {
        f64::from_text(text)
    };
    let expected = "a spread such as \"30 %\": the 1-sigma of its logarithm";
    let spread = read.map_err(|fault| fault.expecting(expected))?;
    if spread > 0.0 && spread <= 2.0 {
        return Ok(spread);
    }
    let fault = Fault::new("has a spread that is nothing, below it, or over 200 %".into());
    Err(fault.expecting(expected))
}

fn between<T: Value>(
    of: &Number<T>,
    low: T,
    likely: Option<T>,
    high: T,
) -> Result<Found<T>, Fault> {
    let (least, most) = ((of.size)(&low), (of.size)(&high));
    let (distribution, middle) = match likely {
        None => {
            let middle = (of.of)(0.5 * least + 0.5 * most);
            let range = Distribution::Uniform {
                low: least,
                high: most,
            };
            (range, middle)
        }
        Some(likely) => {
            let (low, high, likely_size) = (least, most, (of.size)(&likely));
            let shape = Distribution::Triangular {
                low,
                likely: likely_size,
                high,
            };
            (shape, Some(likely))
        }
    };
    found(middle, (least, most), distribution)
}

fn normal<T: Value>(of: &Number<T>, mean: T, sd: f64) -> Result<Found<T>, Fault> {
    let size = (of.size)(&mean);
    let band = (size - BAND_SD * sd, size + BAND_SD * sd);
    found(Some(mean), band, Distribution::Normal { mean: size, sd })
}

fn log_normal<T: Value>(of: &Number<T>, median: T, spread: f64) -> Result<Found<T>, Fault> {
    let size = (of.size)(&median);
    let whole = LogNormal::new(size, spread);
    let band = [-BAND_SD, BAND_SD].map(|sd| whole.quantile(normal_cdf(sd)));
    found(
        Some(median),
        (band[0], band[1]),
        Distribution::LogNormal(whole),
    )
}

fn found<T: Value>(
    middle: Option<T>,
    band: (f64, f64),
    distribution: Distribution,
) -> Result<Found<T>, Fault> {
    distribution.check().map_err(|error| fault_of(&error))?;
    let middle = middle.ok_or_else(|| Fault::new("has no middle".into()))?;
    Ok(Found {
        middle,
        band,
        distribution,
        text: String::new(),
    })
}

/// In the reader's words: the engine's are in SI.
fn fault_of(error: &DistributionError) -> Fault {
    match error {
        DistributionError::Order { .. } => {
            Fault::new("is no range: its low end is not below its high end".into())
                .hinting("give the low end first, or one value if it is known")
        }
        DistributionError::Likely { .. } => {
            Fault::new("has a likely value outside its range".into())
        }
        DistributionError::NotPositive { .. } => {
            Fault::new("has a tolerance or a middle that is nothing, or below it".into())
                .hinting("give one value if it is known")
        }
        _ => Fault::new("is no spread that can be used".into()),
    }
}

/// How a spread of a `T` is written.
fn expected<T: Value>() -> String {
    format!(
        "{}; or \"LOW to HIGH\", \"LOW to HIGH, likely VALUE\", \"VALUE +/- TOLERANCE\", \
         {{ low, likely, high }}, {{ mean, sd }} or {{ median, spread }}",
        T::expected()
    )
}
