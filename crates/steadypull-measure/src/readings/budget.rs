//! Doubts put together into an interval.
//!
//! `u² = Σ u_i²` of doubts that have nothing to do with each other; degrees of freedom by
//! Welch and Satterthwaite; interval `value ± t u` that holds 95 in 100, where parts follow no
//! bell curve by the distribution of the sum (`shapes.rs`). Source: JCGM
//! 100:2008 (GUM) 5.1.2, G.4.1, G.3; Student's t from the bell curve's quantile by M.
//! Abramowitz, I. A. Stegun 26.7.5, good to 1e-3 from 3 degrees of freedom up (checked).

use steadypull_engine::chance::{Interval, normal_quantile};

use crate::shapes::{Part, half_width};

/// Share of intervals meant to hold the truth.
pub const CONFIDENCE: f64 = 0.95;

/// One doubt about a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Where it comes from.
    pub name: &'static str,
    /// Standard uncertainty it brings, in the reading's unit.
    pub uncertainty: f64,
    /// Degrees of freedom behind it.
    pub freedom: f64,
    /// What of it follows no bell curve, in the reading's unit.
    pub parts: Vec<Part>,
}

/// How sure a reading is.
#[derive(Debug, Clone, PartialEq)]
pub enum Spread {
    /// An interval that is meant to hold the truth 95 times in 100, and what it is made of.
    Interval {
        /// The interval.
        interval: Interval,
        /// Combined standard uncertainty.
        uncertainty: f64,
        /// What it is made of; nothing that is nought is listed.
        terms: Vec<Term>,
    },
    /// No interval, and why.
    None(String),
}

/// A number read off, and how sure it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The number.
    pub value: f64,
    /// Its unit, SI.
    pub unit: &'static str,
    /// How sure.
    pub spread: Spread,
}

impl Term {
    /// A doubt known as well as can be.
    pub(super) fn sure(name: &'static str, uncertainty: f64) -> Self {
        Self {
            name,
            uncertainty: uncertainty.abs(),
            freedom: f64::INFINITY,
            parts: Vec::new(),
        }
    }

    /// The same of which parts follow no bell curve.
    pub(super) fn of_parts(self, parts: Vec<Part>) -> Self {
        Self { parts, ..self }
    }
}

impl Reading {
    /// A reading with the interval its doubts make.
    pub(super) fn with_terms(value: f64, unit: &'static str, terms: Vec<Term>) -> Self {
        let terms: Vec<Term> = terms.into_iter().filter(|t| t.uncertainty != 0.0).collect();
        if terms.is_empty() {
            let why = "nothing is known of its doubt: neither noise nor calibration was given";
            return Self::without(value, unit, why);
        }
        let square: f64 = terms.iter().map(|t| t.uncertainty * t.uncertainty).sum();
        let uncertainty = libm::sqrt(square);
        let quartic: f64 = terms
            .iter()
            .map(|t| libm::pow(t.uncertainty, 4.0) / t.freedom)
            .sum();
        let freedom = if quartic > 0.0 {
            square * square / quartic
        } else {
            f64::INFINITY
        };
        let half = half_of(&terms, square, student_factor(freedom));
        if !(value.is_finite() && half.is_finite()) {
            return Self::without(0.0, unit, "it could not be worked out from this record");
        }
        Self {
            value,
            unit,
            spread: Spread::Interval {
                interval: Interval {
                    low: value - half,
                    high: value + half,
                },
                uncertainty,
                terms,
            },
        }
    }

    /// A reading without an interval, and why; nought where there is no number at all.
    pub(super) fn without(value: f64, unit: &'static str, why: impl Into<String>) -> Self {
        Self {
            value: if value.is_finite() { value } else { 0.0 },
            unit,
            spread: Spread::None(why.into()),
        }
    }

    /// The interval, if there is one.
    pub fn interval(&self) -> Option<Interval> {
        match &self.spread {
            Spread::Interval { interval, .. } => Some(*interval),
            Spread::None(_) => None,
        }
    }
}

/// Half of the interval of terms whose squares sum to `square`: what follows a bell curve is
/// widened by Student's factor over the bell curve's.
fn half_of(terms: &[Term], square: f64, student: f64) -> f64 {
    let parts: Vec<Part> = terms.iter().flat_map(|term| term.parts.clone()).collect();
    let bent: f64 = parts.iter().map(|p| p.deviation * p.deviation).sum();
    let bell = libm::sqrt((square - bent).max(0.0));
    match parts.is_empty() {
        true => student * bell,
        false => {
            let wider = student / normal_quantile(0.5 + 0.5 * CONFIDENCE);
            half_width(wider * bell, &parts, CONFIDENCE)
        }
    }
}

/// Student's t for [`CONFIDENCE`] by its expansion about the bell curve's quantile; under 3
/// degrees of freedom that of 3.
fn student_factor(freedom: f64) -> f64 {
    let z = normal_quantile(0.5 + 0.5 * CONFIDENCE);
    let n = freedom.max(3.0);
    let (z2, z3) = (z * z, z * z * z);
    let (z5, z7) = (z3 * z2, z3 * z2 * z2);
    let g1 = (z3 + z) / 4.0;
    let g2 = (5.0 * z5 + 16.0 * z3 + 3.0 * z) / 96.0;
    let g3 = (3.0 * z7 + 19.0 * z5 + 17.0 * z3 - 15.0 * z) / 384.0;
    let g4 = (79.0 * z7 * z2 + 776.0 * z7 + 1482.0 * z5 - 1920.0 * z3 - 945.0 * z) / 92_160.0;
    z + (g1 + (g2 + (g3 + g4 / n) / n) / n) / n
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1, `t.ppf(0.975, n)`.
    #[test]
    fn published_student_factors() {
        for (n, t, within) in [
            (3.0, 3.182_446, 1e-2),
            (5.0, 2.570_582, 1e-3),
            (10.0, 2.228_139, 1e-4),
            (30.0, 2.042_272, 1e-5),
            (f64::INFINITY, 1.959_964, 1e-6),
        ] {
            assert!((student_factor(n) - t).abs() < within, "{n}");
        }
    }

    /// GUM H.1.6 in its own figures: u = 32 nm; four terms give 16 effective degrees.
    #[test]
    fn published_gum_end_gauge() {
        let terms = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)];
        let term = |(uncertainty, freedom)| Term {
            name: "",
            uncertainty,
            freedom,
            parts: Vec::new(),
        };
        let reading = Reading::with_terms(838.0, "nm", terms.map(term).to_vec());
        let Spread::Interval {
            uncertainty,
            interval,
            ..
        } = reading.spread
        else {
            panic!("an interval");
        };
        assert!((uncertainty - 32.0).abs() < 0.5);
        // t(0.95, 16) = 2.12.
        assert!((interval.half_width() / uncertainty - 2.12).abs() < 0.01);
    }
}
