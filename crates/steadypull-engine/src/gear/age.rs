//! What is left of old nylon: seven dock lines after ten years outdoors.
//!
//! Statistics of breaking load over new rating `r`: mean and standard
//! deviation, and the share that 95 % of such lines exceed with 95 % confidence,
//! `mean − k s` on `r` itself or on its logarithm. Seven lines of one kind, kept
//! in one way, say little of a strap; use (abrasion), not years or sun, is what
//! wears nylon (AD0631428, US Army, abstract).

use crate::source::{Source, Status};

/// The tests.
pub const SOURCE: Source = Source::new(
    "boating magazine tests at a rope maker, 10-12 year old nylon dock lines",
    Status::Read,
);

/// Breaking load and new rating of each line, lbf.
pub const OLD_NYLON_LBF: [(f64, f64); 7] = [
    (1893.0, 7500.0),
    (1892.0, 7500.0),
    (3493.0, 12_000.0),
    (6105.0, 12_000.0),
    (5861.0, 16_500.0),
    (6288.0, 16_500.0),
    (5678.0, 16_500.0),
];

/// One-sided normal tolerance factor for seven samples, 95 % of the population
/// with 95 % confidence (noncentral t, ISO 16269-6; checked below).
pub const TOLERANCE_FACTOR_7: f64 = 3.3995;

/// Statistics of a sample of strength shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remaining {
    /// Mean share of the new rating.
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// 95/95 lower bound if the shares are normal.
    pub bound_normal: f64,
    /// 95/95 lower bound if their logarithms are.
    pub bound_lognormal: f64,
}

/// Share of the new rating kept by each old line.
pub fn old_nylon_shares() -> [f64; 7] {
    OLD_NYLON_LBF.map(|(broke, rating)| broke / rating)
}

/// Statistics of [`old_nylon_shares`].
pub fn old_nylon() -> Remaining {
    let shares = old_nylon_shares();
    let (mean, deviation) = mean_and_deviation(&shares);
    let (log_mean, log_deviation) = mean_and_deviation(&shares.map(libm::log));
    Remaining {
        mean,
        deviation,
        bound_normal: mean - TOLERANCE_FACTOR_7 * deviation,
        bound_lognormal: libm::exp(log_mean - TOLERANCE_FACTOR_7 * log_deviation),
    }
}

fn mean_and_deviation(values: &[f64; 7]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (mean, (squares / (n - 1.0)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{normal_cdf, normal_quantile};

    /// `P(mean − k s` of seven normal values lies under their 5 % quantile`)`,
    /// by integrating over the sample deviation.
    fn confidence(k: f64) -> f64 {
        let (n, z) = (7.0_f64, normal_quantile(0.95));
        let weight = |s: f64| libm::pow(s, n - 2.0) * libm::exp(-0.5 * (n - 1.0) * s * s);
        let steps = 20_000;
        let h = 4.0 / f64::from(steps);
        let (mut sum, mut total) = (0.0, 0.0);
        for i in 0..steps {
            let s = (f64::from(i) + 0.5) * h;
            sum += weight(s) * normal_cdf(n.sqrt() * (k * s - z));
            total += weight(s);
        }
        sum / total
    }

    #[test]
    fn closed_form_tolerance_factor_of_seven() {
        assert!((confidence(TOLERANCE_FACTOR_7) - 0.95).abs() < 1e-5);
    }
}
