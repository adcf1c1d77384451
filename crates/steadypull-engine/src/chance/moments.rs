//! Mean and standard deviation of an answer, by repeat.

use super::exact_sum::ExactSum;
use super::interval::{Interval, over_repeats};

/// Running sums of an answer over the runs of a study.
///
/// The sums are exact ([`super::exact_sum`]), so memory stays fixed and any order
/// and any split into shards give the same bits.
#[derive(Debug, Clone)]
pub struct Moments {
    runs: Vec<u64>,
    sums: Vec<ExactSum>,
    squares: ExactSum,
    failed: u64,
}

impl Moments {
    /// Nothing added yet; `replicates` as the sampler has.
    pub fn new(replicates: usize) -> Self {
        Self {
            runs: vec![0; replicates.max(1)],
            sums: vec![ExactSum::default(); replicates.max(1)],
            squares: ExactSum::default(),
            failed: 0,
        }
    }

    /// Adds the answer of run number `run`; one that is no finite number is counted
    /// as failed.
    pub fn add(&mut self, run: u64, answer: f64) {
        if !answer.is_finite() {
            self.failed += 1;
            return;
        }
        let repeat = (run % self.runs.len() as u64) as usize;
        self.runs[repeat] += 1;
        self.sums[repeat].add(answer);
        self.squares.add_product(answer, answer);
    }

    /// Adds all that another shard of the same study added.
    pub fn merge(&mut self, other: &Self) {
        for (ours, theirs) in self.runs.iter_mut().zip(&other.runs) {
            *ours += theirs;
        }
        for (ours, theirs) in self.sums.iter_mut().zip(&other.sums) {
            ours.merge(theirs);
        }
        self.squares.merge(&other.squares);
        self.failed += other.failed;
    }

    /// Runs added.
    pub fn runs(&self) -> u64 {
        self.runs.iter().sum()
    }

    /// Runs whose answer was no number.
    pub fn failed(&self) -> u64 {
        self.failed
    }

    /// Mean of the answers; not a number before the first.
    pub fn mean(&self) -> f64 {
        self.sum().value() / self.runs() as f64
    }

    /// Standard deviation of single answers; not a number before the second.
    pub fn sd(&self) -> f64 {
        let n = self.runs() as f64;
        // Σ(x − m)² = Σx² − nm², from exact sums: one rounding, then one difference.
        let mean = self.mean();
        let squares = self.squares.value() - n * mean * mean;
        if n < 2.0 {
            return f64::NAN;
        }
        (squares.max(0.0) / (n - 1.0)).sqrt()
    }

    /// Interval that holds the mean with the stated confidence: Student's t over the
    /// repeats, or over single runs where there is one repeat only.
    pub fn mean_interval(&self, confidence: f64) -> Interval {
        if self.runs.len() > 1 {
            let mean = |(sum, n): (&ExactSum, &u64)| sum.value() / *n as f64;
            let means: Vec<f64> = self.sums.iter().zip(&self.runs).map(mean).collect();
            return over_repeats(&means, confidence, 0.0);
        }
        let n = self.runs() as f64;
        if n < 2.0 {
            return over_repeats(&[], confidence, 0.0);
        }
        let t = super::special::student_quantile(n - 1.0, 0.5 + 0.5 * confidence);
        let half = t * self.sd() / n.sqrt();
        Interval {
            low: self.mean() - half,
            high: self.mean() + half,
        }
    }

    fn sum(&self) -> ExactSum {
        let mut whole = ExactSum::default();
        self.sums.iter().for_each(|sum| whole.merge(sum));
        whole
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_and_spread_by_hand_for_any_split() {
        let answer = |run: u64| 10.0 + libm::sin(run as f64);
        let add = |runs: std::ops::Range<u64>| {
            let mut moments = Moments::new(16);
            runs.for_each(|run| moments.add(run, answer(run)));
            moments
        };
        let whole = add(0..1024);
        let values: Vec<f64> = (0..1024).map(answer).collect();
        let mean = values.iter().sum::<f64>() / 1024.0;
        let squares: f64 = values.iter().map(|x| (x - mean) * (x - mean)).sum();
        assert!((whole.mean() - mean).abs() < 1e-12);
        assert!((whole.sd() - (squares / 1023.0).sqrt()).abs() < 1e-10);
        for cut in [1, 400, 1000] {
            let mut late = add(cut..1024);
            late.merge(&add(0..cut));
            assert_eq!(late.mean().to_bits(), whole.mean().to_bits());
            assert_eq!(late.sd().to_bits(), whole.sd().to_bits());
            assert_eq!(late.mean_interval(0.9), whole.mean_interval(0.9));
        }
    }

    #[test]
    fn what_is_no_number_is_counted_apart() {
        let mut moments = Moments::new(1);
        [1.0, f64::NAN, 3.0]
            .into_iter()
            .zip(0..)
            .for_each(|(x, run)| moments.add(run, x));
        assert_eq!(
            (moments.runs(), moments.failed(), moments.mean()),
            (2, 1, 2.0)
        );
        // t(0.95, 1) = 6.3138, standard error 1.
        assert!((moments.mean_interval(0.9).half_width() - 6.313_751_514_675).abs() < 1e-9);
    }
}
