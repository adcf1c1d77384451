//! Random draws from a seed: the same seed and stream give the same draws anywhere.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// A stream of draws.
pub(crate) struct Draws(ChaCha8Rng);

impl Draws {
    /// The stream `stream` of `seed`.
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    /// A whole number below `n`, each as likely as the next; `n` above nothing.
    ///
    /// Lemire's multiplication without rejection: for `n` under 2³² the bias is
    /// below 2⁻³².
    pub(crate) fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.0.next_u64()) * n as u128) >> 64) as usize
    }

    /// Puts the values in an order as likely as any other (Fisher and Yates).
    pub(crate) fn shuffle<T>(&mut self, values: &mut [T]) {
        for i in (1..values.len()).rev() {
            values.swap(i, self.below(i + 1));
        }
    }
}
