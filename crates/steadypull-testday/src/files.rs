//! The one seam to whatever holds the files.

use crate::shelf::Place;

/// Fetches what a test file names.
pub trait Files {
    /// The bytes of a file by the name that the test file gives it; an error in words.
    fn read(&self, name: &str) -> Result<Vec<u8>, String>;

    /// Where what is made of a file may be kept; `None` where nothing is.
    fn place(&self, _name: &str) -> Option<Place<'_>> {
        None
    }
}
