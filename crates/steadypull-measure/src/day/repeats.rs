//! Repeats for a wanted resolution, by the power of the two-sample t test.
//!
//! ```text
//! power = P(|T| > t),  T noncentral t, ν = 2 n − 2, δ = (difference/spread) √(n/2)
//! ```
//!
//! with the level shared out evenly among the comparisons that will be made (Bonferroni:
//! Holm's steps, which the results go through, are never harder). A spread measured on few
//! pulls may be too low by luck: its upper 80 % limit `s √(ν/χ²)` is planned with (R. H.
//! Browne, Stat. Med. 14 (1995) 1933–1940, from memory). A guessed one is a guess, and
//! the plan says so. Checked against Cohen's table and scipy 1.17.1.

use steadypull_engine::chance::crossing;

use crate::compare::chi_square::chi_square_above;
use crate::compare::{power, shift_seen};
use crate::problem::{Problem, in_range};

/// Most repeats of a set-up that are looked for.
pub const MOST_REPEATS: usize = 1000;
/// Confidence of the limit that stands for a measured spread.
const SPREAD_CONFIDENCE: f64 = 0.8;

/// How far pulls of one set-up lie apart: a standard deviation, in the unit of the
/// difference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Measured on so many pulls of one set-up, two at least.
    Measured {
        /// Their standard deviation.
        deviation: f64,
        /// How many.
        pulls: usize,
    },
    /// Guessed.
    Guessed(f64),
}

impl Spread {
    /// The spread to plan with.
    pub fn planned(self) -> Result<f64, Problem> {
        let (deviation, pulls) = match self {
            Self::Guessed(deviation) => {
                return in_range("the guessed spread", deviation, 1e-12, 1e12);
            }
            Self::Measured { deviation, pulls } => (deviation, pulls),
        };
        in_range("the measured spread", deviation, 1e-12, 1e12)?;
        in_range("pulls behind the measured spread", pulls as f64, 2.0, 1e5)?;
        let freedom = pulls as f64 - 1.0;
        let low = crossing(0.0, 4.0 * freedom + 10.0, |x| {
            chi_square_above(x, freedom) > SPREAD_CONFIDENCE
        });
        Ok(deviation * (freedom / low).sqrt())
    }
}

/// What the day is to show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Difference between two set-ups that matters.
    pub difference: f64,
    /// Spread of pulls of one set-up.
    pub spread: Spread,
    /// Chance at which such a difference is to be shown.
    pub power: f64,
    /// Confidence over all comparisons together.
    pub confidence: f64,
}

/// Repeats of each set-up, and what they can do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeats {
    /// Pulls of each set-up.
    pub each: usize,
    /// Chance that they show the wanted difference.
    pub power: f64,
    /// Spread that was planned with.
    pub spread: f64,
    /// Whether that was a guess.
    pub guessed: bool,
}

/// The level of one of `comparisons` tests.
fn level(aim: &Aim, comparisons: usize) -> Result<f64, Problem> {
    in_range("the confidence", aim.confidence, 0.5, 0.999)?;
    in_range("comparisons", comparisons as f64, 1.0, 1000.0)?;
    Ok((1.0 - aim.confidence) / comparisons as f64)
}

fn power_of(each: usize, effect: f64, alpha: f64) -> f64 {
    let n = each as f64;
    power(effect * (0.5 * n).sqrt(), 2.0 * n - 2.0, alpha)
}

/// Pulls of each set-up for the aim, when so many pairs will be compared.
pub fn repeats_for(aim: &Aim, comparisons: usize) -> Result<Repeats, Problem> {
    let alpha = level(aim, comparisons)?;
    in_range("the wanted difference", aim.difference, 1e-12, 1e12)?;
    in_range("the power", aim.power, 0.5, 0.999)?;
    let spread = aim.spread.planned()?;
    let effect = aim.difference / spread;
    let enough = |n: usize| power_of(n, effect, alpha) >= aim.power;
    if !enough(MOST_REPEATS) {
        return Err(Problem::Degenerate(
            "no thousand pulls of each set-up would show so small a difference; measure a smaller spread or want less",
        ));
    }
    // Power rises with the number: halve the gap.
    let (mut low, mut high) = (1, MOST_REPEATS);
    while high - low > 1 {
        let middle = (low + high) / 2;
        if enough(middle) {
            high = middle
        } else {
            low = middle
        }
    }
    Ok(Repeats {
        each: high,
        power: power_of(high, effect, alpha),
        spread,
        guessed: matches!(aim.spread, Spread::Guessed(_)),
    })
}

/// The difference that `each` pulls of each set-up show at the aim's power.
pub fn resolution(aim: &Aim, each: usize, comparisons: usize) -> Result<f64, Problem> {
    in_range(
        "pulls of each set-up (one has no spread)",
        each as f64,
        2.0,
        MOST_REPEATS as f64,
    )?;
    let (alpha, n) = (level(aim, comparisons)?, each as f64);
    let shift = shift_seen(2.0 * n - 2.0, alpha, aim.power)?;
    Ok(shift * aim.spread.planned()? * (2.0 / n).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn aim(difference: f64) -> Aim {
        Aim {
            difference,
            spread: Spread::Guessed(1.0),
            power: 0.8,
            confidence: 0.95,
        }
    }

    /// J. Cohen, Statistical Power Analysis (1988), table 2.4.1, two-sided 5 %, power 0.80
    /// (from memory: 393, 64, 26, 17; his 393 reaches 0.7996 and is rounded, exactly it
    /// takes one more), and scipy 1.17.1 for the power reached:
    /// `validation/independent/measure/compare.py`.
    #[test]
    fn published_repeats() {
        for (effect, each, reached) in [
            (0.2, 394, 0.800_593_128_402_434_8),
            (0.5, 64, 0.801_459_557_922_254_1),
            (0.8, 26, 0.807_486_615_146_527_6),
            (1.0, 17, 0.807_036_715_147_219_8),
            (1.5, 9, 0.847_610_104_156_090_2),
            (2.0, 6, 0.876_417_771_411_988_8),
        ] {
            let found = repeats_for(&aim(effect), 1).unwrap();
            assert_eq!(found.each, each, "{effect}");
            assert!((found.power - reached).abs() < 1e-9, "{effect}");
        }
        assert!((power_of(393, 0.2, 0.05) - 0.799_594_241_161_914_5).abs() < 1e-9);
    }

    #[test]
    fn resolution_and_repeats_agree() {
        for difference in [0.4, 0.9, 2.0] {
            let found = repeats_for(&aim(difference), 3).unwrap();
            assert!(resolution(&aim(difference), found.each, 3).unwrap() <= difference);
            let fewer = resolution(&aim(difference), found.each - 1, 3).unwrap();
            assert!(fewer > difference);
        }
        assert!(resolution(&aim(1.0), 1, 1).is_err());
        assert!(repeats_for(&aim(0.001), 1).is_err());
    }

    /// Upper 80 % limit of a deviation from five pulls: √(4/χ²) with χ² = 1.6488, the
    /// 20 % quantile of chi-square with 4 degrees (scipy 1.17.1).
    #[test]
    fn a_measured_spread_is_taken_high() {
        let planned = Spread::Measured {
            deviation: 2.0,
            pulls: 5,
        }
        .planned()
        .unwrap();
        assert!((planned - 2.0 * (4.0 / 1.648_776_618_065_2_f64).sqrt()).abs() < 1e-6);
        assert!(
            Spread::Measured {
                deviation: 2.0,
                pulls: 1
            }
            .planned()
            .is_err()
        );
    }
}
