//! Test days that the server keeps, and what is asked of one.
//!
//! A test day is a folder: its test file, and the logs, recipes and plans that the test file
//! names. Its name goes by the rules of a plan's.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

use super::edit::{self, SetValue};
use super::{BriefFormat, ReadUnits};
use crate::plan_file::{ByHandEvent, PullEntry, read_tests};
use crate::printed::{Errors, InputError};

/// A test day to keep from now on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewTestDay {
    /// What to call it; made from the title if null. A name that is taken gets a number.
    pub name: Option<String>,
    /// Its title; that of the demo is the demo's own.
    pub title: String,
    /// Whether to begin with the demo: an invented day with its logs.
    pub demo: bool,
}

/// A test file to save.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SaveTestDay {
    /// The test file as text.
    pub text: String,
    /// The revision that it was made from; another one standing there by now is a conflict.
    pub revision: String,
}

/// Another name for a test day; everything in its folder stays as it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RenameTestDay {
    /// The new name: letters, digits and hyphens. One that is taken is refused.
    pub name: String,
}

/// Changes to a test file; comments and the order of the file stay.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EditTestDay {
    /// Values and tables to set or take away, in order:
    /// `["pull", "dry-1", "events", "taut"]` to `"1.234 s"`.
    pub edits: Vec<SetValue>,
    /// The revision that they are made to; another one standing there by now is a conflict.
    pub revision: String,
}

/// A log to look at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookRequest {
    /// The log, a file of the test day.
    pub file: String,
    /// The recipe to read it by, as TOML; the guess if null.
    #[serde(default)]
    pub recipe: Option<String>,
    /// In how many parts the course of each channel is wanted, 1 to 10 000; none if null.
    #[serde(default)]
    pub course_parts: Option<u32>,
}

/// A log to take into the test file: its recipe is kept beside it, and each pull found in
/// it gets a table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TakeUpRequest {
    /// The log, a file of the test day.
    pub file: String,
    /// The recipe to read it by, as TOML.
    pub recipe: String,
    /// The channel of the load; may be null where the recipe has one load alone.
    pub force: Option<String>,
    /// The channel of how far the line's ends are apart; null: none.
    pub displacement: Option<String>,
    /// The cell that took the load, one of the test file; null: none is named.
    pub cell: Option<String>,
    /// The set-up that was pulled, one of the test file; null: none is named.
    pub setup: Option<String>,
    /// The revision that it is added to; another one standing there by now is a conflict.
    pub revision: String,
}

/// Pulls to be read off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadRequest {
    /// The one to read; null: every one.
    pub pull: Option<String>,
    /// In which units its sentences are, metric if null; every number stays SI.
    #[serde(default)]
    pub units: Option<ReadUnits>,
}

/// The load of a pull to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LevelsRequest {
    /// The pull.
    pub pull: String,
    /// First time, s; null: the record's.
    pub from_s: Option<f64>,
    /// Last time, s; null: the record's.
    pub to_s: Option<f64>,
    /// In how many even parts, 1 to 10 000.
    pub parts: u32,
    /// Rather the whole log as it came than wait until it is cleaned.
    #[serde(default)]
    pub at_once: bool,
}

/// Lines to be fitted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FitRequest {
    /// The one to fit; null: every one that the test file asks for.
    pub fit: Option<String>,
    /// In which units its sentences are, metric if null; every number stays SI.
    #[serde(default)]
    pub units: Option<ReadUnits>,
}

/// The running order to be planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OrderRequest {
    /// In which units its sentences and its record sheet are, metric if null; every number
    /// stays SI.
    #[serde(default)]
    pub units: Option<ReadUnits>,
}

/// Set-ups to be compared.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CompareRequest {
    /// In which units its sentences are, metric if null; every number stays SI.
    #[serde(default)]
    pub units: Option<ReadUnits>,
}

/// A report to print.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReportRequest {
    /// As what.
    pub format: BriefFormat,
    /// In which units people read it.
    pub units: ReadUnits,
}

/// Every test day that is kept, the last changed first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestDayList {
    /// Version of the contract.
    pub contract_version: u32,
    /// The folder that they are kept in, as people would look for it.
    pub folder: String,
    /// The test days.
    pub days: Vec<TestDayEntry>,
}

