//! Slopes of the residuals by differences of fourth order.
//!
//! `(8 (r₊₁ − r₋₁) − (r₊₂ − r₋₂))/12 h` with `h = 1e-4` of the parameter's
//! size. Rounding leaves about 2e-12 of a slope; a wider step would leave less, but a
//! place on an axis is often far from nothing and its peak narrow. Certified standard
//! errors come out to nearly all their digits.

use nalgebra::DMatrix;

use super::least_squares::Residuals;

/// Step over the size of a parameter.
const STEP: f64 = 1e-4;

/// The matrix of slopes at `at`; `sizes` are the least sizes of the parameters.
pub(super) fn jacobian(model: &Residuals, at: &[f64], sizes: &[f64]) -> DMatrix<f64> {
    let mut slopes = DMatrix::zeros(model.count, at.len());
    let mut moved = at.to_vec();
    let mut out = [0; 4].map(|_| vec![0.0; model.count]);
    for j in 0..at.len() {
        let h = STEP * at[j].abs().max(sizes[j]);
        for (step, out) in [-2.0, -1.0, 1.0, 2.0].into_iter().zip(&mut out) {
            moved[j] = at[j] + step * h;
            model.at(&moved, out);
        }
        moved[j] = at[j];
        for i in 0..model.count {
            let near = out[2][i] - out[1][i];
            let far = out[3][i] - out[0][i];
            slopes[(i, j)] = (8.0 * near - far) / (12.0 * h);
        }
    }
    slopes
}
