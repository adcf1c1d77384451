//! The chores of the house, each a word after `cargo xtask`.

mod bless;
mod browser;
mod check;
mod programs;
mod run;
mod schemas;
mod validate;
mod wasm;
mod web;

use std::process::ExitCode;

/// A chore: its word, what it does, and the doing; true when all is well.
type Chore = (
    &'static str,
    &'static str,
    fn(&[String]) -> anyhow::Result<bool>,
);

const CHORES: [Chore; 9] = [
    (
        "check",
        "format, lints, tests, the browser build and tests, as the server runs them",
        check::check,
    ),
    (
        "validate",
        "print every check against its source; --write renews the documents",
        validate::validate,
    ),
    (
        "schemas",
        "renew schemas/ from the contract's types and the server's routes",
        schemas::schemas,
    ),
    (
        "wasm",
        "build the engine and the contract for the browser",
        wasm::wasm,
    ),
    (
        "web",
        "build the page into web/dist, for the binary to take in",
        web::web,
    ),
    (
        "serve",
        "build page and binary, and serve; arguments go to `steadypull serve`",
        web::serve,
    ),
    (
        "browser",
        "test the page in headless Chromium; arguments go to the tests' runner",
        browser::tests,
    ),
    (
        "screens",
        "pictures of every area at three widths and in every look, into a folder",
        browser::screens,
    ),
    (
        "bless",
        "renew every generated file; read the difference before it goes in",
        bless::bless,
    ),
];

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let chore = args
        .first()
        .and_then(|word| CHORES.iter().find(|chore| chore.0 == word));
    let Some((_, _, work)) = chore else {
        eprintln!("usage: cargo xtask CHORE");
        for (word, what, _) in CHORES {
            eprintln!("  {word:<10}{what}");
        }
        return ExitCode::from(2);
    };
    match work(&args[1..]) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}
