//! Samples: Latin hypercube columns from counter-based streams.
//!
//! Column `j` of a study depends on the seed and `j` alone (ChaCha8, stream
//! `j`), so adding an input or a thread changes no other draw. Each column has
//! one value in every one of `n` equal slices of (0, 1), in shuffled order
//! (McKay, Beckman, Conover, Technometrics 21 (1979) 239–245).

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// One input's samples, each in (0, 1).
#[derive(Debug, Clone, PartialEq)]
pub struct Column(Vec<f64>);

impl Column {
    /// `n` stratified samples for input number `stream`.
    pub fn new(seed: u64, stream: u64, n: usize) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        let mut values: Vec<f64> = (0..n)
            .map(|i| (i as f64 + unit(&mut rng)) / n as f64)
            .collect();
        for i in (1..n).rev() {
            let j = (unit(&mut rng) * (i + 1) as f64) as usize;
            values.swap(i, j.min(i));
        }
        Self(values)
    }

    /// Sample `i` as a quantile level.
    pub fn level(&self, i: usize) -> f64 {
        self.0[i]
    }

    /// Sample `i` as a standard normal value.
    pub fn normal(&self, i: usize) -> f64 {
        super::normal_quantile(self.0[i])
    }

    /// Number of samples.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// A value strictly inside (0, 1), from the top 53 bits.
fn unit(rng: &mut ChaCha8Rng) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
}

/// The `p` quantile of `sorted` values, between neighbours by straight line.
pub fn quantile(sorted: &[f64], p: f64) -> f64 {
    match sorted {
        [] => f64::NAN,
        [only] => *only,
        _ => {
            let at = p.clamp(0.0, 1.0) * (sorted.len() - 1) as f64;
            let i = (at as usize).min(sorted.len() - 2);
            sorted[i] + (at - i as f64) * (sorted[i + 1] - sorted[i])
        }
    }
}

/// Standard error of a probability `p` found from `n` samples; never zero, so
/// that 0 of n is not mistaken for never (one in n + 2 stands in at the ends).
pub fn standard_error(p: f64, n: usize) -> f64 {
    let n = n as f64;
    let shrunk = (p * n + 1.0) / (n + 2.0);
    (shrunk * (1.0 - shrunk) / n).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_sample_in_each_slice_and_streams_differ() {
        let a = Column::new(7, 0, 100);
        let mut seen = [false; 100];
        for i in 0..100 {
            seen[(a.level(i) * 100.0) as usize] = true;
        }
        assert!(seen.iter().all(|s| *s));
        assert_ne!(a, Column::new(7, 1, 100));
        assert_eq!(a, Column::new(7, 0, 100));
    }

    #[test]
    fn quantiles_of_a_ramp() {
        let ramp: Vec<f64> = (0..=100).map(f64::from).collect();
        assert!((quantile(&ramp, 0.95) - 95.0).abs() < 1e-12);
        assert!((quantile(&ramp, 1.0) - 100.0).abs() < 1e-12);
    }
}
