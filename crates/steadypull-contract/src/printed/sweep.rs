//! What `sweep` prints: a summary of what was worked out, and what can be varied.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What `sweep` prints with `--json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SweepSummary {
    /// Version of the contract.
    pub contract_version: u32,
    /// The word that stands for plan, study and program; each row carries it.
    pub study: String,
    /// The table that was written.
    pub file: String,
    /// Whether every row that this run is for is in it.
    pub complete: bool,
    /// Points of the whole study.
    pub points: u64,
    /// Draws at each point of its grid; 1 where nothing is drawn.
    pub runs: u64,
    /// How draws are sampled; null where nothing is drawn.
    pub sampling: Option<String>,
    /// Seed of the draws; null where nothing is drawn.
    pub seed: Option<u64>,
    /// The part that this run is for, such as `3/16`; `1/1` is all of it.
    pub shard: String,
    /// Rows in the table.
    pub rows: u64,
    /// Rows that were there already when this run began.
    pub rows_found: u64,
    /// Rows with an answer, safe or not.
    pub ok: u64,
    /// Rows whose numbers make no plan.
    pub refused: u64,
    /// Rows that no answer came of.
    pub failed: u64,
    /// What was varied.
    pub inputs: Vec<SweepInput>,
    /// The columns of the table, in order.
    pub columns: Vec<String>,
    /// Inputs that the plan gives as spreads and that stayed at their middle.
    pub left_at_middle: Vec<String>,
    /// What holds for every table.
    pub cautions: Vec<String>,
}

/// A number that was varied.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SweepInput {
    /// Key in the plan file.
    pub key: String,
    /// SI unit of its column; empty for a plain number or a share.
    pub unit: String,
    /// `listed` or `drawn`.
    pub how: String,
    /// As the study writes it.
    pub text: String,
}

/// What `sweep --list` prints with `--json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SweepList {
    /// Version of the contract.
    pub contract_version: u32,
    /// Every number of the plan that can be varied.
    pub inputs: Vec<ListedInput>,
    /// Everything in its answer that can be a column.
    pub outputs: Vec<ListedOutput>,
}

/// A number of a plan that can be varied.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListedInput {
    /// Key in the plan file.
    pub key: String,
    /// What it is.
    pub what: String,
    /// Its value in the plan, SI with its unit.
    pub value: String,
    /// The range it may lie in; null where there is none.
    pub limits: Option<String>,
    /// Whether the file gives it; else it is a default.
    pub given: bool,
}

/// A number or word of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListedOutput {
    /// Its path.
    pub path: String,
    /// What it is in the answer to the plan as written.
    pub value: String,
}
