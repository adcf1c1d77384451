//! Quantiles of a few draws, and how far sampling alone could move them.
//!
//! The quantile is the upper order statistic, the `⌈q (n + 1)⌉`-th smallest of `n`,
//! so few draws give their greatest, and a limit is kept by a quantile exactly when no
//! more than so many draws pass it. Its band lies between order statistics, that of a
//! share is Clopper and Pearson's; both are 90 % and take the draws as independent,
//! which stratified ones better.

use crate::chance::{Interval, Values, clopper_pearson};

/// Confidence of the bands.
const CONFIDENCE: f64 = 0.9;

/// Rank from 1 of the upper `q` quantile of `n` draws; past `n` where they are too few.
fn upper_rank(n: usize, q: f64) -> usize {
    (libm::ceil(q * (n + 1) as f64 - 1e-9) as usize).max(1)
}

/// Fewest draws that have an upper `q` quantile among them.
pub(super) fn fewest_draws(q: f64) -> usize {
    libm::ceil(q / (1.0 - q).max(1e-3) - 1e-9) as usize
}

/// How many of `n` draws may lie above a limit that their upper `q` quantile keeps.
pub(super) fn allowed_above(n: usize, q: f64) -> usize {
    n.saturating_sub(upper_rank(n, q))
}

/// Upper `q` quantile of sorted values; nothing of none.
pub(super) fn upper_quantile(sorted: &[f64], q: f64) -> Option<f64> {
    let rank = upper_rank(sorted.len(), q).min(sorted.len());
    sorted.get(rank.checked_sub(1)?).copied()
}

/// Band of the `q` quantile; no end on a side that so few draws do not bound.
pub(super) fn quantile_band(values: &[f64], q: f64) -> (Option<f64>, Option<f64>) {
    let mut kept = Values::new(1);
    for (run, value) in values.iter().enumerate() {
        kept.add(run as u64, *value);
    }
    let band = kept.sorted().interval(q, CONFIDENCE);
    let known = |end: f64| end.is_finite().then_some(end);
    (known(band.low), known(band.high))
}

/// Band of a share found as `hits` of `n`.
pub(super) fn share_band(hits: usize, n: usize) -> Interval {
    match n {
        0 => Interval {
            low: 0.0,
            high: 1.0,
        },
        n => clopper_pearson(hits as u64, n as u64, CONFIDENCE),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_zero_failure_rule_bounds_a_quantile() {
        // The greatest of 59 passes the 95 % quantile with 95 % confidence (CV-TOL-06);
        // of 58 it does not.
        let ramp = |n: u32| (1..=n).map(f64::from).collect::<Vec<_>>();
        assert!(quantile_band(&ramp(59), 0.95).1.is_some());
        assert_eq!(quantile_band(&ramp(58), 0.95).1, None);
        assert!((share_band(59, 59).low - libm::pow(0.05, 1.0 / 59.0)).abs() < 1e-9);
    }

    #[test]
    fn few_draws_give_their_greatest() {
        let ramp: Vec<f64> = (1..=99).map(f64::from).collect();
        assert_eq!(upper_quantile(&ramp, 0.95), Some(95.0));
        assert_eq!(allowed_above(99, 0.95), 4);
        assert_eq!(upper_quantile(&ramp[..19], 0.95), Some(19.0));
        assert_eq!(allowed_above(19, 0.95), 0);
        assert_eq!((fewest_draws(0.95), fewest_draws(0.99)), (19, 99));
        assert_eq!(upper_quantile(&[], 0.5), None);
    }
}
