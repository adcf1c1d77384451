//! What a residual costs: its square, or less once it is far off.
//!
//! Huber's loss, `r²` up to `c s` and `2 c s |r| − (c s)²` beyond, with `c = 1.345` (95 %
//! of the efficiency of squares where the noise is normal) and `s` the median of the
//! residuals' sizes over 0.6745. Source: P. J. Huber, Robust Statistics (1981), ch. 7,
//! from memory.
//!
//! How sure the spread found with it is: `spread² ∝ Σψ²/m²`, `ψ` the bent residual and `m` the share
//! below the bend, and both come from the same few readings. To first order in their errors, with
//! normal noise,
//!
//! ```text
//! Var(log spread²) = V/n,  V = Var(ψ²/E ψ² − 2·[|r| ≤ c]/E m)
//! ```
//!
//! against `2/ν` of a chi-square over its degrees of freedom ν (Satterthwaite's match, Biometrics
//! Bull. 2 (1946) 110, from memory): the degrees that the readings leave count for `2/V` of
//! themselves, 0.641 at `c = 1.345`, and 1 for squares.

use steadypull_engine::chance::normal_cdf;

/// What a residual costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loss {
    /// Its square: exact where noise is normal, dragged by a single bad reading.
    Squares,
    /// Huber's: a bad reading pulls no harder than one at 1.345 standard deviations.
    Huber,
}

/// 1/√(2π): density of a standard normal value at nought.
const DENSITY: f64 = 0.398_942_280_401_432_7;
const HUBER_C: f64 = 1.345;
/// Median size of a standard normal value.
const MEDIAN_SIZE: f64 = 0.674_489_750_196_081_7;

impl Loss {
    /// Residual size up to which the cost is the square.
    pub(super) fn bend(self, residuals: &[f64]) -> f64 {
        match self {
            Self::Squares => f64::INFINITY,
            Self::Huber => HUBER_C * median_size(residuals) / MEDIAN_SIZE,
        }
    }

    /// What a degree of freedom that the readings leave counts for in the spread's own.
    pub(super) fn share_of_freedom(self) -> f64 {
        match self {
            Self::Squares => 1.0,
            Self::Huber => 2.0 / scatter_of_spread(HUBER_C),
        }
    }
}

/// `V` of the module's words for a bend at `c` standard deviations. The moments of a standard normal
/// value inside `±c` by parts: `E z² = m − 2 c φ(c)`, `E z⁴ = 3 E z² − 2 c³ φ(c)`.
fn scatter_of_spread(c: f64) -> f64 {
    let density = DENSITY * libm::exp(-0.5 * c * c);
    let below = 2.0 * normal_cdf(c) - 1.0;
    let beyond = 1.0 - below;
    let square = below - 2.0 * c * density;
    let bent = square + c * c * beyond;
    let fourth = 3.0 * square - 2.0 * c * c * c * density + c * c * c * c * beyond;
    let of_bent = fourth / (bent * bent) - 1.0;
    let of_share = beyond / below;
    let of_both = square / (bent * below) - 1.0;
    of_bent - 4.0 * of_both + 4.0 * of_share
}

fn median_size(residuals: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let n = sizes.len();
    0.5 * (sizes[(n - 1) / 2] + sizes[n / 2])
}

/// Weight that makes the square of `r` cost what the loss says at the margin.
pub(super) fn weight(r: f64, bend: f64) -> f64 {
    if r.abs() <= bend { 1.0 } else { bend / r.abs() }
}

/// Cost of all residuals: the sum of squares where none is bent.
pub(super) fn cost(residuals: &[f64], bend: f64) -> f64 {
    let one = |r: &f64| {
        if r.abs() <= bend {
            r * r
        } else {
            bend * (2.0 * r.abs() - bend)
        }
    };
    residuals.iter().map(one).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Without a bend a variance has its usual scatter, 2/n; at 1.345 numerical integration of the
    /// definition by scipy 1.17.1 gives 3.1191855.
    #[test]
    fn scatter_of_a_spread() {
        assert!((scatter_of_spread(12.0) - 2.0).abs() < 1e-9);
        assert!((scatter_of_spread(HUBER_C) - 3.119_185_5).abs() < 1e-6);
        assert_eq!(Loss::Squares.share_of_freedom(), 1.0);
    }
}
