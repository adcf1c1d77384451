//! Bytes and a recipe in, a log out.
//!
//! Text is read as it comes, a part at a time, and hashed on the way. Workbooks, Parquet and
//! sound are read by jumps, and text whose letters are pairs of bytes, or whose last lines are no
//! rows, wants to be whole: these are gathered first.

mod feed;
mod hands;
mod pages;
mod parquet;
mod quick;
mod records;
mod sheet;
mod text;
mod wav;
mod xls;

use std::io::{self, Read};

use crate::log::Log;
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Layout, Recipe};
use crate::take::{How, Texts};

use feed::Hashed;
use hands::{Broken, Hands};

pub(crate) use parquet::Table;
pub(crate) use sheet::{Workbook, cell as sheet_cell};
pub(crate) use wav::Sound;

/// Reads a whole log. What can be read is, with the rest as gaps told of in the log's mistakes;
/// an error where there is no log at all: not one number, or a recipe that does not fit.
pub fn read(bytes: &[u8], recipe: &Recipe) -> Result<Log, Mistakes> {
    let log = read_from(bytes, recipe);
    log.unwrap_or_else(|error| Err(Mistakes::one(Kind::Unread, Place::File, &error.to_string())))
}

/// The same of bytes that are fetched as they are wanted; the outer error where they cannot be.
pub fn read_from(
    source: impl Read + Send,
    recipe: &Recipe,
) -> Result<Result<Log, Mistakes>, io::Error> {
    let mut source = Hashed::new(source);
    let log = match &recipe.layout {
        Layout::Text { .. } => match text::read(&mut source, recipe, How::Whole, &Hands::new()) {
            Err(Broken::Source(error)) => return Err(error),
            Err(Broken::Log(mistakes)) => Err(mistakes),
            Ok(log) => Ok(log),
        },
        _ => {
            let mut bytes = Vec::new();
            source.read_to_end(&mut bytes)?;
            read_how(&bytes, recipe, How::Whole)
        }
    };
    Ok(log.map(|(log, _)| Log {
        bytes: source.bytes,
        sha256: source.sha256(),
        ..log
    }))
}

pub(crate) fn read_how(
    mut bytes: &[u8],
    recipe: &Recipe,
    how: How,
) -> Result<(Log, Texts), Mistakes> {
    match &recipe.layout {
        Layout::Text { .. } => {
            text::read(&mut bytes, recipe, how, &Hands::new()).map_err(|broken| match broken {
                Broken::Log(mistakes) => mistakes,
                Broken::Source(error) => {
                    Mistakes::one(Kind::Unread, Place::File, &error.to_string())
                }
            })
        }
        Layout::Sheet {
            sheet,
            notation,
            rows,
        } => sheet::read(bytes, recipe, (sheet, *notation, rows), how),
        Layout::Parquet {} => parquet::read(bytes, recipe, how),
        Layout::Wav {} => wav::read(bytes, recipe, how),
    }
}
