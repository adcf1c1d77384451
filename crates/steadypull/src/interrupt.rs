//! Ctrl-C during long work: the first asks for a clean end, the second ends at once.
//!
//! Work that is made in blocks looks at the flag between two of them, so that what is
//! done is told and nothing half done is written.

use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// The usual exit code of a program ended by Ctrl-C.
const ENDED: i32 = 130;

static ASKED: AtomicBool = AtomicBool::new(false);
static WATCHED: OnceLock<()> = OnceLock::new();

/// From now on Ctrl-C raises the flag that this gives back instead of ending the
/// program; a second one ends it.
///
/// Where the platform does not let it be caught, Ctrl-C ends the program as before.
pub fn watched() -> &'static AtomicBool {
    WATCHED.get_or_init(|| {
        let _ = ctrlc::set_handler(|| {
            if ASKED.swap(true, Ordering::SeqCst) {
                std::process::exit(ENDED);
            }
        });
    });
    &ASKED
}
