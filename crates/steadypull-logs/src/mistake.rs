//! What is wrong in a log, where, and what was done about it: nothing is left out untold.

use std::fmt;

use serde::Serialize;

/// How many places of a kind are kept; all are counted.
pub const FIRST: usize = 20;

/// Where something is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "in")]
pub enum Place {
    /// The file as a whole.
    File,
    /// The recipe, at a key.
    Recipe {
        /// The key.
        key: String,
    },
    /// A line of text, counted from 1, and the cell in it; 0 is the whole line.
    Line {
        /// The line.
        line: u64,
        /// The cell.
        column: u32,
    },
    /// A cell of a sheet, such as `B7`; column 0 is the whole row.
    Cell {
        /// The name on the tab.
        sheet: String,
        /// The row, from 1.
        row: u64,
        /// The column, from 1.
        column: u32,
    },
    /// A row of a Parquet file.
    Parquet {
        /// The column, from 1; 0 is the whole row.
        column: u32,
        /// The row group, from 1.
        group: u64,
        /// The row in that group, from 1.
        row: u64,
    },
    /// A sample of a WAV file.
    Sample {
        /// The sample, from 1.
        sample: u64,
        /// The channel, from 1; 0 is all of them.
        channel: u32,
    },
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => write!(f, "the file"),
            Self::Recipe { key } => write!(f, "the recipe's {key}"),
            Self::Line { line, column: 0 } => write!(f, "line {line}"),
            Self::Line { line, column } => write!(f, "line {line}, column {column}"),
            Self::Cell {
                sheet,
                row,
                column: 0,
            } => write!(f, "sheet {sheet}, row {row}"),
            Self::Cell { sheet, row, column } => {
                write!(f, "sheet {sheet}, cell {}{row}", letters(*column))
            }
            Self::Parquet {
                column: 0,
                group,
                row,
            } => write!(f, "row {row} of row group {group}"),
            Self::Parquet { column, group, row } => {
                write!(f, "column {column}, row {row} of row group {group}")
            }
            Self::Sample { sample, channel: 0 } => write!(f, "sample {sample}"),
            Self::Sample { sample, channel } => write!(f, "sample {sample} of channel {channel}"),
        }
    }
}

/// The letters of a sheet's column, counted from 1.
fn letters(mut column: u32) -> String {
    let mut letters = Vec::new();
    while column > 0 {
        column -= 1;
        letters.push(b'A' + (column % 26) as u8);
        column /= 26;
    }
    letters.iter().rev().map(|&b| char::from(b)).collect()
}

macro_rules! kinds {
    ($($(#[$meta:meta])* $name:ident $slug:literal $weight:ident $says:literal;)*) => {
        /// What can be wrong or worth knowing.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Kind { $($(#[$meta])* #[doc = $says] $name,)* }

        impl Kind {
            /// All kinds there are.
            pub const ALL: &[Kind] = &[$(Self::$name),*];
            /// Its short name, which does not change.
            pub fn slug(self) -> &'static str { match self { $(Self::$name => $slug),* } }
            /// How much it weighs.
            pub fn weight(self) -> Weight { match self { $(Self::$name => Weight::$weight),* } }
            /// What is the matter and what was done, or is to be done.
            pub fn says(self) -> &'static str { match self { $(Self::$name => $says),* } }
        }
    };
}

/// How much a kind of mistake weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// Worth knowing; every number is as in the file.
    Note,
    /// A value is a gap (NaN), or part of the file is missing.
    Lost,
    /// The log is not read.
    Refused,
}

kinds! {
    Empty "empty" Refused "there is nothing in the file";
    NoNumbers "no-numbers" Refused "no row of numbers was found; check that this is a log, and the recipe's head_lines and columns";
    Binary "binary" Refused "this is not text, a workbook, Parquet or WAV, whatever its name says; export the log as CSV";
    OldExcel "old-excel" Refused "this is a file of Excel 95 or older, or an OpenDocument one; save it as .xlsx or CSV";
    Broken "broken" Refused "the file is damaged or cut off before any number could be read; copy it from the logger again";
    Hostile "hostile" Refused "the file claims or unpacks to more than is sensible; it was left alone";
    TooMuch "too-much" Refused "more than 100 million values; cut the log, or take fewer channels";
    NotSupported "not-supported" Refused "this variety of the format is not read; export the log as CSV";
    WrongFormat "wrong-format" Refused "the file is not of the format the recipe names";
    Recipe "recipe" Refused "the recipe does not fit together; correct it";
    NoTime "no-time" Refused "the times are not known; give the rate in the recipe's time (rate_hz)";
    NoColumn "no-column" Refused "the file has no such column; check the recipe";
    Moved "moved" Refused "other words stand over the column than the recipe was made for; guess anew or correct the recipe";
    NotNumeric "not-numeric" Refused "the column holds no numbers; take another";
    NotANumber "not-a-number" Lost "not a number; kept as a gap";
    TooLarge "too-large" Lost "a number beyond what a computer holds; kept as a gap";
    EmptyCell "empty-cell" Lost "an empty cell; kept as a gap";
    NoValue "no-value" Lost "a word for no value; kept as a gap";
    Overload "overload" Lost "the logger says overload; the true value lies beyond its range; kept as a gap";
    OtherUnit "other-unit" Lost "a unit that does not fit the channel; kept as a gap";
    NotATime "not-a-time" Lost "not a time of the kind the recipe names; kept as a gap";
    ShortRow "short-row" Lost "too few cells; the whole row is kept as a gap, since its cells may have moved";
    LongRow "long-row" Lost "too many cells; the whole row is kept as a gap, since its cells may have moved";
    LongLine "long-line" Lost "a line too long for a row; kept as a gap";
    OpenQuote "open-quote" Lost "a quotation mark that is never closed; taken as a letter";
    BadLetters "bad-letters" Lost "bytes that are no letters in this encoding; replaced";
    CutShort "cut-short" Lost "the file ends early; what is there was read";
    Unread "unread" Lost "this part could not be unpacked; its rows are kept as gaps";
    UnitInCell "unit-in-cell" Note "units stand in the cells; they were read";
    UnitDiffers "unit-differs" Note "the cell has another unit than the channel; it was converted";
    OpenEnd "open-end" Note "the last line has no line end; its last number may be cut short";
    Midnight "midnight" Note "the clock passed midnight; the count goes on";
    ClockStep "clock-step" Note "the clock jumps by about an hour, as at a change of daylight saving; not corrected";
    Backwards "backwards" Note "the time goes backwards; rows stay as they stand";
    Repeated "repeated" Note "the same time twice; rows stay as they stand";
    NegativeTime "negative-time" Note "times before zero";
    AllZero "all-zero" Note "every value of the channel is zero; check the wiring and the recipe";
    FullScale "full-scale" Note "samples at the end of the recorder's range; the true values may lie beyond";
    TrailingDelimiter "trailing-delimiter" Note "rows end in a delimiter; nothing follows it";
    Skipped "skipped" Note "blank or comment lines, left out";
}

/// One mistake, with the words found there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mistake {
    /// What it is.
    pub kind: Kind,
    /// Where it is.
    pub place: Place,
    /// What stands there, shortened; or what was expected.
    pub found: String,
}

