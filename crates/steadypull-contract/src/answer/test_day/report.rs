//! `tests report`: everything that a report of a test day shows, so that another person can
//! repeat it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{TestsCompareAnswer, TestsFitAnswer, TestsLevels, TestsReadAnswer};
use crate::answer::Finding;

/// A test day read, fitted and compared, with what draws it and what repeats it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsReport {
    /// Version of the contract.
    pub contract_version: u32,
    /// Version of the program that worked it out.
    pub program_version: String,
    /// The test file.
    pub test_file: HashedFile,
    /// Recipes, certificates, plans and marks of another end that it names.
    pub beside: Vec<HashedFile>,
    /// The pulls.
    pub read: TestsReadAnswer,
    /// The lines; null where the test file asks for none.
    pub fit: Option<TestsFitAnswer>,
    /// The comparisons; null where the test file asks for none.
    pub compare: Option<TestsCompareAnswer>,
    /// What each pull is drawn from, in the order of the pulls.
    pub drawn: Vec<DrawnPull>,
    /// What was noticed anywhere, each once, worst first.
    pub findings: Vec<Finding>,
}

/// A file by its bytes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HashedFile {
    /// Its name, from the folder of the test file.
    pub file: String,
    /// What it holds, in words, such as `recipe`.
    pub holds: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Its length.
    pub bytes: u64,
}

/// What a pull is drawn from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DrawnPull {
    /// The load in time, from a little before taut to a little after slack.
    pub levels: TestsLevels,
    /// Stretch from taut to slack, or to the parting, thinned; empty without one.
    pub stretch_m: Vec<f64>,
    /// The load at the same times.
    pub force_n: Vec<f64>,
}
