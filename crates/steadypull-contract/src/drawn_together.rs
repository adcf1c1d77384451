//! For tests of draws: a line file whose numbers go together, and how values go together.

use std::collections::BTreeMap;

use steadypull_engine::chance::normal_quantile;
use steadypull_engine::plan::Plan;

use crate::plan_file::LineFiles;

/// The measured numbers, as keys under `line.strap`.
pub(crate) const NUMBERS: [&str; 3] = ["stretch", "energy_return", "set"];
/// Pairs of them, and their correlations in [`together`]; invented.
pub(crate) const PAIRS: [((usize, usize), f64); 3] =
    [((0, 1), -0.62), ((0, 2), 0.31), ((1, 2), 0.18)];

/// An invented line file whose numbers are drawn each by itself.
pub(crate) const APART: &str = include_str!("../tests/strap-dry.line.toml");

/// The same, drawn together.
pub(crate) fn together() -> String {
    let pair =
        |((a, b), r): ((usize, usize), f64)| format!("{}.{} = {r}\n", NUMBERS[a], NUMBERS[b]);
    let pairs: String = PAIRS.map(pair).concat();
    APART.replacen("[fit]", &format!("[correlation]\n{pairs}\n[fit]"), 1)
}

/// A plan with that line beside it.
pub(crate) fn plan() -> String {
    let plan = include_str!("../../../examples/steep-bank-lowering.toml");
    format!("{plan}\n[line.strap]\nfile = \"strap-dry.line.toml\"\n")
}

pub(crate) fn files(line: &str) -> LineFiles {
    let named = ("strap-dry.line.toml".to_string(), line.to_string());
    LineFiles::from(&BTreeMap::from([named]))
}

/// Normal scores of values drawn of the spread `key` of `plan`.
pub(crate) fn scores(plan: &Plan, key: &str, values: &[f64]) -> Vec<f64> {
    let key = format!("line.strap.{key}");
    let spread = plan.spreads.iter().find(|s| s.key == key).expect(&key);
    let score = |value: &f64| normal_quantile(spread.distribution.probability_below(*value));
    values.iter().map(score).collect()
}

/// Asserts that two columns of normal scores have the correlation `wanted`, within four
/// standard errors of so many plain draws, (1 - r²)/√n (Fisher 1915, from memory).
pub(crate) fn go_together(a: &[f64], b: &[f64], wanted: f64) {
    let n = a.len() as f64;
    let mean = |x: &[f64]| x.iter().sum::<f64>() / n;
    let (ma, mb) = (mean(a), mean(b));
    let by = |x: &[f64], mx: f64, y: &[f64], my: f64| -> f64 {
        x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum()
    };
    let found = by(a, ma, b, mb) / (by(a, ma, a, ma) * by(b, mb, b, mb)).sqrt();
    let error = 4.0 * (1.0 - wanted * wanted) / n.sqrt();
    assert!(
        (found - wanted).abs() < error,
        "{found} {wanted} +/- {error}"
    );
}

/// Asserts that normal scores lie in every sixteenth of their distribution as often as in
/// any other, within four standard errors of so many plain draws.
pub(crate) fn as_ever(scores: &[f64]) {
    let n = scores.len() as f64;
    for sixteenth in 1..16 {
        let level = f64::from(sixteenth) / 16.0;
        let below = scores.iter().filter(|z| **z <= normal_quantile(level));
        let share = below.count() as f64 / n;
        let error = 4.0 * (level * (1.0 - level) / n).sqrt();
        assert!((share - level).abs() < error, "{level} {share}");
    }
}
