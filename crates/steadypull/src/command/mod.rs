//! One command a file; each returns what is printed and the exit code.

mod brief;
mod chance;
mod converge;
mod design;
mod example;
mod planned;
mod plot;
mod schema;
mod sweep;
mod test_day;

pub use chance::error_share;
pub use example::{ExamplePlan, example_list, example_named};
pub use plot::figure_named;
pub use schema::schema_named;
pub use test_day::line_file;

pub use crate::writing::{DocumentFile, document_file};

use serde::Serialize;
use steadypull_contract::answer::{Answer, Finding, Severity};

use crate::area::Area;
use crate::args::{Args, Command};
use crate::failure::Failure;

/// How a command that worked ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Nothing critical.
    Worked,
    /// A finding says that the pull must not go ahead like this.
    Critical,
    /// Ctrl-C came before all was done.
    Stopped,
}

impl Ending {
    /// How a command about `answer` ends.
    fn of(answer: &Answer) -> Self {
        Self::by(&answer.findings)
    }

    /// How a command with these findings ends.
    fn by(findings: &[Finding]) -> Self {
        if findings.iter().any(|f| f.severity == Severity::Critical) {
            Self::Critical
        } else {
            Self::Worked
        }
    }
}

/// What a command that worked prints.
pub struct Done {
    /// For standard output.
    pub text: String,
    /// How it ends.
    pub ending: Ending,
}

/// Runs the command that was asked for.
pub fn run(args: &Args) -> Result<Done, Failure> {
    let units = args.units.into();
    let json = args.json;
    let area = |plan, area| planned::area(plan, area, units, json);
    match &args.command {
        Command::Check(of) => planned::check(&of.plan, units, json),
        Command::Situation(of) => area(&of.plan, Area::Situation),
        Command::Options(of) => area(&of.plan, Area::Options),
        Command::LoadPath(of) => area(&of.plan, Area::LoadPath),
        Command::Rig(of) => area(&of.plan, Area::Rig),
        Command::Pull(of) => area(&of.plan, Area::Pull),
        Command::LetGo(of) if of.converge => converge::run(&of.plan, units, json),
        Command::LetGo(of) => area(&of.plan, Area::LetGo),
        Command::Standoff(of) => area(&of.plan, Area::Standoff),
        Command::Lowering(of) => area(&of.plan, Area::Lowering),
        Command::Chance(asked) => chance::run(asked, units, json),
        Command::Dampers(of) => design::dampers(of, units, json),
        Command::Tether(of) => design::tether(of, units, json),
        Command::Brief(brief) => brief::run(brief, units, json),
        Command::Plot(plot) => plot::run(plot, units, json),
        Command::Sweep(wanted) => sweep::run(wanted, json),
        Command::Example(example) => example::run(example, json),
        Command::Schema(schema) => Ok(schema::run(schema)),
        Command::Tests(of) => test_day::run(&of.command, units, json),
        Command::Serve(serve) => crate::serve::run(serve, json),
    }
}

/// An object as it is printed: indented, with a line end.
pub fn json_text(object: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string_pretty(object)
        .map(|text| text + "\n")
        .map_err(|error| Failure::other(&format!("no JSON could be made: {error}"), REPORT_IT))
}

/// What to do about a mistake of the tool itself.
const REPORT_IT: &str = "this is a fault of the tool: keep the plan file and report it";
