//! One pull taken out of its log: read by its recipe, cleaned, its events found.
//!
//! What all pulls of a log share, the [`Record`], is made once where there is a shelf to keep
//! it on; an event moved by hand or another `which` needs no second reading.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

use steadypull_contract::answer::{
    CellUsed, CleaningStep, Finding, LogFault, LogGroup, LogProvenance, in_unit,
};
use steadypull_contract::plan_file::{
    ByHandEvent, CellEntry, CellLaw, CellUncertainty, Day, DisplacementFrom, Iso376Class,
    PullEntry, TestFile, ZeroFrom,
};
use steadypull_contract::show::Units;
use steadypull_logs::{Log, LogChannel, Quantity, Recipe};
use steadypull_measure::events::{self, ByHand, EventKind, Found, Moved, Settings, set_by_hand};
use steadypull_measure::levels::Levels;
use steadypull_measure::signal::calibration::{
    Calibration, CalibrationError, CalibrationFinding, CalibrationSpread, Date, Iso376, Law, Stated,
};
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::faults::{Fault, FaultKind};
use steadypull_measure::signal::resample::Between;
use steadypull_measure::signal::steps::{Done, Step, StepError, ZeroBy, clean_by};
use steadypull_measure::signal::{Channel, Series};

use crate::beside::{Clock, SideBySide};
use crate::files::{Files, unfetched};
use crate::finding::{note, warning};
use crate::footage::shown;
use crate::footage_clock::{ByEvents, by_events};
use crate::look::{groups, log_faults, refused};
use crate::shelf::Place;
use crate::stretch_noise::MarksNoise;
use crate::trouble::Trouble;

/// What of a pull is wanted besides its filtered load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Nothing.
    Readings,
    /// The load before the filter too, for a fit.
    Unfiltered,
}

/// One pull taken.
#[derive(Debug, Clone)]
pub struct Taken {
    /// Its name in the test file.
    pub name: String,
    /// Where it comes from.
    pub log: LogProvenance,
    /// The cell, if the test file names one.
    pub cell: Option<CellUsed>,
    /// Oddities of the reading.
    pub mistakes: Vec<LogGroup>,
    /// Faults of the load channel.
    pub faults: Vec<LogFault>,
    /// What was done to it.
    pub steps: Vec<CleaningStep>,
    /// The load, cleaned.
    pub load: Arc<Channel>,
    /// The load without the filter, where it was wanted.
    pub unfiltered: Option<Arc<Channel>>,
    /// The stretch, cleaned, at the same times; or why there is none.
    pub displacement: Option<Result<Arc<Channel>, String>>,
    /// Name and SHA-256 of each table of marks that the stretch was read from.
    pub footage: Vec<(String, String)>,
    /// Noise of that stretch.
    pub(crate) marks_noise: Option<MarksNoise>,
    /// Every pull of the log.
    pub found: Found,
    /// Which of them this is.
    pub at: usize,
    /// What was noticed.
    pub findings: Vec<Finding>,
    /// The clock of its footage, where events set it.
    pub(crate) by_events: Option<ByEvents>,
    /// What it was taken from.
    pub(crate) record: Arc<Record>,
}

impl Taken {
    /// The pull.
    pub fn pull(&self) -> &events::Pull {
        &self.found.pulls[self.at]
    }
}

/// Pulls taken so far: a pull that counts twice fakes a spread.
#[derive(Default)]
pub(crate) struct Once(Vec<(String, usize, String)>);

impl Once {
    /// Refuses a pull of a log that was taken under another name.
    pub(crate) fn check(&mut self, taken: &Taken) -> Result<(), Trouble> {
        let same =
            |(hash, at, _): &&(String, usize, String)| *hash == taken.log.sha256 && *at == taken.at;
        if let Some((_, _, name)) = self.0.iter().find(same) {
            let message = format!(
                "is the same pull of the same log as pull {name}: counted twice it fakes a spread"
            );
            return Err(Trouble::new(format!("pull {}", taken.name), message)
                .hinting("leave one out, or correct its log or which"));
        }
        self.0
            .push((taken.log.sha256.clone(), taken.at, taken.name.clone()));
        Ok(())
    }
}

