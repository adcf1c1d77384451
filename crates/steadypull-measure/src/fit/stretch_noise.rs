//! Noise of a stretch, and the path that it is noise about.
//!
//! A line's force hangs on the greatest stretch so far, and noise makes that greater than it was:
//! what went before a reading must come from a path freed of noise. The path is Whittaker's
//! (E. T. Whittaker, Proc. Edinb. Math. Soc. 41 (1923) 63–75, from memory), which two moving
//! vehicles' inertia allows: least
//!
//! ```text
//! Σ (x − X)² + λ Σ (third differences of x)²,   x = H X,   gain 1/(1 + (f/f₀)⁶)
//! ```
//!
//! with twice the f₀ of least unbiased risk `|X − H X|² + 2 σ² tr(H K)` (C. L. Mallows, Technometrics 15
//! (1973) 661–675, from memory), σ² K the covariance of the noise. Least risk weighs noise against what smoothing
//! bends off; but noise is weighed in the fit and a bent path is not, and at twice the f₀ it bends 64 times less.
//! Being linear in what was read, the path errs by `H` times the noise, which is known.

use nalgebra::DMatrix;

/// Noise of the stretches of a pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StretchNoise<'a> {
    /// Standard deviation of one reading, m; 0 takes the stretch as exact.
    pub deviation_m: f64,
    /// Correlation of two readings 1, 2, … places apart; nothing beyond the last.
    pub correlation: &'a [f64],
}

impl StretchNoise<'_> {
    /// None.
    pub const NONE: Self = Self {
        deviation_m: 0.0,
        correlation: &[],
    };

    /// Correlation of two readings so many places apart.
    pub(super) fn correlation(&self, apart: usize) -> f64 {
        match apart {
            0 => 1.0,
            _ => self.correlation.get(apart - 1).copied().unwrap_or(0.0),
        }
    }

    /// The matrix of `rows`, each times the noise's correlations.
    pub(super) fn through(&self, rows: &DMatrix<f64>) -> DMatrix<f64> {
        let (n, reach) = (rows.ncols(), self.correlation.len());
        let mut out = rows.clone();
        for apart in 1..=reach.min(n.saturating_sub(1)) {
            let by = self.correlation(apart);
            for j in apart..n {
                let (near, far) = (j - apart, j);
                for i in 0..rows.nrows() {
                    out[(i, far)] += by * rows[(i, near)];
                    out[(i, near)] += by * rows[(i, far)];
                }
            }
        }
        out
    }
}

/// Least f₀ tried, in swings over the whole record, and how much each next one is more.
const SLOWEST: f64 = 1.5;
const NEXT: f64 = 1.3;
/// How much less is smoothed than for least risk, as f₀ over that of least risk.
const LESS: f64 = 2.0;

/// The smoother for stretches read at these times: `H`, n by n.
pub(super) fn smoother(time_s: &[f64], stretch_m: &[f64], noise: &StretchNoise) -> DMatrix<f64> {
    let n = time_s.len();
    let rough = third_differences(time_s);
    let at = |f0: f64| {
        let weight = libm::pow(2.0 * libm::sin(core::f64::consts::PI * f0), -6.0);
        Banded::smoother(&rough, weight, n).inverse()
    };
    let mut best = (f64::INFINITY, 0.0);
    let mut f0 = SLOWEST / n as f64;
    while f0 < 0.5 {
        let risk = risk(&at(f0), stretch_m, noise);
        if risk < best.0 {
            best = (risk, f0);
        }
        f0 *= NEXT;
    }
    match LESS * best.1 {
        f0 if f0 > 0.0 && f0 < 0.5 => at(f0),
        _ => DMatrix::identity(n, n),
    }
}

fn risk(smoother: &DMatrix<f64>, stretch_m: &[f64], noise: &StretchNoise) -> f64 {
    let n = stretch_m.len();
    let off = (0..n).map(|i| {
        let at: f64 = (0..n).map(|j| smoother[(i, j)] * stretch_m[j]).sum();
        (stretch_m[i] - at) * (stretch_m[i] - at)
    });
    let near = |i: usize| {
        i.saturating_sub(noise.correlation.len())..n.min(i + noise.correlation.len() + 1)
    };
    let trace: f64 = (0..n)
        .map(|i| {
            near(i)
                .map(|j| smoother[(i, j)] * noise.correlation(i.abs_diff(j)))
                .sum::<f64>()
        })
        .sum();
    off.sum::<f64>() + 2.0 * noise.deviation_m * noise.deviation_m * trace
}

