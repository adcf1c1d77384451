//! Which inputs drive an answer: first-order and total shares of its variance.
//!
//! With V the variance of the answer Y and Xᵢ the inputs,
//!
//! ```text
//! Sᵢ  = V[ E(Y | Xᵢ) ] / V            what knowing Xᵢ alone would take away
//! STᵢ = E[ V(Y | all but Xᵢ) ] / V    what would stay if all but Xᵢ were known
//! ```
//!
//! estimated from groups of runs: A and B, two points with nothing in common, and
//! ABᵢ, which is A with input i from B:
//!
//! ```text
//! Sᵢ  ≈ Σ (f(B) − c)(f(ABᵢ) − f(A)) / (n V)     Saltelli et al. 2010, with the
//! STᵢ ≈ Σ (f(A) − f(ABᵢ))² / (2 n V)            mean c taken off; Jansen 1999
//! ```
//!
//! Each share has an interval by the jackknife over repeats (each repeat left out in
//! turn) with Student's t. Inputs are taken as independent; first-order shares add up
//! to at most one, and what they leave is interplay. Inputs that are drawn together
//! ([`super::Copula`]) have no such share each: they are one Xᵢ, a group that goes from A
//! to B whole (I. M. Sobol', Math. Comput. Simul. 55 (2001) 271–280, shares of groups;
//! from memory). An estimate may fall a little
//! below nothing or above one: that is sampling error, shown and not cut off.
//!
//! Sources: A. Saltelli and others, Comput. Phys. Commun. 181 (2010) 259–270, table 2
//! (b, f); M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35–43; both from memory.

use super::exact_sum::ExactSum;
use super::interval::{Interval, over_repeats};
use super::sampler::{Sampler, SamplerError};

/// Which run of a sensitivity study takes which levels.
///
/// Run `n` belongs to group `⌊n/(d + 2)⌋`; in it come A, B, AB₁ … AB_d. Any run can
/// be worked out alone, so shards and threads give the same numbers.
#[derive(Debug, Clone)]
pub struct Design {
    sampler: Sampler,
    inputs: usize,
}

impl Design {
    /// For `inputs` uncertain inputs, on scrambled Sobol points of twice as many.
    pub fn new(seed: u64, inputs: usize, replicates: usize) -> Result<Self, SamplerError> {
        Ok(Self {
            sampler: Sampler::sobol(seed, 2 * inputs, replicates)?,
            inputs,
        })
    }

    /// Runs in one group: the inputs and two more.
    pub fn group(&self) -> u64 {
        self.inputs as u64 + 2
    }

    /// Number of uncertain inputs.
    pub fn inputs(&self) -> usize {
        self.inputs
    }

    /// Number of independent repeats.
    pub fn replicates(&self) -> usize {
        self.sampler.replicates()
    }

    /// Level of `input` in run `run`, strictly inside (0, 1).
    pub fn level(&self, run: u64, input: usize) -> f64 {
        let (group, part) = (run / self.group(), run % self.group());
        let from_b = part == 1 || part == input as u64 + 2;
        let column = if from_b { self.inputs + input } else { input };
        self.sampler.level(group, column)
    }
}

/// Shares of one answer's variance as the runs come in.
///
/// Exact sums, so memory stays fixed and any order and split give the same bits.
#[derive(Debug, Clone)]
pub struct Sensitivity {
    repeats: Vec<Sums>,
    failed: u64,
}

/// The sums of one repeat.
#[derive(Debug, Clone, Default)]
struct Sums {
    groups: u64,
    /// Σ f(A) + f(B), and of the squares.
    both: ExactSum,
    squares: ExactSum,
    inputs: Vec<InputSums>,
}

#[derive(Debug, Clone, Default)]
struct InputSums {
    /// Σ f(B) (f(ABᵢ) − f(A)), as its two products.
    products: ExactSum,
    /// Σ f(ABᵢ) − f(A).
    differences: ExactSum,
    /// Σ (f(ABᵢ) − f(A))².
    squares: ExactSum,
}

/// How much of an answer's variance one input drives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// First order: by itself.
    pub first: f64,
    /// Interval for it.
    pub first_interval: Interval,
    /// Total: with all its interplay.
    pub total: f64,
    /// Interval for it.
    pub total_interval: Interval,
}

impl Sensitivity {
    /// Nothing added yet; sizes as the design has.
    pub fn new(inputs: usize, replicates: usize) -> Self {
        let empty = Sums {
            inputs: vec![InputSums::default(); inputs],
            ..Sums::default()
        };
        Self {
            repeats: vec![empty; replicates.max(1)],
            failed: 0,
        }
    }

