//! A log as read: columns of numbers in SI, and where each row stood.

use std::borrow::Cow;

use crate::even::Times;
use crate::mistake::{Mistakes, Place};
use crate::unit::{Quantity, Unit};

/// A log as read. All columns are equally long; what could not be read is NaN and told of in
/// `mistakes`.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// SHA-256 of the file's bytes, in lower-case hexadecimal digits.
    pub sha256: String,
    /// How long the file is, bytes.
    pub bytes: u64,
    /// Times; by a clock, since the first row that has one.
    pub times: Times,
    /// What the clock showed at time zero, as ISO 8601, where there is a clock.
    pub starts: Option<String>,
    /// Samples in a second, where the file or the recipe tells it.
    pub rate_hz: Option<f64>,
    /// The channels, in the recipe's order.
    pub channels: Vec<LogChannel>,
    /// Everything that was found wrong or is worth knowing.
    pub mistakes: Mistakes,
    pub(crate) places: Places,
}

impl Log {
    /// Where a row, counted from 0, stands in the file; column 0 is the whole row.
    pub fn place(&self, row: usize, column: u32) -> Place {
        self.places.of(row, column)
    }
}

/// One channel of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct LogChannel {
    /// Its name.
    pub name: String,
    /// The SI unit of [`Self::values`]; of a unit that is not known, the recipe's words.
    pub unit: String,
    /// The unit in the file, as in the recipe.
    pub written_unit: String,
    /// What it tells of.
    pub quantity: Quantity,
    /// The values in the unit of the file.
    pub(crate) written: Vec<f64>,
    /// Rows whose cells named a unit of their own, and their values in SI.
    pub(crate) converted: Vec<(usize, f64)>,
    /// The lowest and highest value the recorder can tell, where the file says so (WAV).
    pub full_scale: Option<(f64, f64)>,
}

impl LogChannel {
    /// The values in the unit of the file, which is what a certificate speaks of.
    pub fn as_written(&self) -> &[f64] {
        &self.written
    }

    /// A value in the unit of the file, in SI.
    pub fn to_si(&self, written: f64) -> f64 {
        Unit::named(&self.written_unit).map_or(written, |unit| unit.to_si(written))
    }

    /// The values in SI.
    pub fn values(&self) -> Cow<'_, [f64]> {
        let Some(unit) = Unit::named(&self.written_unit).filter(|unit| !unit.is_si()) else {
            return Cow::Borrowed(&self.written);
        };
        let mut values: Vec<f64> = self.written.iter().map(|v| unit.to_si(*v)).collect();
        for (row, value) in &self.converted {
            values[*row] = *value;
        }
        Cow::Owned(values)
    }
}

/// Where rows stand, as runs of rows that follow each other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Places {
    kind: PlaceKind,
    /// The first row of a run and its line.
    runs: Vec<(usize, u64)>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PlaceKind {
    Text,
    Sheet(String),
    /// First rows of the row groups.
    Parquet(Vec<u64>),
    Wav,
}

impl Places {
    pub(crate) fn new(kind: PlaceKind) -> Self {
        Self {
            kind,
            runs: Vec::new(),
        }
    }

    /// Row `row` stands on `line`.
    pub(crate) fn note(&mut self, row: usize, line: u64) {
        let expected = self.runs.last().map(|&(r, l)| l + (row - r) as u64);
        if expected != Some(line) {
            self.runs.push((row, line));
        }
    }

    pub(crate) fn of(&self, row: usize, column: u32) -> Place {
        let run = self.runs.partition_point(|&(first, _)| first <= row);
        let line = match run.checked_sub(1).map(|at| self.runs[at]) {
            Some((first, line)) => line + (row - first) as u64,
            None => row as u64 + 1,
        };
        self.at_line(line, column)
    }

    pub(crate) fn at_line(&self, line: u64, column: u32) -> Place {
        match &self.kind {
            PlaceKind::Text => Place::Line { line, column },
            PlaceKind::Sheet(sheet) => Place::Cell {
                sheet: sheet.clone(),
                row: line,
                column,
            },
            PlaceKind::Wav => Place::Sample {
                sample: line,
                channel: column,
            },
            PlaceKind::Parquet(groups) => {
                let group = groups.partition_point(|&first| first < line).max(1);
                let before = groups.get(group - 1).copied().unwrap_or(0);
                Place::Parquet {
                    column,
                    group: group as u64,
                    row: line - before,
                }
            }
        }
    }
}
