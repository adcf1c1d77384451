//! `tests compare`: set-ups side by side, and predicted beside measured.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{TestReading, TestSummary};
use crate::answer::Finding;

/// Every comparison of a test file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsCompareAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The test file in short.
    pub test: TestSummary,
    /// The comparisons.
    pub compared: Vec<Compared>,
    /// What was predicted, beside what was measured.
    pub predicted: Vec<Predicted>,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// Set-ups compared by one reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Compared {
    /// Its name in the test file.
    pub name: String,
    /// The reading.
    pub reading: TestReading,
    /// SI unit of every figure here that has none in its name; `1` for a share.
    pub unit: String,
    /// How often the intervals are meant to hold the truth.
    pub confidence: f64,
    /// The set-ups.
    pub setups: Vec<ComparedSetUp>,
    /// Each with each later one.
    pub pairs: Vec<ComparePair>,
}

/// One set-up in a comparison.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparedSetUp {
    /// Its name.
    pub name: String,
    /// Pulls with the reading.
    pub pulls: u32,
    /// Their names.
    pub pull_names: Vec<String>,
    /// Their values, in `unit`.
    pub values: Vec<f64>,
    /// Standard uncertainty of each as read, in `unit`; null where it has no interval.
    pub uncertainties: Vec<Option<f64>>,
    /// Pulls that have no such reading, or none that may be used, and why.
    pub left_out: Vec<String>,
    /// Mean; null without pulls.
    pub mean: Option<f64>,
    /// Lower end of the mean's interval by the spread from pull to pull (Student's t); null
    /// for fewer than two pulls.
    pub mean_low: Option<f64>,
    /// Upper end.
    pub mean_high: Option<f64>,
    /// Standard deviation from pull to pull; null for fewer than two.
    pub deviation: Option<f64>,
    /// Tolerance limit, where one is asked for and can be had.
    pub tolerance: Option<ToleranceLimit>,
    /// Why there is none, where one is asked for.
    pub no_tolerance: Option<String>,
}

/// A bound on a share of all pulls of a set-up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToleranceLimit {
    /// Share of all such pulls that it covers.
    pub cover: f64,
    /// How often such a limit keeps its word.
    pub confidence: f64,
    /// Lower limit; null where only the upper is asked for.
    pub low: Option<f64>,
    /// Upper limit; null where only the lower is asked for.
    pub high: Option<f64>,
    /// Factor on the standard deviation.
    pub factor: f64,
}

/// What may be said of a difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CompareVerdict {
    /// A difference is shown.
    Shown,
    /// None is shown: there is none, or one below what could be seen.
    NotShown,
    /// So few pulls that none could be shown.
    TooFew,
}

/// Two set-ups.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparePair {
    /// The first.
    pub first: String,
    /// The second.
    pub second: String,
    /// Second mean less first, in `unit`; null without pulls of both.
    pub difference: Option<f64>,
    /// Lower end of Welch's interval; null without one.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Lower end of the bootstrap's interval.
    pub bootstrap_low: Option<f64>,
    /// Upper end.
    pub bootstrap_high: Option<f64>,
    /// Share of deals by chance alone that part the set-ups as far.
    pub permutation_p: Option<f64>,
    /// The same with all pairs in view (Holm).
    pub adjusted_p: Option<f64>,
    /// Least share that so few pulls could give.
    pub least_p: Option<f64>,
    /// True difference that so many pulls would show four times in five, in `unit`.
    pub resolution: Option<f64>,
    /// What may be said; null where there is nothing to judge, as after one pull.
    pub verdict: Option<CompareVerdict>,
    /// The same in a sentence.
    pub says: String,
}

/// A prediction beside what was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Predicted {
    /// Its name in the test file.
    pub name: String,
    /// The set-up.
    pub setup: String,
    /// The reading.
    pub reading: TestReading,
    /// SI unit of the figures.
    pub unit: String,
    /// Where it comes from: `stated`, or the plan file.
    pub from: String,
    /// What was predicted.
    pub predicted: f64,
    /// Mean of what was measured; null without pulls.
    pub measured: Option<f64>,
    /// Lower end of the mean's interval; null for fewer than two pulls.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Pulls.
    pub pulls: u32,
    /// Measured less predicted, over predicted.
    pub off_share: Option<f64>,
    /// Whether the interval holds the prediction; null without an interval.
    pub agrees: Option<bool>,
    /// The same in a sentence.
    pub says: String,
}
