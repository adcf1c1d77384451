//! Quantiles of a few draws, and how far sampling alone could move them.
//!
//! The quantile is the upper order statistic, the `⌈q (n + 1)⌉`-th smallest of `n`,
//! so few draws give their greatest. Its band is made of two other order
//! statistics, by the binomial distribution of how many draws fall below the true
//! quantile (David and Nagaraja, Order Statistics, 7.1); it holds for any
//! distribution. A share of draws has the band of Clopper and Pearson (Biometrika
//! 26 (1934) 404-413). Both bands are 90 %: 5 % each side. They take the draws as
//! independent; stratified ones scatter less.

/// Chance that the truth lies beyond one side of a band.
const BEYOND: f64 = 0.05;

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

/// Band of the `q` quantile of sorted values; no upper end where the draws are too
/// few to have one.
pub(super) fn quantile_band(sorted: &[f64], q: f64) -> Option<(f64, Option<f64>)> {
    let n = sorted.len();
    let below = |k: usize| binomial_at_most(k, n, q);
    // The true quantile lies at or above the l-th smallest if at least l fall below it.
    let low = (1..=n).rev().find(|l| below(l - 1) <= BEYOND).unwrap_or(1);
    let high = (1..=n).find(|u| below(u - 1) >= 1.0 - BEYOND);
    Some((*sorted.get(low - 1)?, high.map(|u| sorted[u - 1])))
}

/// Band of a share found as `hits` of `n`.
pub(super) fn share_band(hits: usize, n: usize) -> (f64, f64) {
    if n == 0 {
        return (0.0, 1.0);
    }
    let low = match hits {
        0 => 0.0,
        // At the lower end as many hits or more have a chance of 5 %.
        k => bisected(|p| 1.0 - binomial_at_most(k - 1, n, p) < BEYOND),
    };
    let high = if hits >= n {
        1.0
    } else {
        bisected(|p| binomial_at_most(hits, n, p) > BEYOND)
    };
    (low, high)
}

/// Greatest share for which `holds`, which is true below it.
fn bisected(holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Chance of at most `k` hits of `n` with chance `p` each.
fn binomial_at_most(k: usize, n: usize, p: f64) -> f64 {
    if k >= n || p <= 0.0 {
        return 1.0;
    }
    if p >= 1.0 {
        return 0.0;
    }
    let ln_factorial = |m: usize| libm::lgamma(m as f64 + 1.0);
    let (ln_p, ln_rest) = (libm::log(p), libm::log1p(-p));
    let term = |i: usize| {
        let ways = ln_factorial(n) - ln_factorial(i) - ln_factorial(n - i);
        libm::exp(ways + i as f64 * ln_p + (n - i) as f64 * ln_rest)
    };
    (0..=k).map(term).sum::<f64>().min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_all_hits() {
        // 59 of 59: the lower end is 0.05^(1/59), the zero-failure rule of CV-TOL-06.
        let (low, high) = share_band(59, 59);
        assert!((low - libm::pow(0.05, 1.0 / 59.0)).abs() < 1e-9 && high == 1.0);
        assert!((low - 0.95).abs() < 1e-3);
        assert_eq!(share_band(0, 0), (0.0, 1.0));
    }

    #[test]
    fn independent_band_of_a_share() {
        // 7 of 20, 90 %: 0.1773 to 0.5580, by summation in another language.
        let (low, high) = share_band(7, 20);
        assert!((low - 0.1773).abs() < 5e-4, "{low}");
        assert!((high - 0.5580).abs() < 5e-4, "{high}");
    }

    #[test]
    fn the_zero_failure_rule_closes_the_band_of_a_quantile() {
        // The greatest of 59 passes the 95 % quantile with 95 % confidence; of 58 not.
        let ramp = |n: u32| (1..=n).map(f64::from).collect::<Vec<_>>();
        let of = |n| quantile_band(&ramp(n), 0.95).unwrap();
        assert_eq!(of(59).1, Some(59.0));
        assert_eq!(of(58).1, None);
        assert_eq!(upper_quantile(&ramp(99), 0.95), Some(95.0));
        assert_eq!(allowed_above(99, 0.95), 4);
        assert_eq!((fewest_draws(0.95), fewest_draws(0.5)), (19, 1));
        assert_eq!(upper_quantile(&[], 0.5), None);
    }
}
