//! Running other programs from the top of the repository.

use anyhow::{Context, Result, bail};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The top of the repository.
pub fn top() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_owned()
}

/// `cargo` with its arguments, as the one that runs this.
pub fn cargo(args: &[&str]) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(args);
    command
}

/// Runs a command from the top, telling what it is; fails if it does.
pub fn run(mut command: Command) -> Result<()> {
    command.current_dir(top());
    let words = words(&command);
    eprintln!("> {words}");
    let status = command
        .status()
        .with_context(|| format!("cannot start: {words}"))?;
    if !status.success() {
        bail!("failed ({status}): {words}");
    }
    Ok(())
}

/// What a command prints; nothing if it cannot be run or fails.
pub fn output(program: &str, args: &[&str]) -> Option<String> {
    let output = Command::new(program).args(args).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim().to_owned())
}

/// The program by its name and its arguments.
fn words(command: &Command) -> String {
    let program = Path::new(command.get_program())
        .file_name()
        .unwrap_or(command.get_program());
    let args = command
        .get_args()
        .map(|arg| arg.to_string_lossy().into_owned());
    std::iter::once(program.to_string_lossy().into_owned())
        .chain(args)
        .collect::<Vec<_>>()
        .join(" ")
}

/// Writes a generated file, creating its folder, and tells whether it changed.
pub fn write(path: &str, text: &str) -> Result<bool> {
    let full = top().join(path);
    let changed = std::fs::read_to_string(&full).map_or(true, |old| old != text);
    if changed {
        if let Some(folder) = full.parent() {
            std::fs::create_dir_all(folder)
                .with_context(|| format!("cannot create a folder for {path}"))?;
        }
        std::fs::write(&full, text).with_context(|| format!("cannot write {path}"))?;
    }
    eprintln!("{} {path}", if changed { "wrote" } else { "unchanged" });
    Ok(changed)
}
