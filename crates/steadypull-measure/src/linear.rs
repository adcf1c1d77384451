//! Small linear systems and weighted sums of samples.

use crate::signal::Quality;

/// Solves `a x = b` for a small square matrix, rows one after another; `None` if it is
/// singular to rounding. Gauss with the largest pivot of each column.
pub(crate) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    let size = a.iter().flatten().fold(0.0f64, |m, v| m.max(v.abs()));
    for column in 0..N {
        let pivot =
            (column..N).max_by(|p, q| a[*p][column].abs().total_cmp(&a[*q][column].abs()))?;
        if !(a[pivot][column].abs() > 1e-14 * size) {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        for row in column + 1..N {
            let factor = a[row][column] / a[column][column];
            for k in column..N {
                a[row][k] -= factor * a[column][k];
            }
            b[row] -= factor * b[column];
        }
    }
    for row in (0..N).rev() {
        for k in row + 1..N {
            b[row] -= a[row][k] * b[k];
        }
        b[row] /= a[row][row];
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
    /// filter: the weights through the filter, root of the sum of their squares.
    pub fn noise(&self, quality: &Quality) -> f64 {
        let squares = match &quality.filter {
            None => self.weights.iter().map(|w| w * w).sum::<f64>(),
            Some(filter) => filter
                .weights_through(&self.weights)
                .iter()
                .map(|w| w * w)
                .sum(),
        };
        quality.noise * libm::sqrt(squares)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_and_refuses() {
        let a = [[0.0, 2.0], [1.0, 1.0]];
        assert_eq!(solve(a, [4.0, 5.0]), Some([3.0, 2.0]));
        assert_eq!(inverse_column(&a, 0), Some([-0.5, 0.5]));
        assert_eq!(solve([[1.0, 1.0], [1.0, 1.0]], [1.0, 2.0]), None);
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
