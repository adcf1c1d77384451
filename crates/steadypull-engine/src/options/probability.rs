//! A probability found from runs, with the interval its sampling leaves.

use crate::chance::REPLICATES;

/// A probability and its 90 % sampling interval: of the drawing of runs alone, not
/// of what the model leaves out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probability {
    /// As found.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Student's t at 95 % with 15 degrees of freedom: [`REPLICATES`] repeats.
const STUDENT_T: f64 = 1.753_050_355_692_57;
/// Standard normal at 95 %.
const NORMAL: f64 = 1.644_853_626_951_472_2;

impl Probability {
    /// From runs in which it happened (1) or not (0): Wilson's score interval,
    /// which is that of plain random runs and so on the wide side for even ones.
    pub fn of_counts(each: &[f64]) -> Self {
        let n = each.len().max(1) as f64;
        let p = each.iter().sum::<f64>() / n;
        let z2 = NORMAL * NORMAL / n;
        let middle = (p + z2 / 2.0) / (1.0 + z2);
        let half = (z2 * (p * (1.0 - p) + z2 / 4.0)).sqrt() / (1.0 + z2);
        Self::held(p, middle - half, middle + half)
    }

    /// From the chance in each run, run `i` belonging to repeat `i mod REPLICATES`:
    /// Student's t over the repeats' means.
    pub fn of_chances(each: &[f64]) -> Self {
        let mut sums = [(0.0, 0.0); REPLICATES];
        for (i, p) in each.iter().enumerate() {
            let sum = &mut sums[i % REPLICATES];
            *sum = (sum.0 + p, sum.1 + 1.0);
        }
        let means: Vec<f64> = sums
            .iter()
            .map(|(sum, n)| sum / f64::max(*n, 1.0))
            .collect();
        let count = means.len() as f64;
        let p = means.iter().sum::<f64>() / count;
        let square = means.iter().map(|m| (m - p) * (m - p)).sum::<f64>() / (count - 1.0);
        let half = STUDENT_T * (square / count).sqrt();
        Self::held(p, p - half, p + half)
    }

    fn held(value: f64, low: f64, high: f64) -> Self {
        Self {
            value,
            low: low.clamp(0.0, value),
            high: high.clamp(value, 1.0),
        }
    }
}
