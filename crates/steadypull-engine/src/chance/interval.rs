//! How sure an estimate is: intervals that hold the true value in a stated share of
//! studies.
//!
//! | what | runs | interval |
//! |---|---|---|
//! | probability | plain | Wilson's score interval |
//! | quantile | plain | between two order statistics, Hutson's fractional ranks |
//! | probability, mean | repeats | Student's t over the repeats |
//! | quantile | repeats | all values whose share below, by the row above, may be the level |
//!
//! The plain intervals know the law of independent runs and are right for nothing
//! else: on Sobol points or a Latin hypercube they are far too wide for smooth
//! answers. The intervals over repeats ask nothing of the points but that repeats
//! are independent, yet need several hits in each repeat before a t interval means
//! anything. Where a probability or a tail has fewer than [`FEW`] hits in all, the
//! plain interval of the pooled runs stands in: even points are no worse than plain
//! ones there, so it is safe, and wide.
//!
//! Sources: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209–212; C. J. Clopper,
//! E. S. Pearson, Biometrika 26 (1934) 404–413; A. D. Hutson, J. Appl. Stat. 26
//! (1999) 343–353; R. S. Woodruff, J. Am. Stat. Assoc. 47 (1952) 635–646, in
//! the form of C. A. Francisco, W. A. Fuller, Ann. Stat. 19 (1991) 454–469; all from
//! memory. That they hold is measured in `tests/chance_coverage.rs`.

use super::normal::normal_quantile;
use super::special::{beta_quantile, crossing, incomplete_beta, student_quantile};

/// Hits, or misses, in all repeats below which the pooled interval stands in.
const FEW: f64 = 10.0;

/// Between two values; infinite where the runs bound nothing on that side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
}

impl Interval {
    /// Half the width.
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// Whether a value lies inside, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The same, kept inside 0 to 1.
    fn as_probability(self) -> Self {
        Self {
            low: self.low.max(0.0),
            high: self.high.min(1.0),
        }
    }
}

/// Wilson's interval for a probability from `hits` in `runs` independent runs: right
/// on average over probabilities, so below its word for some and above for others.
pub fn wilson(hits: u64, runs: u64, confidence: f64) -> Interval {
    if runs == 0 {
        return Interval {
            low: 0.0,
            high: 1.0,
        };
    }
    let (n, p) = (runs as f64, hits as f64 / runs as f64);
    let z = normal_quantile(0.5 + 0.5 * confidence);
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    // Exactly nothing and all at the ends, where rounding leaves a crumb.
    Interval {
        low: if hits == 0 { 0.0 } else { middle - half },
        high: if hits == runs { 1.0 } else { middle + half },
    }
    .as_probability()
}

/// Clopper and Pearson's interval: never below its word, for bounds that people act
/// on (how likely can it be at the very most).
pub fn clopper_pearson(hits: u64, runs: u64, confidence: f64) -> Interval {
    let tail = 0.5 - 0.5 * confidence;
    let (k, n) = (hits as f64, runs as f64);
    Interval {
        low: if hits == 0 {
            0.0
        } else {
            beta_quantile(k, n - k + 1.0, tail)
        },
        high: if hits >= runs {
            1.0
        } else {
            beta_quantile(k + 1.0, n - k, 1.0 - tail)
        },
    }
}

/// Ranks, counted from 1 and broken between neighbours, between which the `p`
/// quantile lies with the stated confidence, from `runs` independent runs.
///
/// With U the k-th least of n uniform values, the low rank has P(U ≤ p) and the high
/// one P(U ≥ p) at (1 + confidence)/2. A rank below 1 or above n bounds nothing.
pub fn quantile_ranks(runs: u64, p: f64, confidence: f64) -> Interval {
    let n = runs as f64;
    let tail = 0.5 - 0.5 * confidence;
    let below = |k: f64| incomplete_beta(k, n + 1.0 - k, p);
    let rank = |share: f64| crossing(0.0, n + 1.0, |k| below(k) > share);
    Interval {
        low: rank(1.0 - tail),
        high: rank(tail),
    }
}

/// Student's interval for the mean of independent repeats, at least `least` to
/// either side.
pub(super) fn over_repeats(repeats: &[f64], confidence: f64, least: f64) -> Interval {
    let n = repeats.len() as f64;
    let mean = repeats.iter().sum::<f64>() / n;
    if repeats.len() < 2 {
        return Interval {
            low: f64::NEG_INFINITY,
            high: f64::INFINITY,
        };
    }
    let squares: f64 = repeats.iter().map(|x| (x - mean) * (x - mean)).sum();
    let error = (squares / (n - 1.0) / n).sqrt();
    let half = (student_quantile(n - 1.0, 0.5 + 0.5 * confidence) * error).max(least);
    Interval {
        low: mean - half,
        high: mean + half,
    }
}

