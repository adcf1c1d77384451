//! The test file: which logs were taken with which cell, how they are cleaned, what is
//! fitted to them and compared.
//!
//! Logs, recipes and plans are named, not opened: whoever reads the file fetches them.
//! Every mistake is told with its place, as in a plan file; `docs/test-file.md` lists the keys.

mod asked;
mod cell;
mod clean;
mod day;
mod day_file;
mod footage;
mod pull;
mod setup;

use steadypull_engine::show::Units;
use toml::de::DeTable;

use super::limits;
use super::position::Lines;
use super::problem::PlanProblems;
use super::reader::Reader;
use super::section::Section;
use super::syntax;
use super::value::{Fault, Text};
use super::vary::Varying;
use crate::hash::sha256_of;

pub use asked::{CompareEntry, FitEntry, PredictEntry, ToleranceSide};
pub use cell::{CellEntry, CellLaw, CellUncertainty, CertificateFile, Iso376Class};
pub(super) use clean::{BetweenWord, ZeroWord};
pub use clean::{Cleaning, EventRules, Resampling, ZeroFrom};
pub use day::Day;
pub use day_file::{DayFile, read_day};
pub use footage::{FilmedEvent, FootageEntry, SeenEvent};
pub use pull::{ByHandEvent, DisplacementFrom, HandMove, PullEntry};
pub use setup::{HungDamper, SetUpEntry};

/// Most pulls of one file.
const MOST_PULLS: usize = 500;
/// Most of anything else that goes by a name.
const MOST_NAMED: usize = 60;

/// A test file as read. Lists keep the order of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct TestFile {
    /// Title.
    pub title: String,
    /// Day of the tests.
    pub date: Day,
    /// Where they were made.
    pub place: Option<String>,
    /// Seed of every random draw.
    pub seed: u64,
    /// Load cells.
    pub cells: Vec<CellEntry>,
    /// How logs are cleaned.
    pub clean: Cleaning,
    /// How events are looked for.
    pub events: EventRules,
    /// Set-ups that were pulled.
    pub setups: Vec<SetUpEntry>,
    /// The pulls; none of a day in the making.
    pub pulls: Vec<PullEntry>,
    /// Lines to be fitted.
    pub fits: Vec<FitEntry>,
    /// Set-ups to be compared.
    pub compares: Vec<CompareEntry>,
    /// What was predicted.
    pub predicts: Vec<PredictEntry>,
    /// SHA-256 of the file's text, in hexadecimal digits.
    pub sha256: String,
    /// Defaults that were filled in: key, value, reason.
    pub assumed: Vec<(String, String, String)>,
    /// Units of the sentences made of it.
    pub units: Units,
}

