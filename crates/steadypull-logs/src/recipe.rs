//! How a log is to be read: every choice that decides what number comes out, in words that can
//! be kept beside the log and read again.

use serde::{Deserialize, Serialize};

use crate::unit::Quantity;

/// Everything needed to read one kind of log. Columns, lines and rows count from 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// How the file is laid out.
    pub layout: Layout,
    /// Where the times come from.
    pub time: Time,
    /// The channels taken, in the order they come out.
    #[serde(rename = "channel")]
    pub channels: Vec<Channel>,
}

/// The format of a file and what there is to know of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "format", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Layout {
    /// Lines of text with cells set apart by a delimiter.
    Text {
        /// How bytes become letters.
        encoding: Encoding,
        /// What sets cells apart.
        delimiter: Delimiter,
        /// How numbers are written.
        notation: Notation,
        /// What stands where in it.
        rows: Rows,
        /// Lines that begin with this are comments and left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        comment: Option<String>,
    },
    /// One sheet of an Excel workbook (`.xlsx`).
    Sheet {
        /// The name on its tab.
        sheet: String,
        /// How numbers in cells of text are written.
        notation: Notation,
        /// What stands where in it.
        rows: Rows,
    },
    /// A Parquet file of flat columns.
    Parquet {},
    /// A WAV file, uncompressed; a sample of 1 is the full scale.
    Wav {},
}

/// Where names, units and numbers stand in text or a sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rows {
    /// Lines before the first row of numbers, whatever stands in them.
    pub head_lines: u32,
    /// The line with the names of columns, one of the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names_line: Option<u32>,
    /// The line with the units of columns, one of the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub units_line: Option<u32>,
    /// Lines after the last row of numbers.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub foot_lines: u32,
    /// Cells in a row.
    pub columns: u32,
}

fn is_zero(n: &u32) -> bool {
    *n == 0
}

/// How numbers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Notation {
    /// What stands before the fraction.
    pub decimal: Decimal,
    /// What stands between groups of three digits.
    #[serde(default)]
    pub grouping: Grouping,
}

/// How bytes become letters. A byte order mark is skipped wherever there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Encoding {
    /// UTF-8, and ASCII within it.
    #[serde(rename = "utf-8")]
    Utf8,
    /// UTF-16, low byte first.
    #[serde(rename = "utf-16le")]
    Utf16Le,
    /// UTF-16, high byte first.
    #[serde(rename = "utf-16be")]
    Utf16Be,
    /// ISO 8859-1, a byte a letter.
    #[serde(rename = "latin-1")]
    Latin1,
}

/// What sets cells apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Delimiter {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
    /// `|`
    Pipe,
    /// Any run of spaces and tabs.
    Spaces,
}

impl Delimiter {
    /// The byte it is; a space for runs of spaces.
    pub fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
            Self::Pipe => b'|',
            Self::Spaces => b' ',
        }
    }
}

/// What stands before the fraction of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decimal {
    /// `1.5`
    Dot,
    /// `1,5`
    Comma,
}

impl Decimal {
    /// The byte it is.
    pub fn byte(self) -> u8 {
        match self {
            Self::Dot => b'.',
            Self::Comma => b',',
        }
    }
}

/// What stands between groups of three digits before the fraction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grouping {
    /// Nothing: `1234567`.
    #[default]
    None,
    /// `1,234,567`
    Comma,
    /// `1.234.567`
    Dot,
    /// `1 234 567`, the space plain, narrow or unbreakable.
    Space,
    /// `1'234'567`, the apostrophe straight or curled.
    Apostrophe,
}

impl Grouping {
    /// True for a letter that parts groups.
    pub fn is(self, letter: char) -> bool {
        match self {
            Self::None => false,
            Self::Comma => letter == ',',
            Self::Dot => letter == '.',
            Self::Space => matches!(letter, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}'),
            Self::Apostrophe => matches!(letter, '\'' | '\u{2019}'),
        }
    }
}

