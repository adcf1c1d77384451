//! `schemas`: the JSON Schema of everything the tool prints.

use crate::run::write;
use anyhow::Result;

/// Renews the files in `schemas/` from the contract's types.
pub fn schemas(_args: &[String]) -> Result<bool> {
    for (name, text) in steadypull_contract::schemas() {
        write(&format!("schemas/{name}"), &text)?;
    }
    Ok(true)
}
