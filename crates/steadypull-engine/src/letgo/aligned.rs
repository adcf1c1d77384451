//! A list of numbers that begins where a line of the cache does: a pack that straddles
//! two lines takes twice as long to fetch.

use core::ops::{Deref, DerefMut};

/// Bytes in a line of the cache.
const LINE: usize = 64;

/// A list of numbers of a fixed length, all nothing at first.
#[derive(Debug, Default)]
pub(super) struct Aligned {
    store: Vec<f64>,
    from: usize,
}

impl Aligned {
    /// `len` of nothing.
    pub fn new(len: usize) -> Self {
        let mut store = vec![0.0; len + LINE / size_of::<f64>()];
        // Where it cannot be told, any place does: only the time differs.
        let from = store.as_ptr().align_offset(LINE);
        let from = if from + len <= store.len() { from } else { 0 };
        store.truncate(from + len);
        Self { store, from }
    }
}

impl Deref for Aligned {
    type Target = [f64];
    #[inline(always)]
    fn deref(&self) -> &[f64] {
        &self.store[self.from..]
    }
}

impl DerefMut for Aligned {
    #[inline(always)]
    fn deref_mut(&mut self) -> &mut [f64] {
        &mut self.store[self.from..]
    }
}

impl Clone for Aligned {
    fn clone(&self) -> Self {
        let mut new = Self::new(self.len());
        new.copy_from_slice(self);
        new
    }
}

impl PartialEq for Aligned {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn begins_at_a_line_and_copies_whole() {
        for len in [0, 1, 8, 83] {
            let mut list = Aligned::new(len);
            assert_eq!(list.len(), len);
            assert_eq!(list.as_ptr() as usize % LINE, 0);
            if let Some(last) = list.last_mut() {
                *last = 1.5;
            }
            let copy = list.clone();
            assert_eq!(copy, list);
            assert_eq!(copy.as_ptr() as usize % LINE, 0);
        }
    }
}
