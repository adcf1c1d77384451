//! A day of the calendar: `2031-05-14`, in quotes or not.

use toml::de::DeValue;

use crate::operation::FieldKind;
use crate::plan_file::listing::FieldShape;
use crate::plan_file::quantity::short;
use crate::plan_file::value::{Fault, Value};

/// A day of the calendar that there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year, four digits.
    pub year: u16,
    /// Month, from 1.
    pub month: u8,
    /// Day, from 1.
    pub day: u8,
}

impl core::fmt::Display for Day {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

fn days_in(year: u16, month: u8) -> u8 {
    let leap = year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400);
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => 0,
    }
}

impl Value for Day {
    fn shape() -> FieldShape {
        FieldShape::of(FieldKind::Text)
    }

    fn expected() -> String {
        "a day as year-month-day, such as 2031-05-14".into()
    }

    fn from_text(text: &str) -> Result<Self, Fault> {
        let fault = || {
            let fault = Fault::new(format!("is no day of the calendar: {}", short(text)));
            fault.expecting(Self::expected())
        };
        let parts: Vec<&str> = text.trim().split('-').collect();
        let [year, month, day] = parts[..] else {
            return Err(fault());
        };
        if (year.len(), month.len(), day.len()) != (4, 2, 2) {
            return Err(fault());
        }
        let (Ok(year), Ok(month), Ok(day)) = (year.parse(), month.parse(), day.parse()) else {
            return Err(fault());
        };
        match (1..=days_in(year, month)).contains(&day) {
            true => Ok(Self { year, month, day }),
            false => Err(fault()),
        }
    }

    fn from_toml(value: &DeValue) -> Result<Self, Fault> {
        match value {
            DeValue::Datetime(day) => Self::from_text(&day.to_string()),
            DeValue::String(text) => Self::from_text(text),
            other => Err(Fault::sort_of(other, Self::expected())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_there_are() {
        assert_eq!(
            Day::from_text("2028-02-29").map(|d| d.to_string()),
            Ok("2028-02-29".into())
        );
        for bad in [
            "2031-02-29",
            "2031-13-01",
            "31-05-14",
            "2031-05",
            "today",
            "2031-5-14",
        ] {
            assert!(Day::from_text(bad).is_err(), "{bad}");
        }
    }
}
