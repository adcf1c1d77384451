//! The command line.

use std::path::PathBuf;

use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use steadypull_contract::design::AtVehicle;
use steadypull_contract::plan_file::{
    asked_chance, asked_damper_mass, asked_distance, asked_energy, asked_grip, asked_stretch,
    asked_tether_length,
};
use steadypull_contract::show::Units;

use crate::command::{DocumentFile, ExamplePlan};

/// Plan a vehicle recovery and check it before anyone pulls
#[derive(Debug, Parser)]
#[command(name = "steadypull", version, after_help = EXIT_CODES, max_term_width = 80)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Print the documented JSON instead of text
    #[arg(long, global = true)]
    pub json: bool,
    /// Units to read: metric or imperial
    #[arg(
        long,
        global = true,
        value_enum,
        default_value = "metric",
        value_name = "SYSTEM",
        hide_possible_values = true
    )]
    pub units: System,
}

const EXIT_CODES: &str = "\
First steps:
  steadypull example -o plan.toml
  steadypull check plan.toml
  steadypull brief plan.toml -o brief.pdf

PLAN is a plan file, or - for standard input.

Exit codes:
  0  worked
  1  bad input, or failed
  2  bad usage
  3  worked, with a critical finding: do not pull like this";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Everything about a plan: verdict, reasons, numbers, cautions
    Check(Planned),
    /// How hard the casualty is stuck
    Situation(Planned),
    /// Every method, least hazardous first, and why it is in or out
    Options(Planned),
    /// The load in every link from casualty to tug
    LoadPath(Planned),
    /// A rig laid out on the ground: tensions, advantage, blocks, anchors
    Rig(Planned),
    /// What a kinetic pull would do
    Pull(Planned),
    /// What comes back if a part lets go
    LetGo(LetGo),
    /// How far back people stand
    Standoff(Planned),
    /// Lowering down a slope: holding force, hand, line, run-away, belay
    Lowering(Planned),
    /// Will it move, what breaks first, how far to stand: with chances
    Chance(Chance),
    /// The least dampers that keep what flies harmless, if any do
    Dampers(Dampers),
    /// The least tether that holds a part that lets go, if any does
    Tether(Tether),
    /// Write a printable brief for the crew
    Brief(Brief),
    /// Write the figures as SVG, and as PNG on request
    Plot(Plot),
    /// Work a plan out many times over with its numbers varied: a table
    Sweep(Sweep),
    /// Print or write a demo plan
    Example(Example),
    /// Print the JSON Schema of what --json prints
    Schema(Schema),
    /// Logs of test pulls: read, fit a line, compare set-ups, plan a day
    Tests(Tests),
    /// Serve the page on this machine, and keep plans for it
    Serve(Serve),
}

/// A command on a plan.
#[derive(Debug, Group)]
pub struct Planned {
    /// Plan file, or - for standard input
    pub plan: String,
}

/// The let-go.
#[derive(Debug, Group)]
pub struct LetGo {
    /// Plan file, or - for standard input
    pub plan: String,
    /// Follow each run finer and tell what error is left
    #[arg(long)]
    pub converge: bool,
}

/// The chances.
#[derive(Debug, Group)]
pub struct Chance {
    /// Plan file, or - for standard input
    pub plan: String,
    /// Draws to make, whatever the error
    #[arg(
        long,
        value_name = "N",
        value_parser = clap::value_parser!(u64).range(1..=10_000_000),
        conflicts_with_all = ["error", "most_runs"]
    )]
    pub runs: Option<u64>,
    /// Half width of the intervals to go on to
    #[arg(long, value_name = "E", default_value = "2%", value_parser = crate::command::error_share)]
    pub error: f64,
    /// But make no more draws than this
    #[arg(
        long,
        value_name = "N",
        default_value_t = 4096,
        value_parser = clap::value_parser!(u64).range(1..=10_000_000)
    )]
    pub most_runs: u64,
    /// Seed of the draws (default: the plan's)
    #[arg(long, value_name = "N")]
    pub seed: Option<u32>,
    /// Threads to use (default: all; the answer is the same)
    #[arg(long, value_name = "N", value_parser = threads)]
    pub threads: Option<usize>,
    /// Folder for the figures, as SVG; made if it is not there
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Write each figure as a PNG picture as well
    #[arg(long, requires = "output")]
    pub png: bool,
}

fn threads(text: &str) -> Result<usize, String> {
    let number: usize = text.parse().map_err(|_| "give a whole number")?;
    match number {
        1..=1024 => Ok(number),
        _ => Err("from 1 to 1024".into()),
    }
}

