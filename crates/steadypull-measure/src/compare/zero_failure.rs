//! How many tests without a failure show a reliability.
//!
//! If each part fails with probability 1 − R, all of n hold with probability Rⁿ; so n
//! tests without a failure show R at confidence C once `Rⁿ ≤ 1 − C`.

use crate::problem::{Problem, in_range};

/// Tests without one failure that show `reliability` at `confidence`.
pub fn zero_failure_tests(reliability: f64, confidence: f64) -> Result<u64, Problem> {
    in_range("the reliability", reliability, 1e-6, 1.0 - 1e-9)?;
    in_range("the confidence", confidence, 1e-6, 1.0 - 1e-9)?;
    let exact = libm::log1p(-confidence) / libm::log(reliability);
    // A whole number that rounding has lifted by a crumb stays itself.
    Ok((exact - 1e-9 * exact).ceil().max(1.0) as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CV-TOL-06.
    #[test]
    fn published_counts() {
        for (reliability, tests) in [(0.90, 29), (0.95, 59), (0.99, 299)] {
            assert_eq!(zero_failure_tests(reliability, 0.95), Ok(tests));
        }
        assert_eq!(zero_failure_tests(0.5, 0.75), Ok(2));
        assert!(zero_failure_tests(1.0, 0.95).is_err());
    }
}