/// A log cleaned: what every pull of it shares, whatever the units it is told in.
#[derive(Debug)]
pub(crate) struct Record {
    /// Where it comes from; whether the hash was checked is each pull's.
    log: LogProvenance,
    mistakes: Vec<LogGroup>,
    /// Unit of what was cleaned, in which faults are found.
    unit: String,
    faults: Vec<Fault>,
    done: Vec<Done>,
    /// The load, cleaned.
    pub load: Arc<Channel>,
    unfiltered: Option<Arc<Channel>>,
    displacement: Option<Result<Arc<Channel>, String>>,
    /// Every pull of the log, as found.
    pub found: Found,
    levels: OnceLock<Levels>,
}

impl Record {
    /// The levels of the load, for drawing.
    pub fn levels(&self) -> &Levels {
        self.levels
            .get_or_init(|| Levels::new(self.load.series.values()))
    }

    /// SHA-256 of the log's bytes.
    pub fn sha256(&self) -> &str {
        &self.log.sha256
    }

    /// Bytes that it takes, its levels among them: 24 for each 15 samples.
    fn bytes(&self) -> usize {
        let of = |channel: &Channel| size_of_val(channel.series.values());
        let stretch = self.displacement.iter().flatten().next();
        let load = of(&self.load);
        load + load / 5
            + self.unfiltered.as_deref().map_or(0, of)
            + stretch.map_or(0, |channel| of(channel))
    }
}

/// Takes one pull of a test file.
pub fn take(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
    wanted: Wanted,
) -> Result<Taken, Trouble> {
    let record = record(test, entry, files, wanted)?;
    let about = format!("pull {}", entry.name);
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    let at = chosen(entry, &record.found, &record.load, test.units)?;
    let found = moved(entry, &record.found, at, &record.load)?;
    let by_events = by_events(entry, &found.pulls[at], record.load.series.step_s())?;
    let (mut displacement, mut footage, mut marks_noise) =
        (record.displacement.clone(), Vec::new(), None);
    if let (Some(DisplacementFrom::Footage), Some(wanted)) =
        (entry.displacement_from, &entry.footage)
    {
        let filter = only_filter(on_steps(test)?);
        let shown = shown(
            entry,
            wanted,
            by_events.as_ref(),
            &record.load,
            &filter,
            files,
        )?;
        displacement = Some(on_times_of(&record.load, shown.channel).map(Arc::new));
        footage = shown.tables;
        marks_noise = Some(shown.noise);
    }
    let mut findings = read_findings(&about, &record.mistakes);
    findings.extend(cell_findings(test, &about, cell));
    findings.extend(clean_findings(
        &about,
        &record,
        &found.pulls[at],
        test.units,
    ));
    let disagree = by_events.as_ref().zip(entry.footage.as_ref());
    findings.extend(disagree.and_then(|(events, wanted)| events.finding(&about, wanted)));
    Ok(Taken {
        name: entry.name.clone(),
        log: LogProvenance {
            checked: entry.sha256.is_some(),
            ..record.log.clone()
        },
        cell: cell.map(|cell| cell_used(cell, test.date)),
        mistakes: record.mistakes.clone(),
        faults: log_faults(&record.faults, test.units, &record.unit),
        steps: record.done.iter().map(step_done).collect(),
        load: Arc::clone(&record.load),
        unfiltered: record.unfiltered.clone(),
        displacement,
        footage,
        marks_noise,
        found,
        at,
        findings,
        by_events,
        record,
    })
}

/// The record that a pull is taken from, its hash checked.
pub(crate) fn record(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
    wanted: Wanted,
) -> Result<Arc<Record>, Trouble> {
    let recipe = recipe_of(entry, files)?;
    let kept = place(test, entry, files, wanted, &recipe);
    let known = kept.as_ref().and_then(|(place, key)| place.shelf.get(key));
    if let Some(record) = known {
        let record: Arc<Record> = record;
        check_hash(entry, record.sha256())?;
        return Ok(record);
    }
    let record = Arc::new(made(test, entry, files, wanted, &recipe)?);
    if let Some((place, key)) = kept {
        place.shelf.put(key, &record, record.bytes());
    }
    Ok(record)
}

/// The same if it was made before; `None` where it would have to be made, or is in doubt.
pub(crate) fn record_at_hand(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
) -> Option<Arc<Record>> {
    let recipe = recipe_of(entry, files).ok()?;
    let (place, key) = place(test, entry, files, Wanted::Readings, &recipe)?;
    let record: Arc<Record> = place.shelf.get(&key)?;
    check_hash(entry, record.sha256()).ok()?;
    Some(record)
}