/// Dampers by design.
#[derive(Debug, Group)]
pub struct Dampers {
    /// Plan file, or - for standard input
    pub plan: String,
    /// The link that lets go (default: the worst)
    #[arg(long, value_name = "NAME")]
    pub link: Option<String>,
    /// Where it arrives: casualty or tug (default: the worst)
    #[arg(long, value_enum, value_name = "VEHICLE", hide_possible_values = true)]
    pub at: Option<End>,
    /// Most that may arrive, such as "79 J" (default: policy)
    #[arg(long, value_name = "ENERGY", value_parser = asked_energy)]
    pub under: Option<f64>,
    /// In how many cases, such as "95 %" (default: policy)
    #[arg(long, value_name = "SHARE", value_parser = asked_chance)]
    pub chance: Option<f64>,
    /// Heaviest single damper, such as "10 kg" (default: 15 kg)
    #[arg(long, value_name = "MASS", value_parser = asked_damper_mass)]
    pub most: Option<f64>,
    /// Force at which a damper slips (default: plan, or 200 N)
    #[arg(long, value_name = "FORCE", value_parser = asked_grip)]
    pub grip: Option<f64>,
    /// Folder for the figure, as SVG; made if it is not there
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Write the figure as a PNG picture as well
    #[arg(long, requires = "output")]
    pub png: bool,
}

/// A tether by design.
#[derive(Debug, Group)]
pub struct Tether {
    /// Plan file, or - for standard input
    pub plan: String,
    /// The link that lets go (default: the worst)
    #[arg(long, value_name = "NAME")]
    pub link: Option<String>,
    /// Made fast to: casualty or tug (default: worst)
    #[arg(long, value_enum, value_name = "VEHICLE", hide_possible_values = true)]
    pub at: Option<End>,
    /// In how many cases it holds (default: policy)
    #[arg(long, value_name = "SHARE", value_parser = asked_chance)]
    pub chance: Option<f64>,
    /// How far it may get (default: short of the far one)
    #[arg(long, value_name = "FAR", value_parser = asked_distance)]
    pub at_distance: Option<f64>,
    /// One length alone (default: 0.5, 1, 2 and 4 m)
    #[arg(long, value_name = "LENGTH", value_parser = asked_tether_length)]
    pub length: Option<f64>,
    /// One stretch at break (default: 3, 8, 15, 30 %)
    #[arg(long, value_name = "SHARE", value_parser = asked_stretch)]
    pub stretch: Option<f64>,
}

/// One of the two vehicles.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum End {
    /// The stuck one
    Casualty,
    /// The one that pulls
    Tug,
}

impl From<End> for AtVehicle {
    fn from(end: End) -> Self {
        match end {
            End::Casualty => Self::Casualty,
            End::Tug => Self::Tug,
        }
    }
}

/// The brief.
#[derive(Debug, Group)]
pub struct Brief {
    /// Plan file, or - for standard input
    pub plan: String,
    /// File to write: NAME.pdf or NAME.html
    #[arg(short, long, value_name = "FILE", value_parser = crate::command::document_file)]
    pub output: DocumentFile,
    /// Study chances too: zone map, what drives the answer
    #[arg(long)]
    pub chance: bool,
    /// Design dampers too: arrival energy by set-up
    #[arg(long)]
    pub dampers: bool,
    /// Date on the brief, YYYY-MM-DD (default: today, UTC)
    #[arg(long, value_name = "DATE", value_parser = crate::date::parse)]
    pub date: Option<String>,
}

/// The figures.
#[derive(Debug, Group)]
pub struct Plot {
    /// Plan file, or - for standard input
    pub plan: String,
    /// Folder to write to; made if it is not there
    #[arg(short, long, value_name = "DIR")]
    pub output: PathBuf,
    /// Write each figure as a PNG picture as well
    #[arg(long)]
    pub png: bool,
    /// One figure alone
    #[arg(long, value_name = "NAME", value_parser = crate::command::figure_named)]
    pub figure: Option<steadypull_brief::Figure>,
}

/// A sweep.
#[derive(Debug, Group)]
pub struct Sweep {
    /// Study file (see docs/sweeps.md), or a plan file with --vary
    pub file: String,
    /// Table: NAME.csv or NAME.parquet; resumed if there
    #[arg(short, long, value_name = "FILE", value_parser = crate::sweep::table_file,
        required_unless_present = "list")]
    pub output: Option<crate::sweep::TableFile>,
    /// Vary a number, such as "tug.grip=0.3, 0.4, 0.5"
    #[arg(long, value_name = "KEY=VALUES")]
    pub vary: Vec<String>,
    /// A column, by its path in the answer (default: usual)
    #[arg(long, value_name = "PATH")]
    pub want: Vec<String>,
    /// Draws at each point of the grid
    #[arg(long, value_name = "N")]
    pub runs: Option<u64>,
    /// How to draw: sobol, latin-hypercube or random
    #[arg(long, value_name = "WORD")]
    pub points: Option<String>,
    /// Seed of the draws (default: the plan's)
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Work out one part alone: 3/16 is the third of 16
    #[arg(long, value_name = "N/OF")]
    pub shard: Option<crate::sweep::shard::Shard>,
    /// Join the tables of all shards instead
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with = "shard")]
    pub merge: Vec<PathBuf>,
    /// Threads to work with (default: one a core)
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// List what can be varied and what can be a column
    #[arg(long, conflicts_with_all = ["output", "merge", "shard"])]
    pub list: bool,
    /// Start afresh: write over a table that is there
    #[arg(long)]
    pub force: bool,
}

