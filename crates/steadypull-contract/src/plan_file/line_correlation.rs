//! How the numbers of a line file go together: `[correlation]`.
//!
//! One number a pair, under either of its two names: `stretch.set = -0.35` or
//! `set.stretch = -0.35`. The table holds every pair of `[interval]`, or is not there:
//! then each number is drawn by itself.

use steadypull_engine::chance::{Copula, CopulaError};
use toml::de::DeValue;

use super::listing::FieldShape;
use super::section::Section;
use super::value::{Fault, Value};
use crate::operation::FieldKind;

/// The numbers that an interval may be of, in the order in which the line file's intervals
/// are read, and drawn.
const NUMBERS: [&str; 5] = [
    "stretch",
    "energy_return",
    "set",
    "stiffness_ratio",
    "relaxation",
];
/// What to do about a pair.
const WHOLE: &str = "state every pair of [interval], 0 where two do not go together, or leave \
                     [correlation] out: each number is then drawn by itself";

/// How the numbers under `[interval]` go together, in their order there; `Some(None)`
/// where the file does not say.
pub(super) fn correlation(file: &Section, interval: &Section) -> Option<Option<Copula>> {
    let table = file.table("correlation");
    if !table.is_present() {
        return Some(None);
    }
    let rows = NUMBERS.map(|number| table.table(number));
    let measured: Vec<usize> = (0..NUMBERS.len())
        .filter(|i| interval.has(NUMBERS[*i]))
        .collect();
    let is_wanted = |i: usize, j: usize| measured.contains(&i) && measured.contains(&j);
    let pairs = (0..NUMBERS.len()).flat_map(|i| (0..i).map(move |j| (j, i)));
    // Every pair is looked at, so that every mistake is told.
    let read = pairs.map(|(i, j)| (is_wanted(i, j), pair(&rows, &measured, (i, j))));
    let read: Vec<(bool, Option<f64>)> = read.collect();
    rows.iter().for_each(Section::close);
    table.close();
    let wanted = read.into_iter().filter(|(wanted, _)| *wanted);
    let below: Option<Vec<f64>> = wanted.map(|(_, r)| r).collect();
    // Row by row under the diagonal.
    let below = below?;
    let copula = Copula::new(measured.len(), |i, j| below[i * (i - 1) / 2 + j]);
    let noted = |error: CopulaError| file.note("correlation", impossible(error));
    copula.map(Some).map_err(noted).ok()
}

fn impossible(error: CopulaError) -> Fault {
    let fault = Fault::new(format!("cannot be drawn from: {error}"));
    fault.hinting(
        "copy them as `steadypull tests fit` writes them, all of one fit and with all their \
         figures, or leave [correlation] out: each number is then drawn by itself",
    )
}

/// The correlation of a pair of [`NUMBERS`], the first before the second there.
fn pair(
    rows: &[Section; NUMBERS.len()],
    measured: &[usize],
    (i, j): (usize, usize),
) -> Option<f64> {
    let is_measured = |number: &usize| measured.contains(number);
    let ways = [(i, j), (j, i)].into_iter();
    let there: Vec<(usize, usize)> = ways.filter(|(a, b)| rows[*a].has(NUMBERS[*b])).collect();
    let (row, key) = match there[..] {
        [] if is_measured(&i) && is_measured(&j) => {
            rows[i].note_missing(NUMBERS[j], format!("{}; {WHOLE}", Correlation::expected()));
            return None;
        }
        [] => return None,
        [(row, key)] => (row, key),
        [_, (row, key), ..] => {
            let fault = Fault::new(format!("stands here as {}.{} too", NUMBERS[i], NUMBERS[j]));
            rows[row].note(NUMBERS[key], fault.hinting("keep one of the two"));
            return None;
        }
    };
    let found = rows[row].key::<Correlation>(NUMBERS[key]).maybe()?;
    if let Some(none) = [i, j].into_iter().find(|number| !is_measured(number)) {
        let fault = Fault::new(format!(
            "is of a number without an interval: {}",
            NUMBERS[none]
        ));
        let hint = "leave the pair out: what has no interval is not drawn";
        rows[row].note(NUMBERS[key], fault.hinting(hint));
        return None;
    }
    found.map(|Correlation(r)| r)
}

/// A correlation; it has no spread of its own, and nothing varies it.
struct Correlation(f64);

impl Value for Correlation {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Number)
    }

    fn expected() -> String {
        "a plain number from -1 to 1, such as -0.35".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let fault = Fault::new(format!("is a text: {}", super::quantity::short(text)));
        Err(fault.expecting(Self::expected()))
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        if let DeValue::String(_) = value {
            return Err(Fault::sort_of(value, Self::expected()));
        }
        let number = f64::from_toml(value).map_err(|fault| fault.expecting(Self::expected()))?;
        if (-1.0..=1.0).contains(&number) {
            return Ok(Self(number));
        }
        let fault = Fault::new("is out of range".into());
        Err(fault.expecting(Self::expected()))
    }
}