/// One test day that is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestDayEntry {
    /// Its name.
    pub name: String,
    /// Its title, if its test file reads so far.
    pub title: Option<String>,
    /// Changes with every change of its test file; null where that cannot be read.
    pub revision: Option<String>,
    /// When its test file was last changed, seconds since 1970 began (UTC).
    pub changed_s: u64,
    /// Why it cannot be opened here, in words; null where it can.
    pub problem: Option<String>,
}

/// A test day as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StoredTestDay {
    /// Version of the contract.
    pub contract_version: u32,
    /// Its name: letters, digits and hyphens, that of its folder.
    pub name: String,
    /// Changes with every change of its test file.
    pub revision: String,
    /// When its test file was last changed, seconds since 1970 began (UTC).
    pub changed_s: u64,
    /// The test file as text.
    pub text: String,
    /// What is wrong in it, in the order of the file.
    pub mistakes: Vec<InputError>,
    /// Mistakes beyond those listed.
    pub more: u32,
    /// Every other file of the day, by name.
    pub files: Vec<TestDayFile>,
    /// The pulls of the test file; none where it has mistakes.
    pub pulls: Vec<TestDayPull>,
    /// Names of its cells; none where it has mistakes, and so on below.
    pub cells: Vec<String>,
    /// Names of its set-ups.
    pub setups: Vec<String>,
    /// Names of the lines to be fitted.
    pub fits: Vec<String>,
    /// Names of the comparisons.
    pub comparisons: Vec<String>,
    /// What the running order is to be made of; null where the test file asks for none.
    pub order: Option<OrderAsked>,
}

/// The `[order]` of a test file as it is written there, whether it reads or not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OrderAsked {
    /// Every key with one value, such as `spread` with `1.2 kN`.
    pub values: BTreeMap<String, String>,
    /// What is varied, in the order of the file.
    pub factors: Vec<FactorAsked>,
}

/// Something that is varied, as it is written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FactorAsked {
    /// Its name.
    pub name: String,
    /// Its levels.
    pub levels: Vec<String>,
}

/// What a file of a test day is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TestDayFileKind {
    /// Columns of numbers, by its ending.
    Log,
    /// How a log is read.
    Recipe,
    /// Lines for a plan.
    Line,
    /// A plan.
    Plan,
    /// The copy of a cell's certificate.
    Certificate,
    /// Anything else.
    Other,
}

/// One file of a test day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestDayFile {
    /// Its name.
    pub name: String,
    /// Its length.
    pub bytes: u64,
    /// SHA-256 of its bytes, in hexadecimal digits; null where it was not worked out lately.
    pub sha256: Option<String>,
    /// What it is.
    pub kind: TestDayFileKind,
    /// Why it cannot be used here, in words; null where it can.
    pub problem: Option<String>,
}

/// A file that was put into a test day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptTestFile {
    /// Version of the contract.
    pub contract_version: u32,
    /// Its name.
    pub name: String,
    /// Its length.
    pub bytes: u64,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// What it is.
    pub kind: TestDayFileKind,
}

/// One pull as the test file has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestDayPull {
    /// Its name.
    pub name: String,
    /// The log.
    pub log: String,
    /// The recipe that it is read by.
    pub recipe: String,
    /// Which pull of the log, from 1, if the test file says.
    pub which: Option<u32>,
    /// The cell, if the test file names one.
    pub cell: Option<String>,
    /// The set-up, if the test file names one.
    pub setup: Option<String>,
    /// The channel of the stretch, if the test file names one.
    pub displacement: Option<String>,
    /// Its events that are set by hand.
    pub by_hand: EventsByHand,
}

/// Events set by hand, each null where it is found in the log.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EventsByHand {
    /// The line comes tight, s.
    pub taut_s: Option<f64>,
    /// The load is greatest, s.
    pub peak_s: Option<f64>,
    /// The casualty begins to move, s.
    pub break_out_s: Option<f64>,
    /// Something lets go, s.
    pub parting_s: Option<f64>,
    /// The line is slack again, s.
    pub end_s: Option<f64>,
    /// Whether the break-out is taken away.
    pub no_break_out: bool,
    /// Whether the parting is taken away.
    pub no_parting: bool,
    /// Standard uncertainty of those times, s; null where none is set.
    pub uncertainty_s: Option<f64>,
}

