//! `tests plan`: a day of tests in order, and what it can tell.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::TestSummary;
use crate::answer::Finding;

/// A day of tests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsPlanAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The day file in short.
    pub test: TestSummary,
    /// The pulls in the order they are made.
    pub pulls: Vec<PlannedPull>,
    /// What numbers of pulls can show.
    pub seen: Vec<Seen>,
    /// Least difference worth knowing.
    pub difference_n: f64,
    /// Standard deviation expected from pull to pull.
    pub spread_n: f64,
    /// Chance at which that difference is wanted to be seen.
    pub power: f64,
    /// Pulls of each set-up that would show it so; null where over 200 are needed.
    pub pulls_needed: Option<u32>,
    /// When to stop.
    pub stop_rules: Vec<String>,
    /// Columns of the record sheet.
    pub sheet_columns: Vec<String>,
    /// The record sheet as CSV.
    pub sheet_csv: String,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// One pull of the day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlannedPull {
    /// Which, from 1.
    pub number: u32,
    /// Round, from 1.
    pub round: u32,
    /// Set-up.
    pub setup: String,
}

/// What a number of pulls can show.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// Pulls of each set-up.
    pub pulls_each: u32,
    /// Difference that is then seen at the wanted chance; null for one pull.
    pub difference_n: Option<f64>,
    /// Chance of seeing the least difference worth knowing.
    pub chance: Option<f64>,
}
