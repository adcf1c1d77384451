//! `web` and `serve`: the page built from `web/`, and the server that shows it.

use crate::programs::{apt, has};
use crate::run::{cargo, output, run, top};
use anyhow::{Result, bail};
use std::process::Command;
use std::time::SystemTime;

/// Oldest Node.js that the page's tools run on.
const NODE: u32 = 20;

/// Builds the page into `web/dist`, which the binary takes in when it is built next.
pub fn web(_args: &[String]) -> Result<bool> {
    tools()?;
    if !installed() {
        run(npm(&["ci", "--no-audit", "--no-fund"]))?;
    }
    run(npm(&["run", "build"]))?;
    Ok(true)
}

/// Builds the page and the binary, and serves; what follows goes to `steadypull serve`.
pub fn serve(args: &[String]) -> Result<bool> {
    web(&[])?;
    let mut command = cargo(&["run", "--release", "--package", "steadypull", "--", "serve"]);
    command.args(args);
    run(command)?;
    Ok(true)
}

/// Node.js and npm, brought where that can be done, or what to do.
fn tools() -> Result<()> {
    if !(has("node") && has("npm")) {
        apt(&["nodejs", "npm"]);
    }
    let version = output("node", &["--version"]).unwrap_or_default();
    let major = version.trim_start_matches('v').split('.').next();
    let major: Option<u32> = major.and_then(|major| major.parse().ok());
    match major {
        None => bail!("no node here: install Node.js {NODE} or newer, with npm"),
        Some(old) if old < NODE => {
            bail!("node {version} is too old for the page's tools: install {NODE} or newer")
        }
        Some(_) if !has("npm") => bail!("no npm here: install it; on Debian `apt install npm`"),
        Some(_) => Ok(()),
    }
}

/// Whether the packages that the lock file names are there: npm notes what it installed.
fn installed() -> bool {
    let changed = |path: &str| -> Option<SystemTime> {
        let about = std::fs::metadata(top().join(path)).ok()?;
        about.modified().ok()
    };
    let noted = changed("web/node_modules/.package-lock.json");
    noted.is_some_and(|noted| changed("web/package-lock.json").is_some_and(|lock| lock <= noted))
}

/// `npm` in the page's folder.
pub fn npm(args: &[&str]) -> Command {
    let mut command = Command::new(if cfg!(windows) { "npm.cmd" } else { "npm" });
    command.args(["--prefix", "web"]).args(args);
    command
}
