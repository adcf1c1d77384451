//! Noise for tests, by its place: the same in any order.

use steadypull_engine::chance::normal_quantile;

/// Even values in (0, 1) from a counter: SplitMix64, as in the engine.
pub fn unit(seed: u64, n: u64) -> f64 {
    let mut z = seed.wrapping_add((n + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    (2 * (z >> 12) + 1) as f64 / (1u64 << 53) as f64
}

/// Standard normal values likewise.
pub fn normal(seed: u64, n: u64) -> f64 {
    normal_quantile(unit(seed, n))
}
