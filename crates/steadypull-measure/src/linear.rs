//! Small linear systems and weighted sums of samples.

use std::borrow::Cow;

use crate::signal::Quality;

/// Sums of least squares: `Σ x xᵀ` and `Σ x y`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Normal<const N: usize> {
    /// Rows of `Σ x xᵀ`.
    pub matrix: [[f64; N]; N],
    /// `Σ x y`.
    pub right: [f64; N],
}

impl<const N: usize> Normal<N> {
    /// Nothing summed yet.
    pub const NOTHING: Self = Self {
        matrix: [[0.0; N]; N],
        right: [0.0; N],
    };

    /// One more row of the problem.
    #[inline(always)]
    pub fn add(&mut self, x: &[f64; N], y: f64) {
        for ((row, right), xr) in self.matrix.iter_mut().zip(&mut self.right).zip(x) {
            for (cell, xc) in row.iter_mut().zip(x) {
                *cell += xr * xc;
            }
            *right += xr * y;
        }
    }

    /// What fits best.
    pub fn solve(&self) -> Option<[f64; N]> {
        solve(self.matrix, self.right)
    }
}

/// Solves `a x = b` for a small square matrix, rows one after another; `None` if it is
/// singular to rounding. Gauss with the largest pivot of each column.
pub(crate) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    let size = a.iter().flatten().fold(0.0f64, |m, v| m.max(v.abs()));
    for column in 0..N {
        let larger = |p: &usize, q: &usize| a[*p][column].abs().total_cmp(&a[*q][column].abs());
        let pivot = (column..N).max_by(larger)?;
        let usable = a[pivot][column].abs() > 1e-14 * size;
        if !usable {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        let (pivot_row, pivot_b) = (a[column], b[column]);
        for row in column + 1..N {
            let factor = a[row][column] / pivot_row[column];
            for (cell, above) in a[row].iter_mut().zip(pivot_row).skip(column) {
                *cell -= factor * above;
            }
            b[row] -= factor * pivot_b;
        }
    }
    for row in (0..N).rev() {
        let known: f64 = (row + 1..N).map(|k| a[row][k] * b[k]).sum();
        b[row] = (b[row] - known) / a[row][row];
    }
    Some(b)
}

/// One column of the inverse.
pub(crate) fn inverse_column<const N: usize>(a: &[[f64; N]; N], column: usize) -> Option<[f64; N]> {
    let mut unit = [0.0; N];
    unit[column] = 1.0;
    solve(*a, unit)
}

/// A sum of samples with weights: what a reading is to small errors of the samples.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Weighted {
    /// Sample that the first weight belongs to.
    pub first: usize,
    /// Weights of it and those that follow.
    pub weights: Vec<f64>,
}

impl Weighted {
    /// The sum over the values of a series.
    pub fn of(&self, values: &[f64]) -> f64 {
        let part = &values[self.first..self.first + self.weights.len()];
        self.weights.iter().zip(part).map(|(w, v)| w * v).sum()
    }

    /// `a` times this and `b` times another.
    pub fn mix(&self, a: f64, other: &Self, b: f64) -> Self {
        let first = self.first.min(other.first);
        let end = (self.first + self.weights.len()).max(other.first + other.weights.len());
        let mut weights = vec![0.0; end - first];
        for (part, factor) in [(self, a), (other, b)] {
            for (i, w) in part.weights.iter().enumerate() {
                weights[part.first - first + i] += factor * w;
            }
        }
        Self { first, weights }
    }

    /// Standard deviation from noise without memory that went through the channel's
    /// filter.
    pub fn noise(&self, quality: &Quality) -> f64 {
        quality.noise * self.share_of_noise(quality)
    }

    /// The same for noise of 1 before the filter: the weights through the filter, root of the sum
    /// of their squares.
    pub fn share_of_noise(&self, quality: &Quality) -> f64 {
        let square = |weights: &[f64]| weights.iter().map(|w| w * w).sum::<f64>();
        let squares = match &quality.filter {
            None => square(&self.weights),
            Some(filter) => {
                let (shorter, left_out) = self.shortened(2 * filter.pad());
                square(&filter.weights_through(&shorter)) + left_out
            }
        };
        libm::sqrt(squares)
    }

