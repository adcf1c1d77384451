//! Plain rows read by several threads at once, as one would read them.
//!
//! How a plain row is read depends on where it begins and on nothing else. So each thread
//! takes the next lines of the text, and reads them up to the first row that is not plain. What
//! was read is put together in the order of the lines, and only up to the first such row: if it
//! runs on past its lines, as quoted cells may, what was read behind them was nonsense. The
//! text from there on is given back.
//!
//! The hash wants the text in its order, so it is made as the lines are fetched, by whichever
//! thread fetches them while they are in its cache.

use std::collections::BTreeMap;
use std::io;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;

use super::feed::{Feed, PART, bad_letters};
use super::quick::Quick;
use crate::letters;
use crate::mistake::Mistakes;
use crate::take::{Columns, Plain};

/// Most threads: more wait for the one that fetches lines.
const MOST_THREADS: usize = 8;

/// How a text is shared out.
pub(super) struct Hands {
    pub threads: usize,
    /// Bytes of a part.
    pub part: usize,
}

/// Text that was fetched and is not taken yet.
#[derive(Debug, Default)]
pub(super) struct Window {
    pub text: Vec<u8>,
    /// Where the next row begins, and its line.
    pub at: usize,
    pub line: u64,
    /// The first bytes that are no letters: their line, and they.
    pub bad_letters: Option<(u64, String)>,
}

/// Some lines and the rows in them.
#[derive(Default)]
struct Part {
    number: usize,
    text: Vec<u8>,
    rows: Plain,
    bad_letters: Option<usize>,
}

/// What the threads share: where lines come from, and parts that were taken.
struct Shared<'f, 's> {
    feed: &'f mut Feed<'s>,
    /// Number of the next part.
    number: usize,
    failed: Option<io::Error>,
    /// Whether no more is wanted.
    stop: bool,
    spare: Vec<Part>,
}

/// Why a text was not read to its end.
pub(super) enum Broken {
    /// It could not be fetched.
    Source(io::Error),
    /// It is no log.
    Log(Mistakes),
}

impl From<io::Error> for Broken {
    fn from(error: io::Error) -> Self {
        Self::Source(error)
    }
}

impl From<Mistakes> for Broken {
    fn from(mistakes: Mistakes) -> Self {
        Self::Log(mistakes)
    }
}

impl Hands {
    /// As many as there are cores.
    pub fn new() -> Self {
        let threads = thread::available_parallelism().map_or(1, usize::from);
        Self {
            threads: threads.min(MOST_THREADS),
            part: PART,
        }
    }

    /// Takes plain rows up to the first that is not, or the end, with as many threads as
    /// there are; `window`, which is used up, then holds the text from there on. Gives how many
    /// bytes were taken: none where there is no thread to be had.
    pub fn take_plain(
        &self,
        quick: &Quick<'_>,
        columns: &mut Columns<'_>,
        feed: &mut Feed<'_>,
        window: &mut Window,
    ) -> Result<usize, Broken> {
        let shared = Mutex::new(Shared {
            feed,
            number: 0,
            failed: None,
            stop: false,
            spare: Vec::new(),
        });
        let taken = thread::scope(|scope| {
            let (sender, parts) = sync_channel(self.threads);
            for _ in 0..self.threads {
                let (sender, shared) = (sender.clone(), &shared);
                let work = move || read_parts(quick, shared, &sender);
                // With fewer threads it takes longer, no more.
                let _ = thread::Builder::new().spawn_scoped(scope, work);
            }
            drop(sender);
            put_together((quick, columns), window, parts, &shared)
        })?;
        let shared = shared.into_inner().unwrap_or_else(PoisonError::into_inner);
        shared.failed.map_or(Ok(taken), |error| Err(error.into()))
    }
}

fn lock<'m, 'f, 's>(shared: &'m Mutex<Shared<'f, 's>>) -> MutexGuard<'m, Shared<'f, 's>> {
    shared.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Fetches parts and reads them until there are no more, or no more are wanted.
fn read_parts(quick: &Quick<'_>, shared: &Mutex<Shared<'_, '_>>, parts: &SyncSender<Part>) {
    loop {
        // The lock is let go before the part is read.
        let next = lock(shared).next();
        let Some(mut part) = next else {
            return;
        };
        part.bad_letters = quick.bad_letters(&part.text);
        quick.rows(&mut part.rows, &part.text, 0);
        if parts.send(part).is_err() {
            return;
        }
    }
}

