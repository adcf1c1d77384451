//! Two set-ups: a difference, how sure it is, and what could have been seen.
//!
//! Welch's interval, `d ± t_ν √(s₁²/n₁ + s₂²/n₂)` with Satterthwaite's ν (B. L. Welch,
//! Biometrika 34 (1947) 28–35, from memory; checked against scipy 1.17.1), is the one to act
//! on; the bootstrap and the permutation test stand beside it because they do not lean
//! on the normal law. A difference counts as shown only where Welch's interval leaves
//! nothing out of reach and the permutation test agrees. One pull of a set-up has no
//! spread: there is then no interval and no verdict, by type.

use steadypull_engine::chance::{Interval, incomplete_beta, student_quantile};

use super::bootstrap::bootstrap_difference;
use super::permutation::{Permutation, permutation};
use super::power::shift_seen;
use super::sample::Sample;
use crate::problem::{Problem, in_range};

/// How a comparison is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Of the intervals; the tests' level is one less this.
    pub confidence: f64,
    /// Chance at which a difference must be seen to count as resolved.
    pub power: f64,
    /// Differences drawn by the bootstrap.
    pub draws: usize,
    /// Of all draws.
    pub seed: u64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            confidence: 0.95,
            power: 0.8,
            draws: 9_999,
            seed: 1,
        }
    }
}

/// What two set-ups tell.
#[derive(Debug, Clone, PartialEq)]
pub enum Comparison {
    /// One of them was pulled once: no spread, so no interval and no verdict.
    PulledOnce {
        /// The two set-ups.
        samples: [Sample; 2],
    },
    /// No pull differs from another of its set-up: the record is too coarse.
    NoSpread {
        /// The two set-ups.
        samples: [Sample; 2],
    },
    /// Compared.
    Compared(Difference),
}

/// The second set-up less the first.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The two set-ups.
    pub samples: [Sample; 2],
    /// Difference of means.
    pub difference: f64,
    /// Welch's interval for it.
    pub welch: Interval,
    /// Welch's p.
    pub welch_p: f64,
    /// Satterthwaite's degrees of freedom.
    pub freedom: f64,
    /// The bootstrap's interval.
    pub bootstrap: Interval,
    /// The permutation test.
    pub permutation: Permutation,
    /// True difference that so many pulls of this spread show at the stated power.
    pub resolution: f64,
    /// What may be said.
    pub verdict: Verdict,
}

/// What may be said of a difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Welch's interval leaves zero out, and the permutation test agrees.
    Shown,
    /// Not shown: no difference, or one below the resolution.
    NotShown,
    /// So few pulls that the permutation test could never agree at this level.
    TooFewToShow,
}

/// Standard error and Satterthwaite's freedom of a difference of means.
fn spread(samples: &[Sample; 2], deviations: [f64; 2]) -> (f64, f64) {
    let part = |i: usize| deviations[i] * deviations[i] / samples[i].count as f64;
    let (a, b) = (part(0), part(1));
    let below = |v: f64, n: usize| v * v / (n as f64 - 1.0);
    let freedom = (a + b) * (a + b) / (below(a, samples[0].count) + below(b, samples[1].count));
    ((a + b).sqrt(), freedom)
}

/// Compares `second` with `first`.
pub fn two_setups(first: &[f64], second: &[f64], rules: &Rules) -> Result<Comparison, Problem> {
    in_range("the confidence", rules.confidence, 0.5, 0.999)?;
    let samples = [Sample::of(first)?, Sample::of(second)?];
    let (Some(a), Some(b)) = (samples[0].deviation, samples[1].deviation) else {
        return Ok(Comparison::PulledOnce { samples });
    };
    if a <= 0.0 && b <= 0.0 {
        return Ok(Comparison::NoSpread { samples });
    }
    let (error, freedom) = spread(&samples, [a, b]);
    let difference = samples[1].mean - samples[0].mean;
    let half = student_quantile(freedom, 0.5 + 0.5 * rules.confidence) * error;
    let welch = Interval {
        low: difference - half,
        high: difference + half,
    };
    let t = difference / error;
    let alpha = 1.0 - rules.confidence;
    let permutation = permutation(first, second, rules.seed)?;
    Ok(Comparison::Compared(Difference {
        samples,
        difference,
        welch,
        welch_p: incomplete_beta(0.5 * freedom, 0.5, freedom / (freedom + t * t)),
        freedom,
        bootstrap: bootstrap_difference(first, second, rules.confidence, rules.draws, rules.seed)?,
        permutation,
        resolution: error * shift_seen(freedom, alpha, rules.power)?,
        verdict: verdict(!welch.contains(0.0), &permutation, alpha),
    }))
}

fn verdict(welch_shows: bool, permutation: &Permutation, alpha: f64) -> Verdict {
    if permutation.least_p > alpha {
        Verdict::TooFewToShow
    } else if welch_shows && permutation.p <= alpha {
        Verdict::Shown
    } else {
        Verdict::NotShown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIRST: [f64; 5] = [61.2, 58.9, 63.4, 60.1, 59.7];
    const SECOND: [f64; 4] = [55.3, 57.8, 59.9, 56.1];

    fn compared(first: &[f64], second: &[f64]) -> Difference {
        match two_setups(first, second, &Rules::default()).unwrap() {
            Comparison::Compared(difference) => difference,
            other => panic!("{other:?}"),
        }
    }

    /// scipy 1.17.1, `ttest_ind(equal_var=False)`:
    /// `validation/independent/measure/compare.py`.
    #[test]
    fn published_by_scipy_welch() {
        let found = compared(&FIRST, &SECOND);
        let want = (
            -6.522_717_828_636_367,
            -0.247_282_171_363_643_5,
            0.038_555_159_645_575_63,
            5.996_641_439_116_453,
        );
        for (got, want) in [
            (found.welch.low, want.0),
            (found.welch.high, want.1),
            (found.welch_p, want.2),
            (found.freedom, want.3),
        ] {
            assert!((got / want - 1.0).abs() < 1e-9, "{got} {want}");
        }
        assert_eq!(found.verdict, Verdict::Shown);
    }

    #[test]
    fn one_pull_gives_no_verdict() {
        let found = two_setups(&[60.0], &SECOND, &Rules::default()).unwrap();
        assert!(matches!(found, Comparison::PulledOnce { .. }));
        let same = two_setups(&[60.0; 3], &[50.0; 3], &Rules::default()).unwrap();
        assert!(matches!(same, Comparison::NoSpread { .. }));
    }

    #[test]
    fn two_against_two_can_show_nothing() {
        let found = compared(&[60.0, 60.1], &[20.0, 20.1]);
        assert_eq!(found.verdict, Verdict::TooFewToShow);
    }
}
