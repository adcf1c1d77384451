//! The answers of a study, kept so that quantiles can be read.
//!
//! Up to [`KEPT_MOST`] answers are kept as they are, 8 bytes each. Past that they
//! are counted in bins 2^−10 of their value wide, so memory no longer grows, and an
//! interval takes in the whole of the bins it ends in: at most 0.1 % more on either
//! side. Both forms depend on the answers alone and not on their order, so shards
//! merge to the same result to the bit.

use std::collections::BTreeMap;

use super::interval::{Interval, quantile_ranks, share_over_repeats};

/// Answers kept one by one in all repeats together: half a megabyte.
pub const KEPT_MOST: usize = 65_536;
/// Bits of a double that a bin leaves out: 52 less 10.
const BIN_BITS: u32 = 42;

/// The answers of one question over the runs of a study.
#[derive(Debug, Clone)]
pub struct Values {
    repeats: Vec<Kept>,
    failed: u64,
}

/// The answers of one repeat.
#[derive(Debug, Clone)]
enum Kept {
    /// Each answer, in no order.
    Each(Vec<f64>),
    /// Number of answers in each bin.
    Bins(BTreeMap<u32, u64>),
}

/// Answers between two values.
#[derive(Debug, Clone, Copy)]
struct Step {
    low: f64,
    high: f64,
    count: u64,
}

impl Values {
    /// Nothing kept yet; `replicates` as the sampler has.
    pub fn new(replicates: usize) -> Self {
        Self {
            repeats: vec![Kept::Each(Vec::new()); replicates.max(1)],
            failed: 0,
        }
    }

    /// Keeps the answer of run number `run`; not a number is counted as failed.
    pub fn add(&mut self, run: u64, answer: f64) {
        if answer.is_nan() {
            self.failed += 1;
            return;
        }
        let most = self.most_each();
        let repeat = (run % self.repeats.len() as u64) as usize;
        self.repeats[repeat].add(answer, 1);
        self.repeats[repeat].settle(most);
    }

    /// Keeps all that another shard of the same study kept.
    pub fn merge(&mut self, other: &Self) {
        let most = self.most_each();
        for (ours, theirs) in self.repeats.iter_mut().zip(&other.repeats) {
            ours.merge(theirs);
            ours.settle(most);
        }
        self.failed += other.failed;
    }

    /// Answers kept.
    pub fn runs(&self) -> u64 {
        self.repeats.iter().map(Kept::count).sum()
    }

    /// Runs whose answer was not a number: to be shown beside every quantile.
    pub fn failed(&self) -> u64 {
        self.failed
    }

    /// The answers in rising order, to read several quantiles.
    pub fn sorted(&self) -> Sorted {
        let steps: Vec<Vec<Step>> = self.repeats.iter().map(Kept::steps).collect();
        let mut pooled: Vec<Step> = steps.iter().flatten().copied().collect();
        pooled.sort_by(|a, b| a.low.total_cmp(&b.low));
        Sorted {
            runs: self.runs(),
            repeats: steps.iter().map(|steps| Repeat::new(steps)).collect(),
            pooled,
        }
    }

    fn most_each(&self) -> usize {
        KEPT_MOST / self.repeats.len()
    }
}

impl Kept {
    fn add(&mut self, answer: f64, count: u64) {
        match self {
            // Adding nothing turns −0 into 0.
            Self::Each(all) => all.push(answer + 0.0),
            Self::Bins(bins) => *bins.entry(bin(answer)).or_default() += count,
        }
    }

    fn merge(&mut self, other: &Self) {
        match other {
            Self::Each(all) => all.iter().for_each(|x| self.add(*x, 1)),
            Self::Bins(theirs) => {
                self.settle(0);
                if let Self::Bins(bins) = self {
                    for (bin, count) in theirs {
                        *bins.entry(*bin).or_default() += count;
                    }
                }
            }
        }
    }

    /// Goes over to bins once there are more than `most` answers.
    fn settle(&mut self, most: usize) {
        if let Self::Each(all) = self
            && (all.len() > most || most == 0)
        {
            let all = std::mem::take(all);
            *self = Self::Bins(BTreeMap::new());
            all.into_iter().for_each(|x| self.add(x, 1));
        }
    }

    fn count(&self) -> u64 {
        match self {
            Self::Each(all) => all.len() as u64,
            Self::Bins(bins) => bins.values().sum(),
        }
    }

