//! Sobol points with nested uniform scrambling, any point by its number.
//!
//! Point `i` of dimension `j` is the exclusive-or of the direction numbers that
//! the Gray code of `i` picks (Antonov, Saleev 1979; numbers: [`super::joe_kuo`]).
//! Any 2^m points in a row from a multiple of 2^m have one value in every slice of
//! width 2^−m of every input, and are spread as evenly over pairs of inputs.
//!
//! Scrambling (A. B. Owen, Randomly permuted (t,m,s)-nets and (t,s)-sequences,
//! Lecture Notes in Statistics 106 (1995) 299–317, from memory): digit `k` is
//! turned over or not by a coin that depends on the digits before it. Each value is
//! then uniform on its own, the evenness stays, and scrambles with other keys are
//! independent repeats, from whose scatter the sampling error is known. The coins
//! come from a hash of key and digits, six levels of the tree a hash, so no state
//! is kept and point `i` needs no point before it.
//!
//! Values have 52 random digits and a final one, (2k + 1)/2^53: strictly inside
//! (0, 1), the same distance from both ends.

use super::joe_kuo::ROWS;
use super::stream::hash;

/// Inputs that the table of direction numbers reaches to.
pub(super) const MOST_INPUTS: usize = ROWS.len() + 1;
/// Random binary digits of a value.
const DIGITS: u32 = 52;
/// Levels of the scrambling tree decided by one hash: 2⁶ − 1 coins of 64 bits.
const LEVELS: u32 = 6;

/// Direction numbers of the first inputs.
#[derive(Debug, Clone)]
pub(super) struct Sobol(Vec<[u64; DIGITS as usize]>);

impl Sobol {
    /// For `inputs` inputs, at most [`MOST_INPUTS`].
    pub(super) fn new(inputs: usize) -> Self {
        Self((0..inputs.min(MOST_INPUTS)).map(directions).collect())
    }

    /// The first 52 digits of point `i` before scrambling, as a whole number.
    pub(super) fn digits(&self, i: u64, input: usize) -> u64 {
        let mut picked = (i ^ (i >> 1)) & ((1 << DIGITS) - 1);
        let directions = &self.0[input];
        let mut digits = 0;
        while picked != 0 {
            digits ^= directions[picked.trailing_zeros() as usize];
            picked &= picked - 1;
        }
        digits
    }

    /// Point `i`, scrambled by `key`, strictly inside (0, 1).
    pub(super) fn level(&self, i: u64, input: usize, key: u64) -> f64 {
        let digits = scrambled(self.digits(i, input), key);
        (2 * digits + 1) as f64 / (1u64 << (DIGITS + 1)) as f64
    }
}

/// The digits with every one turned over or not by the coin at its place in the tree.
fn scrambled(digits: u64, key: u64) -> u64 {
    let mut out = 0;
    let mut done = 0;
    while done < DIGITS {
        let width = LEVELS.min(DIGITS - done);
        let before = digits >> (DIGITS - done);
        let coins = hash(key, (u64::from(done) << DIGITS) | before);
        let here = (digits >> (DIGITS - done - width)) & ((1 << width) - 1);
        let mut turned = here;
        for k in 0..width {
            let place = (1 << k) | (here >> (width - k));
            turned ^= ((coins >> place) & 1) << (width - 1 - k);
        }
        out = (out << width) | turned;
        done += width;
    }
    out
}

/// Direction numbers of one input by the recurrence of its polynomial.
fn directions(input: usize) -> [u64; DIGITS as usize] {
    let mut v = [0u64; DIGITS as usize];
    let Some((inner, first)) = input.checked_sub(1).map(|row| ROWS[row]) else {
        for (k, v) in v.iter_mut().enumerate() {
            *v = 1 << (DIGITS as usize - 1 - k);
        }
        return v;
    };
    let degree = first.len();
    for k in 0..v.len() {
        v[k] = match first.get(k) {
            Some(m) => u64::from(*m) << (DIGITS as usize - 1 - k),
            None => {
                let mut next = v[k - degree] ^ (v[k - degree] >> degree);
                for j in 1..degree {
                    if (inner >> (degree - 1 - j)) & 1 == 1 {
                        next ^= v[k - j];
                    }
                }
                next
            }
        };
    }
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bare(points: &Sobol, i: u64, input: usize) -> f64 {
        points.digits(i, input) as f64 / (1u64 << DIGITS) as f64
    }

    /// scipy 1.17.1, `qmc.Sobol(256, scramble=False, bits=52)`.
    #[test]
    fn published_by_scipy_points_before_scrambling() {
        let points = Sobol::new(MOST_INPUTS);
        for (i, input, value) in [
            (1, 0, 0.5),
            (2, 1, 0.25),
            (5, 2, 0.125),
            (7, 6, 0.625),
            (100, 9, 0.695_312_5),
            (1000, 17, 0.344_726_562_5),
            (777, 30, 0.541_992_187_5),
            (4095, 63, 0.553_466_796_875),
            (8191, 100, 0.109_497_070_312_5),
            (6000, 127, 0.707_641_601_562_5),
            (3333, 200, 0.135_986_328_125),
            (8190, 255, 0.703_002_929_687_5),
        ] {
            assert_eq!(bare(&points, i, input), value, "point {i} input {input}");
        }
        // Sums over all 256 inputs, so that every row of the table counts.
        for (i, sum) in [(3, 127.5), (500, 129.875), (8191, 129.728_759_765_625)] {
            let ours: f64 = (0..256).map(|j| bare(&points, i, j)).sum();
            assert_eq!(ours, sum, "point {i}");
        }
    }

    #[test]
    fn every_slice_of_every_input_holds_one_point_scrambled_or_not() {
        let points = Sobol::new(MOST_INPUTS);
        for input in 0..MOST_INPUTS {
            for (start, key) in [(0, 11), (512, 12)] {
                let mut seen = [false; 512];
                for i in start..start + 512 {
                    seen[(points.level(i, input, key) * 512.0) as usize] = true;
                }
                assert!(seen.iter().all(|s| *s), "input {input}");
            }
        }
    }

    /// The first two inputs are a (0, m, 2)-net: every box of area 2^−m, of any
    /// shape, holds one of 2^m points (Niederreiter 1992, ch. 4).
    #[test]
    fn every_elementary_box_of_two_inputs_holds_one_point() {
        let points = Sobol::new(2);
        for across in 0..=8u32 {
            let (wide, high) = (f64::from(1 << across), f64::from(1 << (8 - across)));
            let mut seen = [0; 256];
            for i in 0..256 {
                let a = (points.level(i, 0, 5) * wide) as usize;
                let b = (points.level(i, 1, 6) * high) as usize;
                seen[a * high as usize + b] += 1;
            }
            assert!(seen.iter().all(|s| *s == 1), "across {across}");
        }
    }

    /// A coin depends on the digits before it alone: two values that share their
    /// first digits share them after scrambling, and differ at the same place.
    #[test]
    fn scrambling_is_nested() {
        for k in 0..DIGITS {
            let a = 0x000A_5A5A_C3C3_F00F;
            let b = a ^ (1 << (DIGITS - 1 - k));
            let (sa, sb) = (scrambled(a, 99), scrambled(b, 99));
            assert_eq!(sa >> (DIGITS - k), sb >> (DIGITS - k), "digit {k}");
            assert_ne!(sa >> (DIGITS - 1 - k), sb >> (DIGITS - 1 - k), "digit {k}");
        }
        assert_ne!(scrambled(1, 99), scrambled(1, 100));
    }
}