/// The demo plans.
#[derive(Debug, Group)]
pub struct Example {
    /// Which demo plan (default: the first of --list)
    #[arg(value_parser = crate::command::example_named)]
    pub name: Option<ExamplePlan>,
    /// File to write (default: print it)
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// List the demo plans
    #[arg(long, conflicts_with_all = ["name", "output"])]
    pub list: bool,
    /// Write over a file that is there
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// The schemas.
#[derive(Debug, Group)]
pub struct Schema {
    /// Which one: answer, errors, written, or a command
    #[arg(default_value = "answer", value_parser = crate::command::schema_named)]
    pub name: String,
}

/// The tests area.
#[derive(Debug, Group)]
pub struct Tests {
    /// What to do.
    #[command(subcommand)]
    pub command: TestsCommand,
}

/// What to do with tests.
#[derive(Debug, Subcommand)]
pub enum TestsCommand {
    /// What a log seems to be, and what is wrong with it
    Look(TestsLook),
    /// Every pull of a test file: events, readings, doubts
    Read(TestsRead),
    /// Fit the planner's line model to pulls
    Fit(TestsFit),
    /// Set-ups side by side, predicted beside measured
    Compare(TestsFile),
    /// A report that another person can repeat, as PDF or HTML
    Report(TestsReportFile),
    /// A day of tests: order, how many pulls, when to stop
    Plan(TestsPlan),
    /// Write an invented test day to start from
    Example(TestsExample),
}

/// A log looked at.
#[derive(Debug, Group)]
pub struct TestsLook {
    /// Log file, or - for standard input
    pub log: String,
    /// Write the guessed recipe to this file
    #[arg(short, long, value_name = "RECIPE")]
    pub output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// A test file.
#[derive(Debug, Group)]
pub struct TestsFile {
    /// Test file (see docs/test-file.md), or - for standard input
    pub tests: String,
}

/// Pulls read.
#[derive(Debug, Group)]
pub struct TestsRead {
    /// Test file (see docs/test-file.md), or - for standard input
    pub tests: String,
    /// One pull alone
    #[arg(long, value_name = "NAME")]
    pub pull: Option<String>,
}

/// A line fitted.
#[derive(Debug, Group)]
pub struct TestsFit {
    /// Test file (see docs/test-file.md), or - for standard input
    pub tests: String,
    /// Write NAME.line.toml, which a plan beside it can name
    #[arg(long = "use", value_name = "FILE", value_parser = crate::command::line_file)]
    pub use_in: Option<PathBuf>,
    /// Fit this line alone (default: all; --use writes one)
    #[arg(long, value_name = "NAME")]
    pub fit: Option<String>,
    /// Write over a file that is there
    #[arg(long, requires = "use_in")]
    pub force: bool,
}

/// A report of a test day.
#[derive(Debug, Group)]
pub struct TestsReportFile {
    /// Test file (see docs/test-file.md), or - for standard input
    pub tests: String,
    /// File to write: NAME.pdf or NAME.html
    #[arg(short, long, value_name = "FILE", value_parser = crate::command::document_file)]
    pub output: DocumentFile,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// A day planned.
#[derive(Debug, Group)]
pub struct TestsPlan {
    /// Day file (see docs/test-file.md), or - for standard input
    pub day: String,
    /// Write the record sheet to this file, as CSV
    #[arg(short, long, value_name = "SHEET")]
    pub output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// The demo.
#[derive(Debug, Group)]
pub struct TestsExample {
    /// Folder to write to; made if it is not there
    #[arg(short, long, value_name = "FOLDER")]
    pub output: PathBuf,
    /// Write over files that are there
    #[arg(long)]
    pub force: bool,
}

/// The server.
#[derive(Debug, Group)]
pub struct Serve {
    /// Port to serve at; 0 for any that is free
    #[arg(long, value_name = "N", default_value_t = crate::serve::PORT)]
    pub port: u16,
    /// Folder of the plans (default: your data folder)
    #[arg(long, value_name = "FOLDER")]
    pub plans: Option<PathBuf>,
    /// Folder of the test days (default: your data folder)
    #[arg(long, value_name = "FOLDER")]
    pub tests: Option<PathBuf>,
    /// Serve everybody on the network who knows a passphrase
    #[arg(long)]
    pub lan: bool,
}

/// Units that people read.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum System {
    /// Metres, kilograms, kilonewtons
    Metric,
    /// Feet, pounds, pounds-force
    Imperial,
}

impl From<System> for Units {
    fn from(system: System) -> Self {
        match system {
            System::Metric => Self::Metric,
            System::Imperial => Self::Imperial,
        }
    }
}
