//! What the server says when it starts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What `serve --json` prints, in one line, as soon as it can be asked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Serving {
    /// Version of the contract.
    pub contract_version: u32,
    /// Where it is, for this machine.
    pub address: String,
    /// Where it is for others, if they are let in and the machine has such an address.
    pub network_address: Option<String>,
    /// The folder that plans are kept in.
    pub plans: String,
    /// The folder that test days are kept in.
    pub tests: String,
    /// What to know about it, in words: what it exposes, what is not there.
    pub notes: Vec<String>,
}
