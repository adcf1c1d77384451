//! Whether the data can tell the parameters apart.
//!
//! The slopes of the readings against the parameters, each column at unit length, have a
//! condition number: 1 where each parameter shows in its own way, endless where two show
//! alike. Above 30 the parameters lean on one another (Belsley, Kuh, Welsch, Regression
//! Diagnostics (1980), ch. 3, from memory: a rule of thumb).

use nalgebra::DMatrix;

use super::least_squares::Fitted;

/// Condition from which parameters lean on one another.
const LEANING: f64 = 30.0;
/// Correlation from which two parameters move as one.
const AS_ONE: f64 = 0.95;

/// How well parameters are told apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Separation {
    /// Condition of the slopes with columns at unit length, from 1.
    pub condition: f64,
    /// Correlations of the parameters, by rows.
    pub correlation: Vec<Vec<f64>>,
    /// In a word.
    pub told: Told,
}

/// In a word; parameters by their places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Told {
    /// Each on its own.
    Apart,
    /// Some lean on one another, these two most: their mix is known better than they.
    Leaning {
        /// One.
        first: usize,
        /// The other.
        second: usize,
        /// Their correlation.
        correlation: f64,
    },
    /// The interval of this one does not close on a side where it should: the data say
    /// nothing of it there.
    Open {
        /// Its place.
        parameter: usize,
    },
}

impl Separation {
    /// Of a fit; `open` is a parameter whose interval does not close, if any.
    pub fn of(fitted: &Fitted, open: Option<usize>) -> Self {
        let condition = condition(&fitted.slopes);
        let correlation = correlations(&fitted.covariance);
        let most = most_alike(&correlation);
        let told = match (open, most) {
            (Some(parameter), _) => Told::Open { parameter },
            (None, Some((first, second, correlation)))
                if condition >= LEANING || correlation.abs() >= AS_ONE =>
            {
                Told::Leaning {
                    first,
                    second,
                    correlation,
                }
            }
            _ => Told::Apart,
        };
        Self {
            condition,
            correlation,
            told,
        }
    }
}

fn condition(slopes: &DMatrix<f64>) -> f64 {
    let mut scaled = slopes.clone();
    for mut column in scaled.column_iter_mut() {
        let length = column.norm();
        column /= length;
    }
    let values = scaled.singular_values();
    values.max() / values.min()
}

fn correlations(covariance: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let p = covariance.len();
    let entry = |i: usize, j: usize| {
        let scale = (covariance[i][i] * covariance[j][j]).sqrt();
        if i == j {
            1.0
        } else {
            covariance[i][j] / scale
        }
    };
    (0..p)
        .map(|i| (0..p).map(|j| entry(i, j)).collect())
        .collect()
}

fn most_alike(correlation: &[Vec<f64>]) -> Option<(usize, usize, f64)> {
    let p = correlation.len();
    let pairs = (0..p).flat_map(|i| (i + 1..p).map(move |j| (i, j)));
    pairs
        .map(|(i, j)| (i, j, correlation[i][j]))
        .max_by(|a, b| a.2.abs().total_cmp(&b.2.abs()))
}
