//! Programs of the system that a chore needs.

use crate::run::output;
use std::process::Command;

/// Whether a program is there.
pub fn has(program: &str) -> bool {
    output(program, &["--version"]).is_some_and(|version| !version.is_empty())
}

/// Brings packages where that can be done without asking; what fails shows in the
/// message that follows.
pub fn apt(packages: &[&str]) {
    let apt = |args: &[&str]| Command::new("apt-get").args(args).status();
    let updated = apt(&["update", "-qq"]).is_ok_and(|status| status.success());
    if updated {
        let install = ["install", "-y", "-qq", "--no-install-recommends"];
        if let Err(error) = apt(&[&install, packages].concat()) {
            eprintln!("apt-get could not be run: {error}");
        }
    }
}
