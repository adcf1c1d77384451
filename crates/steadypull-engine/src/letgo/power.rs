//! Powers in packs: `x^a = 2^(a log2 x)`, without a branch.
//!
//! `log2 x = e + 2/ln 2 · artanh s`, `s = (m − 1)/(m + 1)`, with `x = m 2^e` and `m`
//! between √½ and √2, by the series of artanh up to `s^15`; `2^y` by the series of
//! the exponential up to the tenth power of `y − round(y)`, at most a half. Only
//! IEEE operations on each number, so the bits are the same everywhere.
//!
//! Range: `x` between 1e-30 and 1e30 (less counts as 1e-30), results between 1e-300 and
//! 1e300 (beyond, those). Relative error under 1e-12 for powers up to 30 of what a line
//! meets; tested against `libm`.

use super::lanes::{all, greater, lesser};
use fearless_simd::{Simd, SimdBase, SimdFloat};

/// `1.5 · 2^52`: added to a small number it leaves its whole part in the low bits.
const WHOLE: f64 = 6_755_399_441_055_744.0;
const LEAST: f64 = 1e-30;
const MOST_EXPONENT: f64 = 996.0;
/// `2/ln 2 / (2k + 1)`.
const ARTANH: [f64; 8] = {
    let mut c = [0.0; 8];
    let mut k = 0;
    while k < 8 {
        c[k] = 2.0 * core::f64::consts::LOG2_E / (2 * k + 1) as f64;
        k += 1;
    }
    c
};
/// `(ln 2)^k / k!`.
const EXP: [f64; 11] = {
    let mut c = [1.0; 11];
    let mut k = 1;
    while k < 11 {
        c[k] = c[k - 1] * core::f64::consts::LN_2 / k as f64;
        k += 1;
    }
    c
};

/// `x^a`, exactly 1 where `a` is 0.
#[inline(always)]
pub(super) fn powers<S: Simd>(simd: S, x: S::f64s, a: S::f64s) -> S::f64s {
    exp2(simd, log2(simd, x) * a)
}

/// `x^a` to a few per cent, where only the size matters: the bits of a number taken as
/// its logarithm.
#[inline(always)]
pub(super) fn rough_powers<S: Simd>(simd: S, x: S::f64s, a: S::f64s) -> S::f64s {
    // Sign, exponent and twenty bits of the mantissa.
    const UNIT: f64 = (1u64 << 20) as f64;
    let x = greater::<S>(x, all(simd, LEAST));
    let top = S::f64s::from_bits((x.to_bits() >> 32) | WHOLE.to_bits());
    let log = top - all(simd, WHOLE + 1023.0 * UNIT);
    let least = all(simd, -MOST_EXPONENT * UNIT);
    let shifted = greater::<S>(log * a, least) + all(simd, WHOLE + 1023.0 * UNIT);
    S::f64s::from_bits(shifted.to_bits() << 32)
}

/// `1/x` to six per cent for positive `x`, without a division: the bits of a number taken
/// as its logarithm, then a step of Newton's.
#[inline(always)]
pub(super) fn rough_inverse<S: Simd>(simd: S, x: S::f64s) -> S::f64s {
    /// Twice the bits of 1, less what evens out the error (found by trial).
    const TWICE_ONE: u64 = 0x7fde_6238_5024_84ba;
    let guess = S::f64s::from_bits(all(simd, f64::from_bits(TWICE_ONE)).to_bits() - x.to_bits());
    guess * (all(simd, 2.0) - x * guess)
}

/// `x^a` of one number, to the bit what [`powers`] gives.
pub(super) fn power(x: f64, a: f64) -> f64 {
    fearless_simd::dispatch!(fearless_simd::Level::baseline(), simd => {
        powers(simd, all(simd, x), all(simd, a)).as_slice()[0]
    })
}

/// `c_k + c_(k+1) x`.
#[inline(always)]
fn pair<S: Simd>(simd: S, c: &[f64], k: usize, x: S::f64s) -> S::f64s {
    all(simd, c[k]) + x * c[k + 1]
}

