//! `wasm`: the engine and the contract for the browser.
//!
//! With the target installed by rustup it is a plain build. A Debian machine
//! without it builds the standard library from the packages `rustc-web`,
//! `cargo-web` and `rust-web-src`, and links with the linker of rustup's own
//! compiler, which is of the generation that the target's features need.

use crate::run::{cargo, output, run, top};
use anyhow::{Result, bail};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

const TARGET: &str = "wasm32-unknown-unknown";
const FLAGS: &str = "-C target-feature=+simd128";
const BUILD: [&str; 9] = [
    "build",
    "--release",
    "--lib",
    "--target",
    TARGET,
    "-p",
    "steadypull-engine",
    "-p",
    "steadypull-contract",
];

/// Builds both libraries for the browser.
pub fn wasm(_args: &[String]) -> Result<bool> {
    let sysroot = output("rustc", &["--print", "sysroot"]).map(PathBuf::from);
    let library = |root: &PathBuf| root.join("lib/rustlib").join(TARGET).join("lib").is_dir();
    if sysroot.as_ref().is_some_and(library) {
        let mut command = cargo(&BUILD);
        settle(&mut command);
        run(command)?;
        return Ok(true);
    }
    let linker = sysroot.and_then(|root| linker(&root));
    if !debian_has_the_sources() {
        install_on_debian();
    }
    match linker {
        Some(linker) if debian_has_the_sources() => run(from_sources(&linker))?,
        _ => bail!(
            "no {TARGET} here: run `rustup target add {TARGET}`, or on Debian install \
             rustc-web, cargo-web and rust-web-src beside rustup's compiler"
        ),
    }
    Ok(true)
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

/// Brings the packages where that can be done without asking; what fails shows
/// in the message that follows.
fn install_on_debian() {
    let apt = |args: &[&str]| Command::new("apt-get").args(args).status();
    let updated = apt(&["update", "-qq"]).is_ok_and(|status| status.success());
    if updated {
        let packages = [
            "install",
            "-y",
            "-qq",
            "--no-install-recommends",
            "rustc-web",
            "cargo-web",
            "rust-web-src",
        ];
        if let Err(error) = apt(&packages) {
            eprintln!("apt-get could not be run: {error}");
        }
    }
}

fn debian_has_the_sources() -> bool {
    let has = |program| output(program, &["--version"]).is_some_and(|version| !version.is_empty());
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