    /// Adds the answers of group number `group`: A, B, AB₁ … AB_d. A group with an
    /// answer that is no finite number, or with too few, is counted as failed.
    pub fn add(&mut self, group: u64, answers: &[f64]) {
        let repeat = (group % self.repeats.len() as u64) as usize;
        let sums = &mut self.repeats[repeat];
        let whole = answers.len() == sums.inputs.len() + 2;
        if !whole || answers.iter().any(|x| !x.is_finite()) {
            self.failed += 1;
            return;
        }
        sums.add(answers);
    }

    /// Adds all that another shard of the same study added.
    pub fn merge(&mut self, other: &Self) {
        for (ours, theirs) in self.repeats.iter_mut().zip(&other.repeats) {
            ours.merge(theirs);
        }
        self.failed += other.failed;
    }

    /// Groups added.
    pub fn groups(&self) -> u64 {
        self.repeats.iter().map(|sums| sums.groups).sum()
    }

    /// Groups with an answer that was no number.
    pub fn failed(&self) -> u64 {
        self.failed
    }

    /// The share of each input; none when the answer does not vary at all, or before
    /// every repeat has a group.
    pub fn shares(&self, confidence: f64) -> Option<Vec<Share>> {
        let whole = Sums::pooled(self.repeats.iter()).estimate()?;
        let without: Vec<Vec<[f64; 2]>> = (0..self.repeats.len())
            .map(|left_out| {
                let kept = self.repeats.iter().enumerate();
                Sums::pooled(kept.filter(|(r, _)| *r != left_out).map(|(_, s)| s)).estimate()
            })
            .collect::<Option<_>>()?;
        let interval = |input: usize, order: usize| {
            let left: Vec<f64> = without.iter().map(|e| e[input][order]).collect();
            jackknife(whole[input][order], &left, confidence)
        };
        let share = |(input, e): (usize, &[f64; 2])| Share {
            first: e[0],
            first_interval: interval(input, 0),
            total: e[1],
            total_interval: interval(input, 1),
        };
        Some(whole.iter().enumerate().map(share).collect())
    }
}

/// Student's interval of the pseudo-values n θ − (n − 1) θ₍₋ᵣ₎ (Miller, Biometrika 61
/// (1974) 1–15, from memory), laid about the pooled estimate.
fn jackknife(whole: f64, without: &[f64], confidence: f64) -> Interval {
    let n = without.len() as f64;
    let pseudo: Vec<f64> = without.iter().map(|e| n * whole - (n - 1.0) * e).collect();
    let half = over_repeats(&pseudo, confidence, 0.0).half_width();
    Interval {
        low: whole - half,
        high: whole + half,
    }
}

impl Sums {
    fn add(&mut self, answers: &[f64]) {
        let (a, b) = (answers[0], answers[1]);
        self.groups += 1;
        for y in [a, b] {
            self.both.add(y);
            self.squares.add_product(y, y);
        }
        for (sums, mixed) in self.inputs.iter_mut().zip(&answers[2..]) {
            let difference = mixed - a;
            sums.products.add_product(b, difference);
            sums.differences.add(difference);
            sums.squares.add_product(difference, difference);
        }
    }

    fn merge(&mut self, other: &Self) {
        self.groups += other.groups;
        self.both.merge(&other.both);
        self.squares.merge(&other.squares);
        if self.inputs.is_empty() {
            self.inputs = vec![InputSums::default(); other.inputs.len()];
        }
        for (ours, theirs) in self.inputs.iter_mut().zip(&other.inputs) {
            ours.products.merge(&theirs.products);
            ours.differences.merge(&theirs.differences);
            ours.squares.merge(&theirs.squares);
        }
    }

    fn pooled<'a>(repeats: impl Iterator<Item = &'a Self>) -> Self {
        let mut pooled = Self::default();
        repeats.for_each(|sums| pooled.merge(sums));
        pooled
    }

    /// First-order and total share of each input.
    fn estimate(&self) -> Option<Vec<[f64; 2]>> {
        let n = self.groups as f64;
        let mean = self.both.value() / (2.0 * n);
        let squares = self.squares.value();
        let variance = squares / (2.0 * n) - mean * mean;
        // Less than this is the rounding of the squares, and no variance.
        let varies = variance > 1e-13 * squares / (2.0 * n);
        if self.groups == 0 || !varies {
            return None;
        }
        let shares = |sums: &InputSums| {
            let first = sums.products.value() - mean * sums.differences.value();
            let total = 0.5 * sums.squares.value();
            [first / (n * variance), total / (n * variance)]
        };
        Some(self.inputs.iter().map(shares).collect())
    }
}

#[cfg(test)]
#[path = "sensitivity_tests.rs"]
mod tests;
