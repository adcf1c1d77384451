//! A log read by its recipe and cleaned, its pulls found: what every pull of it shares.
//!
//! It is made once where there is a shelf to keep it on; an event moved by hand or another
//! `which` needs no second reading.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

use steadypull_contract::answer::{LogGroup, LogProvenance};
use steadypull_contract::plan_file::{CellEntry, CellLaw, PullEntry, TestFile};
use steadypull_logs::{Log, LogChannel, Recipe};
use steadypull_measure::events::{self, Found, Settings};
use steadypull_measure::levels::Levels;
use steadypull_measure::signal::calibration::{CalibrationSpread, Law};
use steadypull_measure::signal::faults::Fault;
use steadypull_measure::signal::steps::{Done, Step, clean_by};
use steadypull_measure::signal::{Channel, Series};

use crate::beside::{Clock, SideBySide};
use crate::cleaning::{kept, law, load_steps, on_steps, uncleaned, without_filter};
use crate::files::Files;
use crate::log_named::{check_hash, check_unit, force_channel, log, recipe_of, stretch_channel};
use crate::look::groups;
use crate::shelf::Place;
use crate::take::Wanted;
use crate::trouble::Trouble;

/// A log cleaned: what every pull of it shares, whatever the units it is told in.
#[derive(Debug)]
pub(crate) struct Record {
    /// Where it comes from; whether the hash was checked is each pull's.
    pub log: LogProvenance,
    /// Oddities of the reading.
    pub mistakes: Vec<LogGroup>,
    /// Unit of what was cleaned, in which faults are found.
    pub unit: String,
    /// What is wrong with the log.
    pub faults: Vec<Fault>,
    /// What was done to it, step by step.
    pub done: Vec<Done>,
    /// The load, cleaned.
    pub load: Arc<Channel>,
    /// The same without the filter, where it was wanted.
    pub unfiltered: Option<Arc<Channel>>,
    /// The stretch, cleaned, at the same times; or why there is none.
    pub displacement: Option<Result<Arc<Channel>, String>>,
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
pub(crate) fn on_times_of(load: &Channel, channel: Channel) -> Result<Channel, String> {
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
