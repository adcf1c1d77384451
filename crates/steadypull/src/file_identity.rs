//! What tells whether a file was changed, as far as a file system does.

use std::fs::Metadata;
use std::time::SystemTime;

/// What changes whenever a file's bytes do, as far as a file system tells: its place on the
/// disk, its length and when it was last changed.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Identity {
    place: (u64, u64),
    bytes: u64,
    changed: Option<SystemTime>,
    created: Option<SystemTime>,
}

impl Identity {
    /// That of a file.
    pub fn of(about: &Metadata) -> Self {
        Self {
            place: place(about),
            bytes: about.len(),
            changed: about.modified().ok(),
            created: about.created().ok(),
        }
    }
}

#[cfg(unix)]
fn place(about: &Metadata) -> (u64, u64) {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino())
}

#[cfg(not(unix))]
fn place(_: &Metadata) -> (u64, u64) {
    (0, 0)
}
