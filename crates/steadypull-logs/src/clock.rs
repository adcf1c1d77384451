//! Dates and clocks as loggers write them, in whole nanoseconds, so that no digit is lost to the
//! size of a date.

use crate::recipe::DateOrder;

/// Nanoseconds in a second.
pub(crate) const SECOND_NS: i64 = 1_000_000_000;
/// Nanoseconds in a day.
pub(crate) const DAY_NS: i64 = 86_400 * SECOND_NS;

/// A number of `least` to `most` digits at the front, and the rest.
fn number(text: &[u8], least: usize, most: usize) -> Option<(i64, &[u8])> {
    let count = text
        .iter()
        .take(most)
        .take_while(|b| b.is_ascii_digit())
        .count();
    let value = text[..count]
        .iter()
        .fold(0, |v, b| v * 10 + i64::from(b - b'0'));
    (count >= least).then(|| (value, &text[count..]))
}

/// A time of day such as `14:03:22.125` or `2:03 pm`, ns since midnight.
pub(crate) fn clock(text: &[u8]) -> Option<i64> {
    let (ns, rest) = clock_and_rest(text.trim_ascii())?;
    half_of_day(ns, rest.trim_ascii())
}

fn clock_and_rest(text: &[u8]) -> Option<(i64, &[u8])> {
    let (hours, rest) = number(text, 1, 2)?;
    let (minutes, mut rest) = number(rest.strip_prefix(b":")?, 2, 2)?;
    let (mut seconds, mut fraction) = (0, 0);
    if let Some(more) = rest.strip_prefix(b":") {
        (seconds, rest) = number(more, 2, 2)?;
        if let Some(more) = rest.strip_prefix(b".").or_else(|| rest.strip_prefix(b",")) {
            (fraction, rest) = nanoseconds(more)?;
        }
    }
    let fits = hours < 24 && minutes < 60 && seconds <= 60;
    fits.then_some((
        ((hours * 60 + minutes) * 60 + seconds) * SECOND_NS + fraction,
        rest,
    ))
}

/// The fraction of a second; digits past the ninth round.
fn nanoseconds(text: &[u8]) -> Option<(i64, &[u8])> {
    let count = text.iter().take_while(|b| b.is_ascii_digit()).count();
    let (value, rest) = number(text, 1, 9)?;
    let scaled = (count..9).fold(value, |v, _| v * 10);
    let up = rest.first().is_some_and(|b| (b'5'..=b'9').contains(b));
    Some((scaled + i64::from(up), &text[count..]))
}

fn half_of_day(ns: i64, rest: &[u8]) -> Option<i64> {
    let noon = DAY_NS / 2;
    let twelve = ns / (3600 * SECOND_NS);
    match rest.to_ascii_lowercase().as_slice() {
        b"" => Some(ns),
        b"am" | b"a.m." if twelve == 12 => Some(ns - noon),
        b"am" | b"a.m." if (1..12).contains(&twelve) => Some(ns),
        b"pm" | b"p.m." if twelve == 12 => Some(ns),
        b"pm" | b"p.m." if (1..12).contains(&twelve) => Some(ns + noon),
        _ => None,
    }
}

/// A date and what follows it, days since 1 January 1970.
fn date_and_rest(text: &[u8], order: DateOrder) -> Option<(i64, &[u8])> {
    let (first, rest) = number(text, 1, 4)?;
    let (separator, rest) = rest.split_first().filter(|(b, _)| b"-/.".contains(b))?;
    let (second, rest) = number(rest, 1, 2)?;
    let (third, rest) = number(rest.strip_prefix(&[*separator])?, 1, 4)?;
    let (year, month, day) = match order {
        DateOrder::YearMonthDay => (first, second, third),
        DateOrder::DayMonthYear => (third, second, first),
        DateOrder::MonthDayYear => (third, first, second),
    };
    let year = if year < 100 { year + 2000 } else { year };
    Some((days(year, month, day)?, rest))
}

/// A date alone, days since 1 January 1970.
pub(crate) fn date(text: &[u8], order: DateOrder) -> Option<i64> {
    date_and_rest(text.trim_ascii(), order)
        .filter(|(_, rest)| rest.is_empty())
        .map(|(days, _)| days)
}

