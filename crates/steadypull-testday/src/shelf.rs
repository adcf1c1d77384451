//! What was made of files, kept in memory for the next question about the same.

use std::any::Any;
use std::sync::{Arc, Mutex, PoisonError};

/// Logs as read and records as cleaned, the last used of them, within a bound.
///
/// What is made of a file depends on its bytes and on what is asked alone, so that an answer
/// is the same with a shelf and without.
pub struct Shelf {
    most_bytes: usize,
    /// The last used at the end.
    held: Mutex<Vec<Held>>,
}

struct Held {
    key: String,
    made: Arc<dyn Any + Send + Sync>,
    bytes: usize,
}

/// Where what is made of one file is kept.
pub struct Place<'s> {
    /// The shelf.
    pub shelf: &'s Shelf,
    /// What changes whenever the bytes of the file do, a name alone does not: its place, length
    /// and time of change, as whoever holds the files knows them.
    pub identity: String,
}

impl Shelf {
    /// An empty one for so many bytes at most.
    pub fn new(most_bytes: usize) -> Self {
        Self {
            most_bytes,
            held: Mutex::default(),
        }
    }

    /// Bytes that are held, as far as they are counted: the numbers of logs and records.
    pub fn bytes(&self) -> usize {
        self.with(|held| held.iter().map(|one| one.bytes).sum())
    }

    pub(crate) fn get<T: Any + Send + Sync>(&self, key: &str) -> Option<Arc<T>> {
        self.with(|held| {
            let at = held.iter().position(|one| one.key == key)?;
            let one = held.remove(at);
            let made = Arc::clone(&one.made);
            held.push(one);
            made.downcast().ok()
        })
    }

    /// Keeps what was made, and lets go of what was used longest ago. What is longer than
    /// the whole shelf is not kept.
    pub(crate) fn put<T: Any + Send + Sync>(&self, key: String, made: &Arc<T>, bytes: usize) {
        let made: Arc<dyn Any + Send + Sync> = Arc::clone(made) as _;
        self.with(|held| {
            held.retain(|one| one.key != key);
            let mut room = self.most_bytes.saturating_sub(bytes);
            let kept = held.iter().rev().take_while(|one| {
                let fits = one.bytes <= room;
                room = room.saturating_sub(one.bytes);
                fits
            });
            let kept = kept.count();
            held.drain(..held.len() - kept);
            if bytes <= self.most_bytes {
                held.push(Held { key, made, bytes });
            }
        });
    }

    fn with<T>(&self, look: impl FnOnce(&mut Vec<Held>) -> T) -> T {
        look(&mut self.held.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_used_stay_within_the_bound() {
        let shelf = Shelf::new(100);
        let put = |key: &str, bytes| shelf.put(key.into(), &Arc::new(key.to_string()), bytes);
        let has = |key: &str| shelf.get::<String>(key).is_some();
        put("a", 40);
        put("b", 40);
        assert!(has("a"), "and is the last used from now on");
        put("c", 40);
        assert!(has("a") && has("c") && !has("b"));
        assert_eq!(shelf.bytes(), 80);
        put("d", 101);
        assert!(!has("d"), "no room for it at all");
        put("c", 10);
        assert!(shelf.bytes() <= 100 && has("c"));
        assert!(shelf.get::<u32>("c").is_none(), "another kind of thing");
    }
}
