//! A text as it comes, in parts of whole lines: a long one is never in memory as a whole.

use std::io::{self, Read};

use sha2::{Digest, Sha256};

/// Bytes of a part: what is read of it stays in the nearer caches.
pub(super) const PART: usize = 1 << 20;

/// Hashes and counts what is read of another.
pub(super) struct Hashed<R> {
    inner: R,
    hash: Sha256,
    pub bytes: u64,
}

impl<R> Hashed<R> {
    pub fn new(inner: R) -> Self {
        Self {
            inner,
            hash: Sha256::new(),
            bytes: 0,
        }
    }

    /// SHA-256 of all that was read, in hexadecimal digits.
    pub fn sha256(self) -> String {
        let digest = self.hash.finalize();
        digest.iter().map(|b| format!("{b:02x}")).collect()
    }
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(into)?;
        self.hash.update(&into[..count]);
        self.bytes += count as u64;
        Ok(count)
    }
}

/// Parts of whole lines of a text.
pub(super) struct Feed<'s> {
    source: &'s mut (dyn Read + Send),
    part: usize,
    /// The begin of a line whose end has not come.
    begun: Vec<u8>,
    /// Whether all has come.
    pub ended: bool,
    /// Whether the last line had an end.
    pub is_closed: bool,
}

impl<'s> Feed<'s> {
    pub fn new(source: &'s mut (dyn Read + Send), part: usize) -> Self {
        Self {
            source,
            part,
            begun: Vec::new(),
            ended: false,
            is_closed: false,
        }
    }

    /// Puts the next lines behind what is in `text`: about a part of them, all that are left
    /// at the end.
    pub fn more(&mut self, text: &mut Vec<u8>) -> io::Result<()> {
        let before = text.len();
        text.append(&mut self.begun);
        while !self.ended {
            // The last byte may be half of a line end.
            let looked_at = text.len().saturating_sub(1).max(before);
            text.reserve(self.part);
            let mut next = (&mut *self.source).take(self.part as u64);
            self.ended = next.read_to_end(text)? == 0;
            if let (true, Some(last)) = (self.ended, text[before..].last()) {
                self.is_closed = matches!(last, b'\n' | b'\r');
            } else if let Some(end) = last_end(text, looked_at) {
                self.begun.extend_from_slice(&text[end..]);
                text.truncate(end);
                self.is_closed = self.begun.is_empty();
                break;
            }
        }
        Ok(())
    }
}

/// Where the last line end from `from` on is past; a return at the very end may be the first
/// half of one.
fn last_end(text: &[u8], from: usize) -> Option<usize> {
    let rest = &text[from..];
    let feed = memchr::memrchr(b'\n', rest);
    let found = feed.or_else(|| memchr::memrchr(b'\r', &rest[..rest.len().saturating_sub(1)]));
    found.map(|n| from + n + 1)
}

/// The first bytes of a text that are no letters of UTF-8: where they are.
pub(super) fn bad_letters(text: &[u8]) -> Option<usize> {
    std::str::from_utf8(text).err().map(|e| e.valid_up_to())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::letters;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Parts end where lines do, and together are the text.
        #[test]
        fn whole_lines_and_nothing_lost(text in "[ab\r\n]{0,60}", part in 1_usize..9) {
            let mut source = text.as_bytes();
            let mut feed = Feed::new(&mut source, part);
            let (mut all, mut lines) = (Vec::new(), 0);
            while !feed.ended {
                let mut some = Vec::new();
                feed.more(&mut some).unwrap();
                lines += letters::line_ends(&some);
                let is_end = matches!(some.last(), Some(b'\n' | b'\r'));
                prop_assert!(is_end || feed.ended);
                all.extend(some);
            }
            prop_assert_eq!(lines, letters::line_ends(text.as_bytes()));
            prop_assert_eq!(feed.is_closed, text.ends_with(['\r', '\n']));
            prop_assert_eq!(all, text.into_bytes());
        }
    }
}
