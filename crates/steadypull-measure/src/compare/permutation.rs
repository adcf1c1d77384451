//! The permutation test of two set-ups: how often chance alone, dealing the same pulls
//! out to two set-ups anew, parts their means as far.
//!
//! All deals are counted where they are at most [`MOST_COUNTED`]; otherwise they are
//! drawn from the seed and `p = (b + 1)/(m + 1)`, which never says less than it should
//! (Phipson, Smyth, Stat. Appl. Genet. Mol. Biol. 9 (2010) 39, from memory), with the
//! standard error of the sampling beside it. What it tests is that both set-ups have
//! one spread of values; unlike spreads about like means can also show.

use crate::draws::Draws;
use crate::problem::{Problem, finite};

/// Most deals that are counted one by one (10 pulls against 10 are 184 756).
pub const MOST_COUNTED: u64 = 200_000;
/// Deals drawn where there are more.
const DRAWN: u64 = 99_999;

/// What a permutation test found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Permutation {
    /// Share of deals that part the means at least as far, either way.
    pub p: f64,
    /// Standard error of `p` from drawing; nothing where all deals were counted.
    pub error: f64,
    /// Deals counted or drawn.
    pub deals: u64,
    /// Whether every deal was counted.
    pub exact: bool,
    /// Least p that so few pulls could ever give.
    pub least_p: f64,
}

/// n over k, none once it passes [`MOST_COUNTED`].
fn deals(n: usize, k: usize) -> Option<u64> {
    let mut count = 1_u64;
    for i in 0..k.min(n - k) {
        count = count * (n - i) as u64 / (i as u64 + 1);
        if count > MOST_COUNTED {
            return None;
        }
    }
    Some(count)
}

/// Values about their mean, and how far the sum of the first `k` stands off nothing,
/// less a crumb for rounding, so that equal deals count as equal.
struct Dealt {
    values: Vec<f64>,
    seen: f64,
}

impl Dealt {
    fn new(first: &[f64], second: &[f64]) -> Self {
        let mut values: Vec<f64> = first.iter().chain(second).copied().collect();
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        values.iter_mut().for_each(|x| *x -= mean);
        let size: f64 = values.iter().map(|x| x.abs()).sum();
        let sum: f64 = values[..first.len()].iter().sum();
        Self {
            values,
            seen: sum.abs() - 1e-12 * size,
        }
    }

    /// Deals of `k` at least as far off, by going through all of them.
    fn count_all(&self, k: usize) -> u64 {
        let n = self.values.len();
        let mut pick: Vec<usize> = (0..k).collect();
        let mut hits = 0;
        loop {
            let sum: f64 = pick.iter().map(|i| self.values[*i]).sum();
            hits += u64::from(sum.abs() >= self.seen);
            // The next choice in order: the last place that can still move on.
            let Some(i) = (0..k).rev().find(|i| pick[*i] < n - k + i) else {
                return hits;
            };
            pick[i] += 1;
            for j in i + 1..k {
                pick[j] = pick[j - 1] + 1;
            }
        }
    }

    /// Drawn deals of `k` at least as far off.
    fn count_drawn(mut self, k: usize, seed: u64) -> u64 {
        let mut draws = Draws::new(seed, 1);
        let mut hits = 0;
        for _ in 0..DRAWN {
            draws.shuffle(&mut self.values);
            let sum: f64 = self.values[..k].iter().sum();
            hits += u64::from(sum.abs() >= self.seen);
        }
        hits
    }
}

/// Two-sided test of the difference of means.
pub fn permutation(first: &[f64], second: &[f64], seed: u64) -> Result<Permutation, Problem> {
    finite("pulls of the first set-up", first, 1)?;
    finite("pulls of the second set-up", second, 1)?;
    let dealt = Dealt::new(first, second);
    let k = first.len();
    // Equal groups: each deal has a mirror image just as far off.
    let mirrored = if first.len() == second.len() {
        2.0
    } else {
        1.0
    };
    if let Some(all) = deals(first.len() + second.len(), k) {
        return Ok(Permutation {
            p: dealt.count_all(k) as f64 / all as f64,
            error: 0.0,
            deals: all,
            exact: true,
            least_p: mirrored / all as f64,
        });
    }
    let p = (dealt.count_drawn(k, seed) + 1) as f64 / (DRAWN + 1) as f64;
    Ok(Permutation {
        p,
        error: (p * (1.0 - p) / DRAWN as f64).sqrt(),
        deals: DRAWN,
        exact: false,
        least_p: 1.0 / (DRAWN + 1) as f64,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1, `permutation_test` over all deals:
    /// `validation/independent/measure/compare.py`.
    #[test]
    fn published_by_scipy_exact() {
        let first = [61.2, 58.9, 63.4, 60.1, 59.7];
        let second = [55.3, 57.8, 59.9, 56.1];
        let found = permutation(&first, &second, 1).unwrap();
        assert!(found.exact && found.deals == 126);
        assert!(
            (found.p - 0.047_619_047_619_047_616).abs() < 1e-12,
            "{}",
            found.p
        );
    }

    #[test]
    fn by_hand_two_against_two() {
        let found = permutation(&[1.0, 2.0], &[3.0, 4.0], 1).unwrap();
        assert!((found.p - 2.0 / 6.0).abs() < 1e-15);
        assert_eq!(found.least_p, 2.0 / 6.0);
    }

    #[test]
    fn drawn_agrees_with_counted() {
        let first: Vec<f64> = (0..10).map(|i| f64::from(i * i % 17)).collect();
        let second: Vec<f64> = (0..10).map(|i| f64::from(i * 7 % 19) + 3.0).collect();
        let exact = permutation(&first, &second, 1).unwrap();
        assert!(exact.exact);
        let hits = Dealt::new(&first, &second).count_drawn(10, 5);
        let drawn = hits as f64 / DRAWN as f64;
        let error = (exact.p * (1.0 - exact.p) / DRAWN as f64).sqrt();
        assert!((drawn - exact.p).abs() < 4.0 * error, "{drawn} {}", exact.p);
    }
}