impl TestFile {
    /// The same test file, its sentences in these units.
    pub fn said_in(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// The cell called `name`.
    pub fn cell(&self, name: &str) -> Option<&CellEntry> {
        self.cells.iter().find(|cell| cell.name == name)
    }

    /// The set-up called `name`.
    pub fn setup(&self, name: &str) -> Option<&SetUpEntry> {
        self.setups.iter().find(|setup| setup.name == name)
    }

    /// The pull called `name`.
    pub fn pull(&self, name: &str) -> Option<&PullEntry> {
        self.pulls.iter().find(|pull| pull.name == name)
    }
}

/// Reads a test file, or says everything that is wrong with it.
pub fn read_tests(text: &str) -> Result<TestFile, PlanProblems> {
    let file = read(text, "the test file could not be read", tests)?;
    Ok(TestFile {
        sha256: sha256_of(text),
        ..file
    })
}

/// Reads a file by `take`, which notes a mistake wherever it gives nothing.
fn read<T>(
    text: &str,
    unread: &str,
    take: impl Fn(&Section) -> Option<T>,
) -> Result<T, PlanProblems>
where
    T: WithAssumed,
{
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > super::LONGEST_PLAN {
        return Err(PlanProblems::too_long(text.len(), super::LONGEST_PLAN));
    }
    let (tree, mistakes) = DeTable::parse_recoverable(text);
    let (lines, nothing) = (Lines::new(text), Varying::replacing(&[]));
    let reader = Reader::new(text, &lines, &nothing);
    syntax::report(&reader, &mistakes);
    let file = Section::whole_file(&reader, tree.get_ref());
    let taken = take(&file);
    reader.mistakes()?;
    if let Some(mut taken) = taken {
        taken.assumed(reader.assumed());
        return Ok(taken);
    }
    // Unreachable as long as every `None` is noted; never silent.
    reader.note(0..0, None, Fault::new(unread.into()));
    Err(reader.mistakes().err().unwrap_or(PlanProblems {
        problems: Vec::new(),
        more: 1,
    }))
}

/// What is told the defaults that were filled in.
trait WithAssumed {
    fn assumed(&mut self, filled_in: Vec<(String, String, String)>);
}

impl WithAssumed for TestFile {
    fn assumed(&mut self, mut filled_in: Vec<(String, String, String)>) {
        // No number of a pull rests on what the running order leaves open; the day's plan tells it.
        let of_order = |key: &str| {
            let rest = key.strip_prefix(day_file::ORDER);
            rest.is_some_and(|rest| rest.starts_with('.'))
        };
        filled_in.retain(|(key, ..)| !of_order(key));
        self.assumed = filled_in;
    }
}

/// Title, place and seed, which every such file has.
type Head = (String, Option<String>, u64);

fn head(file: &Section) -> Option<Head> {
    let title = file.key::<Text>("title").need();
    let place = file.key::<Text>("place").maybe();
    let seed = file.key::<u64>("seed").within(&limits::SEED);
    let seed = seed.or("1", super::defaults::SEED);
    Some((title?.0, place?.map(|text| text.0), seed?))
}

fn tests(file: &Section) -> Option<TestFile> {
    let head = head(file);
    let date = file.key::<Day>("date").need();
    let cells = named(file, "cell", MOST_NAMED, cell::cell);
    let clean = clean::cleaning(&file.table("clean"));
    let events = clean::events(&file.table("events"));
    let setups = named(file, "setup", MOST_NAMED, setup::setup);
    let known = Known {
        cells: file.table("cell").names(),
        setups: file.table("setup").names(),
        pulls: file.table("pull").names(),
    };
    let recipe = file.key::<Text>("recipe").maybe();
    let recipe = recipe.map(|recipe| recipe.map(|text| text.0));
    let pulls = named(file, "pull", MOST_PULLS, |name, section| {
        pull::pull(name, section, &known, recipe.as_ref())
    });
    let fits = named(file, "fit", MOST_NAMED, |name, section| {
        asked::fit(name, section, &known)
    });
    let compares = named(file, "compare", MOST_NAMED, |name, section| {
        asked::compare(name, section, &known)
    });
    let predicts = named(file, "predict", MOST_NAMED, |name, section| {
        asked::predict(name, section, &known)
    });
    if file.has(day_file::ORDER) {
        // Told of here, and planned by whoever asks for the day.
        let _ = day_file::asked_of(head.clone(), date.map(Some), &file.table(day_file::ORDER));
    }
    file.close();
    let (title, place, seed) = head?;
    Some(TestFile {
        title,
        date: date?,
        place,
        seed,
        cells: cells?,
        clean: clean?,
        events: events?,
        setups: setups?,
        pulls: pulls?,
        fits: fits?,
        compares: compares?,
        predicts: predicts?,
        sha256: String::new(),
        assumed: Vec::new(),
        units: Units::default(),
    })
}

/// What the file names elsewhere, with the places of the names.
struct Known {
    cells: Vec<(String, core::ops::Range<usize>)>,
    setups: Vec<(String, core::ops::Range<usize>)>,
    pulls: Vec<(String, core::ops::Range<usize>)>,
}

/// Every table `[key.NAME]`, read by `take`; all are read, so that every mistake is told.
fn named<T>(
    file: &Section,
    key: &'static str,
    most: usize,
    take: impl Fn(String, &Section) -> Option<T>,
) -> Option<Vec<T>> {
    let read = |(name, section): (String, Section)| {
        let taken = take(name, &section);
        section.close();
        taken
    };
    let all: Vec<_> = file.named(key, most).into_iter().map(read).collect();
    all.into_iter().collect()
}

/// Notes a name that is none of those known.
fn check_name(
    section: &Section,
    span: core::ops::Range<usize>,
    key: &str,
    name: &str,
    known: &[(String, core::ops::Range<usize>)],
    table: &str,
) -> bool {
    if known.iter().any(|(there, _)| there == name) || section.is_broken() {
        return true;
    }
    let shown = super::quantity::short(name);
    let fault = Fault::new(format!(
        "names \"{shown}\", and there is no [{table}.{shown}]"
    ));
    let names = known.iter().map(|(there, _)| &there[..]);
    let fault = match super::spelling::nearest(name, names) {
        Some(meant) => fault.hinting(format!("did you mean \"{meant}\"?")),
        None => fault,
    };
    section.note_at(span, key, fault);
    false
}

/// A key that names a table of another kind.
fn reference(
    section: &Section,
    key: &'static str,
    known: &[(String, core::ops::Range<usize>)],
    table: &str,
) -> Option<Option<String>> {
    let name = section.key::<Text>(key).maybe()?;
    match name {
        None => Some(None),
        Some(Text(name)) => {
            let span = section.span_of(key);
            check_name(section, span, key, &name, known, table).then_some(Some(name))
        }
    }
}

/// A list of names of tables of another kind.
fn references(
    section: &Section,
    key: &'static str,
    known: &[(String, core::ops::Range<usize>)],
    table: &str,
) -> Option<Vec<String>> {
    let items = section.items::<Text>(key, MOST_PULLS)?;
    let mut sound = true;
    for (span, Text(name)) in &items {
        sound &= check_name(section, span.clone(), key, name, known, table);
    }
    sound.then(|| items.into_iter().map(|(_, text)| text.0).collect())
}

/// What the bytes of a file must hash to.
fn sha256(section: &Section, key: &'static str) -> Option<Option<String>> {
    let Some(Text(text)) = section.key::<Text>(key).maybe()? else {
        return Some(None);
    };
    let text = text.to_lowercase();
    if text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Some(Some(text));
    }
    let fault = Fault::new("is no SHA-256".into()).expecting("64 hexadecimal digits");
    section.note(
        key,
        fault.hinting("`steadypull tests read` prints each file's"),
    );
    None
}

/// Two times, the first before the second, s.
fn window(section: &Section, key: &'static str) -> Option<Option<(f64, f64)>> {
    use steadypull_engine::units::Duration;
    let list = section.list::<Duration>(key, 2)?;
    match list[..] {
        [] if !section.has(key) => Some(None),
        [from, to] if from < to => Some(Some((from.get(), to.get()))),
        _ => {
            let fault = Fault::new("is no stretch of time".into());
            section.note(
                key,
                fault.expecting("two times, such as [\"0 s\", \"0.8 s\"]"),
            );
            None
        }
    }
}