/// Where a record is kept, and everything that it depends on.
fn place<'f>(
    test: &TestFile,
    entry: &PullEntry,
    files: &'f dyn Files,
    wanted: Wanted,
    recipe: &Recipe,
) -> Option<(Place<'f>, String)> {
    let place = files.place(&entry.log)?;
    // What is each pull's own is left out.
    let entry = PullEntry {
        name: String::new(),
        sha256: None,
        which: None,
        setup: None,
        strain_seen: 0.0,
        footage: None,
        moved: Vec::new(),
        ..entry.clone()
    };
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    let key = format!(
        "record {} {wanted:?} {recipe:?} {entry:?} {cell:?} {:?} {:?} {:?}",
        place.identity, test.date, test.clean, test.events
    );
    Some((place, key))
}

fn made(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
    wanted: Wanted,
    recipe: &Recipe,
) -> Result<Record, Trouble> {
    let log = log(entry, recipe, files)?;
    check_hash(entry, &log.sha256)?;
    let about = format!("pull {}", entry.name);
    let force = force_channel(entry, &log)?;
    let stretch = stretch_channel(entry, &log)?;
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    check_unit(entry, &log.channels[force], cell)?;
    let steps = load_steps(test, entry, cell)?;
    let (readings, unit) = readings(&log.channels[force], cell);
    let clock = Clock::of(&log.times);
    let cleaned = clean_by(clock.stamps(), &readings, &steps, &SideBySide);
    let cleaned = cleaned.map_err(|error| uncleaned(&about, &error))?;
    let unfiltered = match wanted {
        Wanted::Readings => None,
        Wanted::Unfiltered => {
            let steps: Vec<Step> = without_filter(steps);
            let plain = clean_by(clock.stamps(), &readings, &steps, &SideBySide);
            Some(plain.map_err(|error| uncleaned(&about, &error))?.channel)
        }
    };
    let displacement = stretch.map(|at| displacement(test, entry, &log, at, &cleaned.channel));
    Ok(Record {
        log: provenance(entry, &log, force, stretch),
        mistakes: groups(&log.mistakes),
        unit: unit.into(),
        faults: cleaned.faults,
        done: cleaned.done,
        found: found(test, entry, &cleaned.channel)?,
        load: Arc::new(cleaned.channel),
        unfiltered: unfiltered.map(Arc::new),
        displacement: displacement.map(|channel| channel.map(Arc::new)),
        levels: OnceLock::new(),
    })
}

/// A log as it came, of which nothing is cleaned yet.
pub(crate) struct AsLogged {
    log: Arc<Log>,
    /// The channel of the load.
    force: usize,
    /// Of the cell, where it makes loads of what the log writes.
    law: Option<Law>,
    invert: bool,
}

impl AsLogged {
    /// First and last time, s; both 0 of an empty log.
    pub fn ends_s(&self) -> (f64, f64) {
        let times = &self.log.times;
        match times.len() {
            0 => (0.0, 0.0),
            rows => (times.at(0), times.at(rows - 1)),
        }
    }

    /// What is written, sample by sample.
    pub fn written(&self) -> &[f64] {
        self.log.channels[self.force].as_written()
    }

    /// The load that a written value stands for, N, by the cell's law alone.
    pub fn load_n(&self, written: f64) -> f64 {
        let channel = &self.log.channels[self.force];
        let by_law = self.law.as_ref().map(|law| law.load_n(written));
        let load = by_law.unwrap_or_else(|| channel.to_si(written));
        if self.invert { -load } else { load }
    }
}

/// The log of a pull as it came, its hash checked.
pub(crate) fn as_logged(
    test: &TestFile,
    entry: &PullEntry,
    files: &dyn Files,
) -> Result<AsLogged, Trouble> {
    let log = log(entry, &recipe_of(entry, files)?, files)?;
    check_hash(entry, &log.sha256)?;
    let force = force_channel(entry, &log)?;
    let cell = entry.cell.as_deref().and_then(|name| test.cell(name));
    check_unit(entry, &log.channels[force], cell)?;
    Ok(AsLogged {
        law: cell
            .filter(|cell| cell.law != CellLaw::AsLogged)
            .map(|cell| law(&cell.law)),
        invert: test.clean.invert,
        force,
        log,
    })
}

