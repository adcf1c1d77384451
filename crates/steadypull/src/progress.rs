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

/// How often a run that is watched by nobody says how far it is.
const IN_A_LOG: Duration = Duration::from_secs(60);

/// Says how many of a known number are done: often on a terminal, once a minute in a
/// log.
pub struct Counted {
    start: Instant,
    said: Instant,
    from: u64,
    of: u64,
    what: &'static str,
    terminal: bool,
    any: bool,
}

impl Counted {
    /// Starts with `from` of `of` done already; `what` they are, in words.
    pub fn start(from: u64, of: u64, what: &'static str) -> Self {
        let now = Instant::now();
        Self {
            start: now,
            said: now,
            from,
            of,
            what,
            terminal: stderr().is_terminal(),
            any: false,
        }
    }

    /// `done` are done by now.
    pub fn now(&mut self, done: u64) {
        let every = if self.terminal { EVERY } else { IN_A_LOG };
        if self.said.elapsed() < every {
            return;
        }
        self.said = Instant::now();
        self.any = true;
        let elapsed = self.start.elapsed().as_secs_f64();
        let rate = (done - self.from) as f64 / elapsed.max(1e-3);
        let left = (self.of - done) as f64 / rate.max(1e-9);
        let text = format!(
            "{done} of {} {}, {rate:.1} a second, about {} left",
            self.of,
            self.what,
            words_of(left)
        );
        match self.terminal {
            true => say(&format!("\r{text:79}")),
            false => say(&format!("{text}\n")),
        }
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        if self.any && self.terminal {
            say(&format!("\r{:79}\r", ""));
        }
    }
}

fn words_of(seconds: f64) -> String {
    match seconds {
        s if s < 90.0 => format!("{s:.0} s"),
        s if s < 5400.0 => format!("{:.0} min", s / 60.0),
        s => format!("{:.1} h", s / 3600.0),
    }
}
