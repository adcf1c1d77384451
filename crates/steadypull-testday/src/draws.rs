//! Random draws from a seed.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};
use steadypull_engine::chance::normal_quantile;

/// A stream of draws: the same seed gives the same draws anywhere.
pub(crate) struct Draws(ChaCha8Rng);

impl Draws {
    pub(crate) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// One value of the standard normal law.
    pub(crate) fn normal(&mut self) -> f64 {
        let even = (2 * (self.0.next_u64() >> 12) + 1) as f64 / (1u64 << 53) as f64;
        normal_quantile(even)
    }
}