impl Mistake {
    /// A mistake; what was found is cut to 80 letters.
    pub fn new(kind: Kind, place: Place, found: &str) -> Self {
        let mut short: String = found.chars().take(80).collect();
        if short.len() < found.len() {
            short.push('…');
        }
        Self {
            kind,
            place,
            found: short,
        }
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.found.as_str() {
            "" => write!(f, "{}: {}", self.place, self.kind.says()),
            found => write!(f, "{}: `{found}`: {}", self.place, self.kind.says()),
        }
    }
}

/// All mistakes of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// The kind.
    pub kind: Kind,
    /// How many there are.
    pub count: u64,
    /// The first of them, [`FIRST`] at most.
    pub first: Vec<Mistake>,
}

/// Mistakes as they are found, by kind.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Mistakes {
    groups: Vec<Group>,
}

impl Mistakes {
    /// Just one.
    pub fn one(kind: Kind, place: Place, found: &str) -> Self {
        let mut all = Self::default();
        all.add(kind, place, found);
        all
    }

    /// One more.
    pub fn add(&mut self, kind: Kind, place: Place, found: &str) {
        self.add_many(kind, 1, || Mistake::new(kind, place, found));
    }

    /// One that is told before all others.
    pub(crate) fn put_first(&mut self, mistake: Mistake) {
        let others = std::mem::replace(self, mistake.into());
        self.groups.extend(others.groups);
    }

    /// Several more of a kind, of which the first is kept.
    pub fn add_many(&mut self, kind: Kind, count: u64, first: impl FnOnce() -> Mistake) {
        let at = self
            .groups
            .iter()
            .position(|g| g.kind == kind)
            .unwrap_or_else(|| {
                self.groups.push(Group {
                    kind,
                    count: 0,
                    first: Vec::new(),
                });
                self.groups.len() - 1
            });
        let group = &mut self.groups[at];
        group.count += count;
        if group.first.len() < FIRST {
            group.first.push(first());
        }
    }

    /// The groups, in the order of their first mistakes.
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// How many there are of a kind.
    pub fn count(&self, kind: Kind) -> u64 {
        self.groups
            .iter()
            .find(|g| g.kind == kind)
            .map_or(0, |g| g.count)
    }

    /// True when there are none.
    pub fn is_empty(&self) -> bool {
        self.groups.is_empty()
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for group in &self.groups {
            for mistake in &group.first {
                writeln!(f, "{mistake}")?;
            }
            let more = group.count - group.first.len() as u64;
            if more > 0 {
                writeln!(f, "… and {more} more of the kind {}", group.kind.slug())?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Mistakes {}

impl From<Mistake> for Mistakes {
    fn from(m: Mistake) -> Self {
        Self::one(m.kind, m.place, &m.found)
    }
}
