//! The date on a brief.
//!
//! Days since 1970-01-01 to a calendar date, in the proleptic Gregorian
//! calendar: eras of 400 years (146 097 days) counted from 0000-03-01, so that
//! the leap day ends the year. The day is that of UTC.

use std::time::{SystemTime, UNIX_EPOCH};

const DAY_S: u64 = 86_400;
/// Days from 0000-03-01 to 1970-01-01.
const EPOCH_DAY: u64 = 719_468;
const ERA_DAYS: u64 = 146_097;

/// Today as `YYYY-MM-DD`; a clock before 1970 reads as its first day.
pub fn today() -> String {
    let now = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .unwrap_or_default();
    let (year, month, day) = civil_from_days(now.as_secs() / DAY_S);
    format!("{year:04}-{month:02}-{day:02}")
}

/// Year, month and day of a count of days since 1970-01-01.
fn civil_from_days(days: u64) -> (u64, u64, u64) {
    let days = days + EPOCH_DAY;
    let (era, day_of_era) = (days / ERA_DAYS, days % ERA_DAYS);
    let leap_days = day_of_era / 1460 - day_of_era / 36_524 + day_of_era / 146_096;
    let year_of_era = (day_of_era - leap_days) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    // Months from March: their lengths repeat 31 30 31 30 31 within 153 days.
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 {
        month_from_march + 3
    } else {
        month_from_march - 9
    };
    (era * 400 + year_of_era + u64::from(month <= 2), month, day)
}

/// Checks a date that was given.
pub fn parse(text: &str) -> Result<String, String> {
    let wrong = || format!("`{text}` is no date; write it as 2031-05-09");
    let digits = |range| {
        let part: &str = text.get(range)?;
        part.bytes()
            .all(|b| b.is_ascii_digit())
            .then(|| part.parse::<u64>().ok())?
    };
    let date = || Some((digits(0..4)?, digits(5..7)?, digits(8..10)?));
    let (year, month, day) = date().ok_or_else(wrong)?;
    let dashes = text.len() == 10 && text.get(4..5) == Some("-") && text.get(7..8) == Some("-");
    if !dashes || !(1..=12).contains(&month) || !(1..=month_length(year, month)).contains(&day) {
        return Err(wrong());
    }
    Ok(text.into())
}

fn month_length(year: u64, month: u64) -> u64 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_become_dates() {
        assert_eq!(civil_from_days(0), (1970, 1, 1));
        assert_eq!(civil_from_days(59), (1970, 3, 1));
        assert_eq!(civil_from_days(11_016), (2000, 2, 29));
        assert_eq!(civil_from_days(19_782), (2024, 2, 29));
        assert_eq!(civil_from_days(20_088), (2024, 12, 31));
        assert_eq!(civil_from_days(47_540), (2100, 2, 28));
        assert_eq!(civil_from_days(47_541), (2100, 3, 1));
    }

    #[test]
    fn every_day_follows_the_one_before() {
        let mut before = civil_from_days(0);
        for days in 1..60_000 {
            let (year, month, day) = civil_from_days(days);
            let expected = match before {
                (y, m, d) if d < month_length(y, m) => (y, m, d + 1),
                (y, 12, _) => (y + 1, 1, 1),
                (y, m, _) => (y, m + 1, 1),
            };
            assert_eq!((year, month, day), expected);
            before = expected;
        }
    }

    #[test]
    fn only_dates_are_dates() {
        assert_eq!(parse("2024-02-29").as_deref(), Ok("2024-02-29"));
        for wrong in [
            "2023-02-29",
            "2024-13-01",
            "2024-1-01",
            "24-01-01",
            "2024/01/01",
            "é024-01-1",
        ] {
            assert!(parse(wrong).is_err(), "{wrong}");
        }
    }
}