    /// Standard deviation from noise that went through a smoothing spline with the jerk kept small
    /// and then the channel's filter, samples `step_s` apart. Between its ends such a spline takes
    /// means with the kernel of gain `1/(1 + (ω/ω₀)⁶)` (B. W. Silverman, Ann. Statist. 12 (1984)
    /// 898–916, from memory), `ω₀` where it begins to smooth:
    ///
    /// ```text
    /// K = ω₀/6 (e^−x + e^−x/2 (cos √3x/2 + √3 sin √3x/2)),   x = ω₀ |t|
    /// ```
    pub fn noise_smoothed(&self, quality: &Quality, step_s: f64) -> f64 {
        let Some(from) = quality.smoothed_from else {
            return self.noise(quality);
        };
        let through = match &quality.filter {
            None => self.weights.clone(),
            Some(filter) => filter.weights_through(&self.weights),
        };
        let reach = ((KERNEL_REACH / (from * step_s)) as usize).min(KERNEL_MOST);
        let kernel: Vec<f64> = (0..=reach)
            .map(|k| kernel(from * step_s * k as f64) * from * step_s)
            .collect();
        let count = through.len();
        let spread = |at: usize| -> f64 {
            // `at` counts from `reach` before the first weight.
            let (first, end) = (at.saturating_sub(2 * reach), (at + 1).min(count));
            let each = (first..end).map(|i| through[i] * kernel[(i + reach).abs_diff(at)]);
            each.sum()
        };
        let squares = (0..count + 2 * reach).map(|at| spread(at) * spread(at));
        quality.noise * libm::sqrt(squares.sum())
    }

    /// The weights with the middle of a run of equal ones left out but for `kept` to either side, and
    /// the sum of the squares left out: the filter leaves equal weights as they are.
    fn shortened(&self, kept: usize) -> (Cow<'_, [f64]>, f64) {
        let middle = self.weights.len() / 2;
        let (before, after) = self.weights.split_at(middle);
        let same = |w: &&f64| after.first() == Some(*w);
        let start = middle - before.iter().rev().take_while(same).count();
        let end = middle + after.iter().take_while(same).count();
        if end - start <= 2 * kept + 1 {
            return (Cow::Borrowed(&self.weights), 0.0);
        }
        let ends = [&self.weights[..start + kept], &self.weights[end - kept..]];
        let left_out = (end - start - 2 * kept) as f64 * after[0] * after[0];
        (Cow::Owned(ends.concat()), left_out)
    }
}

/// How far the kernel of a smoothing spline reaches, in units of its own, and in samples at most.
const KERNEL_REACH: f64 = 14.0;
const KERNEL_MOST: usize = 4000;

/// The kernel at so many of its units from its middle.
fn kernel(x: f64) -> f64 {
    let turn = 0.5 * 3f64.sqrt() * x;
    let swing = libm::cos(turn) + 3f64.sqrt() * libm::sin(turn);
    (libm::exp(-x) + libm::exp(-0.5 * x) * swing) / 6.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::signal::cfc::{Cfc, Filter};

    #[test]
    fn solves_and_refuses() {
        let a = [[0.0, 2.0], [1.0, 1.0]];
        assert_eq!(solve(a, [4.0, 5.0]), Some([3.0, 2.0]));
        assert_eq!(inverse_column(&a, 0), Some([-0.5, 0.5]));
        assert_eq!(solve([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0]), None);
    }

    /// A long mean costs no more than a short one and is as noisy as all its weights say.
    #[test]
    fn equal_weights_are_left_out() {
        let filter = Filter::new(Cfc::new(60.0).unwrap(), 1000.0).unwrap();
        let mut quality = Quality::of_noise(1.0);
        quality.filter = Some(filter);
        let mut weights = vec![0.5; 2000];
        (weights[0], weights[1999]) = (0.2, -0.3);
        let long = Weighted { first: 0, weights };
        let (shorter, left_out) = long.shortened(2 * filter.pad());
        assert!(shorter.len() < 200 && left_out > 400.0);
        let through = filter.weights_through(&long.weights);
        let whole = through.iter().map(|w| w * w).sum::<f64>().sqrt();
        assert!((long.share_of_noise(&quality) / whole - 1.0).abs() < 1e-9);
    }

    /// A spline leaves the sum over a long stretch as noisy as it is, and of one sample what its
    /// kernel lets through: `∫ K² = ω₀/π ∫ 1/(1 + x⁶)² = 5/18 ω₀`.
    #[test]
    fn a_spline_takes_noise_off_what_is_short() {
        let mut quality = Quality::of_noise(1.0);
        quality.smoothed_from = Some(100.0);
        let of = |weights: Vec<f64>| Weighted { first: 0, weights }.noise_smoothed(&quality, 1e-3);
        let short = of(vec![1.0]);
        let by_kernel = (5.0 / 18.0 * 100.0f64 * 1e-3).sqrt();
        assert!(
            (short / by_kernel - 1.0).abs() < 1e-3,
            "{short} {by_kernel}"
        );
        let long = of(vec![1.0; 4000]);
        assert!((long / 4000f64.sqrt() - 1.0).abs() < 0.01, "{long}");
    }

    #[test]
    fn weighted_sums_mix() {
        let a = Weighted {
            first: 1,
            weights: vec![1.0, 2.0],
        };
        let b = Weighted {
            first: 0,
            weights: vec![1.0],
        };
        let both = a.mix(2.0, &b, -1.0);
        assert_eq!(both.weights, vec![-1.0, 2.0, 4.0]);
        assert_eq!(both.of(&[1.0, 1.0, 1.0]), 5.0);
    }
}
