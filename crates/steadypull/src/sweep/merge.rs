//! Shards joined: the same bytes as the table of an unsplit run.

use std::path::{Path, PathBuf};

use steadypull_contract::study::Study;

use super::parquet::ParquetLines;
use super::rows::{CsvLines, Growing};
use super::{Form, Line, Lines, Tally, table_file};
use crate::failure::Failure;

/// The lines of all shards, in order.
pub struct Joined {
    parts: std::vec::IntoIter<Part>,
    current: Option<Part>,
    next: u64,
    points: u64,
    id: String,
    /// How the points so far went.
    pub tally: Tally,
}

struct Part {
    name: String,
    first: Line,
    rest: Box<dyn Lines>,
}

impl Joined {
    /// Opens the shards of `study`; empty ones are passed over.
    pub fn open(study: &Study, files: &[PathBuf]) -> Result<Self, Failure> {
        let mut parts = Vec::new();
        for path in files {
            let mut rest = lines_in(path, study)?;
            let name = path.display().to_string();
            if let Some(first) = rest.next_line()? {
                parts.push(Part { name, first, rest });
            }
        }
        parts.sort_by_key(|part| part.first.index);
        Ok(Self {
            parts: parts.into_iter(),
            current: None,
            next: 0,
            points: study.len(),
            id: study.id().into(),
            tally: Tally::default(),
        })
    }

    fn following(&mut self) -> Result<Option<(String, Line)>, Failure> {
        if let Some(part) = &mut self.current
            && let Some(line) = part.rest.next_line()?
        {
            return Ok(Some((part.name.clone(), line)));
        }
        self.current = self.parts.next();
        Ok(self
            .current
            .as_ref()
            .map(|part| (part.name.clone(), part.first.clone())))
    }

    fn missing(&self, up_to: u64) -> Failure {
        let message = match up_to - self.next {
            1 => format!("point {} is in none of the shards", self.next),
            _ => format!(
                "points {} to {} are in none of the shards",
                self.next,
                up_to - 1
            ),
        };
        Failure::other(
            &message,
            "name every shard, and let each run to its end first",
        )
    }
}

impl Lines for Joined {
    fn next_line(&mut self) -> Result<Option<Line>, Failure> {
        let Some((name, line)) = self.following()? else {
            return match self.next < self.points {
                true => Err(self.missing(self.points)),
                false => Ok(None),
            };
        };
        if line.study() != self.id {
            let hint = "join only shards of this study, plan and program";
            return Err(Failure::of_file(&name, "is of another study", hint));
        }
        if line.index > self.next {
            return Err(self.missing(line.index));
        }
        if line.index < self.next {
            let message = format!("holds point {}, which another shard holds too", line.index);
            return Err(Failure::of_file(&name, &message, "name every shard once"));
        }
        self.next += 1;
        self.tally.add(&line);
        Ok(Some(line))
    }
}

/// The lines of one table, by the ending of its name.
fn lines_in(path: &Path, study: &Study) -> Result<Box<dyn Lines>, Failure> {
    let columns = study.columns();
    let name = path.display().to_string();
    let table = table_file(&name)
        .map_err(|message| Failure::of_file(&name, &message, "name the shards' tables"))?;
    Ok(match table.form {
        Form::Csv => Box::new(CsvLines::open(path, &columns)?),
        Form::Parquet => Box::new(ParquetLines::open(path, &columns)?),
    })
}

/// Copies lines into a growing table, a block at a time.
pub fn copied(lines: &mut dyn Lines, to: &mut Growing) -> Result<(), Failure> {
    const BLOCK: usize = 1024;
    loop {
        let mut block = Vec::with_capacity(BLOCK);
        while block.len() < BLOCK
            && let Some(line) = lines.next_line()?
        {
            block.push(line);
        }
        if block.is_empty() {
            return Ok(());
        }
        to.add(&block)?;
    }
}
