//! The table on disk while it grows: begun, found again, torn or whole.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufRead, BufReader, ErrorKind, Read, Seek, SeekFrom, Write};
use std::ops::Range;
use std::path::Path;

use steadypull_contract::study::Column;

use super::{Line, Lines, Tally, heading, odd_table, text, unusable};
use crate::failure::Failure;

/// Longest line that is read; a longer one is no row.
const LONGEST_LINE: u64 = 1 << 20;

/// A table that grows.
pub struct Growing {
    file: File,
    name: String,
    /// The next point to be worked out.
    pub next: u64,
    /// How the points so far went.
    pub tally: Tally,
}

impl Growing {
    /// Opens the table at `path` where it stopped, or begins it; a torn last line is
    /// dropped. `afresh` writes over whatever is there.
    pub fn open(
        path: &Path,
        columns: &[Column],
        id: &str,
        points: &Range<u64>,
        afresh: bool,
    ) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let mut open = OpenOptions::new();
        open.read(true).write(true).create(true).truncate(false);
        let file = open.open(path).map_err(|error| unusable(&name, &error))?;
        if let Err(TryLockError::WouldBlock) = file.try_lock() {
            let hint = "wait for it, or name another file";
            return Err(Failure::of_file(
                &name,
                "another run is writing to it",
                hint,
            ));
        }
        let mut growing = Self {
            file,
            name,
            next: points.start,
            tally: Tally::default(),
        };
        let kept = match afresh {
            true => 0,
            false => growing.found_again(columns, id, points)?,
        };
        growing.cut_off_at(kept)?;
        if kept == 0 {
            let heading = heading(columns) + "\n";
            growing.append(heading.as_bytes())?;
        }
        Ok(growing)
    }

    /// Reads what is there, and gives back how many bytes of it are whole.
    fn found_again(
        &mut self,
        columns: &[Column],
        id: &str,
        points: &Range<u64>,
    ) -> Result<u64, Failure> {
        let file = self
            .file
            .try_clone()
            .map_err(|error| unusable(&self.name, &error))?;
        let mut reader = BufReader::new(file);
        let heading = heading(columns) + "\n";
        let mut kept = 0;
        let Some(first) = whole_line(&mut reader, &self.name)? else {
            return Ok(0);
        };
        if first != heading.as_bytes() {
            // A heading that was torn while it was written is no other table's.
            let torn = heading.as_bytes().starts_with(&first);
            return if torn {
                Ok(0)
            } else {
                Err(other_table(&self.name))
            };
        }
        kept += first.len() as u64;
        while let Some(bytes) = whole_line(&mut reader, &self.name)? {
            match line_of(&bytes, columns) {
                Some(line) if line.study() != id => return Err(other_table(&self.name)),
                Some(line) if line.index != self.next || !points.contains(&line.index) => {
                    return Err(odd_table(&self.name, &out_of_order(line.index, self.next)));
                }
                Some(line) => {
                    kept += bytes.len() as u64;
                    self.next += 1;
                    self.tally.add(&line);
                }
                // Torn, if nothing follows.
                None if whole_line(&mut reader, &self.name)?.is_none() => break,
                None => {
                    let what = format!("the line after point {} is no row", self.next);
                    return Err(odd_table(&self.name, &what));
                }
            }
        }
        Ok(kept)
    }

    fn cut_off_at(&mut self, kept: u64) -> Result<(), Failure> {
        let cut = self.file.set_len(kept);
        let cut = cut.and_then(|()| self.file.seek(SeekFrom::Start(kept)));
        cut.map(drop).map_err(|error| unusable(&self.name, &error))
    }

    fn append(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        let written = self.file.write_all(bytes).and_then(|()| self.file.flush());
        written.map_err(|error| unusable(&self.name, &error))
    }

    /// Adds the next lines.
    pub fn add(&mut self, lines: &[Line]) -> Result<(), Failure> {
        let mut block = String::new();
        for line in lines {
            block += &text::line(line);
            block.push('\n');
        }
        self.append(block.as_bytes())?;
        for line in lines {
            self.next = line.index + 1;
            self.tally.add(line);
        }
        Ok(())
    }
}

fn out_of_order(found: u64, expected: u64) -> String {
    format!("holds point {found} where point {expected} belongs")
}

fn other_table(name: &str) -> Failure {
    odd_table(name, "holds another table; nothing was written")
}

/// Up to the next line end, or the file's; none at its end.
fn whole_line(reader: &mut impl BufRead, name: &str) -> Result<Option<Vec<u8>>, Failure> {
    let mut bytes = Vec::new();
    let read = reader
        .by_ref()
        .take(LONGEST_LINE)
        .read_until(b'\n', &mut bytes);
    match read {
        Ok(0) => Ok(None),
        Ok(_) => Ok(Some(bytes)),
        Err(error) => Err(unusable(name, &error)),
    }
}

fn line_of(bytes: &[u8], columns: &[Column]) -> Option<Line> {
    let text = std::str::from_utf8(bytes.strip_suffix(b"\n")?).ok()?;
    text::read(text, columns)
}

/// A whole table in CSV, read line by line.
pub struct CsvLines {
    reader: BufReader<File>,
    columns: Vec<Column>,
    name: String,
}

impl CsvLines {
    /// Opens it and reads its heading.
    pub fn open(path: &Path, columns: &[Column]) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let file = File::open(path).map_err(|error| match error.kind() {
            ErrorKind::NotFound => {
                Failure::of_file(&name, "there is no such file", "check the name")
            }
            _ => unusable(&name, &error),
        })?;
        let mut reader = BufReader::new(file);
        let first = whole_line(&mut reader, &name)?;
        if first.as_deref() != Some((heading(columns) + "\n").as_bytes()) {
            let hint = "join only shards of this study, plan and program";
            return Err(Failure::of_file(
                &name,
                "its columns are not those of the study",
                hint,
            ));
        }
        Ok(Self {
            reader,
            columns: columns.to_vec(),
            name,
        })
    }
}

impl Lines for CsvLines {
    fn next_line(&mut self) -> Result<Option<Line>, Failure> {
        let Some(bytes) = whole_line(&mut self.reader, &self.name)? else {
            return Ok(None);
        };
        match line_of(&bytes, &self.columns) {
            Some(line) => Ok(Some(line)),
            None => {
                let hint = "its run was cut short: run the same command again, it goes on";
                Err(Failure::of_file(&self.name, "ends in a torn row", hint))
            }
        }
    }
}