/// What is cleaned, and its unit: a cell makes loads of what the log writes, without one the
/// log holds loads.
fn readings<'l>(channel: &'l LogChannel, cell: Option<&CellEntry>) -> (Cow<'l, [f64]>, &'l str) {
    match cell {
        Some(cell) if cell.law != CellLaw::AsLogged => {
            (Cow::Borrowed(channel.as_written()), &channel.written_unit)
        }
        _ => (channel.values(), &channel.unit),
    }
}

/// Longest recipe, bytes.
pub(crate) const LONGEST_RECIPE: usize = 1 << 18;

fn unread(entry: &PullEntry, name: &str, why: String) -> Trouble {
    Trouble::new(name, why).hinting(format!("[pull.{}] names it", entry.name))
}

fn recipe_of(entry: &PullEntry, files: &dyn Files) -> Result<Recipe, Trouble> {
    let bytes = files.read_short(&entry.recipe, LONGEST_RECIPE);
    let bytes = bytes.map_err(|why| unread(entry, &entry.recipe, why))?;
    recipe(&entry.recipe, &bytes)
}

/// The log of a pull, read by its recipe.
fn log(entry: &PullEntry, recipe: &Recipe, files: &dyn Files) -> Result<Arc<Log>, Trouble> {
    let kept = kept_log(&entry.log, recipe, files);
    if let Some(log) = kept.as_ref().and_then(|(place, key)| place.shelf.get(key)) {
        return Ok(log);
    }
    let unread = |why| unread(entry, &entry.log, why);
    let source = files.open(&entry.log).map_err(unread)?;
    let log = steadypull_logs::read_from(source, recipe);
    let log = log.map_err(|error| unread(unfetched(&error)))?;
    Ok(keep_log(log.map_err(|m| refused(&entry.log, &m))?, kept))
}

/// Where a log as read by a recipe is kept.
pub(crate) fn kept_log<'f>(
    name: &str,
    recipe: &Recipe,
    files: &'f dyn Files,
) -> Option<(Place<'f>, String)> {
    let place = files.place(name)?;
    let key = format!("log {} {recipe:?}", place.identity);
    Some((place, key))
}

/// Keeps a log there, if there is such a place.
pub(crate) fn keep_log(log: Log, kept: Option<(Place, String)>) -> Arc<Log> {
    let log = Arc::new(log);
    if let Some((place, key)) = kept {
        let columns = log.channels.len() * log.times.len() * size_of::<f64>();
        let bytes = columns + log.times.bytes();
        place.shelf.put(key, &log, bytes);
    }
    log
}

/// Refuses a log that is not the one that a pull was written for.
fn check_hash(entry: &PullEntry, sha256: &str) -> Result<(), Trouble> {
    match &entry.sha256 {
        Some(stated) if stated != sha256 => Err(Trouble::new(
            &entry.log,
            format!(
                "this is not the file that [pull.{}] was written for: its SHA-256 is {sha256}, and {stated} is stated",
                entry.name
            ),
        )
        .hinting("find the log as it came from the logger; a log that was opened and saved again is another file")),
        _ => Ok(()),
    }
}

pub(crate) fn recipe(name: &str, bytes: &[u8]) -> Result<Recipe, Trouble> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Trouble::new(name, "the recipe is not text in UTF-8"))?;
    Recipe::from_toml(text).map_err(|error| {
        let before = error.span().and_then(|span| text.get(..span.start));
        let line = before.map_or(1, |before| before.matches('\n').count() + 1);
        let message = format!("line {line}: {}", error.message());
        Trouble::new(name, message)
            .hinting("`steadypull tests look LOG -o RECIPE.toml` writes a recipe")
    })
}

fn listed(log: &Log) -> String {
    let names = log
        .channels
        .iter()
        .map(|c| format!("\"{}\" ({})", c.name, c.unit));
    names.collect::<Vec<_>>().join(", ")
}

fn named(entry: &PullEntry, log: &Log, key: &str, name: &str) -> Result<usize, Trouble> {
    let found = log.channels.iter().position(|channel| channel.name == name);
    found.ok_or_else(|| {
        let message = format!("{key} = \"{name}\" is no channel of its recipe");
        Trouble::new(format!("pull {}", entry.name), message)
            .hinting(format!("there are: {}", listed(log)))
    })
}