impl Shared<'_, '_> {
    /// The next part, its rows not read.
    fn next(&mut self) -> Option<Part> {
        let mut part = self.spare.pop().unwrap_or_default();
        part.text.clear();
        if self.stop {
            return None;
        }
        if let Err(error) = self.feed.more(&mut part.text) {
            (self.failed, self.stop) = (Some(error), true);
        }
        part.number = self.number;
        self.number += 1;
        (!self.stop && !part.text.is_empty()).then_some(part)
    }
}

/// Takes the rows of parts in their order, up to the first that is not plain; the text from
/// there on goes into `window`. Gives how many bytes were taken.
fn put_together(
    (quick, columns): (&Quick<'_>, &mut Columns<'_>),
    window: &mut Window,
    parts: Receiver<Part>,
    shared: &Mutex<Shared<'_, '_>>,
) -> Result<usize, Mistakes> {
    let (mut waiting, mut next, mut taken) = (BTreeMap::new(), 0, 0);
    while let Ok(part) = parts.recv() {
        waiting.insert(part.number, part);
        while let Some(part) = waiting.remove(&next) {
            next += 1;
            let end = part.rows.end;
            taken += end;
            if let Some(at) = part.bad_letters.filter(|at| *at < end) {
                window.tell_of_bad_letters(&part.text, 0, at);
            }
            window.line = columns.take_rows(window.line, &part.rows)?;
            if end < part.text.len() {
                lock(shared).stop = true;
                waiting.extend(parts.iter().map(|part| (part.number, part)));
                window.hold(&part.text[end..], waiting.values());
                window.check(0, quick.is_utf_8);
                return Ok(taken);
            }
            lock(shared).spare.push(part);
        }
    }
    Ok(taken)
}

impl Window {
    /// The begin of a text; `bad` is a text and where it has bytes that are no letters, if that
    /// is known.
    pub fn new(bad: Option<(&[u8], usize)>) -> Self {
        let mut window = Self {
            line: 1,
            ..Self::default()
        };
        if let Some((text, at)) = bad {
            window.tell_of_bad_letters(text, 0, at);
        }
        window
    }

    pub fn is_empty(&self) -> bool {
        self.at >= self.text.len()
    }

    /// Fetches the next lines behind those that are left.
    pub fn fetch(&mut self, feed: &mut Feed<'_>, is_utf_8: bool) -> io::Result<()> {
        self.text.drain(..self.at);
        self.at = 0;
        let before = self.text.len();
        feed.more(&mut self.text)?;
        self.check(before, is_utf_8);
        Ok(())
    }

