//! Dense linear equations by elimination with row pivots.
//!
//! Rigs have at most some two hundred unknowns; a sparse solver would be a
//! dependency for nothing.

/// A square matrix, factored in place.
pub(super) struct Factored {
    n: usize,
    rows: Vec<f64>,
    order: Vec<usize>,
}

/// Smallest pivot over the largest below which a matrix counts as singular.
const SINGULAR: f64 = 1e-12;

/// Factors the `n` by `n` matrix whose rows lie one after another; `None` when
/// it is singular or holds something that is no number.
pub(super) fn factor(n: usize, mut rows: Vec<f64>) -> Option<Factored> {
    debug_assert_eq!(rows.len(), n * n);
    let largest = rows.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
    if !(largest.is_finite() && rows.iter().all(|v| v.is_finite())) {
        return None;
    }
    let mut order: Vec<usize> = (0..n).collect();
    for k in 0..n {
        let pivot = (k..n).max_by(|&a, &b| {
            let size = |i: usize| rows[i * n + k].abs();
            size(a).total_cmp(&size(b))
        })?;
        if rows[pivot * n + k].abs() <= SINGULAR * largest {
            return None;
        }
        if pivot != k {
            order.swap(pivot, k);
            for j in 0..n {
                rows.swap(pivot * n + j, k * n + j);
            }
        }
        let (above, below) = rows.split_at_mut((k + 1) * n);
        let top = &above[k * n..];
        for row in below.chunks_exact_mut(n) {
            let times = row[k] / top[k];
            row[k] = times;
            if times != 0.0 {
                for j in k + 1..n {
                    row[j] -= times * top[j];
                }
            }
        }
    }
    Some(Factored { n, rows, order })
}

impl Factored {
    /// The solution for a right-hand side.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.n;
        let mut x: Vec<f64> = self.order.iter().map(|&i| right[i]).collect();
        for i in 0..n {
            let done: f64 = (0..i).map(|j| self.rows[i * n + j] * x[j]).sum();
            x[i] -= done;
        }
        for i in (0..n).rev() {
            let done: f64 = (i + 1..n).map(|j| self.rows[i * n + j] * x[j]).sum();
            x[i] = (x[i] - done) / self.rows[i * n + i];
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_and_refuses() {
        let rows = vec![0.0, 2.0, 1.0, 1.0, 0.0, 3.0, 4.0, -1.0, 2.0];
        let x = factor(3, rows).unwrap().solve(&[7.0, 10.0, 8.0]);
        for (got, wanted) in x.iter().zip([1.0, 2.0, 3.0]) {
            assert!((got - wanted).abs() < 1e-12);
        }
        assert!(factor(2, vec![1.0, 2.0, 2.0, 4.0]).is_none());
        assert!(factor(1, vec![f64::NAN]).is_none());
    }
}