fn force_channel(entry: &PullEntry, log: &Log) -> Result<usize, Trouble> {
    if let Some(name) = &entry.force {
        return named(entry, log, "force", name);
    }
    let forces: Vec<usize> = (0..log.channels.len())
        .filter(|&at| log.channels[at].quantity == Quantity::Force)
        .collect();
    match (&forces[..], log.channels.len()) {
        ([one], _) => Ok(*one),
        ([], 1) => Ok(0),
        _ => Err(Trouble::new(
            format!("pull {}", entry.name),
            "which channel holds the load is not said, and it is not plain",
        )
        .hinting(format!(
            "write force = \"NAME\"; there are: {}",
            listed(log)
        ))),
    }
}

fn stretch_channel(entry: &PullEntry, log: &Log) -> Result<Option<usize>, Trouble> {
    let Some(name) = &entry.displacement else {
        return Ok(None);
    };
    let at = named(entry, log, "displacement", name)?;
    if log.channels[at].unit != "m" {
        let message = format!(
            "the channel \"{name}\" reads {}, which is no length",
            log.channels[at].unit
        );
        return Err(Trouble::new(format!("pull {}", entry.name), message)
            .hinting("give the recipe its unit, and a factor where it needs one"));
    }
    Ok(Some(at))
}

/// A log of volts needs a cell that makes loads of them.
fn check_unit(
    entry: &PullEntry,
    channel: &LogChannel,
    cell: Option<&CellEntry>,
) -> Result<(), Trouble> {
    let loads = channel.quantity == Quantity::Force;
    let as_logged = cell.is_none_or(|cell| cell.law == CellLaw::AsLogged);
    if loads || !as_logged {
        return Ok(());
    }
    let message = format!(
        "the channel \"{}\" reads {}, which is no load",
        channel.name, channel.unit
    );
    Err(Trouble::new(format!("pull {}", entry.name), message)
        .hinting("name a cell with load_per_unit or polynomial"))
}

fn provenance(entry: &PullEntry, log: &Log, force: usize, stretch: Option<usize>) -> LogProvenance {
    LogProvenance {
        file: entry.log.clone(),
        sha256: log.sha256.clone(),
        checked: false,
        bytes: log.bytes,
        recipe: entry.recipe.clone(),
        samples: log.times.len() as u64,
        rate_hz: log.rate_hz,
        starts: log.starts.clone(),
        force_channel: log.channels[force].name.clone(),
        displacement_channel: stretch.map(|at| log.channels[at].name.clone()),
    }
}

fn kept(entry: &PullEntry) -> Vec<Step> {
    let crop = entry
        .crop_s
        .map(|(from_s, to_s)| Step::Crop { from_s, to_s });
    let remove = entry
        .remove_s
        .iter()
        .map(|&(from_s, to_s)| Step::Remove { from_s, to_s });
    crop.into_iter().chain(remove).collect()
}

fn on_steps(test: &TestFile) -> Result<Vec<Step>, Trouble> {
    let resample = test.clean.resample.map(|r| Step::Resample {
        step_s: r.step_s,
        between: if r.cubic {
            Between::Cubic
        } else {
            Between::Linear
        },
        longest_gap_s: r.longest_gap_s,
    });
    let class = test.clean.cfc.map(Cfc::new).transpose();
    let class = class.map_err(|error| Trouble::new("[clean] cfc", error.to_string()))?;
    Ok(resample
        .into_iter()
        .chain(class.map(Step::Filter))
        .collect())
}

fn load_steps(
    test: &TestFile,
    entry: &PullEntry,
    cell: Option<&CellEntry>,
) -> Result<Vec<Step>, Trouble> {
    let mut steps = kept(entry);
    steps.extend(test.clean.invert.then_some(Step::Invert));
    steps.push(Step::Zero(zero(test, entry)));
    if let Some(cell) = cell {
        let about = format!("cell {}", cell.name);
        let wrong = |error: CalibrationError| Trouble::new(&about, error.to_string());
        steps.push(Step::Calibrate {
            calibration: calibration(cell).map_err(wrong)?,
            tested: date(test.date).map_err(wrong)?,
        });
    }
    steps.extend(on_steps(test)?);
    Ok(steps)
}

