//! Which column is the time, and how it is told.

use crate::clock;
use crate::recipe::{DateOrder, Notation, Time, TimeUnit};

use super::cell::Looks;
use super::table::Column;
use super::{Choice, Sure};

/// The time, and the columns that are no channels because of it.
pub(super) struct Found {
    pub time: Time,
    pub taken: Vec<u32>,
}

pub(super) fn guess(
    columns: &[Column],
    head: &str,
    notation: Notation,
    choices: &mut Vec<Choice>,
) -> Found {
    let rate = rate_in(head, notation);
    let found = by_clock(columns, choices)
        .or_else(|| by_name(columns, choices))
        .or_else(|| by_count(columns, rate, choices))
        .or_else(|| by_steps(columns, rate, choices));
    let mut found = found.unwrap_or_else(|| without_column(rate, choices));
    leave_out_counts(columns, &mut found, choices);
    found
}

fn mostly(columns: &[Column], looks: Looks) -> Option<&Column> {
    columns.iter().find(|c| {
        c.share(|l| *l == looks || *l == Looks::NoValue) > 0.8 && c.share(|l| *l == looks) > 0.5
    })
}

fn by_clock(columns: &[Column], choices: &mut Vec<Choice>) -> Option<Found> {
    let clock = mostly(columns, Looks::Clock);
    if let Some(column) = mostly(columns, Looks::Stamp) {
        let order = order_of(column, choices);
        tell(
            choices,
            "date-clock",
            Sure::Certain,
            column,
            "its cells are dates with a clock",
        );
        let time = Time::DateClock {
            column: column.at,
            clock_column: None,
            order,
        };
        return Some(Found {
            time,
            taken: vec![column.at],
        });
    }
    if let Some((date, clock)) = mostly(columns, Looks::Date)
        .zip(clock)
        .filter(|(d, c)| d.at < c.at)
    {
        let order = order_of(date, choices);
        tell(
            choices,
            "date-clock",
            Sure::Certain,
            date,
            &format!("its cells are dates, those of column {} clocks", clock.at),
        );
        let time = Time::DateClock {
            column: date.at,
            clock_column: Some(clock.at),
            order,
        };
        return Some(Found {
            time,
            taken: vec![date.at, clock.at],
        });
    }
    let column = clock?;
    tell(
        choices,
        "clock",
        Sure::Certain,
        column,
        "its cells are times of day",
    );
    Some(Found {
        time: Time::Clock { column: column.at },
        taken: vec![column.at],
    })
}

fn tell(choices: &mut Vec<Choice>, kind: &str, sure: Sure, column: &Column, why: &str) {
    choices.push(Choice::new(
        "time.kind",
        kind,
        sure,
        format!("column {}: {why}", column.at),
    ));
}

/// The order of day, month and year: by cells that fit one only.
fn order_of(column: &Column, choices: &mut Vec<Choice>) -> DateOrder {
    use DateOrder::{DayMonthYear, MonthDayYear, YearMonthDay};
    let fits = |order| {
        let dated = |c: &&String| !c.is_empty();
        let reads = |c: &String| {
            clock::stamp(c.as_bytes(), order)
                .or_else(|| clock::date(c.as_bytes(), order))
                .is_some()
        };
        let all = column.cells.iter().filter(dated).count();
        column.cells.iter().filter(|c| reads(c)).count() * 10 > all * 8
    };
    let year_first = column
        .cells
        .iter()
        .any(|c| c.bytes().take_while(u8::is_ascii_digit).count() == 4);
    let dots = column
        .cells
        .iter()
        .any(|c| c.bytes().find(|b| !b.is_ascii_digit()) == Some(b'.'));
    let choice = |value: &str, sure, why: &str| Choice::new("time.order", value, sure, why);
    let (order, choice) = match (year_first, fits(DayMonthYear), fits(MonthDayYear)) {
        (true, _, _) => (
            YearMonthDay,
            choice("year-month-day", Sure::Certain, "four digits come first"),
        ),
        (_, true, false) => (
            DayMonthYear,
            choice(
                "day-month-year",
                Sure::Certain,
                "a number above 12 comes first",
            ),
        ),
        (_, false, true) => (
            MonthDayYear,
            choice(
                "month-day-year",
                Sure::Certain,
                "a number above 12 comes second",
            ),
        ),
        (_, true, true) if dots => {
            let likely = choice(
                "day-month-year",
                Sure::Likely,
                "dots are common with the day first",
            );
            (
                DayMonthYear,
                likely.or("month-day-year", "no number is above 12"),
            )
        }
        _ => {
            let unsure = choice(
                "day-month-year",
                Sure::Unsure,
                "no number is above 12, so nothing decides",
            );
            (DayMonthYear, unsure.or("month-day-year", "it fits as well"))
        }
    };
    choices.push(choice);
    order
}

