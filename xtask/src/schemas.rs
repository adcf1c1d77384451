//! `schemas`: the JSON Schema of everything the tool prints, and the OpenAPI document.

use crate::run::{cargo, top, write};
use anyhow::{Context, Result, bail};
use std::process::Stdio;

/// Renews the files in `schemas/`: from the contract's types, and from the list of routes,
/// which the binary alone knows.
pub fn schemas(_args: &[String]) -> Result<bool> {
    for (name, text) in steadypull_contract::schemas() {
        write(&format!("schemas/{name}"), &text)?;
    }
    let mut openapi = cargo(&["run", "--quiet", "--package", "steadypull", "--"]);
    openapi.args(["schema", "openapi"]).current_dir(top());
    let printed = openapi.stderr(Stdio::inherit()).output()?;
    if !printed.status.success() {
        bail!("the binary could not print the OpenAPI document");
    }
    let text = String::from_utf8(printed.stdout).context("the OpenAPI document is no text")?;
    write("schemas/openapi.json", &text)?;
    Ok(true)
}
