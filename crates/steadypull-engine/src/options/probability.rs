//! A probability found from runs, with the interval its sampling leaves.

use crate::chance::{Interval, Moments, Tally};

/// How often the interval is right.
const CONFIDENCE: f64 = 0.9;

/// A probability and its 90 % sampling interval: of the drawing of runs alone, not
/// of what the model leaves out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probability {
    /// As found.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Probability {
    /// From runs in which it happened or not, in so many repeats (one: plain runs).
    pub fn of_counts(each: impl IntoIterator<Item = bool>, replicates: usize) -> Self {
        let mut tally = Tally::new(replicates);
        for (run, happened) in (0..).zip(each) {
            tally.add(run, happened);
        }
        Self::held(tally.share(), tally.interval(CONFIDENCE))
    }

    /// From the chance of it in each run, in so many repeats (one: plain runs).
    pub fn of_chances(each: impl IntoIterator<Item = f64>, replicates: usize) -> Self {
        let mut moments = Moments::new(replicates);
        for (run, chance) in (0..).zip(each) {
            moments.add(run, chance);
        }
        Self::held(moments.mean(), moments.mean_interval(CONFIDENCE))
    }

    fn held(value: f64, interval: Interval) -> Self {
        Self {
            value,
            low: interval.low.clamp(0.0, value),
            high: interval.high.clamp(value, 1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_runs_narrow_the_interval() {
        let width = |n: usize| {
            let counted = Probability::of_counts((0..n).map(|i| i % 5 < 4), 16);
            let mean =
                Probability::of_chances((0..n).map(|i| ((i * 7919) % 101) as f64 / 100.0), 1);
            assert!(
                (counted.value - 0.8).abs() < 1.0 / 64.0,
                "{}",
                counted.value
            );
            (counted.high - counted.low, mean.high - mean.low)
        };
        let (few, many) = (width(64), width(1024));
        assert!(many.0 < few.0 && many.1 < 0.5 * few.1, "{few:?} {many:?}");
    }

    #[test]
    fn never_and_always_are_not_taken_for_certain() {
        let never = Probability::of_counts([false; 256], 16);
        assert!(never.low == 0.0 && never.value == 0.0 && never.high > 0.005);
        let always = Probability::of_counts([true; 256], 16);
        assert!(always.high == 1.0 && always.low < 0.995);
    }
}
