//! `tests look`: what a log seems to be, and what is wrong with it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::read::LogFault;

/// A log looked at: the recipe that was guessed, why, and what it gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsLookAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The log.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Its length.
    pub bytes: u64,
    /// The recipe as TOML, to be kept beside the log.
    pub recipe: String,
    /// The choices in it, with their reasons.
    pub choices: Vec<LookChoice>,
    /// The first rows as the recipe reads them.
    pub preview: Vec<LookPreviewRow>,
    /// Rows read; 0 where the log could not be read whole.
    pub samples: u64,
    /// Time from the first to the last row; null where the log could not be read whole.
    pub span_s: Option<f64>,
    /// What the channels hold.
    pub channels: Vec<LogColumn>,
    /// What was odd while the log was read.
    pub mistakes: Vec<LogGroup>,
    /// Why the log cannot be read by this recipe as it is; null where it can.
    pub unreadable: Option<String>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// How sure a choice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LookSure {
    /// The file would make no sense otherwise.
    Certain,
    /// The usual reading; another is possible.
    Likely,
    /// Nothing in the file decides it.
    Unsure,
}

/// One choice of a recipe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookChoice {
    /// The recipe's key.
    pub key: String,
    /// What was chosen.
    pub chosen: String,
    /// Why.
    pub why: String,
    /// How sure it is.
    pub sure: LookSure,
    /// What else it could be.
    pub instead: Vec<LookInstead>,
}

/// Another way a choice could go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookInstead {
    /// The value of the key.
    pub value: String,
    /// What speaks for it, or what it would change.
    pub why: String,
}

/// One row as read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookPreviewRow {
    /// Where it stands.
    pub place: String,
    /// Its time; null where it has none.
    pub time_s: Option<f64>,
    /// Its cells.
    pub cells: Vec<LookPreviewCell>,
}

/// One cell as read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookPreviewCell {
    /// Its column, from 1.
    pub column: u32,
    /// What stands there.
    pub raw: String,
    /// What it becomes, in `unit`; null for a gap.
    pub value: Option<f64>,
    /// SI unit of the value.
    pub unit: String,
}

/// What one channel holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogColumn {
    /// Its name.
    pub name: String,
    /// Unit of the figures here.
    pub unit: String,
    /// Unit in the file.
    pub written_unit: String,
    /// Least value; null where there is none.
    pub least: Option<f64>,
    /// Greatest value; null where there is none.
    pub greatest: Option<f64>,
    /// Values that are missing.
    pub missing: u64,
    /// What is wrong with it.
    pub faults: Vec<LogFault>,
    /// How it goes, to be drawn; null where that was not asked for, or the log is not at hand.
    pub course: Option<LogCourse>,
}

/// A channel from its first sample to its last, in parts of as many samples each.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogCourse {
    /// First time, s.
    pub from_s: f64,
    /// Last time, s.
    pub to_s: f64,
    /// Least value in each part; null where there is none.
    pub least: Vec<Option<f64>>,
    /// Greatest value in each part; null where there is none.
    pub greatest: Vec<Option<f64>>,
}

/// All oddities of one kind found while a log was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogGroup {
    /// A stable word for the kind.
    pub kind: String,
    /// What it is and what was done.
    pub says: String,
    /// Whether values were lost by it.
    pub lost: bool,
    /// How many there are.
    pub count: u64,
    /// Where the first is.
    pub first: String,
}
