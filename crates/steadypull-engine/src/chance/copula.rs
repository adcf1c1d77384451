//! Inputs that are drawn together: a normal copula.
//!
//! Each input keeps its own distribution; what goes together are the normal scores of the
//! levels. With `p` the levels of the sampler, each by itself, and `R` the correlations of
//! the scores,
//!
//! ```text
//! z = Φ⁻¹(p)    z' = L z    p' = Φ(z')    L Lᵀ = R, L lower triangular (Cholesky)
//! ```
//!
//! each `z'` is a standard normal, so each `p'` is as even as `p` and every input keeps its
//! distribution whole. The order of the inputs is fixed by whoever makes the copula: the
//! first keeps its level, and a later one leans on those before it.
//!
//! Sources: A. Nataf, C. R. Acad. Sci. Paris 225 (1962) 42–43; P.-L. Liu and A. Der
//! Kiureghian, Probabilistic Engineering Mechanics 1 (1986) 105–112, who seek the
//! correlations of the scores from those of the values (here they are given as those of
//! the scores); both from memory.

use thiserror::Error;

use super::normal::{normal_cdf, normal_quantile};

/// Share by which every correlation is taken nearer to nothing: what a file rounds off
/// must not make a set that can hold one that cannot.
const ROUNDING: f64 = 1e-5;
/// Levels stay this far from 0 and 1, where an input without bounds is endless.
const LEAST: f64 = f64::EPSILON / 2.0;

/// Inputs that are drawn together by the correlations of their normal scores.
#[derive(Debug, Clone, PartialEq)]
pub struct Copula {
    /// Of input `i` with each before it, as given.
    correlation: Vec<Vec<f64>>,
    /// Rows of the lower triangular factor, each up to its diagonal.
    factor: Vec<Vec<f64>>,
}

/// Why there is no copula.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CopulaError {
    /// A number that is no correlation.
    #[error("{0} is no correlation: it must lie from -1 to 1")]
    Outside(f64),
    /// Each is a correlation, but no inputs go together so.
    #[error("these correlations cannot hold together")]
    Impossible,
}

impl Copula {
    /// Of `inputs` inputs, with `of(i, j)` the correlation of input `i` with input `j`
    /// before it.
    pub fn new(inputs: usize, of: impl Fn(usize, usize) -> f64) -> Result<Self, CopulaError> {
        let row = |i: usize| (0..i).map(|j| of(i, j)).collect();
        let correlation: Vec<Vec<f64>> = (0..inputs).map(row).collect();
        let mut all = correlation.iter().flatten();
        if let Some(odd) = all.find(|r| !(-1.0..=1.0).contains(*r)) {
            return Err(CopulaError::Outside(*odd));
        }
        let (factor, least) = factor(&correlation);
        if least <= 0.0 {
            return Err(CopulaError::Impossible);
        }
        Ok(Self {
            correlation,
            factor,
        })
    }

    /// Number of inputs.
    pub fn inputs(&self) -> usize {
        self.correlation.len()
    }

    /// Correlation of the scores of two inputs, as given.
    pub fn between(&self, a: usize, b: usize) -> f64 {
        match a.cmp(&b) {
            core::cmp::Ordering::Equal => 1.0,
            core::cmp::Ordering::Greater => self.correlation[a][b],
            core::cmp::Ordering::Less => self.correlation[b][a],
        }
    }

    /// Whether any two of them go together.
    pub fn joins(&self) -> bool {
        self.correlation.iter().flatten().any(|r| *r != 0.0)
    }

    /// Some of the inputs, as they go together where nothing is said of the others.
    pub fn among(&self, kept: &[usize]) -> Self {
        let row = |i: usize| (0..i).map(|j| self.between(kept[i], kept[j])).collect();
        let correlation: Vec<Vec<f64>> = (0..kept.len()).map(row).collect();
        // Some of what holds together hold together.
        let (factor, _) = factor(&correlation);
        Self {
            correlation,
            factor,
        }
    }

    /// Takes `levels` that were drawn each by itself, strictly inside (0, 1), to levels
    /// drawn together; the inputs stand at `places` in it, in their order.
    pub fn join(&self, levels: &mut [f64], places: &[usize]) {
        let own = places.iter().map(|place| normal_quantile(levels[*place]));
        let own: Vec<f64> = own.collect();
        for (row, place) in self.factor.iter().zip(places).skip(1) {
            let score = dot(row, &own);
            levels[*place] = normal_cdf(score).clamp(LEAST, 1.0 - LEAST);
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The rows of the factor, and the least square on its diagonal: not above nothing where
/// there is none.
fn factor(correlation: &[Vec<f64>]) -> (Vec<Vec<f64>>, f64) {
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(correlation.len());
    let mut least = 1.0_f64;
    for with_those_before in correlation {
        let mut row: Vec<f64> = Vec::with_capacity(with_those_before.len() + 1);
        for (r, before) in with_those_before.iter().zip(&rows) {
            let diagonal = before[row.len()];
            row.push(((1.0 - ROUNDING) * r - dot(&row, before)) / diagonal);
        }
        let left = 1.0 - dot(&row, &row);
        least = least.min(left);
        row.push(left.max(f64::MIN_POSITIVE).sqrt());
        rows.push(row);
    }
    (rows, least)
}

/// A copula and where its inputs stand among all of a study.
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// Place of each input.
    pub places: Vec<usize>,
    /// How they go together.
    pub copula: Copula,
}

impl Joined {
    /// Takes the levels of all inputs, each drawn by itself, to levels drawn together.
    pub fn join(&self, levels: &mut [f64]) {
        self.copula.join(levels, &self.places);
    }
}

#[cfg(test)]
#[path = "copula_tests.rs"]
mod tests;