/// Weights of four neighbours each: their third divided difference, scaled to the plain one of
/// even times.
fn third_differences(time_s: &[f64]) -> Vec<[f64; 4]> {
    let n = time_s.len();
    let step = (time_s[n - 1] - time_s[0]) / (n as f64 - 1.0);
    let weights = |four: &[f64]| {
        let one = |j: usize| {
            let apart = (0..4)
                .filter(|k| *k != j)
                .map(|k| (four[j] - four[k]) / step);
            6.0 / apart.product::<f64>()
        };
        [one(0), one(1), one(2), one(3)]
    };
    time_s.windows(4).map(weights).collect()
}

/// Half-width of the matrix's band.
const BAND: usize = 3;

/// A symmetric matrix with entries up to three places off its diagonal, as `L D Lᵀ`: of each row
/// D, then L one, two and three places to the left.
struct Banded(Vec<[f64; BAND + 1]>);

impl Banded {
    /// `1 + weight · DᵀD` of the third differences.
    fn smoother(rough: &[[f64; 4]], weight: f64, n: usize) -> Self {
        let mut rows = vec![[1.0, 0.0, 0.0, 0.0]; n];
        for (at, four) in rough.iter().enumerate() {
            for i in 0..4 {
                for j in 0..=i {
                    rows[at + i][i - j] += weight * four[i] * four[j];
                }
            }
        }
        for i in 0..n {
            for off in (0..=BAND.min(i)).rev() {
                let j = i - off;
                let shared = (off + 1..=BAND.min(i)).filter(|k| k - off <= BAND);
                let less: f64 = shared
                    .map(|k| rows[i][k] * rows[j][k - off] * rows[i - k][0])
                    .sum();
                let value = rows[i][off] - less;
                rows[i][off] = if off == 0 { value } else { value / rows[j][0] };
            }
        }
        Self(rows)
    }

    /// All of its inverse.
    fn inverse(&self) -> DMatrix<f64> {
        let n = self.0.len();
        let mut inverse = DMatrix::identity(n, n);
        for mut column in inverse.column_iter_mut() {
            for i in 0..n {
                for k in 1..=BAND.min(i) {
                    column[i] -= self.0[i][k] * column[i - k];
                }
            }
            for i in 0..n {
                column[i] /= self.0[i][0];
            }
            for i in (0..n).rev() {
                for k in 1..=BAND.min(n - 1 - i) {
                    column[i] -= self.0[i + k][k] * column[i + k];
                }
            }
        }
        inverse
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uneven() -> Vec<f64> {
        (0..40)
            .map(|i| 0.01 * f64::from(i) + if i % 7 == 3 { 0.004 } else { 0.0 })
            .collect()
    }

    /// The banded inverse is that of the whole matrix.
    #[test]
    fn inverse_of_the_band() {
        let rough = third_differences(&uneven());
        let inverse = Banded::smoother(&rough, 50.0, 40).inverse();
        let mut whole = DMatrix::<f64>::identity(40, 40);
        for (at, four) in rough.iter().enumerate() {
            for i in 0..4 {
                for j in 0..4 {
                    whole[(at + i, at + j)] += 50.0 * four[i] * four[j];
                }
            }
        }
        assert!((whole * inverse - DMatrix::identity(40, 40)).amax() < 1e-9);
    }

    /// A parabola goes through as it is, however uneven the times and strong the smoothing.
    #[test]
    fn parabolas_are_kept() {
        let times = uneven();
        let rough = third_differences(&times);
        let smoother = Banded::smoother(&rough, 1e5, 40).inverse();
        let parabola: Vec<f64> = times.iter().map(|t| 1.0 + 2.0 * t - 30.0 * t * t).collect();
        for i in 0..40 {
            let at: f64 = (0..40).map(|j| smoother[(i, j)] * parabola[j]).sum();
            assert!((at - parabola[i]).abs() < 1e-6, "{i} {at}");
        }
    }

    /// Correlations of a band are those of the whole matrix.
    #[test]
    fn through_the_correlations() {
        let noise = StretchNoise {
            deviation_m: 1.0,
            correlation: &[0.5, 0.2],
        };
        let whole = DMatrix::from_fn(6, 6, |i: usize, j: usize| noise.correlation(i.abs_diff(j)));
        let rows = DMatrix::from_fn(4, 6, |i, j| (1 + i * j) as f64);
        assert!((noise.through(&rows) - rows * whole).amax() < 1e-12);
    }
}
