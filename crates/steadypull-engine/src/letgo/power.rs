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

use super::lanes::Four;

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

impl Four {
    /// `self^a`, exactly 1 where `a` is 0.
    #[inline(always)]
    pub fn power(self, a: Self) -> Self {
        exp2(log2(self) * a)
    }

    /// `self^a` to a few per cent, where only the size matters: the bits of a number
    /// taken as its logarithm.
    #[inline(always)]
    pub fn rough_power(self, a: Self) -> Self {
        // Sign, exponent and twenty bits of the mantissa.
        const UNIT: f64 = (1u64 << 20) as f64;
        let x = self.max(Four::all(LEAST)).0;
        let top = |x: f64| f64::from_bits((x.to_bits() >> 32) | WHOLE.to_bits());
        let log =
            Four([top(x[0]), top(x[1]), top(x[2]), top(x[3])]) - Four::all(WHOLE + 1023.0 * UNIT);
        let shifted =
            (log * a).max(Four::all(-MOST_EXPONENT * UNIT)) + Four::all(WHOLE + 1023.0 * UNIT);
        let back = |s: f64| f64::from_bits(s.to_bits() << 32);
        let s = shifted.0;
        Four([back(s[0]), back(s[1]), back(s[2]), back(s[3])])
    }
}

/// `x^a` of one number, to the bit what [`Four::power`] gives.
pub(super) fn power(x: f64, a: f64) -> f64 {
    Four::all(x).power(Four::all(a)).0[0]
}

/// `c_k + c_(k+1) x`.
#[inline(always)]
fn pair(c: &[f64], k: usize, x: Four) -> Four {
    Four::all(c[k]) + x * c[k + 1]
}

#[inline(always)]
fn log2(x: Four) -> Four {
    let x = x.max(Four::all(LEAST));
    // The bits of √½ taken away first bring the mantissa between √½ and √2.
    const HALF_ROOT: u64 = 0x3fe6_a09e_667f_3bcd;
    const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;
    let b = x.0.map(f64::to_bits);
    let shifted = [
        b[0].wrapping_sub(HALF_ROOT),
        b[1].wrapping_sub(HALF_ROOT),
        b[2].wrapping_sub(HALF_ROOT),
        b[3].wrapping_sub(HALF_ROOT),
    ];
    // Exponent plus 1024 keeps it above nothing while it is shifted down; as a number
    // by the trick of the whole part.
    const UP: u64 = 1024 << 52;
    let whole = |s: u64| f64::from_bits((s.wrapping_add(UP) >> 52) | WHOLE.to_bits());
    let exponent = Four([
        whole(shifted[0]),
        whole(shifted[1]),
        whole(shifted[2]),
        whole(shifted[3]),
    ]) - Four::all(WHOLE + 1024.0);
    let part = |s: u64| f64::from_bits((s & MANTISSA).wrapping_add(HALF_ROOT));
    let m = Four([
        part(shifted[0]),
        part(shifted[1]),
        part(shifted[2]),
        part(shifted[3]),
    ]);
    let s = (m - Four::all(1.0)).over(m + Four::all(1.0));
    let s2 = s * s;
    // In pairs, so that no operation waits long for another.
    let s4 = s2 * s2;
    let low = pair(&ARTANH, 0, s2) + pair(&ARTANH, 2, s2) * s4;
    let high = pair(&ARTANH, 4, s2) + pair(&ARTANH, 6, s2) * s4;
    let sum = low + high * (s4 * s4);
    exponent + sum * s
}

#[inline(always)]
fn exp2(y: Four) -> Four {
    let y = y
        .max(Four::all(-MOST_EXPONENT))
        .min(Four::all(MOST_EXPONENT));
    let shifted = y + Four::all(WHOLE);
    let f = y - (shifted - Four::all(WHOLE));
    let f2 = f * f;
    let f4 = f2 * f2;
    let low = pair(&EXP, 0, f) + pair(&EXP, 2, f) * f2;
    let middle = pair(&EXP, 4, f) + pair(&EXP, 6, f) * f2;
    let high = pair(&EXP, 8, f) + f2 * EXP[10];
    let sum = low + (middle + high * f4) * f4;
    // The low bits of the shifted number are the whole part: made an exponent.
    let two_to = |s: f64| f64::from_bits((s.to_bits().wrapping_add(1023)) << 52);
    let s = shifted.0;
    sum * Four([two_to(s[0]), two_to(s[1]), two_to(s[2]), two_to(s[3])])
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
                let rough = Four::all(x).rough_power(Four::all(a)).0[2];
                let ratio = rough / libm::pow(x, a);
                assert!(ratio > 0.8 && ratio < 1.25, "{x}^{a}: {ratio}");
            }
        }
        assert!(power(0.0, 2.0) < 1e-59 && power(1e-200, 29.0) >= 0.0);
        for x in [1.0, 2.0, 0.25] {
            assert_eq!(power(x, 1.0), x);
        }
    }
}
