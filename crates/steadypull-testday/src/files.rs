//! The one seam to whatever holds the files.

use std::io::{Cursor, Error, Read};

use crate::shelf::Place;

/// Fetches what a test file names.
pub trait Files {
    /// The bytes of a file by the name that the test file gives it; an error in words.
    fn read(&self, name: &str) -> Result<Vec<u8>, String>;

    /// The same as they are wanted, for a file that may be long.
    fn open(&self, name: &str) -> Result<Box<dyn Read + Send + '_>, String> {
        Ok(Box::new(Cursor::new(self.read(name)?)))
    }

    /// The same of a file that is short: an error, without reading it, for one of over
    /// `most` bytes where that can be told.
    fn read_short(&self, name: &str, most: usize) -> Result<Vec<u8>, String> {
        let bytes = self.read(name)?;
        match bytes.len() > most {
            true => Err(too_long(most)),
            false => Ok(bytes),
        }
    }

    /// Where what is made of a file may be kept; `None` where nothing is.
    fn place(&self, _name: &str) -> Option<Place<'_>> {
        None
    }
}

/// That a file could not be fetched to its end.
pub fn unfetched(error: &Error) -> String {
    format!("cannot be read: {error}")
}

/// That a file is longer than what it should be.
pub fn too_long(most: usize) -> String {
    format!("is too long: over {most} bytes")
}
