//! Shares against functions whose shares are known.

use core::f64::consts::PI;

use super::*;
use crate::chance::{Distribution, REPLICATES};

fn study(inputs: usize, groups: u64, f: impl Fn(&[f64]) -> f64) -> Sensitivity {
    part(inputs, 0..groups, f)
}

fn part(inputs: usize, groups: std::ops::Range<u64>, f: impl Fn(&[f64]) -> f64) -> Sensitivity {
    let design = Design::new(77, inputs, REPLICATES).unwrap();
    let mut sensitivity = Sensitivity::new(inputs, REPLICATES);
    for group in groups {
        let answers: Vec<f64> = (0..design.group())
            .map(|k| {
                let run = group * design.group() + k;
                let levels: Vec<f64> = (0..inputs).map(|j| design.level(run, j)).collect();
                f(&levels)
            })
            .collect();
        sensitivity.add(group, &answers);
    }
    sensitivity
}

/// sin x₁ + 7 sin² x₂ + 0.1 x₃⁴ sin x₁, each x even over −π to π (Ishigami, Homma,
/// ISUMA 1990).
fn ishigami(levels: &[f64]) -> f64 {
    let x: Vec<f64> = levels.iter().map(|p| PI * (2.0 * p - 1.0)).collect();
    let s = libm::sin(x[1]);
    libm::sin(x[0]) * (1.0 + 0.1 * x[2] * x[2] * x[2] * x[2]) + 7.0 * s * s
}

fn close(sensitivity: &Sensitivity, first: &[f64], total: &[f64], within: f64) {
    let shares = sensitivity.shares(0.9).unwrap();
    let worst = |k: usize| {
        let share = shares[k];
        (share.first - first[k])
            .abs()
            .max((share.total - total[k]).abs())
    };
    println!(
        "worst error {}",
        (0..shares.len()).map(worst).fold(0.0, f64::max)
    );
    for (k, share) in shares.iter().enumerate() {
        assert!(
            (share.first - first[k]).abs() < within,
            "first of {k}: {share:?}"
        );
        assert!(
            (share.total - total[k]).abs() < within,
            "total of {k}: {share:?}"
        );
    }
}

/// Values printed in Saltelli and others, Global Sensitivity Analysis: The Primer
/// (2008), and their closed forms in Homma, Saltelli 1996; from memory.
#[test]
fn published_ishigami_shares() {
    let (first, total) = ([0.3139, 0.4424, 0.0], [0.5576, 0.4424, 0.2437]);
    close(&study(3, 65_536, ishigami), &first, &total, 0.003);
    close(&study(3, 1024, ishigami), &first, &total, 0.06);
}

/// A sum of normals has shares aᵢ² σᵢ² over the whole, first order and total alike.
#[test]
fn closed_form_linear_shares() {
    let weights = [1.0, -2.0, 3.0, 0.0, 0.5];
    let normal = Distribution::Normal {
        mean: 100.0,
        sd: 1.0,
    };
    let linear = |levels: &[f64]| -> f64 {
        let term = |(p, w): (&f64, f64)| w * normal.quantile(*p);
        levels.iter().zip(weights).map(term).sum()
    };
    let whole: f64 = weights.iter().map(|w| w * w).sum();
    let exact = weights.map(|w| w * w / whole);
    close(&study(5, 16_384, linear), &exact, &exact, 0.003);
}

/// Π (|4x − 2| + a)/(1 + a) with Vᵢ = 1/(3 (1 + aᵢ)²) (Sobol 1993; the a of Saltelli
/// and others 2010).
#[test]
fn closed_form_sobol_g_shares() {
    let a = [0.0, 1.0, 4.5, 9.0, 99.0];
    let g = |levels: &[f64]| -> f64 {
        let factor = |(x, a): (&f64, f64)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a);
        levels.iter().zip(a).map(factor).product()
    };
    let parts = a.map(|a| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
    let all: f64 = parts.iter().map(|v| 1.0 + v).product();
    let first = parts.map(|v| v / (all - 1.0));
    let total = parts.map(|v| v / (1.0 + v) * all / (all - 1.0));
    close(&study(5, 16_384, g), &first, &total, 0.003);
}

#[test]
fn shards_give_the_same_bits() {
    let whole = study(3, 512, ishigami).shares(0.9);
    for cut in [1, 100, 511] {
        let mut late = part(3, cut..512, ishigami);
        late.merge(&part(3, 0..cut, ishigami));
        assert_eq!(late.shares(0.9), whole);
    }
}

#[test]
fn an_answer_that_does_not_vary_has_no_shares() {
    assert_eq!(study(2, 64, |_| 3.3).shares(0.9), None);
    let mut failed = Sensitivity::new(2, 4);
    failed.add(0, &[1.0, f64::NAN, 1.0, 2.0]);
    failed.add(1, &[1.0]);
    assert_eq!((failed.groups(), failed.failed()), (0, 2));
    assert_eq!(failed.shares(0.9), None);
}
