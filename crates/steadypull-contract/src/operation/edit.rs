//! Changing a plan's text.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Form;
use crate::printed::InputError;

/// One change to a plan file; comments and the order of the file stay.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// Where, table by table: `["casualty", "mass"]`; a figure in a list by its place from
    /// 0: `["casualty", "at", "1"]`. Tables on the way are made.
    pub path: Vec<String>,
    /// What stands there from now on; null takes the key or the table away. Text becomes
    /// text, a number a number, true or false a flag, a list a list, an object a table.
    pub value: serde_json::Value,
}

/// A plan and what to change in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EditRequest {
    /// The plan file as text.
    pub plan: String,
    /// Changes, in order; none to have the form alone.
    pub edits: Vec<Edit>,
}

/// A plan after changes, as text and as a form. A plan with mistakes in it is changed
/// all the same: it stays editable and says what is wrong.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Edited {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan file as text.
    pub plan: String,
    /// The plan as a form.
    pub form: Form,
    /// What is wrong in it, in the order of the file.
    pub errors: Vec<InputError>,
    /// Mistakes beyond those listed.
    pub more: u32,
}
