//! The answer while something is dragged.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Edit;
use crate::answer::{Finding, LoadPath, RigState, Situation, Standoff};
use crate::printed::InputError;

/// A plan, what to change in it, and that an answer is wanted at once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiveRequest {
    /// The plan file as text.
    pub plan: String,
    /// Changes, in order.
    pub edits: Vec<Edit>,
}

/// What can be told at once: loads, angles and zones, without what takes many runs. The
/// whole answer follows by `answer`; `quick` says what is left out until then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Live {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan file as text, after the changes.
    pub plan: String,
    /// What is wrong in it; everything below is null while anything is.
    pub errors: Vec<InputError>,
    /// How hard the casualty is stuck.
    pub situation: Option<Situation>,
    /// Every link from casualty to tug with its load.
    pub load_path: Option<LoadPath>,
    /// The rig laid out on the ground; null for a straight one too.
    pub rig: Option<RigState>,
    /// How far back people stand, with what could be worked out at once.
    pub standoff: Option<Standoff>,
    /// What was noticed in what was worked out, worst first.
    pub findings: Vec<Finding>,
    /// What the quick answer leaves out, in words.
    pub quick: Vec<String>,
}