fn rises(column: &Column) -> bool {
    let values: Vec<f64> = column.numbers().collect();
    let up = values.windows(2).filter(|w| w[1] >= w[0]).count();
    values.len() < 2 || (up * 10 >= (values.len() - 1) * 9 && values.first() < values.last())
}

/// The middle step of a column that goes forward; none where there is one row.
fn step(column: &Column) -> Option<f64> {
    let values: Vec<f64> = column.numbers().collect();
    let mut steps: Vec<f64> = values
        .windows(2)
        .map(|w| w[1] - w[0])
        .filter(|s| *s > 0.0)
        .collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied()
}

fn by_name(columns: &[Column], choices: &mut Vec<Choice>) -> Option<Found> {
    let named =
        |c: &&Column| c.is_numeric() && (c.header.is_time() || c.header.time_unit().is_some());
    let column = columns.iter().find(named)?;
    let unit = match column.header.time_unit() {
        Some(unit) => {
            tell(
                choices,
                "elapsed",
                Sure::Certain,
                column,
                "its header says time",
            );
            choices.push(Choice::new(
                "time.unit",
                unit.symbol(),
                Sure::Certain,
                "it stands over the column",
            ));
            unit
        }
        None => {
            tell(
                choices,
                "elapsed",
                Sure::Certain,
                column,
                "its header says time",
            );
            unit_by_size(column, choices)
        }
    };
    Some(Found {
        time: Time::Elapsed {
            column: column.at,
            unit,
        },
        taken: vec![column.at],
    })
}

/// The unit of times over which none stands.
fn unit_by_size(column: &Column, choices: &mut Vec<Choice>) -> TimeUnit {
    let whole = column.numbers().all(|v| libm::trunc(v) == v);
    let first = column.numbers().next().unwrap_or(0.0);
    let choice = |unit: TimeUnit, sure, why: &str| {
        (unit, Choice::new("time.unit", unit.symbol(), sure, why))
    };
    let since_1970 = "of the size of a count since 1970";
    let (unit, choice) = match first {
        v if (1e8..1e11).contains(&v) => choice(TimeUnit::Second, Sure::Likely, since_1970),
        v if (1e11..1e14).contains(&v) => choice(TimeUnit::Millisecond, Sure::Likely, since_1970),
        v if (1e14..1e17).contains(&v) => choice(TimeUnit::Microsecond, Sure::Likely, since_1970),
        v if v >= 1e17 => choice(TimeUnit::Nanosecond, Sure::Likely, since_1970),
        _ if !whole => choice(
            TimeUnit::Second,
            Sure::Likely,
            "no unit stands over it; it has fractions",
        ),
        _ if step(column).is_some_and(|s| s > 1.0) => choice(
            TimeUnit::Millisecond,
            Sure::Unsure,
            "no unit stands over it; whole numbers with steps above 1",
        ),
        _ => choice(TimeUnit::Second, Sure::Unsure, "no unit stands over it"),
    };
    let other = if unit == TimeUnit::Second { "ms" } else { "s" };
    choices.push(choice.or(other, "nothing in the file forbids it"));
    unit
}

fn counts_up(column: &Column) -> bool {
    column.is_numeric()
        && step(column) == Some(1.0)
        && rises(column)
        && column.numbers().all(|v| libm::trunc(v) == v)
}

fn by_count(columns: &[Column], rate: Option<f64>, choices: &mut Vec<Choice>) -> Option<Found> {
    let column = columns
        .iter()
        .find(|c| c.header.is_count() && (counts_up(c) || step(c).is_none() && c.is_numeric()))?;
    tell(
        choices,
        "sample-number",
        Sure::Likely,
        column,
        "its header and its steps of 1 say that it counts samples",
    );
    tell_rate(rate, choices);
    Some(Found {
        time: Time::SampleNumber {
            column: column.at,
            rate_hz: rate,
        },
        taken: vec![column.at],
    })
}

fn tell_rate(rate: Option<f64>, choices: &mut Vec<Choice>) {
    choices.push(match rate {
        Some(rate) => Choice::new(
            "time.rate_hz",
            rate.to_string(),
            Sure::Likely,
            "it stands in the head",
        ),
        None => Choice::new(
            "time.rate_hz",
            "unknown",
            Sure::Unsure,
            "the file does not tell it",
        )
        .or(
            "the rate",
            "samples in a second, from the logger's settings",
        ),
    });
}

