//! When the samples of a log were taken.
//!
//! Ten million times are 80 MB, and most logs' times are a grid of whole numbers over a power
//! of ten: told as one they take no room, and what a list must be searched for is known.

use core::ops::Range;

/// A grid may have so many of its steps before its end: rounding then is no more than 2⁻¹⁵ of a
/// step, so that no two times fall together and none is off its place.
const STEPS_MOST: u64 = 1 << 36;
/// Whole numbers up to here keep bits to spare in an `f64`.
const WHOLE_MOST: u64 = 1 << 50;

/// Times of samples, s.
#[derive(Debug, Clone, Copy)]
pub enum Stamps<'a> {
    /// One by one.
    Listed(&'a [f64]),
    /// Even steps.
    Even(Grid),
}

/// Times at even steps, each rounded by itself: `(first + by i) / over`, s, times and over
/// the factors of a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    first: u64,
    by: u64,
    over: f64,
    unit: (f64, f64),
    count: usize,
}

impl Grid {
    /// A grid of `count` times; `None` where their rounding might be seen.
    pub fn new(first: u64, by: u64, over: f64, unit: (f64, f64), count: usize) -> Option<Self> {
        let last = by.checked_mul(count as u64)?.checked_add(first)?;
        let few = by > 0 && last < WHOLE_MOST && last / by < STEPS_MOST;
        let grid = Self {
            first,
            by,
            over,
            unit,
            count,
        };
        let sound = [over, unit.0, unit.1]
            .iter()
            .all(|f| f.is_normal() && *f > 0.0);
        let ends = [grid.time_s(count), grid.time_s(1) - grid.time_s(0)];
        (few && sound && ends.iter().all(|t| t.is_normal())).then_some(grid)
    }

    /// One of its times, s.
    #[inline]
    pub fn time_s(&self, sample: usize) -> f64 {
        let time = (self.first + self.by * sample as u64) as f64 / self.over;
        match self.unit {
            (times, over) if times != over => time * times / over,
            _ => time,
        }
    }
}

impl Stamps<'_> {
    /// How many there are.
    pub fn len(&self) -> usize {
        match self {
            Self::Listed(times_s) => times_s.len(),
            Self::Even(grid) => grid.count,
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// One of them, s.
    #[inline]
    pub fn at(&self, sample: usize) -> f64 {
        match self {
            Self::Listed(times_s) => times_s[sample],
            Self::Even(grid) => grid.time_s(sample),
        }
    }

    /// All of them, s.
    pub fn to_vec(self) -> Vec<f64> {
        match self {
            Self::Listed(times_s) => times_s.to_vec(),
            Self::Even(grid) => (0..grid.count).map(|i| grid.time_s(i)).collect(),
        }
    }

    /// From the first to the last that lies from `from_s` to `to_s`; empty if none does.
    pub(crate) fn within(&self, from_s: f64, to_s: f64) -> Range<usize> {
        match self {
            Self::Listed(times_s) => {
                let inside = |t: &f64| (from_s..=to_s).contains(t);
                let first = times_s.iter().position(inside).unwrap_or(0);
                first..times_s.iter().rposition(inside).map_or(first, |i| i + 1)
            }
            Self::Even(grid) => {
                let first = first_where(grid.count, |i| grid.time_s(i) >= from_s);
                let end = first_where(grid.count, |i| grid.time_s(i) > to_s);
                if first < end { first..end } else { 0..0 }
            }
        }
    }
}

/// The first place for which `is` holds, of places of which it holds from one on.
fn first_where(count: usize, is: impl Fn(usize) -> bool) -> usize {
    let (mut from, mut to) = (0, count);
    while from < to {
        let middle = from.midpoint(to);
        if is(middle) {
            to = middle;
        } else {
            from = middle + 1;
        }
    }
    from
}

impl<'a> From<&'a [f64]> for Stamps<'a> {
    fn from(times_s: &'a [f64]) -> Self {
        Self::Listed(times_s)
    }
}

impl<'a> From<&'a Vec<f64>> for Stamps<'a> {
    fn from(times_s: &'a Vec<f64>) -> Self {
        Self::Listed(times_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grid_is_the_list_of_its_times() {
        let grid = Grid::new(3, 2, 1e4, (1.0, 1.0), 1000).unwrap();
        let listed = Stamps::Even(grid).to_vec();
        assert_eq!(
            (listed[0], listed[999], listed.len()),
            (0.0003, 0.2001, 1000)
        );
        for (from_s, to_s) in [
            (-1.0, 9.0),
            (0.01, 0.02),
            (0.0104, 0.01045),
            (0.5, 0.6),
            (0.02, 0.01),
        ] {
            let (even, list) = (Stamps::Even(grid), Stamps::Listed(&listed));
            assert_eq!(even.within(from_s, to_s), list.within(from_s, to_s));
        }
        assert_eq!(
            Grid::new(1, 1, 1.0, (1.0, 1000.0), 9).unwrap().time_s(2),
            0.003
        );
    }

    #[test]
    fn a_grid_whose_rounding_might_be_seen_is_none() {
        let plain = (1.0, 1.0);
        assert_eq!(Grid::new(0, 0, 1.0, plain, 9), None);
        assert_eq!(Grid::new(1 << 49, 1, 1.0, plain, 9), None);
        assert_eq!(Grid::new(0, u64::MAX / 2, 1.0, plain, 9), None);
        assert_eq!(Grid::new(0, 1, 0.0, plain, 9), None);
        assert_eq!(Grid::new(0, 1, 1e300, (1.0, 1e300), 9), None);
    }
}
