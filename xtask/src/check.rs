//! `check`: what must hold before a change goes in.

use crate::run::{cargo, output, run};
use crate::{browser, wasm, web};
use anyhow::Result;

/// Format, lints, tests, browser build and tests; stops at the first that fails.
pub fn check(_args: &[String]) -> Result<bool> {
    // The binary takes the page in, so that comes first.
    web::web(&[])?;
    browser::lints()?;
    run(cargo(&["fmt", "--all", "--check"]))?;
    run(cargo(&[
        "clippy",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))?;
    tests(false)?;
    wasm::wasm(&[])?;
    browser::tests(&[])
}

/// The seed of the property tests. The same for every check, so that a change is judged
/// by itself; give another to search further.
const SEED: &str = "PROPTEST_RNG_SEED";

/// Every test, by cargo-nextest where it is installed; renewing the expected
/// files when `bless` is set.
pub fn tests(bless: bool) -> Result<()> {
    let with_bless = |args: &[&str]| {
        let mut command = cargo(args);
        if std::env::var_os(SEED).is_none() {
            command.env(SEED, "20261127");
        }
        if bless {
            command.env("BLESS", "1");
        }
        command
    };
    if output("cargo-nextest", &["nextest", "--version"]).is_none() {
        return run(with_bless(&["test", "--workspace"]));
    }
    run(with_bless(&["nextest", "run", "--workspace"]))?;
    // It does not run the examples in the documentation.
    run(with_bless(&["test", "--workspace", "--doc"]))
}
