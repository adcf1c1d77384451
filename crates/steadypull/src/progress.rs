//! A sign of life for anything that takes more than a second.

use std::io::{IsTerminal, Write, stderr};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{JoinHandle, spawn};
use std::time::{Duration, Instant};

const QUIET_FIRST: Duration = Duration::from_secs(1);
const EVERY: Duration = Duration::from_millis(500);

/// Says on the terminal what is being done, until it is dropped.
///
/// Quiet for the first second, and always quiet when standard error is no
/// terminal.
pub struct Progress {
    ticking: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// Starts saying `what`.
    pub fn show(what: &'static str) -> Self {
        let ticking = stderr().is_terminal().then(|| {
            let (done, told) = channel::<()>();
            let thread = spawn(move || {
                let start = Instant::now();
                let mut wait = QUIET_FIRST;
                while told.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
                    say(&format!("\r{what} ... {} s", start.elapsed().as_secs()));
                    wait = EVERY;
                }
                if start.elapsed() >= QUIET_FIRST {
                    say(&format!("\r{:79}\r", ""));
                }
            });
            (done, thread)
        });
        Self { ticking }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, thread)) = self.ticking.take() {
            drop(done);
            // Nothing is lost if the thread could not say its last word.
            let _ = thread.join();
        }
    }
}

/// A closed terminal must not end the work.
fn say(text: &str) {
    let mut stderr = stderr();
    let _ = stderr.write_all(text.as_bytes());
    let _ = stderr.flush();
}
