//! Bytes and a recipe in, a log out.
//!
//! The reading takes `&[u8]`: text wants to be looked at from both ends, workbooks and Parquet
//! are read by jumps, and the hash wants every byte, so a stream would be gathered into memory
//! all the same. The caller reads or maps the file.

mod hands;
mod pages;
mod parquet;
mod quick;
mod sheet;
mod text;
mod wav;

use sha2::{Digest, Sha256};

use crate::log::Log;
use crate::mistake::Mistakes;
use crate::recipe::{Layout, Recipe};
use crate::take::{How, Texts};

pub(crate) use parquet::Table;
pub(crate) use sheet::{Workbook, cell as sheet_cell};
pub(crate) use wav::Sound;

/// Reads a whole log. What can be read is, with the rest as gaps told of in the log's mistakes;
/// an error where there is no log at all: not one number, or a recipe that does not fit.
pub fn read(bytes: &[u8], recipe: &Recipe) -> Result<Log, Mistakes> {
    let (log, sha256) = std::thread::scope(|scope| {
        // Where threads are to be had, the hash is made beside the reading.
        let hashing = std::thread::Builder::new().spawn_scoped(scope, || hash(bytes));
        let log = read_how(bytes, recipe, How::Whole);
        (
            log,
            hashing
                .ok()
                .and_then(|h| h.join().ok())
                .unwrap_or_else(|| hash(bytes)),
        )
    });
    Ok(Log {
        sha256,
        bytes: bytes.len() as u64,
        ..log?.0
    })
}

fn hash(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

pub(crate) fn read_how(bytes: &[u8], recipe: &Recipe, how: How) -> Result<(Log, Texts), Mistakes> {
    match &recipe.layout {
        Layout::Text { .. } => text::read(bytes, recipe, how),
        Layout::Sheet {
            sheet,
            notation,
            rows,
        } => sheet::read(bytes, recipe, (sheet, *notation, rows), how),
        Layout::Parquet {} => parquet::read(bytes, recipe, how),
        Layout::Wav {} => wav::read(bytes, recipe, how),
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
