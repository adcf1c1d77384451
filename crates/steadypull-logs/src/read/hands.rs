//! Plain rows read by several threads at once, as one would read them.
//!
//! How a plain row is read depends on where it begins and on nothing else. So the text is cut
//! at line ends, each part is read by itself up to its first row that is not plain, and a part
//! counts only if the one before was read to its end: if a row runs on past a cut, as quoted
//! cells may, what was read behind the cut is thrown away.

use std::ops::Range;
use std::thread;

use super::quick::Quick;
use crate::letters;
use crate::mistake::Mistakes;
use crate::take::{Columns, Plain};

/// Bytes of a part: what is read of it stays in the nearer caches.
const PART: usize = 1 << 20;
/// Most threads: more wait for the one that puts their rows together.
const MOST_THREADS: usize = 8;

/// How a text is shared out.
pub(super) struct Hands {
    threads: usize,
    part: usize,
    /// Where several begin again, and how far one goes on alone after a row that was not
    /// plain: further each time, for where there is one there are others.
    together_from: usize,
    alone: usize,
}

impl Hands {
    /// As many as there are cores.
    pub fn new() -> Self {
        let threads = thread::available_parallelism().map_or(1, usize::from);
        Self::of(threads.min(MOST_THREADS), PART)
    }

    fn of(threads: usize, part: usize) -> Self {
        Self {
            threads,
            part,
            together_from: if threads > 1 { 0 } else { usize::MAX },
            alone: part,
        }
    }

    /// Takes plain rows from `at` on, which stands on `line`: up to the first that is not, or
    /// the end. Gives where that is, and its line.
    pub fn take_plain(
        &mut self,
        quick: &Quick<'_>,
        columns: &mut Columns<'_>,
        body: &[u8],
        (mut at, mut line): (usize, u64),
    ) -> Result<(usize, u64), Mistakes> {
        while at < body.len() {
            if at >= self.together_from {
                (at, line) = self.together(quick, columns, body, (at, line))?;
            } else if let Some((next, stamp)) = quick.row(&mut columns.now, body, at) {
                columns.take_quick(line, stamp)?;
                (at, line) = (next, line + 1);
            } else {
                break;
            }
        }
        Ok((at, line))
    }

    /// The same of the next parts, one a thread.
    fn together(
        &mut self,
        quick: &Quick<'_>,
        columns: &mut Columns<'_>,
        body: &[u8],
        (mut at, mut line): (usize, u64),
    ) -> Result<(usize, u64), Mistakes> {
        let parts = self.cut(body, at);
        let end = parts.last().map_or(at, |part| part.end);
        let empty = columns.plain();
        let read = at_once(&parts, |part| quick.rows(empty.clone(), body, part));
        for (part, plain) in parts.iter().zip(read) {
            if part.start == at {
                at = plain.end;
                line = columns.take_rows(line, &plain)?;
            }
        }
        if at < end {
            self.alone = self.alone.saturating_mul(2);
            self.together_from = at.saturating_add(self.alone);
        } else {
            self.alone = (self.alone / 2).max(self.part);
        }
        Ok((at, line))
    }

    /// The next parts from `at` on, each up to the end of a line.
    fn cut(&self, body: &[u8], at: usize) -> Vec<Range<usize>> {
        let mut parts = Vec::with_capacity(self.threads);
        let mut from = at;
        while parts.len() < self.threads && from < body.len() {
            let about = (from + self.part).min(body.len());
            let (_, end) = letters::line_end(body, about);
            parts.push(from..end);
            from = end;
        }
        parts
    }
}

/// What `work` makes of each part, the first of them on this thread; a part for which there
/// is no thread is worked on here too.
fn at_once(parts: &[Range<usize>], work: impl Fn(Range<usize>) -> Plain + Sync) -> Vec<Plain> {
    let work = &work;
    thread::scope(|scope| {
        let others: Vec<_> = parts
            .iter()
            .skip(1)
            .map(|part| thread::Builder::new().spawn_scoped(scope, || work(part.clone())))
            .collect();
        let first = parts.first().map(|part| work(part.clone()));
        let others = parts.iter().skip(1).zip(others).map(|(part, other)| {
            let read = other.ok().and_then(|other| other.join().ok());
            read.unwrap_or_else(|| work(part.clone()))
        });
        first.into_iter().chain(others).collect()
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::log::Log;
    use crate::recipe::Recipe;
    use crate::take::How;

    /// Reads `text` with so many threads in parts of so many bytes.
    fn read(text: &str, recipe: &Recipe, (threads, part): (usize, usize)) -> String {
        let hands = Hands::of(threads, part);
        let log = crate::read::text::read_by(text.as_bytes(), recipe, How::Whole, hands);
        // Gaps are no numbers, and no number equals itself.
        format!("{:?}", log.map(|(log, _)| log) as Result<Log, Mistakes>)
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
    fn a_cut_within_a_quoted_cell_is_no_row() {
        // The cut falls behind a line end within quotes, and what follows looks like a row.
        let text = "Time (s),Load (kN)\n0.5,1\n\"9\n0.6,2\n\",3\n0.7,4\n";
        let log = |hands| {
            let (log, _) =
                crate::read::text::read_by(text.as_bytes(), &recipe(), How::Whole, hands).unwrap();
            log.channels[0].values.clone()
        };
        for hands in [Hands::of(3, 2), Hands::of(1, 2)] {
            assert_eq!(log(hands), [1000.0, 3000.0, 4000.0]);
        }
    }
}