    fn steps(&self) -> Vec<Step> {
        match self {
            Self::Each(all) => {
                let mut all = all.clone();
                all.sort_by(f64::total_cmp);
                let one = |x: f64| Step {
                    low: x,
                    high: x,
                    count: 1,
                };
                all.into_iter().map(one).collect()
            }
            Self::Bins(bins) => bins.iter().map(|(bin, n)| step(*bin, *n)).collect(),
        }
    }
}

/// Bins number the doubles in rising order by their first 22 bits.
fn bin(answer: f64) -> u32 {
    let bits = (answer + 0.0).to_bits();
    let rising = if bits >> 63 == 1 {
        !bits
    } else {
        bits | 1 << 63
    };
    (rising >> BIN_BITS) as u32
}

fn step(bin: u32, count: u64) -> Step {
    let value = |rising: u64| {
        f64::from_bits(if rising >> 63 == 1 {
            rising & !(1 << 63)
        } else {
            !rising
        })
    };
    let first = u64::from(bin) << BIN_BITS;
    let last = first | ((1 << BIN_BITS) - 1);
    let (low, high) = (value(first), value(last));
    // The bin of the infinities reaches on into what is no number.
    if low.is_infinite() || high.is_infinite() || low.is_nan() || high.is_nan() {
        let end = if bin >> 21 == 1 {
            f64::INFINITY
        } else {
            f64::NEG_INFINITY
        };
        return Step {
            low: end,
            high: end,
            count,
        };
    }
    Step { low, high, count }
}

/// The answers of a study in rising order.
#[derive(Debug, Clone)]
pub struct Sorted {
    runs: u64,
    repeats: Vec<Repeat>,
    pooled: Vec<Step>,
}

/// The answers of one repeat: upper ends, and the count up to each.
#[derive(Debug, Clone)]
struct Repeat {
    ends: Vec<f64>,
    counts: Vec<u64>,
}

impl Repeat {
    fn new(steps: &[Step]) -> Self {
        let mut count = 0;
        let up_to = |step: &Step| {
            count += step.count;
            count
        };
        Self {
            ends: steps.iter().map(|step| step.high).collect(),
            counts: steps.iter().map(up_to).collect(),
        }
    }

    fn runs(&self) -> u64 {
        self.counts.last().copied().unwrap_or(0)
    }

    /// Answers at or below the end of a step.
    fn below(&self, end: f64) -> u64 {
        let steps = self.ends.partition_point(|high| *high <= end);
        steps.checked_sub(1).map_or(0, |k| self.counts[k])
    }
}

impl Sorted {
    /// The value not passed with probability `p`, between neighbours by straight
    /// line; not a number if there are none.
    pub fn quantile(&self, p: f64) -> f64 {
        if self.runs == 0 {
            return f64::NAN;
        }
        let rank = 1.0 + p.clamp(0.0, 1.0) * (self.runs - 1) as f64;
        let at = |k: f64| {
            self.answer(k)
                .map_or(f64::NAN, |(low, high)| 0.5 * low + 0.5 * high)
        };
        let (whole, part) = (rank.floor(), rank - rank.floor());
        let below = at(whole);
        if part == 0.0 {
            return below;
        }
        let above = at(whole + 1.0);
        if below == above {
            return below;
        }
        below + part * (above - below)
    }

    /// Interval that holds the `p` quantile with the stated confidence; infinite on
    /// a side that so few runs do not bound.
    pub fn interval(&self, p: f64, confidence: f64) -> Interval {
        if self.repeats.len() > 1 {
            return self.over_repeats(p, confidence);
        }
        let ranks = quantile_ranks(self.runs, p, confidence);
        Interval {
            low: self.between(ranks.low).map_or(f64::NEG_INFINITY, |x| x.0),
            high: self.between(ranks.high).map_or(f64::INFINITY, |x| x.1),
        }
    }

    /// All values whose share below, over the repeats, may be `p`.
    fn over_repeats(&self, p: f64, confidence: f64) -> Interval {
        let last = self.pooled.len();
        let runs: Vec<u64> = self.repeats.iter().map(Repeat::runs).collect();
        let share = |steps: usize| {
            let hits: Vec<u64> = match steps.checked_sub(1) {
                Some(k) => self
                    .repeats
                    .iter()
                    .map(|r| r.below(self.pooled[k].high))
                    .collect(),
                None => vec![0; runs.len()],
            };
            share_over_repeats(&hits, &runs, confidence)
        };
        // Steps up to which the share is too low, and from which it is too high.
        let low = first(0, last, |k| share(k).high >= p);
        let high = first(low, last + 1, |k| share(k).low > p);
        Interval {
            low: low
                .checked_sub(1)
                .map_or(f64::NEG_INFINITY, |k| self.pooled[k].low),
            high: self
                .pooled
                .get(high.max(1) - 1)
                .map_or(f64::INFINITY, |step| step.high),
        }
    }