/// Where the times come from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Time {
    /// A column of time run since some start.
    Elapsed {
        /// The column.
        column: u32,
        /// What it counts.
        unit: TimeUnit,
    },
    /// A column of time of day. Past midnight the count goes on.
    Clock {
        /// The column.
        column: u32,
    },
    /// A date and a clock, in one column or two.
    DateClock {
        /// The column of the date, or of both.
        column: u32,
        /// The column of the clock where it is another one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        clock_column: Option<u32>,
        /// The order of day, month and year.
        order: DateOrder,
    },
    /// A column that counts samples.
    SampleNumber {
        /// The column.
        column: u32,
        /// Samples in a second; must be given before the log can be read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rate_hz: Option<f64>,
    },
    /// No column: rows come at this rate.
    Rate {
        /// Rows in a second.
        rate_hz: f64,
    },
    /// No column: the file tells its rate (WAV).
    FileRate {},
    /// Not known. A log is not read so; say the rate.
    Unknown {},
}

/// A unit of elapsed time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TimeUnit {
    /// Seconds.
    #[serde(rename = "s")]
    Second,
    /// Milliseconds.
    #[serde(rename = "ms")]
    Millisecond,
    /// Microseconds.
    #[serde(rename = "us")]
    Microsecond,
    /// Nanoseconds.
    #[serde(rename = "ns")]
    Nanosecond,
    /// Minutes.
    #[serde(rename = "min")]
    Minute,
    /// Hours.
    #[serde(rename = "h")]
    Hour,
}

impl TimeUnit {
    /// The unit of a spelling.
    pub fn named(text: &str) -> Option<Self> {
        Some(match text.trim().to_lowercase().as_str() {
            "s" | "sec" | "secs" | "second" | "seconds" => Self::Second,
            "ms" | "msec" | "millisecond" | "milliseconds" | "millis" => Self::Millisecond,
            "us" | "µs" | "μs" | "usec" | "microseconds" | "micros" => Self::Microsecond,
            "ns" | "nsec" | "nanoseconds" => Self::Nanosecond,
            "min" | "mins" | "minute" | "minutes" => Self::Minute,
            "h" | "hr" | "hrs" | "hour" | "hours" => Self::Hour,
            _ => return None,
        })
    }

    /// What a value is multiplied by and then divided by to be in seconds.
    pub fn scale(self) -> (f64, f64) {
        match self {
            Self::Second => (1.0, 1.0),
            Self::Millisecond => (1.0, 1e3),
            Self::Microsecond => (1.0, 1e6),
            Self::Nanosecond => (1.0, 1e9),
            Self::Minute => (60.0, 1.0),
            Self::Hour => (3600.0, 1.0),
        }
    }

    /// Its symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Second => "s",
            Self::Millisecond => "ms",
            Self::Microsecond => "us",
            Self::Nanosecond => "ns",
            Self::Minute => "min",
            Self::Hour => "h",
        }
    }
}

/// The order of day, month and year in a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    /// 2031-12-24
    YearMonthDay,
    /// 24.12.2031
    DayMonthYear,
    /// 12/24/2031
    MonthDayYear,
}

/// One channel taken from a file. What comes out is `sign` times `factor` times the number in
/// the file, taken to be in `unit`, in SI.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Channel {
    /// Its column (of a WAV: its channel).
    pub column: u32,
    /// What to call it.
    pub name: String,
    /// What stands over it in the file. Where a file has other words there, it is not read:
    /// its columns may have moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub header: Option<String>,
    /// What stands over it in the row of units; other words there stop the reading likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub units_header: Option<String>,
    /// The unit after `factor`, such as `kN`; a unit not known is kept as it is.
    pub unit: String,
    /// What it tells of.
    pub quantity: Quantity,
    /// `-` where the logger counts the other way.
    #[serde(default, skip_serializing_if = "Sign::is_plus")]
    pub sign: Sign,
    /// A calibration, such as kN for each mV.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub factor: f64,
}

fn one() -> f64 {
    1.0
}

fn is_one(n: &f64) -> bool {
    *n == 1.0
}

/// Which way a channel counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Sign {
    /// As in the file.
    #[default]
    #[serde(rename = "+")]
    Plus,
    /// The other way.
    #[serde(rename = "-")]
    Minus,
}

impl Sign {
    fn is_plus(&self) -> bool {
        *self == Self::Plus
    }
}

impl Recipe {
    /// As TOML, to be kept beside the log.
    pub fn to_toml(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(self)
    }

    /// From TOML. The error tells line and column, and what is wrong there.
    pub fn from_toml(text: &str) -> Result<Self, toml::de::Error> {
        toml::from_str(text)
    }
}
