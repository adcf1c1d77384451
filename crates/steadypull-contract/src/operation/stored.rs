//! Plans that the server keeps, and what else it is asked for.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::show::Units;

/// A plan to answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanRequest {
    /// The plan file as text.
    pub plan: String,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// In which units its sentences are; every number stays SI.
    #[serde(default)]
    pub units: ReadUnits,
}

/// A plan to keep from now on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPlan {
    /// What to call it; made from the title if null. A name that is taken gets a number.
    pub name: Option<String>,
    /// The plan file as text.
    pub plan: String,
}

/// A plan to save.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SavePlan {
    /// The plan file as text.
    pub plan: String,
    /// The revision that it was made from; another one standing there by now is a conflict.
    pub revision: String,
}

/// A plan as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StoredPlan {
    /// Version of the contract.
    pub contract_version: u32,
    /// Its name: letters, digits and hyphens, that of its file without the ending.
    pub name: String,
    /// Changes with every change of its text.
    pub revision: String,
    /// The plan file as text.
    pub plan: String,
}

/// A line file to keep beside the plans, so that they can name it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewLineFile {
    /// What to call it, without the ending. A name that another text has gets a number.
    pub name: String,
    /// The line file as text.
    pub text: String,
}

/// A line file as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptLineFile {
    /// Version of the contract.
    pub contract_version: u32,
    /// The name by which a plan names it.
    pub file: String,
}

/// Every plan that is kept, the last changed first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanList {
    /// Version of the contract.
    pub contract_version: u32,
    /// The folder that they are kept in, as people would look for it.
    pub folder: String,
    /// The plans.
    pub plans: Vec<PlanEntry>,
}

/// One plan that is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanEntry {
    /// Its name.
    pub name: String,
    /// Its title, if it reads so far.
    pub title: Option<String>,
    /// When it was last changed, seconds since 1970 began (UTC).
    pub changed_s: u64,
    /// Why its file cannot be opened here, in words; null where it can.
    pub problem: Option<String>,
}

/// That the server is there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Health {
    /// Version of the contract.
    pub contract_version: u32,
    /// Version of the program.
    pub version: String,
}

/// A brief to print.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BriefRequest {
    /// The plan file as text.
    pub plan: String,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// As what.
    pub format: BriefFormat,
    /// In which units people read it.
    pub units: ReadUnits,
}

/// The form of a brief.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BriefFormat {
    /// A page for a browser.
    Html,
    /// A printable document.
    Pdf,
}

/// Units that people read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ReadUnits {
    /// Metric.
    #[default]
    Metric,
    /// Imperial.
    Imperial,
}

impl From<ReadUnits> for Units {
    fn from(read: ReadUnits) -> Self {
        match read {
            ReadUnits::Metric => Self::Metric,
            ReadUnits::Imperial => Self::Imperial,
        }
    }
}
