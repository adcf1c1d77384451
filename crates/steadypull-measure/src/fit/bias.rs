//! How far least squares is off on average where the model bends.
//!
//! To second order, for residuals freed of what neighbours share, J their slopes and Hᵢ how the slopes of the i-th
//! change,
//!
//! ```text
//! E θ̂ − θ = −½ (JᵀJ)⁻¹ Jᵀ d,   dᵢ = tr(C Hᵢ),   C = spread² (JᵀJ)⁻¹
//! ```
//!
//! (M. J. Box, J. R. Stat. Soc. B 33 (1971) 171–201, from memory), and a value that is itself bent over the number
//! that is fitted, `v = g(θ)`, is off by `½ g″ C` more. Taken off the number, `g″/g′` of the latter, so that no value
//! leaves what is possible. The trace is a sum of second differences along the columns of the factor of C.

use nalgebra::{DMatrix, DVector};

use super::least_squares::{Fitted, Residuals};

/// Step of the differences, in standard errors.
const STEP: f64 = 0.1;
/// The most that is taken off, in standard errors: where there were more, second order would not tell it.
const MOST: f64 = 0.5;
/// Standard error of a logarithm or of log-odds from which on second order tells nothing.
const UNKNOWN: f64 = 1.0;

/// What to take off each fitted number; `bent` is `g″/g′` of each value. Nothing where one of them is hardly known.
pub(super) fn bias(model: &Residuals, fitted: &Fitted, bent: &[f64]) -> Vec<f64> {
    let p = fitted.parameters.len();
    let covariance = DMatrix::from_fn(p, p, |i, j| fitted.covariance[i][j]);
    let errors = fitted.standard_errors();
    if !errors.iter().all(|error| *error < UNKNOWN) {
        return vec![0.0; p];
    }
    let of_model = match covariance.clone().cholesky() {
        Some(factor) if fitted.spread > 0.0 => {
            let bends = bends(model, &fitted.parameters, &factor.l());
            let square = fitted.spread * fitted.spread;
            covariance * fitted.slopes.tr_mul(&bends) * (-0.5 / square)
        }
        _ => DVector::zeros(p),
    };
    (0..p)
        .map(|k| {
            let off = of_model[k] + 0.5 * bent[k] * errors[k] * errors[k];
            let most = MOST * errors[k];
            if off.is_finite() {
                off.clamp(-most, most)
            } else {
                0.0
            }
        })
        .collect()
}

/// `d`: second differences of all residuals, summed over the columns of `factor`.
fn bends(model: &Residuals, at: &[f64], factor: &DMatrix<f64>) -> DVector<f64> {
    let residuals = |column: usize, step: f64| {
        let moved: Vec<f64> = at
            .iter()
            .zip(factor.column(column).iter())
            .map(|(x, by)| x + step * by)
            .collect();
        let mut out = vec![0.0; model.count];
        model.at(&moved, &mut out);
        DVector::from_vec(out)
    };
    let middle = residuals(0, 0.0);
    let mut sum = DVector::zeros(model.count);
    for column in 0..factor.ncols() {
        sum += residuals(column, STEP) + residuals(column, -STEP) - 2.0 * &middle;
    }
    sum / (STEP * STEP)
}

#[cfg(test)]
mod tests {
    use super::super::least_squares::least_squares;
    use super::super::loss::Loss;
    use super::*;

    /// Readings of `exp θ`: θ̂ is the logarithm of their mean, off by −½ of its relative variance to second order;
    /// the mean itself, the value with `g″/g′ = 1`, is off by nothing.
    #[test]
    fn of_a_mean_and_its_logarithm() {
        let readings: Vec<f64> = (0..40)
            .map(|i| 5.0 + 0.3 * f64::from(i * 7 % 11 - 5))
            .collect();
        let write = |at: &[f64], out: &mut [f64]| {
            let pairs = out.iter_mut().zip(&readings);
            pairs.for_each(|(r, y)| *r = libm::exp(at[0]) - y);
        };
        let model = Residuals {
            count: 40,
            readings: 40,
            write: &write,
        };
        let fitted = least_squares(&model, &[1.0], &[1.0], Loss::Squares).unwrap();
        let mean = readings.iter().sum::<f64>() / 40.0;
        let squares: f64 = readings.iter().map(|y| (y - mean) * (y - mean)).sum();
        let variance = squares / 39.0 / 40.0;
        let off = bias(&model, &fitted, &[0.0])[0];
        let want = -0.5 * variance / (mean * mean);
        assert!((off / want - 1.0).abs() < 1e-4, "{off} {want}");
        assert!((bias(&model, &fitted, &[1.0])[0] / want).abs() < 1e-4);
    }
}
