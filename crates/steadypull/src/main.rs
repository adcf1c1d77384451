//! The command line of Steadypull.
//!
//! `args` reads the command line, `answering` turns a plan file into an answer,
//! `command` holds one file a command, `report` writes answers for people. Only
//! this file prints and chooses the exit code: 0 worked, 1 bad input or failed,
//! 2 bad usage, 3 worked with a critical finding.

mod answering;
mod area;
mod args;
mod command;
mod date;
mod failure;
mod file_identity;
mod interrupt;
mod progress;
mod report;
mod serve;
mod sweep;
mod writing;

use std::io::{ErrorKind, Write, stderr, stdout};
use std::process::ExitCode;

use clap::Parser;

use args::Args;
use command::{Done, Ending};
use failure::Failure;

const FAILED: u8 = 1;
const CRITICAL: u8 = 3;

fn main() -> ExitCode {
    match Args::try_parse() {
        Ok(args) => run(&args),
        Err(usage) => {
            // Help asked for is printed and is no mistake; its pipe may be closed.
            let _ = usage.print();
            ExitCode::from(u8::try_from(usage.exit_code()).unwrap_or(FAILED))
        }
    }
}

fn run(args: &Args) -> ExitCode {
    match command::run(args) {
        Ok(done) => match print(&done) {
            Ok(()) => code(done.ending),
            Err(error) => unprinted(&error),
        },
        Err(failure) => report_failure(&failure, args.json),
    }
}

fn code(ending: Ending) -> ExitCode {
    match ending {
        Ending::Worked => ExitCode::SUCCESS,
        Ending::Critical => ExitCode::from(CRITICAL),
        Ending::Stopped => ExitCode::from(FAILED),
    }
}

/// Prints what was done; a reader that has seen enough is no failure.
fn print(done: &Done) -> std::io::Result<()> {
    match write_out(&done.text) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn write_out(text: &str) -> std::io::Result<()> {
    let mut out = stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}

fn unprinted(error: &std::io::Error) -> ExitCode {
    let hint = "check where standard output goes, and the disk";
    say(Failure::other(&format!("the answer could not be printed: {error}"), hint).text());
    ExitCode::from(FAILED)
}

fn report_failure(failure: &Failure, json: bool) -> ExitCode {
    if json && let Ok(text) = command::json_text(failure.errors()) {
        // The exit code says it too, should nobody be reading.
        let _ = write_out(&text);
    } else {
        say(failure.text());
    }
    ExitCode::from(FAILED)
}

/// Says something on standard error; nothing is left to do if that is closed.
fn say(text: &str) {
    let _ = stderr().write_all(text.as_bytes());
}
