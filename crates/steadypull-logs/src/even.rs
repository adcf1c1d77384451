//! Times that are a grid need no list: eight bytes a row, and every look over them, are saved.

use crate::number::TENS;

/// Decimals looked for at most, and one.
const DECIMALS: usize = 10;
/// Times looked at side by side.
const BLOCK: usize = 64;
/// Whole numbers up to here are exact in an `f64`, and so is their sum.
const WHOLE_MOST: u64 = 1 << 52;

/// Times of a log's rows, s; what could not be read is NaN.
#[derive(Debug, Clone, PartialEq)]
pub enum Times {
    /// One by one.
    Listed(Vec<f64>),
    /// Even steps, to the last bit.
    Even(EvenTimes),
}

/// The times `(first + by row) / over`, then times and over the factors of `unit` where these
/// differ; each step rounded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EvenTimes {
    /// The first, in parts.
    pub first: u64,
    /// From one to the next, in parts.
    pub by: u64,
    /// Parts of the unit in which they are written.
    pub over: f64,
    /// That unit in seconds: times the one, over the other.
    pub unit: (f64, f64),
    /// How many there are.
    pub count: usize,
}

impl Times {
    /// How many there are.
    pub fn len(&self) -> usize {
        match self {
            Self::Listed(times_s) => times_s.len(),
            Self::Even(even) => even.count,
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The time of a row, s.
    pub fn at(&self, row: usize) -> f64 {
        match self {
            Self::Listed(times_s) => times_s[row],
            Self::Even(even) => even.at(row),
        }
    }

    /// All of them, s.
    pub fn to_vec(&self) -> Vec<f64> {
        match self {
            Self::Listed(times_s) => times_s.clone(),
            Self::Even(even) => even.to_vec(),
        }
    }

    /// Bytes that they take in memory.
    pub fn bytes(&self) -> usize {
        match self {
            Self::Listed(times_s) => size_of_val(&times_s[..]),
            Self::Even(_) => 0,
        }
    }

    /// Adds times as written: on the grid as long as they lie on it.
    pub(crate) fn extend(&mut self, times: &[f64]) {
        match self {
            Self::Even(even) if even.goes_on(times) => even.count += times.len(),
            Self::Even(even) => {
                let mut listed = even.to_vec();
                listed.extend_from_slice(times);
                *self = Self::Listed(listed);
            }
            Self::Listed(listed) => match EvenTimes::through(times).filter(|_| listed.is_empty()) {
                Some(even) => *self = Self::Even(even),
                None => listed.extend_from_slice(times),
            },
        }
    }

    /// Makes seconds of times in a unit of `times / over` seconds.
    pub(crate) fn in_unit(self, times: f64, over: f64) -> Self {
        match self {
            Self::Even(even) => Self::Even(EvenTimes {
                unit: (times, over),
                ..even
            }),
            Self::Listed(mut listed) => {
                if times != over {
                    listed.iter_mut().for_each(|v| *v = *v * times / over);
                }
                Self::Listed(listed)
            }
        }
    }
}

impl EvenTimes {
    /// `count` rows, so many in a second.
    pub(crate) fn at_rate(rate_hz: f64, count: usize) -> Self {
        Self {
            first: 0,
            by: 1,
            over: rate_hz,
            unit: (1.0, 1.0),
            count,
        }
    }

    /// The grid on which all of these lie, to the last bit.
    fn through(times: &[f64]) -> Option<Self> {
        let [first, second, ..] = times else {
            return None;
        };
        let grid = |over: f64| {
            let (from, to) = (libm::round(first * over), libm::round(second * over));
            let even = Self {
                first: from as u64,
                by: (to - from) as u64,
                over,
                unit: (1.0, 1.0),
                count: 0,
            };
            (to > from && even.goes_on(&times[..2])).then_some(even)
        };
        let even = TENS[..DECIMALS].iter().copied().find_map(grid)?;
        even.goes_on(times).then_some(Self {
            count: times.len(),
            ..even
        })
    }

    /// Whether these, as written, are the next on the grid, to the last bit.
    fn goes_on(&self, times: &[f64]) -> bool {
        let last = (self.count + times.len()) as u64;
        let last = self.by.checked_mul(last);
        let last = last.and_then(|steps| steps.checked_add(self.first));
        if last.is_none_or(|last| last > WHOLE_MOST) {
            return false;
        }
        let from = (self.first + self.by * self.count as u64) as f64;
        let (by, over) = (self.by as f64, self.over);
        // All sums are whole and exact; a block is looked at as a whole, which goes faster.
        times.chunks(BLOCK).enumerate().all(|(block, times)| {
            let from = from + by * (block * BLOCK) as f64;
            let odd = |i: usize, time: &f64| {
                let expected = (from + by * f64::from(i as i32)) / over;
                expected.to_bits() ^ time.to_bits()
            };
            let times = times.iter().enumerate();
            times.fold(0, |any, (i, time)| any | odd(i, time)) == 0
        })
    }

    fn at(&self, row: usize) -> f64 {
        let time = (self.first + self.by * row as u64) as f64 / self.over;
        match self.unit {
            (times, over) if times != over => time * times / over,
            _ => time,
        }
    }

    fn to_vec(self) -> Vec<f64> {
        (0..self.count).map(|row| self.at(row)).collect()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Whatever is added in whatever pieces comes out again, to the bit.
        #[test]
        fn nothing_is_lost(
            (first, by, decimals) in (0_u64..10_000_000, 1_u64..1000, 0_i32..7),
            (rows, odd) in (2_usize..60, 0_usize..90),
            piece in 1_usize..20,
        ) {
            let over = libm::pow(10.0, f64::from(decimals));
            let time = |row: usize| (first + by * row as u64 + u64::from(row == odd)) as f64 / over;
            let times: Vec<f64> = (0..rows).map(time).collect();
            let mut kept = Times::Listed(Vec::new());
            times.chunks(piece).for_each(|piece| kept.extend(piece));
            prop_assert_eq!(kept.to_vec(), times);
            if piece > 1 && odd >= rows {
                prop_assert!(matches!(kept, Times::Even(_)));
            }
        }
    }

    #[test]
    fn what_is_no_grid_is_listed() {
        for times in [
            [0.1, 0.1, 0.1],
            [0.2, 0.1, 0.0],
            [-0.1, 0.0, 0.1],
            [-0.0, 1.0, 2.0],
        ] {
            let mut kept = Times::Listed(Vec::new());
            kept.extend(&times);
            assert_eq!(kept, Times::Listed(times.to_vec()));
        }
        let mut kept = Times::Listed(Vec::new());
        kept.extend(&[0.0, 0.1, f64::NAN]);
        assert!(matches!(kept, Times::Listed(_)));
    }

    #[test]
    fn a_unit_is_rounded_as_in_a_list() {
        let written: Vec<f64> = (0..50).map(|row| f64::from(row) / 10.0).collect();
        let mut even = Times::Listed(Vec::new());
        even.extend(&written);
        let even = even.in_unit(1.0, 1000.0);
        assert!(matches!(even, Times::Even(_)));
        let listed = Times::Listed(written).in_unit(1.0, 1000.0);
        assert_eq!(even.to_vec(), listed.to_vec());
    }
}
