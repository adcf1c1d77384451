//! The log-normal distribution: positive quantities that spread by a factor.

use super::normal::{normal_cdf, normal_quantile};

/// A positive quantity known by its median and a spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    /// Median.
    pub median: f64,
    /// Standard deviation of the natural logarithm.
    pub spread: f64,
}

impl LogNormal {
    /// By median and spread of the logarithm.
    pub const fn new(median: f64, spread: f64) -> Self {
        Self { median, spread }
    }

    /// By the value that is reached or passed with probability `1 − p`.
    pub fn with_quantile(value: f64, p: f64, spread: f64) -> Self {
        Self {
            median: value * libm::exp(-spread * normal_quantile(p)),
            spread,
        }
    }

    /// The value not passed with probability `p`.
    pub fn quantile(self, p: f64) -> f64 {
        if self.median == 0.0 || self.spread == 0.0 {
            return self.median;
        }
        self.median * libm::exp(self.spread * normal_quantile(p))
    }

    /// Probability of a value at or below `x`.
    pub fn probability_below(self, x: f64) -> f64 {
        if x <= 0.0 {
            return 0.0;
        }
        if self.spread == 0.0 {
            return if x >= self.median { 1.0 } else { 0.0 };
        }
        normal_cdf(libm::log(x / self.median) / self.spread)
    }

    /// Mean, median × exp(spread²/2).
    pub fn mean(self) -> f64 {
        self.median * libm::exp(0.5 * self.spread * self.spread)
    }

    /// Standard deviation, mean × √(exp(spread²) − 1).
    pub fn sd(self) -> f64 {
        self.mean() * libm::expm1(self.spread * self.spread).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lognormal_goes_both_ways() {
        let d = LogNormal::with_quantile(88_260.0, 0.05, 0.08);
        assert!((d.quantile(0.05) - 88_260.0).abs() < 1e-6);
        assert!((d.probability_below(88_260.0) - 0.05).abs() < 1e-12);
    }
}