fn zero(test: &TestFile, entry: &PullEntry) -> ZeroBy {
    let window = |(from_s, to_s)| ZeroBy::Window { from_s, to_s };
    match (entry.zero_window_s, test.clean.zero) {
        (Some(own), _) => window(own),
        (None, ZeroFrom::Window(from, to)) => window((from, to)),
        (None, ZeroFrom::QuietPart) => ZeroBy::QuietPart,
        (None, ZeroFrom::AsLogged) => ZeroBy::Level {
            level: 0.0,
            uncertainty: 0.0,
        },
    }
}

fn without_filter(steps: Vec<Step>) -> Vec<Step> {
    let plain = |step: &Step| !matches!(step, Step::Filter(_));
    steps.into_iter().filter(plain).collect()
}

fn only_filter(steps: Vec<Step>) -> Vec<Step> {
    let filter = |step: &Step| matches!(step, Step::Filter(_));
    steps.into_iter().filter(filter).collect()
}

fn date(day: Day) -> Result<Date, CalibrationError> {
    Date::new(day.year, day.month, day.day)
}

fn law(law: &CellLaw) -> Law {
    match law {
        CellLaw::AsLogged => Law::Gain(1.0),
        CellLaw::Gain(gain) => Law::Gain(*gain),
        CellLaw::Polynomial(terms) => Law::Polynomial(terms.clone()),
    }
}

fn calibration(cell: &CellEntry) -> Result<Calibration, CalibrationError> {
    let stated = match cell.uncertainty {
        CellUncertainty::Relative { share, coverage } => Stated::Relative {
            expanded: share,
            factor: coverage,
        },
        CellUncertainty::Residual(residual) => Stated::ResidualN(residual),
        CellUncertainty::Class(class) => Stated::Class(match class {
            Iso376Class::Class00 => Iso376::Class00,
            Iso376Class::Class05 => Iso376::Class05,
            Iso376Class::Class1 => Iso376::Class1,
            Iso376Class::Class2 => Iso376::Class2,
        }),
    };
    Calibration::new(
        law(&cell.law),
        stated,
        &cell.certificate,
        date(cell.due)?,
        cell.range_n,
    )
}

fn cell_used(cell: &CellEntry, tested: Day) -> CellUsed {
    CellUsed {
        name: cell.name.clone(),
        certificate: cell.certificate.clone(),
        due: cell.due.to_string(),
        overdue: tested > cell.due,
        range_n: cell.range_n,
    }
}

fn step_done(done: &Done) -> CleaningStep {
    CleaningStep {
        says: done.words.clone(),
        samples_before: done.before as u64,
        samples_after: done.after as u64,
    }
}

fn uncleaned(about: &str, error: &StepError) -> Trouble {
    use steadypull_measure::signal::steps::Cause;
    let hint = match &error.cause {
        Cause::Uneven => "write resample = \"1 ms\" or so in [clean]",
        Cause::Zero(_) => {
            "give zero_window = [\"0 s\", \"0.8 s\"] where the line hangs slack, or zero = \"as-logged\""
        }
        Cause::Filter(_) => "choose another cfc in [clean], or leave it out",
        Cause::NothingLeft { .. } => "look at crop against the log's own times",
        _ => "look at [clean] and at the log",
    };
    Trouble::new(about, format!("cannot be cleaned, {error}")).hinting(hint)
}

/// The stretch, cleaned as the load is, on the load's own times.
fn displacement(
    test: &TestFile,
    entry: &PullEntry,
    log: &Log,
    at: usize,
    load: &Channel,
) -> Result<Channel, String> {
    let mut steps = kept(entry);
    let (by_s, uncertainty_s) = entry.displacement_shift_s;
    if by_s != 0.0 || uncertainty_s != 0.0 {
        steps.push(Step::Shift {
            by_s,
            uncertainty_s,
        });
    }
    steps.extend(on_steps(test).map_err(|trouble| trouble.message)?);
    let clock = Clock::of(&log.times);
    let values = log.channels[at].values();
    let cleaned = clean_by(clock.stamps(), &values, &steps, &SideBySide);
    let mut channel = cleaned.map_err(|error| error.to_string())?.channel;
    channel.quality.calibration = CalibrationSpread {
        relative: 0.5 * entry.displacement_uncertainty.unwrap_or(0.0),
        absolute_n: 0.0,
    };
    on_times_of(load, channel)
}

