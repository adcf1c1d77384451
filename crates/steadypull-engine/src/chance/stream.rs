//! Random numbers by their place: no state, so any part of a study can be worked
//! out alone.
//!
//! The hash is the output function of SplitMix64 (Steele, Lea, Flood, Fast
//! splittable pseudorandom number generators, OOPSLA 2014, with the constants of
//! Stafford's variant 13): number `n` of the stream that starts at `key`. Keys come
//! from ChaCha8, so streams do not line up.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// Number `n` of the stream `key`: 64 random bits.
pub(super) fn hash(key: u64, n: u64) -> u64 {
    let mut z = key.wrapping_add(n.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// What a key is for, so that no two uses share one.
#[derive(Debug, Clone, Copy)]
pub(super) enum Use {
    /// Scrambling of an input's Sobol values.
    Scramble = 1,
    /// An input's plain random values.
    Plain = 2,
}

/// The key of `input` in one of the repeats of a study.
pub(super) fn key(seed: u64, used_for: Use, input: usize, replicate: usize) -> u64 {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    // Latin-hypercube columns take the low streams, by input and repeat.
    rng.set_stream((used_for as u64) << 60 | input as u64);
    rng.set_word_pos(2 * replicate as u128);
    rng.next_u64()
}

/// A value strictly inside (0, 1) from random bits.
pub(super) fn unit(bits: u64) -> f64 {
    (2 * (bits >> 12) + 1) as f64 / (1u64 << 53) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SplitMix64 from seed 1234567, the reference sequence printed on Rosetta
    /// Code (`Pseudo-random numbers/Splitmix64`), from memory.
    #[test]
    fn published_splitmix_sequence() {
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        for (n, value) in expected.into_iter().enumerate() {
            assert_eq!(hash(1_234_567, n as u64), value);
        }
    }

    #[test]
    fn keys_differ_by_seed_use_input_and_repeat() {
        let base = key(1, Use::Scramble, 0, 0);
        assert_eq!(base, key(1, Use::Scramble, 0, 0));
        for other in [
            key(2, Use::Scramble, 0, 0),
            key(1, Use::Plain, 0, 0),
            key(1, Use::Scramble, 1, 0),
            key(1, Use::Scramble, 0, 1),
        ] {
            assert_ne!(base, other);
        }
    }

    #[test]
    fn units_stay_off_the_ends() {
        assert!(unit(0) > 0.0);
        assert!(unit(u64::MAX) < 1.0);
    }
}
