//! The work of `sweep`: rows in order, to a table that can go on where it stopped.
//!
//! - `shard`: which points this run works out;
//! - `work`: the points over the threads, rows given back in order;
//! - `text`: a row as a line of the table and back;
//! - `rows`: the table on disk while it grows, torn or whole;
//! - `parquet`: the same table as Parquet, and back;
//! - `merge`: shards joined.
//!
//! The table is CSV while it grows, whatever the file in the end: a line can be
//! added to it, a torn one dropped. Parquet is made of it once all rows are there.
//! Nothing grows with the number of points but the files.

pub mod merge;
pub mod parquet;
pub mod rows;
pub mod shard;
pub mod text;
pub mod work;

use std::path::PathBuf;

use steadypull_contract::study::{Cell, Column, Row};

use crate::failure::Failure;

/// The form of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Lines of text.
    Csv,
    /// Columns.
    Parquet,
}

/// A table to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableFile {
    /// Where.
    pub path: PathBuf,
    /// In which form.
    pub form: Form,
}

/// A table by its name, for the command line.
pub fn table_file(name: &str) -> Result<TableFile, String> {
    let path = PathBuf::from(name);
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    let form = match ending.as_deref() {
        Some("csv") => Form::Csv,
        Some("parquet") => Form::Parquet,
        _ => return Err("the name of a table ends in .csv or .parquet".into()),
    };
    Ok(TableFile { path, form })
}

/// One line of a table: its number, then every column after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Number of its point.
    pub index: u64,
    /// The columns after the index.
    pub cells: Vec<Cell>,
}

impl Line {
    /// The line of a row of the study `id`.
    pub fn of(row: Row, id: &str) -> Self {
        let text = |text: &str| match text {
            "" => Cell::Missing,
            text => Cell::Text(text.into()),
        };
        let inputs = row.inputs.into_iter().map(Cell::Number);
        let last = [row.status.word(), &row.reason, id].map(text);
        Self {
            index: row.index,
            cells: inputs.chain(row.outputs).chain(last).collect(),
        }
    }

    /// The word for how the point went.
    pub fn status(&self) -> &str {
        self.word(3)
    }

    /// The study that it belongs to.
    pub fn study(&self) -> &str {
        self.word(1)
    }

    fn word(&self, from_the_end: usize) -> &str {
        let at = self.cells.len().checked_sub(from_the_end);
        match at.and_then(|at| self.cells.get(at)) {
            Some(Cell::Text(word)) => word,
            _ => "",
        }
    }
}

/// How many points went how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// With an answer.
    pub ok: u64,
    /// That made no plan.
    pub refused: u64,
    /// Without an answer.
    pub failed: u64,
}

impl Tally {
    /// One more.
    pub fn add(&mut self, line: &Line) {
        match line.status() {
            "ok" => self.ok += 1,
            "refused" => self.refused += 1,
            _ => self.failed += 1,
        }
    }

    /// All of them.
    pub fn rows(self) -> u64 {
        self.ok + self.refused + self.failed
    }
}

/// A table whose lines are read one after another.
pub trait Lines {
    /// The next, none at the end.
    fn next_line(&mut self) -> Result<Option<Line>, Failure>;
}

/// A mistake of the table in `file`.
pub fn odd_table(file: &str, what: &str) -> Failure {
    let hint = "is it a table of this study, plan and program? --force starts a new one";
    Failure::of_file(file, what, hint)
}

/// A file that cannot be read or written.
pub fn unusable(file: &str, error: &dyn std::fmt::Display) -> Failure {
    let hint = "check the place, its permissions and the disk";
    Failure::of_file(file, &format!("cannot be used: {error}"), hint)
}

/// Whether two tables have the same columns.
pub fn heading(columns: &[Column]) -> String {
    text::joined(columns.iter().map(|column| text::quoted(&column.name)))
}