/// The channel on the load's times, straight between its own, where it lies beside them.
fn on_times_of(load: &Channel, channel: Channel) -> Result<Channel, String> {
    let beside = load.series.place(channel.series.start_s());
    if (beside - libm::round(beside)).abs() < 1e-6 {
        return Ok(channel);
    }
    let value = |i: usize| channel.series.at(load.series.time_s(i)).unwrap_or(f64::NAN);
    let values = (0..load.series.values().len()).map(value).collect();
    let series = Series::new(load.series.start_s(), load.series.step_s(), values);
    Ok(Channel {
        series: series.map_err(|error| error.to_string())?,
        quality: channel.quality,
    })
}

fn found(test: &TestFile, entry: &PullEntry, load: &Channel) -> Result<Found, Trouble> {
    let (rules, usual) = (test.events, Settings::default());
    let settings = Settings {
        threshold_n: rules.threshold_n.unwrap_or(usual.threshold_n),
        slack_for_s: rules.slack_for_s.unwrap_or(usual.slack_for_s),
        rebound_within_s: rules.rebound_within_s.unwrap_or(usual.rebound_within_s),
        plateau_s: rules.plateau_s.unwrap_or(usual.plateau_s),
        fastest_unload_s: rules.fastest_unload_s,
    };
    events::find(load, &settings).map_err(|error| {
        Trouble::new(format!("pull {}", entry.name), error.to_string())
            .hinting("look at invert, at the channel and at threshold in [events]")
    })
}

/// Which of the log's pulls is meant; never guessed where there are several.
fn chosen(
    entry: &PullEntry,
    found: &Found,
    load: &Channel,
    units: Units,
) -> Result<usize, Trouble> {
    let own: Vec<usize> = (0..found.pulls.len())
        .filter(|&at| !found.pulls[at].rebound)
        .collect();
    let list = || {
        let told = |(n, at): (usize, &usize)| {
            let pull = &found.pulls[*at];
            let peak = load.series.at(pull.peak.time_s).unwrap_or(0.0);
            format!(
                "{} from {:.2} s with {}",
                n + 1,
                pull.taut.time_s,
                units.force(peak)
            )
        };
        let shown: Vec<_> = own.iter().enumerate().take(12).map(told).collect();
        shown.join("; ")
    };
    let about = format!("pull {}", entry.name);
    match (entry.which, &own[..]) {
        (Some(which), _) => own.get(which as usize - 1).copied().ok_or_else(|| {
            Trouble::new(
                about,
                format!("which = {which}, and the log holds {} pulls", own.len()),
            )
            .hinting(format!("there are: {}", list()))
        }),
        (None, [one]) => Ok(*one),
        (None, _) => Err(Trouble::new(
            about,
            format!(
                "the log holds {} pulls and which is meant is not said",
                own.len()
            ),
        )
        .hinting(format!(
            "write which = 1 or so ({}), or a threshold in [events] that small ones stay under",
            list()
        ))),
    }
}

fn moved(entry: &PullEntry, found: &Found, at: usize, load: &Channel) -> Result<Found, Trouble> {
    let moves: Vec<Moved> = entry
        .moved
        .iter()
        .map(|hand| Moved {
            pull: at,
            kind: match hand.event {
                ByHandEvent::Taut => EventKind::Taut,
                ByHandEvent::Peak => EventKind::Peak,
                ByHandEvent::BreakOut => EventKind::BreakOut,
                ByHandEvent::Parting => EventKind::Parting,
                ByHandEvent::End => EventKind::End,
            },
            to: match hand.at_s {
                None => ByHand::Away,
                Some((time_s, uncertainty_s)) => ByHand::At {
                    time_s,
                    uncertainty_s,
                },
            },
        })
        .collect();
    set_by_hand(found, &moves, &load.series).map_err(|error| {
        Trouble::new(format!("[pull.{}.events]", entry.name), error.to_string())
            .hinting("times are those of the log's own clock")
    })
}

fn read_findings(about: &str, mistakes: &[LogGroup]) -> Vec<Finding> {
    let lost: u64 = mistakes.iter().filter(|g| g.lost).map(|g| g.count).sum();
    let lost = (lost > 0).then(|| {
        let message = format!("{lost} cells or rows of {about} could not be read and are gaps");
        warning(
            "log-gaps",
            about,
            message,
            "look at the log; nothing is read across a gap",
        )
    });
    lost.into_iter().collect()
}

