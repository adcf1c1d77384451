//! The page's own checks, its tests in a browser, and pictures of it to look at.

use crate::programs::{apt, has};
use crate::run::{cargo, run, top};
use crate::web::{self, npm};
use anyhow::{Result, bail};
use std::path::PathBuf;
use std::process::Command;

/// Types in step with the schemas, and the page's source without a fault.
pub fn lints() -> Result<()> {
    run(npm(&["run", "types", "--", "--check"]))?;
    run(npm(&["run", "check"]))
}

/// Every area in headless Chromium, over the real binary; `args` go to the tests' runner.
pub fn tests(args: &[String]) -> Result<bool> {
    let mut command = runner()?;
    command.args(args);
    run(command)?;
    Ok(true)
}

/// Pictures of every area at phone, tablet and desktop width, in every look, to be looked at.
pub fn screens(args: &[String]) -> Result<bool> {
    let folder = match args.first() {
        Some(named) => std::path::absolute(named)?,
        None => top().join("target/screens"),
    };
    let mut command = runner()?;
    command.arg("screens").env("SCREENS", &folder);
    run(command)?;
    eprintln!("look at them: {}", folder.display());
    Ok(true)
}

/// The runner of the browser tests, the page and the binary built.
fn runner() -> Result<Command> {
    chromium()?;
    web::web(&[])?;
    run(cargo(&["build", "--package", "steadypull"]))?;
    let mut command = npm(&["test", "--"]);
    command.env("STEADYPULL_BIN", target_folder().join("debug/steadypull"));
    Ok(command)
}

/// Where cargo builds into.
fn target_folder() -> PathBuf {
    let named = std::env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
    top().join(named.unwrap_or_else(|| "target".into()))
}

/// Chromium, brought where that can be done, or what to do.
fn chromium() -> Result<()> {
    if std::env::var_os("CHROMIUM").is_some() || has("chromium") {
        return Ok(());
    }
    apt(&["chromium"]);
    if has("chromium") {
        return Ok(());
    }
    bail!(
        "no chromium here for the browser tests: install it (on Debian `apt install chromium`), \
         or name it in CHROMIUM"
    )
}
