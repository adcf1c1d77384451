//! A sum of doubles without rounding until it is read.
//!
//! Every finite double is a whole number of 2^−1074, so a sum kept as one long whole
//! number is the same for any order and any split into shards, to the bit. The number
//! is held in digits of 32 bits, each in an `i64` with room for 2^30 additions before
//! carries are moved up (the superaccumulator of Kulisch; the form with delayed
//! carries after R. M. Neal, arXiv:1505.05571, from memory).

/// 2^−1074 up to 2^1024 and room for 2^64 terms, in digits of 32 bits.
const PLACES: usize = 69;
/// Additions before carries must move; each adds less than 2^32 to a digit.
const PATIENCE: u32 = 1 << 29;

/// The exact sum of the finite values added.
#[derive(Debug, Clone)]
pub(super) struct ExactSum {
    digits: Box<[i64; PLACES]>,
    added: u32,
}

impl Default for ExactSum {
    fn default() -> Self {
        Self {
            digits: Box::new([0; PLACES]),
            added: 0,
        }
    }
}

impl ExactSum {
    /// Adds a value; one that is not finite adds nothing (callers count those).
    pub(super) fn add(&mut self, value: f64) {
        let bits = value.to_bits();
        let exponent = ((bits >> 52) & 0x7FF) as usize;
        if exponent == 0x7FF {
            return;
        }
        let fraction = bits & ((1 << 52) - 1);
        // Subnormal numbers have the exponent of the least normal ones, no hidden bit.
        let (whole, shift) = if exponent == 0 {
            (fraction, 0)
        } else {
            (fraction | 1 << 52, exponent - 1)
        };
        let placed = u128::from(whole) << (shift % 32);
        let negative = bits >> 63 == 1;
        for k in 0..3 {
            let digit = (placed >> (32 * k)) as u32 as i64;
            self.digits[shift / 32 + k] += if negative { -digit } else { digit };
        }
        self.added += 1;
        if self.added >= PATIENCE {
            self.carry();
        }
    }

    /// Adds the square of a value, exactly: by Dekker's product in halves.
    pub(super) fn add_product(&mut self, a: f64, b: f64) {
        let product = a * b;
        self.add(product);
        if product.is_finite() {
            self.add(rest_of_product(a, b, product));
        }
    }

    /// Adds all that another holds.
    pub(super) fn merge(&mut self, other: &Self) {
        let mut other = other.clone();
        other.carry();
        self.carry();
        for (ours, theirs) in self.digits.iter_mut().zip(other.digits.iter()) {
            *ours += theirs;
        }
        self.added += 1;
    }

    /// The sum as a double, correct to the last bit or the one before.
    pub(super) fn value(&self) -> f64 {
        let mut sum = self.clone();
        sum.carry();
        let negative = sum.digits[PLACES - 1] < 0;
        if negative {
            sum.digits.iter_mut().for_each(|d| *d = -*d);
            sum.carry();
        }
        let Some(top) = sum.digits.iter().rposition(|d| *d != 0) else {
            return 0.0;
        };
        // The first 128 bits: their own rounding is all that is lost.
        let first = (0..4).fold(0u128, |n, k| {
            let digit = top
                .checked_sub(k)
                .map_or(0, |place| sum.digits[place] as u128);
            n << 32 | digit
        });
        let power = 32 * (top as i32 - 3) - 1074;
        let value = libm::ldexp(first as f64, power);
        if negative { -value } else { value }
    }

    /// Brings every digit but the last into 0 to 2^32.
    fn carry(&mut self) {
        let mut over = 0;
        for digit in self.digits[..PLACES - 1].iter_mut() {
            let whole = *digit + over;
            over = whole >> 32;
            *digit = whole & 0xFFFF_FFFF;
        }
        self.digits[PLACES - 1] += over;
        self.added = 0;
    }
}

/// `a b − product` exactly, if nothing under- or overflows (Dekker, Numer. Math. 18
/// (1971) 224–242).
fn rest_of_product(a: f64, b: f64, product: f64) -> f64 {
    let halves = |x: f64| {
        let c = x * 134_217_729.0;
        let high = c - (c - x);
        (high, x - high)
    };
    let ((ah, al), (bh, bl)) = (halves(a), halves(b));
    let rest = ((ah * bh - product) + ah * bl + al * bh) + al * bl;
    if rest.is_finite() { rest } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(values: &[f64]) -> ExactSum {
        let mut sum = ExactSum::default();
        values.iter().for_each(|x| sum.add(*x));
        sum
    }

    #[test]
    fn cancellation_and_scale_lose_nothing() {
        assert_eq!(sum(&[1e300, 1.0, -1e300]).value(), 1.0);
        assert_eq!(sum(&[1e-300, -3.0, 3.0]).value(), 1e-300);
        assert_eq!(sum(&[]).value(), 0.0);
        assert_eq!(sum(&[-0.1, -0.2]).value(), -0.1 - 0.2);
        assert_eq!(
            sum(&[f64::MIN_POSITIVE / 4.0; 4]).value(),
            f64::MIN_POSITIVE
        );
        assert_eq!(sum(&[f64::MAX, -f64::MAX, -2.5]).value(), -2.5);
    }

    #[test]
    fn any_order_and_any_split_give_the_same_bits() {
        let values: Vec<f64> = (0..1000)
            .map(|i| libm::sin(f64::from(i) * 1.7) * libm::exp(f64::from(i % 37) - 18.0))
            .collect();
        let whole = sum(&values).value();
        let backwards: Vec<f64> = values.iter().rev().copied().collect();
        assert_eq!(sum(&backwards).value(), whole);
        for cut in [1, 123, 999] {
            let mut first = sum(&values[..cut]);
            first.merge(&sum(&values[cut..]));
            assert_eq!(first.value(), whole);
        }
        let plain: f64 = values.iter().sum();
        assert!((plain - whole).abs() < 1e-12 * values.iter().map(|x| x.abs()).sum::<f64>());
    }

    #[test]
    fn products_are_exact() {
        let mut sum = ExactSum::default();
        // (1 + 2^-30)² = 1 + 2^-29 + 2^-60: the last term is lost in a double.
        let x = 1.0 + libm::exp2(-30.0);
        sum.add_product(x, x);
        sum.add(-1.0);
        sum.add(-libm::exp2(-29.0));
        assert_eq!(sum.value(), libm::exp2(-60.0));
    }
}