fn cell_findings(test: &TestFile, about: &str, cell: Option<&CellEntry>) -> Vec<Finding> {
    let mut findings = Vec::new();
    if cell.is_none() {
        findings.push(warning(
            "no-cell",
            about,
            "no cell is named: nothing vouches for the loads, and no doubt of a calibration is in their intervals",
            "describe the cell and its certificate in [cell.NAME] and name it",
        ));
    }
    if test.clean.zero == ZeroFrom::AsLogged {
        findings.push(warning(
            "zero-as-logged",
            about,
            "the zero was taken as the logger wrote it: how far it is off is not known and is in no interval",
            "log some seconds with the line slack before the pull",
        ));
    }
    findings
}

fn clean_findings(about: &str, record: &Record, pull: &events::Pull, units: Units) -> Vec<Finding> {
    let unit = &record.unit;
    let mut findings = Vec::new();
    for done in &record.done {
        findings.extend(
            done.findings
                .iter()
                .map(|found| calibration_finding(about, found, units)),
        );
        let doubt = done.quiet.as_ref().and_then(|quiet| quiet.doubt.clone());
        findings.extend(doubt.map(|doubt| {
            warning(
                "zero-in-doubt",
                about,
                doubt,
                "give zero_window where the line hangs slack",
            )
        }));
    }
    let inside = |from: f64, to: f64| from <= pull.end.time_s && to >= pull.taut.time_s;
    for fault in &record.faults {
        if !inside(fault.place.from_s, fault.place.to_s) {
            continue;
        }
        let (code, remedy) = match fault.kind {
            FaultKind::Saturated { .. } => (
                "clipped",
                "take a cell or a range that the pull stays under, and pull again",
            ),
            FaultKind::Gap { .. } | FaultKind::Missing | FaultKind::ClockStep { .. } => {
                ("gap-in-pull", "pull again, or leave this pull out")
            }
            FaultKind::Spike { .. } => {
                ("spike-in-pull", "take it out with remove, if it is no load")
            }
            FaultKind::Stuck { .. } => ("stuck-in-pull", "look at the logger and its cable"),
            FaultKind::ZeroDrift { .. } => {
                ("zero-drift", "look at the cell; zero it before each pull")
            }
            _ => continue,
        };
        findings.push(warning(
            code,
            about,
            fault.words(&|value| in_unit(units, unit, value)),
            remedy,
        ));
    }
    if pull.begins_under_load || pull.ends_under_load {
        findings.push(warning(
            "cut-off",
            about,
            "the log begins or ends, or has a gap, while the line is under load: duration, impulse and energies are not whole",
            "log from before the line comes taut until it is slack",
        ));
    }
    if let Some(parting) = &pull.parting {
        findings.push(note(
            "parting",
            about,
            format!(
                "the load falls away at {:.3} s faster than a whole line unloads: something let go",
                parting.time_s
            ),
            "say what it was in the set-up; a let-go by hand looks the same: no_parting = true",
        ));
    }
    // One of each kind says it.
    let mut told: Vec<Finding> = Vec::new();
    for finding in findings {
        if !told.iter().any(|one| one.code == finding.code) {
            told.push(finding);
        }
    }
    told
}

fn calibration_finding(about: &str, found: &CalibrationFinding, units: Units) -> Finding {
    let (code, remedy, source) = match found {
        CalibrationFinding::Overdue { .. } => (
            "cell-overdue",
            "calibrate the cell, and read these pulls again with what it shows",
            "common practice",
        ),
        CalibrationFinding::BeyondRange { .. } => (
            "cell-range",
            "take a cell calibrated to a greater load",
            "common practice",
        ),
        CalibrationFinding::HardlyAny { .. } => (
            "cell-hardly-loaded",
            "check load_per_unit or polynomial against the certificate and the log's unit",
            "common practice",
        ),
        CalibrationFinding::BelowLowerLimit { .. } => (
            "cell-too-large",
            "take a smaller cell",
            "ASTM E74, from memory",
        ),
    };
    Finding {
        source: source.into(),
        ..warning(code, about, found.words(units), remedy)
    }
}