    /// Low and high of the answer at a rank broken between neighbours; none where
    /// the rank lies off the sample.
    fn between(&self, rank: f64) -> Option<(f64, f64)> {
        // A rank found by halving may miss a whole number by its last bits.
        let rank = if (rank - rank.round()).abs() < 1e-9 * rank.abs() {
            rank.round()
        } else {
            rank
        };
        let part = rank - rank.floor();
        let below = self.answer(rank.floor())?;
        if part == 0.0 {
            return Some(below);
        }
        let above = self.answer(rank.floor() + 1.0)?;
        let along = |a: f64, b: f64| if a == b { a } else { a + part * (b - a) };
        Some((along(below.0, above.0), along(below.1, above.1)))
    }

    /// Low and high of the answer at a whole rank.
    fn answer(&self, rank: f64) -> Option<(f64, f64)> {
        if rank < 1.0 || rank > self.runs as f64 {
            return None;
        }
        let mut left = rank as u64;
        if self.runs == self.pooled.len() as u64 {
            let step = self.pooled[left as usize - 1];
            return Some((step.low, step.high));
        }
        for step in &self.pooled {
            if left <= step.count {
                return Some((step.low, step.high));
            }
            left -= step.count;
        }
        None
    }
}

/// The first of `from..to` for which it holds, which then goes on holding; or `to`.
fn first(mut from: usize, mut to: usize, holds: impl Fn(usize) -> bool) -> usize {
    while from < to {
        let middle = from + (to - from) / 2;
        if holds(middle) {
            to = middle;
        } else {
            from = middle + 1;
        }
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ramp(runs: std::ops::Range<u64>, replicates: usize) -> Values {
        let mut values = Values::new(replicates);
        // A permutation of 0..n by a multiplier prime to it.
        runs.for_each(|run| values.add(run, (run * 7919 % 100_003) as f64 - 1000.0));
        values
    }

    #[test]
    fn quantiles_of_a_ramp_kept_one_by_one_and_in_bins() {
        let few = ramp(0..1000, 16).sorted();
        assert_eq!(few.quantile(0.0), few.pooled[0].low);
        let all = ramp(0..100_003, 16);
        assert!(matches!(all.repeats[3], Kept::Bins(_)));
        let sorted = all.sorted();
        for p in [0.001, 0.05, 0.5, 0.95, 0.999] {
            let truth = p * 100_002.0 - 1000.0;
            let error = (sorted.quantile(p) - truth).abs();
            assert!(error <= 0.001 * truth.abs() + 1.0, "{p} {error}");
            assert!(sorted.interval(p, 0.9).contains(sorted.quantile(p)));
        }
    }

    #[test]
    fn shards_merge_to_the_same_bits_in_either_form() {
        for total in [500, 100_003] {
            let whole = ramp(0..total, 16).sorted();
            for cut in [1, 77, total / 2] {
                let mut late = ramp(cut..total, 16);
                late.merge(&ramp(0..cut, 16));
                let merged = late.sorted();
                for p in [0.01, 0.5, 0.95] {
                    assert_eq!(merged.quantile(p).to_bits(), whole.quantile(p).to_bits());
                    assert_eq!(merged.interval(p, 0.9), whole.interval(p, 0.9));
                }
            }
        }
    }

    #[test]
    fn bins_rise_and_hold_their_values() {
        let mut before = 0;
        for x in [
            -f64::MAX,
            -3.0,
            -1e-300,
            0.0,
            5e-324,
            1.0,
            1.001,
            7.5e9,
            f64::INFINITY,
        ] {
            let here = bin(x);
            assert!(here >= before);
            before = here;
            let step = step(here, 1);
            assert!(step.low <= x && x <= step.high, "{x}");
            assert!(step.high - step.low <= 0.001 * x.abs() || x.is_infinite() || x.abs() < 1e-299);
        }
        assert_eq!(bin(-0.0), bin(0.0));
    }

    #[test]
    fn too_few_runs_bound_nothing() {
        let values = ramp(0..20, 1);
        assert_eq!(values.sorted().interval(0.95, 0.9).high, f64::INFINITY);
        assert!(values.sorted().interval(0.5, 0.9).high.is_finite());
        assert!(Values::new(4).sorted().quantile(0.5).is_nan());
        let mut failed = Values::new(1);
        failed.add(0, f64::NAN);
        assert_eq!((failed.runs(), failed.failed()), (0, 1));
    }
}