/// The first column where it rises steadily; another column must be left to be a channel.
fn by_steps(columns: &[Column], rate: Option<f64>, choices: &mut Vec<Choice>) -> Option<Found> {
    let column = columns
        .first()
        .filter(|c| c.is_numeric() && rises(c) && c.numbers().nth(2).is_some())?;
    if !columns.iter().skip(1).any(Column::is_numeric) || !is_steady(column) {
        return None;
    }
    if counts_up(column) {
        tell(
            choices,
            "sample-number",
            Sure::Unsure,
            column,
            "it comes first and rises by 1",
        );
        tell_rate(rate, choices);
        return Some(Found {
            time: Time::SampleNumber {
                column: column.at,
                rate_hz: rate,
            },
            taken: vec![column.at],
        });
    }
    tell(
        choices,
        "elapsed",
        Sure::Unsure,
        column,
        "it comes first and rises steadily",
    );
    let unit = unit_by_size(column, choices);
    Some(Found {
        time: Time::Elapsed {
            column: column.at,
            unit,
        },
        taken: vec![column.at],
    })
}

/// Nine steps in ten are within a tenth of the middle one.
fn is_steady(column: &Column) -> bool {
    let Some(middle) = step(column) else {
        return false;
    };
    let values: Vec<f64> = column.numbers().collect();
    let near = values
        .windows(2)
        .filter(|w| (w[1] - w[0] - middle).abs() <= 0.1 * middle)
        .count();
    near * 10 >= (values.len() - 1) * 9
}

fn without_column(rate: Option<f64>, choices: &mut Vec<Choice>) -> Found {
    let time = match rate {
        Some(rate_hz) => {
            choices.push(Choice::new(
                "time.kind",
                "rate",
                Sure::Likely,
                "no column is the time; the head tells a rate",
            ));
            Time::Rate { rate_hz }
        }
        None => {
            let why = "no column is the time and the file tells no rate";
            let choice = Choice::new("time.kind", "unknown", Sure::Unsure, why);
            choices.push(choice.or("rate", "with rate_hz from the logger's settings"));
            Time::Unknown {}
        }
    };
    if rate.is_some() {
        tell_rate(rate, choices);
    }
    Found {
        time,
        taken: Vec::new(),
    }
}

/// A count of samples beside a time is no channel.
fn leave_out_counts(columns: &[Column], found: &mut Found, choices: &mut Vec<Choice>) {
    for column in columns
        .iter()
        .filter(|c| !found.taken.contains(&c.at))
        .collect::<Vec<_>>()
    {
        let others = columns
            .iter()
            .any(|c| c.at != column.at && c.is_numeric() && !found.taken.contains(&c.at));
        if column.header.is_count() && counts_up(column) && others {
            choices.push(Choice::new(
                "channel",
                format!("column {} left out", column.at),
                Sure::Likely,
                "it counts samples",
            ));
            found.taken.push(column.at);
        }
    }
}

/// A rate in the words of a head: `Sample rate: 1000 Hz`, `rate_hz=500`, `Sampling,2 kHz`.
fn rate_in(head: &str, notation: Notation) -> Option<f64> {
    head.lines().find_map(|line| {
        let lower = line.to_lowercase();
        let is_rate = ["rate", "frequency", "sampling", "freq", "fs", "abtastrate"]
            .iter()
            .any(|w| lower.contains(w));
        let at = lower.find(|c: char| c.is_ascii_digit())?;
        let end = lower[at..]
            .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
            .map_or(lower.len(), |n| at + n);
        let digits = lower[at..end].trim_end_matches(['.', ',']);
        let value = notation.read(digits).ok().filter(|v| *v > 0.0)?;
        let after = lower[end..].trim_start_matches([' ', ',', ';', '\t', '"', '(', '[']);
        let factor = if after.starts_with("khz") {
            1000.0
        } else {
            1.0
        };
        let has_unit =
            after.starts_with("hz") || after.starts_with("khz") || after.starts_with("samples");
        (is_rate && (has_unit || after.is_empty() || lower.contains("hz")))
            .then_some(value * factor)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::{Decimal, Grouping};

    #[test]
    fn rates_are_found_in_words() {
        let plain = Notation {
            decimal: Decimal::Dot,
            grouping: Grouping::None,
        };
        let rate = |text| rate_in(text, plain);
        assert_eq!(rate("Logger 7\nSample rate: 1000 Hz"), Some(1000.0));
        assert_eq!(rate("rate_hz=500"), Some(500.0));
        assert_eq!(rate("Sampling frequency,2,kHz"), Some(2000.0));
        assert_eq!(rate("Rated load: 50 kN"), None);
        assert_eq!(rate("Operator 12"), None);
    }
}
