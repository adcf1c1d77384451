//! `tests plan`: a day of tests in order, and what it can show.

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
    /// What is varied.
    pub factors: Vec<String>,
    /// The pulls in the order they are made.
    pub pulls: Vec<PlannedPull>,
    /// Pairs of set-ups that will be compared.
    pub comparisons: u32,
    /// Pulls of each set-up that the day needs.
    pub pulls_each: u32,
    /// Chance that they show the wanted difference.
    pub chance: f64,
    /// Least difference worth knowing.
    pub difference_n: f64,
    /// Standard deviation from pull to pull that was planned with.
    pub spread_n: f64,
    /// Whether that was guessed.
    pub spread_guessed: bool,
    /// Chance at which the difference is wanted to be shown.
    pub power: f64,
    /// What other numbers of pulls can show.
    pub seen: Vec<Seen>,
    /// How far back people stand, as the day file states.
    pub standoff_m: f64,
    /// Lowest rating of what carries the load, as the day file states.
    pub limit_n: f64,
    /// What ends a pull, or the day, at once.
    pub stop_rules: Vec<String>,
    /// The record sheet: its head, then a row a pull.
    pub sheet: Vec<Vec<String>>,
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
    /// Block, from 1: each block holds each set-up once.
    pub block: u32,
    /// Level of each factor.
    pub levels: Vec<String>,
}

/// What a number of pulls can show.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// Pulls of each set-up.
    pub pulls_each: u32,
    /// Difference that is then shown at the wanted chance; null where so few pulls can show
    /// none.
    pub difference_n: Option<f64>,
}
