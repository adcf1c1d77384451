//! `wasm`: the engine and the contract for the browser.
//!
//! With the target installed by rustup it is a plain build. A Debian machine
//! without it builds the standard library from the packages `rustc-web`,
//! `cargo-web` and `rust-web-src`, and links with the linker of rustup's own
//! compiler, which is of the generation that the target's features need.

use crate::programs::{apt, has};
use crate::run::{cargo, output, run, top};
use anyhow::{Result, bail};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

const TARGET: &str = "wasm32-unknown-unknown";
const FLAGS: &str = "-C target-feature=+simd128";
const BUILD: [&str; 11] = [
    "build",
    "--release",
    "--lib",
    "--target",
    TARGET,
    "-p",
    "steadypull-engine",
    "-p",
    "steadypull-contract",
    "-p",
    "steadypull-browser-check",
];
/// Hash of the digits of a motley ensemble, as the engine's own test has it.
const RECORD: &str = "crates/steadypull-engine/tests/letgo_motley/digest.txt";

/// Builds the libraries for the browser, runs the let-go there and compares its digits
/// with those on record; a number of runs as argument is timed.
pub fn wasm(args: &[String]) -> Result<bool> {
    build()?;
    if !has("node") {
        apt(&["nodejs"]);
    }
    if !has("node") {
        bail!("no node here to run the browser build: install it, or on Debian nodejs");
    }
    let module = Path::new(&target_folder())
        .join(TARGET)
        .join("release/steadypull_browser_check.wasm");
    let mut node = Command::new("node");
    node.arg("xtask/browser.mjs").arg(module).arg(RECORD);
    node.args(args);
    run(node)?;
    Ok(true)
}

/// Builds for the browser with whatever compiler here can.
fn build() -> Result<()> {
    let sysroot = output("rustc", &["--print", "sysroot"]).map(PathBuf::from);
    let library = |root: &PathBuf| root.join("lib/rustlib").join(TARGET).join("lib").is_dir();
    if sysroot.as_ref().is_some_and(library) {
        let mut command = cargo(&BUILD);
        settle(&mut command);
        return run(command);
    }
    let linker = sysroot.and_then(|root| linker(&root));
    if !debian_has_the_sources() {
        apt(&["rustc-web", "cargo-web", "rust-web-src"]);
    }
    match linker {
        Some(linker) if debian_has_the_sources() => run(from_sources(&linker)),
        _ => bail!(
            "no {TARGET} here: run `rustup target add {TARGET}`, or on Debian install \
             rustc-web, cargo-web and rust-web-src beside rustup's compiler"
        ),
    }
}

/// Flags and target folder: kept fixed, since changing either rebuilds all.
fn settle(command: &mut Command) {
    command
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", FLAGS)
        .arg("--target-dir")
        .arg(target_folder());
}

/// Beside the native target folder, never in it: other flags, other files.
fn target_folder() -> OsString {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(mut native) => {
            native.push("-wasm");
            native
        }
        None => top().join("target-wasm").into_os_string(),
    }
}

/// The linker that comes with rustup's compiler.
fn linker(sysroot: &Path) -> Option<PathBuf> {
    let version = output("rustc", &["-vV"])?;
    let host = version
        .lines()
        .find_map(|line| line.strip_prefix("host: "))?;
    let linker = sysroot.join("lib/rustlib").join(host).join("bin/rust-lld");
    linker.is_file().then_some(linker)
}

fn debian_has_the_sources() -> bool {
    let sources = output("/usr/bin/rustc", &["--print", "sysroot"]).is_some_and(|root| {
        Path::new(&root)
            .join("lib/rustlib/src/rust/library/std")
            .is_dir()
    });
    has("/usr/bin/cargo") && sources
}

/// Debian's compiler, building the standard library as well.
fn from_sources(linker: &Path) -> Command {
    let mut path = OsString::from("/usr/bin:");
    path.push(std::env::var_os("PATH").unwrap_or_default());
    let mut command = Command::new("/usr/bin/cargo");
    command
        .args(BUILD)
        .arg("-Zbuild-std=std,panic_abort")
        .env("PATH", path)
        .env("RUSTC_BOOTSTRAP", "1")
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker)
        // The outer cargo names its own programs; Debian's must find its own.
        .env_remove("CARGO")
        .env_remove("RUSTC")
        .env_remove("RUSTUP_TOOLCHAIN");
    settle(&mut command);
    command
}