    /// Holds what is left of a part, and the parts after it.
    fn hold<'p>(&mut self, left: &[u8], later: impl Iterator<Item = &'p Part>) {
        (self.text, self.at) = (left.to_vec(), 0);
        later.for_each(|part| self.text.extend_from_slice(&part.text));
    }

    /// Looks whether there are bytes that are no letters from `from` on.
    fn check(&mut self, from: usize, is_utf_8: bool) {
        if let Some(bad) = bad_letters(&self.text[from..]).filter(|_| is_utf_8) {
            let text = std::mem::take(&mut self.text);
            self.tell_of_bad_letters(&text, self.at, from + bad);
            self.text = text;
        }
    }

    /// Notes the first bytes that are no letters: at `bad` in a text whose byte `at` stands on
    /// the line at hand.
    fn tell_of_bad_letters(&mut self, text: &[u8], at: usize, bad: usize) {
        let line = self.line + letters::line_ends(&text[at..bad]);
        let (end, _) = letters::line_end(text, bad);
        let found = String::from_utf8_lossy(&text[bad..end.min(bad + 4)]);
        self.bad_letters
            .get_or_insert_with(|| (line, found.into_owned()));
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::even::Times;
    use crate::log::Log;
    use crate::mistake::{Kind, Place};
    use crate::recipe::Recipe;
    use crate::take::How;

    /// Reads `text` with so many threads in parts of so many bytes.
    fn read(text: &str, recipe: &Recipe, (threads, part): (usize, usize)) -> String {
        let log = read_by(text.as_bytes(), recipe, Hands { threads, part });
        // Gaps are no numbers, and no number equals itself; a grid and its list do.
        format!(
            "{:?}",
            log.map(|log| (
                log.times.to_vec(),
                Log {
                    times: Times::Listed(Vec::new()),
                    ..log
                }
            ))
        )
    }

    fn read_by(mut source: &[u8], recipe: &Recipe, hands: Hands) -> Result<Log, Mistakes> {
        match crate::read::text::read(&mut source, recipe, How::Whole, &hands) {
            Ok((log, _)) => Ok(log),
            Err(Broken::Log(mistakes)) => Err(mistakes),
            Err(Broken::Source(error)) => panic!("{error}"),
        }
    }

    fn recipe() -> Recipe {
        crate::guess(b"Time (s),Load (kN)\n0.0,1.5\n0.1,2.5\n0.2,3.5\n")
            .unwrap()
            .recipe
    }

    /// Rows of a log, some of which are not plain.
    fn rows() -> impl Strategy<Value = String> {
        let plain = (0_u32..1000, 0_u32..1000).prop_map(|(a, b)| format!("{a}.5,{b}"));
        let row = prop_oneof![
            12 => plain,
            1 => Just("\"1\n2,3\n4\",5".to_string()),
            1 => Just("1,\"open".to_string()),
            1 => Just("7, 8 kN".to_string()),
            1 => Just(String::new()),
            1 => Just("1,2,3".to_string()),
        ];
        let end = prop_oneof![Just("\n"), Just("\r\n"), Just("\r")];
        proptest::collection::vec((row, end), 1..80).prop_map(|rows| {
            let rows = rows.into_iter().map(|(row, end)| row + end);
            format!("Time (s),Load (kN)\n{}", rows.collect::<String>())
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn many_hands_read_what_one_reads(text in rows(), threads in 2_usize..5, part in 1_usize..60) {
            let one = read(&text, &recipe(), (1, part));
            prop_assert_eq!(read(&text, &recipe(), (threads, part)), one);
        }
    }

    #[test]
    fn many_parts_are_put_together() {
        let rows = (0..20_000).map(|row| format!("{row},{}\n", row % 7));
        let text = format!("Time (s),Load (kN)\n{}", rows.collect::<String>());
        let log =
            |threads| read_by(text.as_bytes(), &recipe(), Hands { threads, part: 50 }).unwrap();
        let log_of_one = log(1);
        assert_eq!(log_of_one.times.len(), 20_000);
        assert_eq!(log(3), log_of_one);
    }

    #[test]
    fn bad_letters_are_told_once_and_with_their_line() {
        let plain = "0.5,1,ok\n".repeat(40);
        let recipe = crate::guess(b"Time (s),Load (kN),Note\n0.0,1.5,a\n0.1,2.5,b\n0.2,3.5,c\n");
        let recipe = recipe.unwrap().recipe;
        for odd in ["", "\"7\n8\",2,\"x\"\n"] {
            let head = format!("Time (s),Load (kN),Note\n{plain}{odd}{plain}");
            let mut text = head.clone().into_bytes();
            text.extend(b"0.6,2,\xff\xfe\n0.7,2,\xff\n");
            text.extend(plain.as_bytes());
            let line = letters::line_ends(head.as_bytes()) + 1;
            for threads in [1, 3] {
                let log = read_by(&text, &recipe, Hands { threads, part: 30 }).unwrap();
                let first = &log.mistakes.groups()[0];
                assert_eq!((first.kind, first.count), (Kind::BadLetters, 1));
                assert_eq!(first.first[0].place, Place::Line { line, column: 0 });
            }
        }
    }

    #[test]
    fn a_cut_within_a_quoted_cell_is_no_row() {
        // The cut falls behind a line end within quotes, and what follows looks like a row.
        let text = "Time (s),Load (kN)\n0.5,1\n\"9\n0.6,2\n\",3\n0.7,4\n";
        for threads in [3, 1] {
            let log = read_by(text.as_bytes(), &recipe(), Hands { threads, part: 2 }).unwrap();
            assert_eq!(*log.channels[0].values(), [1000.0, 3000.0, 4000.0]);
        }
    }
}