#[inline(always)]
fn log2<S: Simd>(simd: S, x: S::f64s) -> S::f64s {
    let x = greater::<S>(x, all(simd, LEAST));
    // The bits of √½ taken away first bring the mantissa between √½ and √2.
    const HALF_ROOT: u64 = 0x3fe6_a09e_667f_3bcd;
    const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;
    // Exponent plus 1024 keeps it above nothing while it is shifted down; as a number
    // by the trick of the whole part.
    const UP: u64 = 1024 << 52;
    let shifted = x.to_bits() - HALF_ROOT;
    let whole = S::f64s::from_bits(((shifted + UP) >> 52) | WHOLE.to_bits());
    let exponent = whole - all(simd, WHOLE + 1024.0);
    let m = S::f64s::from_bits((shifted & MANTISSA) + HALF_ROOT);
    let s = (m - 1.0) / (m + 1.0);
    let s2 = s * s;
    // In pairs, so that no operation waits long for another.
    let s4 = s2 * s2;
    let pair = |k| pair(simd, &ARTANH, k, s2);
    let low = pair(0) + pair(2) * s4;
    let high = pair(4) + pair(6) * s4;
    let sum = low + high * (s4 * s4);
    exponent + sum * s
}

#[inline(always)]
fn exp2<S: Simd>(simd: S, y: S::f64s) -> S::f64s {
    let y = greater::<S>(y, all(simd, -MOST_EXPONENT));
    let y = lesser::<S>(y, all(simd, MOST_EXPONENT));
    let shifted = y + WHOLE;
    let f = y - (shifted - WHOLE);
    let f2 = f * f;
    let f4 = f2 * f2;
    let pair = |k| pair(simd, &EXP, k, f);
    let low = pair(0) + pair(2) * f2;
    let middle = pair(4) + pair(6) * f2;
    let high = pair(8) + f2 * EXP[10];
    let sum = low + (middle + high * f4) * f4;
    // The low bits of the shifted number are the whole part: made an exponent.
    let two_to = S::f64s::from_bits((shifted.to_bits() + 1023) << 52);
    sum * two_to
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_agree_with_libm() {
        let mut worst = 0.0_f64;
        for k in 0..4000 {
            let x = libm::exp(-14.0 + 0.0041 * f64::from(k));
            for a in [0.05, 0.5, 0.6, 1.0, 1.7, 4.0, 10.0, 29.0] {
                let exact = libm::pow(x, a);
                if exact > 1e-250 && exact < 1e250 {
                    worst = worst.max((power(x, a) / exact - 1.0).abs());
                }
            }
            assert_eq!(power(x, 0.0), 1.0);
        }
        assert!(worst < 1e-12, "{worst}");
        for x in [1e-6, 0.01, 0.3, 0.9, 1.0] {
            for a in [0.0, 0.3, 1.0, 2.0] {
                let rough = fearless_simd::dispatch!(fearless_simd::Level::baseline(), simd => {
                    rough_powers(simd, all(simd, x), all(simd, a)).as_slice()[0]
                });
                let ratio = rough / libm::pow(x, a);
                assert!(ratio > 0.8 && ratio < 1.25, "{x}^{a}: {ratio}");
            }
        }
        for k in 0..200 {
            let x = libm::exp(0.2 * f64::from(k) - 30.0);
            let rough = fearless_simd::dispatch!(fearless_simd::Level::baseline(), simd => {
                rough_inverse(simd, all(simd, x)).as_slice()[0]
            });
            assert!((rough * x - 1.0).abs() < 0.06, "1/{x}: {rough}");
        }
        assert!(power(0.0, 2.0) < 1e-59 && power(1e-200, 29.0) >= 0.0);
        for x in [1.0, 2.0, 0.25] {
            assert_eq!(power(x, 1.0), x);
        }
    }
}