/// A date and a clock in one cell, ns since 1970, at UTC where it names an offset.
pub(crate) fn stamp(text: &[u8], order: DateOrder) -> Option<i64> {
    let (days, rest) = date_and_rest(text.trim_ascii(), order)?;
    let rest = rest
        .strip_prefix(b"T")
        .unwrap_or_else(|| rest.trim_ascii_start());
    let (ns, rest) = clock_and_rest(rest)?;
    let (ns, offset) = match offset(rest) {
        Some(offset) => (ns, offset),
        None => (half_of_day(ns, rest.trim_ascii())?, 0),
    };
    days.checked_mul(DAY_NS)?
        .checked_add(ns)?
        .checked_sub(offset)
}

/// `Z`, `+02:00` or `+0200`, ns.
fn offset(text: &[u8]) -> Option<i64> {
    let (sign, rest) = match text.split_first()? {
        (b'Z' | b'z', []) => return Some(0),
        (b'+', rest) => (1, rest),
        (b'-', rest) => (-1, rest),
        _ => return None,
    };
    let (hours, rest) = number(rest, 2, 2)?;
    let (minutes, rest) = number(rest.strip_prefix(b":").unwrap_or(rest), 2, 2)?;
    (rest.is_empty() && hours < 24 && minutes < 60)
        .then(|| sign * (hours * 60 + minutes) * 60 * SECOND_NS)
}

/// Days since 1 January 1970 of a day of the Gregorian calendar, by counting from 1 March.
fn days(year: i64, month: i64, day: i64) -> Option<i64> {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let longest = [
        31,
        28 + i64::from(leap),
        31,
        30,
        31,
        30,
        31,
        31,
        30,
        31,
        30,
        31,
    ];
    let in_month = *longest.get(usize::try_from(month - 1).ok()?)?;
    let year = if month <= 2 { year - 1 } else { year };
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    let days =
        365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year;
    (1..=in_month).contains(&day).then_some(days - 719_468)
}

/// Nanoseconds since 1970 as ISO 8601.
pub(crate) fn iso(ns: i64) -> String {
    let days = ns.div_euclid(DAY_NS) + 719_468;
    let era = days.div_euclid(146_097);
    let in_era = days.rem_euclid(146_097);
    let year = (in_era - in_era / 1460 + in_era / 36_524 - in_era / 146_096) / 365;
    let of_year = in_era - (365 * year + year / 4 - year / 100);
    let shifted = (5 * of_year + 2) / 153;
    let (month, day) = (
        (shifted + 2) % 12 + 1,
        of_year - (153 * shifted + 2) / 5 + 1,
    );
    let year = year + era * 400 + i64::from(month <= 2);
    format!(
        "{year:04}-{month:02}-{day:02}T{}",
        of_day(ns.rem_euclid(DAY_NS))
    )
}

/// Nanoseconds since midnight as a clock; no more digits than needed.
pub(crate) fn of_day(ns: i64) -> String {
    let (seconds, fraction) = (ns / SECOND_NS, ns % SECOND_NS);
    let text = format!(
        "{:02}:{:02}:{:02}.{fraction:09}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    );
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const YMD: DateOrder = DateOrder::YearMonthDay;

    #[test]
    fn known_stamps() {
        // Unix times of these moments: 1 000 000 000 was 2001-09-09 01:46:40 UTC (POSIX's count).
        assert_eq!(
            stamp(b"2001-09-09T01:46:40Z", YMD),
            Some(1_000_000_000 * SECOND_NS)
        );
        assert_eq!(
            stamp(b"2001-09-09 03:46:40+02:00", YMD),
            Some(1_000_000_000 * SECOND_NS)
        );
        assert_eq!(
            stamp(b"09.09.01 1:46:40.5", DateOrder::DayMonthYear),
            Some(1_000_000_000_500_000_000)
        );
        assert_eq!(
            stamp(b"9/9/2001 1:46:40 pm", DateOrder::MonthDayYear),
            Some(1_000_043_200 * SECOND_NS)
        );
        assert_eq!(clock(b"12:00 am"), Some(0));
        assert_eq!(clock(b"23:59:59,25"), Some(DAY_NS - 750_000_000));
        assert_eq!(clock(b"24:00:00"), None);
        assert_eq!(date(b"2023-02-29", YMD), None);
        assert_eq!(date(b"2024-02-29", YMD), Some(19_782));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn stamps_read_back(ns in -2_000_000_000_000_000_000i64..9_000_000_000_000_000_000) {
            prop_assert_eq!(stamp(iso(ns).as_bytes(), YMD), Some(ns));
        }

        #[test]
        fn any_bytes_are_a_time_or_not(text: Vec<u8>) {
            let _ = (clock(&text), stamp(&text, YMD), date(&text, DateOrder::MonthDayYear));
        }
    }
}
