//! Whether residuals look like noise: their runs of one sign, and how far each leans on
//! those before it.
//!
//! ```text
//! runs R of n₊ and n₋ signs: mean 1 + 2 n₊ n₋/n,  variance 2 n₊ n₋ (2 n₊ n₋ − n)/(n² (n − 1))
//! Ljung and Box: Q = n (n + 2) Σ ρ_k²/(n − k) over lags k ≤ h, chi-square with h degrees
//! ```
//!
//! Pull by pull, then summed, so that no run or lag reaches from one pull into the next.
//! Sources: A. Wald, J. Wolfowitz, Ann. Math. Stat. 11 (1940) 147–162; G. M. Ljung,
//! G. E. P. Box, Biometrika 65 (1978) 297–303; from memory. Normal and chi-square laws
//! are good from about twenty readings.

use steadypull_engine::chance::normal_cdf;

use crate::compare::chi_square::chi_square_above;
use crate::problem::{Problem, finite};

/// Lags looked at, fewer in short pulls.
const LAGS: usize = 10;

/// What the residuals look like.
#[derive(Debug, Clone, PartialEq)]
pub struct ResidualCheck {
    /// Runs of one sign.
    pub runs: usize,
    /// Runs that noise would have on average.
    pub runs_expected: f64,
    /// Chance of runs so far off, either way.
    pub runs_p: f64,
    /// Correlation of each residual with the one this many places before, from 1.
    pub correlation: Vec<f64>,
    /// Chance of correlations so large in noise (Ljung and Box).
    pub correlation_p: f64,
}

impl ResidualCheck {
    /// Whether the residuals pass for noise at the 1 % level of both tests: otherwise
    /// intervals that take readings to err apart are too narrow, or the model is wrong.
    pub fn like_noise(&self) -> bool {
        self.runs_p > 0.01 && self.correlation_p > 0.01
    }
}

/// Runs of one pull: seen, expected, variance.
fn runs(residuals: &[f64]) -> (usize, f64, f64) {
    let signs: Vec<bool> = residuals
        .iter()
        .filter(|r| **r != 0.0)
        .map(|r| *r > 0.0)
        .collect();
    let up = signs.iter().filter(|s| **s).count() as f64;
    let n = signs.len() as f64;
    if n < 2.0 {
        return (signs.len(), n, 0.0);
    }
    let two = 2.0 * up * (n - up);
    let seen = 1 + signs.windows(2).filter(|w| w[0] != w[1]).count();
    (seen, 1.0 + two / n, two * (two - n) / (n * n * (n - 1.0)))
}

/// Sum over a pull of each residual times the one `lag` before.
fn product(residuals: &[f64], lag: usize) -> f64 {
    residuals
        .iter()
        .skip(lag)
        .zip(residuals)
        .map(|(a, b)| a * b)
        .sum()
}

/// Looks at the residuals of pulls, each in order of time, five readings at least.
pub fn check_residuals(pulls: &[&[f64]]) -> Result<ResidualCheck, Problem> {
    for pull in pulls {
        finite("residuals of a pull", pull, 5)?;
    }
    let shortest = pulls.iter().map(|p| p.len()).min().unwrap_or(0);
    if shortest == 0 {
        return Err(Problem::TooFew {
            what: "pulls",
            least: 1,
            got: 0,
        });
    }
    let each = pulls.iter().map(|p| runs(p));
    let (seen, expected, variance) = each.fold((0, 0.0, 0.0), |sum, r| {
        (sum.0 + r.0, sum.1 + r.1, sum.2 + r.2)
    });
    let off = (seen as f64 - expected).abs();
    let square: f64 = pulls.iter().map(|p| product(p, 0)).sum();
    let n: f64 = pulls.iter().map(|p| p.len() as f64).sum();
    let lags = LAGS.min(shortest / 4).max(1);
    let correlation: Vec<f64> = (1..=lags)
        .map(|lag| {
            pulls.iter().map(|p| product(p, lag)).sum::<f64>() / square.max(f64::MIN_POSITIVE)
        })
        .collect();
    let q: f64 = correlation
        .iter()
        .enumerate()
        .map(|(k, rho)| n * (n + 2.0) * rho * rho / (n - (pulls.len() * (k + 1)) as f64))
        .sum();
    Ok(ResidualCheck {
        runs: seen,
        runs_expected: expected,
        runs_p: if variance > 0.0 {
            2.0 * normal_cdf(-off / variance.sqrt())
        } else {
            1.0
        },
        correlation,
        correlation_p: chi_square_above(q, lags as f64),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten residuals by hand: ++--+-+++- has six runs of six up and four down; expected
    /// 1 + 48/10 = 5.8, variance 48 (48 − 10)/(100 × 9) = 2.0267.
    #[test]
    fn by_hand_runs() {
        let r = [1.0, 2.0, -1.0, -3.0, 1.0, -2.0, 1.0, 1.0, 2.0, -1.0];
        let (seen, expected, variance) = runs(&r);
        assert_eq!(seen, 6);
        assert!((expected - 5.8).abs() < 1e-12 && (variance - 2.026_666_666_7).abs() < 1e-9);
    }

    #[test]
    fn a_wave_is_no_noise() {
        let wave: Vec<f64> = (0..60).map(|i| libm::sin(f64::from(i) / 6.0)).collect();
        let found = check_residuals(&[&wave]).unwrap();
        assert!(!found.like_noise() && found.correlation[0] > 0.9);
        assert!(found.runs_p < 1e-6 && found.correlation_p < 1e-6);
        assert!(check_residuals(&[]).is_err());
    }
}
