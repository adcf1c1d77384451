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
    /// How far back people stand: the larger of what the day file states and what its plan's
    /// let-go gives.
    pub standoff_m: f64,
    /// As the day file states it; null where it does not.
    pub standoff_stated_m: Option<f64>,
    /// As the let-go of a plan gives it; null where the day file names none.
    pub standoff_of_plan: Option<StandoffOfPlan>,
    /// Highest load that is planned; the limit where the day file does not say.
    pub highest_load_n: f64,
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

/// How far back people stand by the let-go of a plan: the largest of its three distances,
/// over every part that could let go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StandoffOfPlan {
    /// The plan file.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Its title.
    pub title: String,
    /// Its own verdict in a line.
    pub headline: String,
    /// Whether its rig is within policy.
    pub within_policy: bool,
    /// What its answer says not to do, in words; empty where there is nothing.
    pub critical: Vec<String>,
    /// Greatest load in a line at which a part was taken to let go.
    pub load_n: f64,
    /// Parts that could let go.
    pub parts: u32,
    /// The one whose failure brings the most energy.
    pub worst: Option<String>,
    /// The largest of the three distances.
    pub distance_m: f64,
    /// Behind the casualty.
    pub behind_casualty_m: f64,
    /// Behind the tug.
    pub behind_tug_m: f64,
    /// Beside the line.
    pub beside_m: f64,
    /// Whether the computed zone is larger than the rule's anywhere.
    pub computed_governs: bool,
    /// Quantile of the computed zone.
    pub quantile: f64,
    /// Runs behind it.
    pub runs: u32,
    /// Runs that failed and are not in it (ideally 0).
    pub failed_runs: u32,
    /// The rule's distance.
    pub rule_m: f64,
    /// The rule in words, with its source.
    pub rule: String,
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