/// Least half-width of a share counted in whole runs, `each` a repeat.
///
/// Even points can give the same count in every repeat while the truth lies between
/// two counts. If a fraction f of repeats would count one more, all `repeats` agree
/// with probability (1 − f)^repeats, on one side of the truth alone; f beyond this
/// is ruled out at the confidence.
fn least_half_width(repeats: usize, each: f64, confidence: f64) -> f64 {
    (1.0 - libm::pow(1.0 - confidence, 1.0 / repeats as f64)) / each
}

/// Interval for a probability from the hits and runs of each repeat.
pub(super) fn share_over_repeats(hits: &[u64], runs: &[u64], confidence: f64) -> Interval {
    let (all_hits, all_runs) = (hits.iter().sum::<u64>(), runs.iter().sum::<u64>());
    let rarer = all_hits.min(all_runs - all_hits) as f64;
    if hits.len() < 2 || rarer < FEW || runs.contains(&0) {
        return wilson(all_hits, all_runs, confidence);
    }
    let shares: Vec<f64> = hits
        .iter()
        .zip(runs)
        .map(|(h, n)| *h as f64 / *n as f64)
        .collect();
    let each = all_runs as f64 / runs.len() as f64;
    let least = least_half_width(runs.len(), each, confidence);
    over_repeats(&shares, confidence, least).as_probability()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1, `binomtest(k, n).proportion_ci(0.9, method)`.
    #[test]
    fn published_by_scipy_binomial_intervals() {
        for (k, n, w, c) in [
            (
                0,
                20,
                (0.0, 0.119_157_837_360_964_48),
                (0.0, 0.139_108_340_668_266),
            ),
            (
                3,
                50,
                (0.024_231_257_031_218_402, 0.140_941_946_460_699_3),
                (0.016_551_859_189_231, 0.147_837_176_364_181),
            ),
            (
                95,
                100,
                (0.900_838_914_720_947_2, 0.975_452_636_574_195_8),
                (0.897_746_622_356_726, 0.980_094_436_337_828),
            ),
            (
                500,
                1000,
                (0.474_027_691_478_420_1, 0.525_972_308_521_579_8),
                (0.473_517_731_235_691, 0.526_482_268_764_309),
            ),
        ] {
            let ours = wilson(k, n, 0.9);
            assert!((ours.low - w.0).abs() < 1e-13 && (ours.high - w.1).abs() < 1e-13);
            let ours = clopper_pearson(k, n, 0.9);
            assert!((ours.low - c.0).abs() < 1e-12 && (ours.high - c.1).abs() < 1e-12);
        }
        assert!(wilson(0, 0, 0.9).contains(0.3));
        assert_eq!(clopper_pearson(20, 20, 0.9).high, 1.0);
    }

    /// Ranks for the median of a few runs: P(least of 5 ≤ median ≤ greatest of 5) is
    /// 1 − 2 (1/2)⁵ = 0.9375, the textbook case (David, Nagaraja, Order Statistics,
    /// ch. 7, from memory).
    #[test]
    fn closed_form_ranks() {
        let ranks = quantile_ranks(5, 0.5, 0.9375);
        assert!((ranks.low - 1.0).abs() < 1e-9 && (ranks.high - 5.0).abs() < 1e-9);
        // 28 runs do not yet bound a 95 % quantile from above; 59 do at 95 % one-sided.
        assert!(quantile_ranks(28, 0.95, 0.9).high > 28.0);
        assert!(quantile_ranks(59, 0.95, 0.9).high <= 59.0);
        assert!(quantile_ranks(58, 0.95, 0.9).high > 58.0);
    }

    #[test]
    fn student_interval_by_hand() {
        // Mean 2, standard error 1/√3, t(0.95, 2) = 2.919986.
        let interval = over_repeats(&[1.0, 2.0, 3.0], 0.9, 0.0);
        assert!((interval.half_width() - 2.919_985_580_353_726 / 3f64.sqrt()).abs() < 1e-9);
        assert!(over_repeats(&[1.0], 0.9, 0.0).half_width().is_infinite());
        let agreed = share_over_repeats(&[20; 16], &[64; 16], 0.9);
        assert!((agreed.half_width() - (1.0 - libm::pow(0.1, 1.0 / 16.0)) / 64.0).abs() < 1e-15);
        assert_eq!(
            share_over_repeats(&[0; 16], &[64; 16], 0.9),
            wilson(0, 1024, 0.9)
        );
    }
}