impl From<&PullEntry> for TestDayPull {
    fn from(entry: &PullEntry) -> Self {
        Self {
            name: entry.name.clone(),
            log: entry.log.clone(),
            recipe: entry.recipe.clone(),
            which: entry.which,
            cell: entry.cell.clone(),
            setup: entry.setup.clone(),
            displacement: entry.displacement.clone(),
            by_hand: by_hand(entry),
        }
    }
}

fn by_hand(entry: &PullEntry) -> EventsByHand {
    let mut events = EventsByHand::default();
    for moved in &entry.moved {
        let at_s = moved.at_s.map(|(at_s, _)| at_s);
        match (moved.event, at_s) {
            (ByHandEvent::Taut, at) => events.taut_s = at,
            (ByHandEvent::Peak, at) => events.peak_s = at,
            (ByHandEvent::BreakOut, None) => events.no_break_out = true,
            (ByHandEvent::BreakOut, at) => events.break_out_s = at,
            (ByHandEvent::Parting, None) => events.no_parting = true,
            (ByHandEvent::Parting, at) => events.parting_s = at,
            (ByHandEvent::End, at) => events.end_s = at,
        }
        let sure_s = moved.at_s.map(|(_, sure_s)| sure_s);
        events.uncertainty_s = events.uncertainty_s.or(sure_s);
    }
    events
}

/// A test file to begin with: it still has to say what was pulled. `date` is a day as TOML
/// has it, `2031-05-14`.
pub fn new_tests(title: &str, date: &str) -> Result<String, Errors> {
    let head = format!(
        "# docs/test-file.md lists every key.\n\ntitle = \"\"\n\
         date = {date}                 # of the tests: correct it if they were on another day\n"
    );
    let title = SetValue {
        path: vec!["title".into()],
        value: title.into(),
    };
    edit_tests(&head, &[title])
}

/// A test file's text after the changes, in order: all of them, or none and why not. A file
/// with mistakes in it is changed all the same, as long as it is TOML.
pub fn edit_tests(text: &str, edits: &[SetValue]) -> Result<String, Errors> {
    edit::in_text(text, |text| {
        let (_, mistakes) = DeTable::parse_recoverable(text);
        if let (false, Err(problems)) = (mistakes.is_empty(), read_tests(text)) {
            return Err(edit::broken_text("the test file", "TOML", &problems));
        }
        let mut text = text.to_string();
        for set in edits {
            text = edit::set(&text, set).map_err(|refused| edit::not_made(&set.path, refused))?;
        }
        Ok(text)
    })
}

/// The names of tables `[table.NAME]` in a test file, as far as it reads.
pub fn named_in_tests(text: &str, table: &str) -> Vec<String> {
    match as_toml(text).get_ref().get(table).map(Spanned::get_ref) {
        Some(DeValue::Table(named)) => named.keys().map(|k| k.get_ref().to_string()).collect(),
        _ => Vec::new(),
    }
}

/// The `[order]` of a test file, as far as it reads.
pub fn order_in_tests(text: &str) -> Option<OrderAsked> {
    let file = as_toml(text);
    let order = file.get_ref().get("order")?.get_ref().as_table()?;
    let values = order.iter().filter_map(|(key, value)| {
        let written = written(value.get_ref())?;
        Some((key.get_ref().to_string(), written))
    });
    let factors = order.get("factor").map(Spanned::get_ref);
    let mut factors: Vec<_> = factors
        .and_then(DeValue::as_table)
        .into_iter()
        .flat_map(|factors| factors.iter())
        .collect();
    factors.sort_by_key(|(name, _)| name.span().start);
    Some(OrderAsked {
        values: values.collect(),
        factors: factors.into_iter().map(factor).collect(),
    })
}

fn factor((name, value): (&Spanned<DeString>, &Spanned<DeValue>)) -> FactorAsked {
    let levels = value.get_ref().get("levels").map(Spanned::get_ref);
    let levels = levels.and_then(DeValue::as_array).into_iter().flatten();
    FactorAsked {
        name: name.get_ref().to_string(),
        levels: levels
            .filter_map(|level| written(level.get_ref()))
            .collect(),
    }
}

/// A text as it is, a number as it is written; nothing of a list or a table.
fn written(value: &DeValue) -> Option<String> {
    match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(number) => Some(number.to_string()),
        DeValue::Float(number) => Some(number.to_string()),
        _ => None,
    }
}

fn as_toml(text: &str) -> Spanned<DeTable<'_>> {
    DeTable::parse_recoverable(text.strip_prefix('\u{feff}').unwrap_or(text)).0
}
