//! What a log seems to be.

use std::sync::Arc;

use steadypull_contract::answer::{
    CONTRACT_VERSION, LogColumn, LogCourse, LogFault, LogGroup, LookChoice, LookInstead,
    LookPreviewCell, LookPreviewRow, LookSure, TestsLookAnswer, in_unit,
};
use steadypull_contract::show::Units;
use steadypull_logs::{
    Choice, Group, Guess, Log, LogChannel, Mistakes, Preview, PreviewRow, Recipe, Sure, Times,
    Weight, preview,
};
use steadypull_measure::signal::faults::{Fault, FaultKind, Looking};

use crate::beside::Clock;
use crate::files::Files;
use crate::levels::whole;
use crate::log_named::{keep_log, kept_log, recipe as parsed};
use crate::trouble::{TestsError, Trouble, sound};

/// Most faults that are listed of one channel.
const FAULTS_MOST: usize = 40;

/// Guesses how to read the log `file` from its bytes, and reads it so.
pub fn look(file: &str, bytes: &[u8]) -> Result<TestsLookAnswer, TestsError> {
    looked(file, bytes, None, |recipe| {
        steadypull_logs::read(bytes, recipe).map(Arc::new)
    })
}

/// The same of a file that is fetched; the log is kept where it has a place.
pub fn look_at(file: &str, files: &dyn Files) -> Result<TestsLookAnswer, TestsError> {
    look_by(file, None, files)
}

/// The same, read by a recipe (TOML) that somebody made of the guess: the choices and their
/// reasons stay the guess's.
pub fn look_by(
    file: &str,
    recipe: Option<&str>,
    files: &dyn Files,
) -> Result<TestsLookAnswer, TestsError> {
    let by = recipe.map(|text| parsed("the recipe", text.as_bytes()));
    let bytes = files.read(file).map_err(|why| {
        Trouble::new(file, why).hinting("a log is looked at once it is in the test day")
    })?;
    looked(file, &bytes, by.transpose()?, |recipe| {
        let kept = kept_log(file, recipe, files);
        if let Some(log) = kept.as_ref().and_then(|(place, key)| place.shelf.get(key)) {
            return Ok(log);
        }
        Ok(keep_log(steadypull_logs::read(&bytes, recipe)?, kept))
    })
}

/// An answer with the course of each channel in so many parts, where the log is kept.
pub fn with_courses(
    answer: TestsLookAnswer,
    parts: usize,
    files: &dyn Files,
) -> Result<TestsLookAnswer, TestsError> {
    let recipe = parsed("the recipe", answer.recipe.as_bytes())?;
    let kept = kept_log(&answer.file, &recipe, files);
    let Some(log) = kept.and_then(|(place, key)| place.shelf.get::<Log>(&key)) else {
        return Ok(answer);
    };
    let channels = answer.channels.into_iter().zip(&log.channels);
    let channels = channels.map(|(column, channel)| LogColumn {
        course: course(&log, channel, parts),
        ..column
    });
    sound(TestsLookAnswer {
        channels: channels.collect(),
        ..answer
    })
}

fn course(log: &Log, channel: &LogChannel, parts: usize) -> Option<LogCourse> {
    let last = log.times.len().checked_sub(1)?;
    let (from_s, to_s) = (log.times.at(0), log.times.at(last));
    let spans = whole(channel.as_written(), parts);
    let there = |written: f64| Some(channel.to_si(written)).filter(|value| value.is_finite());
    Some(LogCourse {
        from_s,
        to_s,
        least: spans.iter().map(|span| there(span.least)).collect(),
        greatest: spans.iter().map(|span| there(span.greatest)).collect(),
    })
    .filter(|_| from_s.is_finite() && to_s.is_finite())
}

fn looked(
    file: &str,
    bytes: &[u8],
    by: Option<Recipe>,
    read: impl FnOnce(&Recipe) -> Result<Arc<Log>, Mistakes>,
) -> Result<TestsLookAnswer, TestsError> {
    let mut guess =
        steadypull_logs::guess(bytes).map_err(|mistakes| Trouble::new(file, told(&mistakes)))?;
    if let Some(recipe) = by {
        // What it cannot be read by shows no rows; `read` says why.
        guess.preview = preview(bytes, &recipe, guess.preview.rows.len()).unwrap_or(Preview {
            rows: Vec::new(),
            mistakes: Mistakes::default(),
        });
        guess.recipe = recipe;
    }
    let recipe = guess.recipe.to_toml().map_err(|error| {
        Trouble::new(
            file,
            format!("the recipe could not be written down: {error}"),
        )
    })?;
    let (log, unreadable) = match read(&guess.recipe) {
        Ok(log) => (Some(log), None),
        Err(mistakes) => (None, Some(told(&mistakes))),
    };
    sound(answer(
        file,
        bytes,
        &guess,
        recipe,
        log.as_deref(),
        unreadable,
    ))
}

pub(crate) fn refused(file: &str, mistakes: &Mistakes) -> Trouble {
    Trouble::new(file, told(mistakes))
        .hinting("`steadypull tests look LOG` shows how a log can be read")
}

fn told(mistakes: &Mistakes) -> String {
    let text = mistakes.to_string();
    text.lines().collect::<Vec<_>>().join("; ")
}

fn answer(
    file: &str,
    bytes: &[u8],
    guess: &Guess,
    recipe: String,
    log: Option<&Log>,
    unreadable: Option<String>,
) -> TestsLookAnswer {
    let none = Times::Listed(Vec::new());
    let times = log.map_or(&none, |log| &log.times);
    let last = times.len().checked_sub(1);
    let span = last.map(|last| times.at(last) - times.at(0));
    let column = |channel: &LogChannel| column(times, channel);
    TestsLookAnswer {
        contract_version: CONTRACT_VERSION,
        file: file.into(),
        sha256: log.map_or_else(String::new, |log| log.sha256.clone()),
        bytes: bytes.len() as u64,
        recipe,
        choices: guess.choices.iter().map(choice).collect(),
        preview: guess.preview.rows.iter().map(row).collect(),
        samples: times.len() as u64,
        span_s: span.filter(|span| span.is_finite()),
        channels: log
            .iter()
            .flat_map(|log| &log.channels)
            .map(column)
            .collect(),
        mistakes: groups(log.map_or(&guess.preview.mistakes, |log| &log.mistakes)),
        unreadable,
        cautions: crate::cautions(),
    }
}

fn choice(choice: &Choice) -> LookChoice {
    let instead = choice.instead.iter().map(|other| LookInstead {
        value: other.value.clone(),
        why: other.why.clone(),
    });
    LookChoice {
        key: choice.key.clone(),
        chosen: choice.chosen.clone(),
        why: choice.why.clone(),
        sure: match choice.sure {
            Sure::Certain => LookSure::Certain,
            Sure::Likely => LookSure::Likely,
            Sure::Unsure => LookSure::Unsure,
        },
        instead: instead.collect(),
    }
}

fn row(row: &PreviewRow) -> LookPreviewRow {
    let cells = row.cells.iter().map(|cell| LookPreviewCell {
        column: cell.column,
        raw: cell.raw.clone(),
        value: cell.value.filter(|v| v.is_finite()),
        unit: cell.unit.clone(),
    });
    LookPreviewRow {
        place: row.place.clone(),
        time_s: row.time_s.filter(|t| t.is_finite()),
        cells: cells.collect(),
    }
}

fn column(times: &Times, channel: &LogChannel) -> LogColumn {
    let values = channel.values();
    let there = values.iter().copied().filter(|v| v.is_finite());
    let (least, greatest) = there
        .clone()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, g), v| {
            (l.min(v), g.max(v))
        });
    let looking = Looking {
        filter: None,
        ends: channel.full_scale,
    };
    let clock = Clock::of(times);
    let faults = steadypull_measure::signal::faults::look(clock.stamps(), &values, &looking);
    LogColumn {
        name: channel.name.clone(),
        unit: channel.unit.clone(),
        written_unit: channel.written_unit.clone(),
        least: least.is_finite().then_some(least),
        greatest: greatest.is_finite().then_some(greatest),
        missing: (values.len() - there.count()) as u64,
        faults: log_faults(&faults, Units::Metric, &channel.unit),
        course: None,
    }
}

/// Faults as the contract tells them, the first of very many; values of the log are in SI `unit`.
pub(crate) fn log_faults(faults: &[Fault], units: Units, unit: &str) -> Vec<LogFault> {
    let finite = |time: f64| time.is_finite().then_some(time);
    let told = |fault: &Fault| LogFault {
        kind: kind(&fault.kind).into(),
        from_s: finite(fault.place.from_s),
        to_s: finite(fault.place.to_s),
        says: fault.words(&|value| in_unit(units, unit, value)),
    };
    let mut listed: Vec<LogFault> = faults.iter().take(FAULTS_MOST).map(told).collect();
    if faults.len() > FAULTS_MOST {
        listed.push(LogFault {
            kind: "more".into(),
            from_s: None,
            to_s: None,
            says: format!("{} more faults are not listed.", faults.len() - FAULTS_MOST),
        });
    }
    listed
}

fn kind(kind: &FaultKind) -> &'static str {
    match kind {
        FaultKind::NoClock => "no-clock",
        FaultKind::Gap { .. } => "gap",
        FaultKind::DuplicateStamp => "duplicate-stamp",
        FaultKind::TimeReversed { .. } => "time-reversed",
        FaultKind::ClockStep { .. } => "clock-step",
        FaultKind::Jitter { .. } => "jitter",
        FaultKind::Saturated { .. } => "saturated",
        FaultKind::Stuck { .. } => "stuck",
        FaultKind::Missing => "missing",
        FaultKind::Spike { .. } => "spike",
        FaultKind::ZeroDrift { .. } => "zero-drift",
        FaultKind::SlowForFilter { .. } => "slow-for-filter",
        FaultKind::Coarse { .. } => "coarse",
    }
}

/// Oddities of the reading, kind by kind.
pub(crate) fn groups(mistakes: &Mistakes) -> Vec<LogGroup> {
    let told = |group: &Group| LogGroup {
        kind: group.kind.slug().into(),
        says: group.kind.says().into(),
        lost: group.kind.weight() == Weight::Lost,
        count: group.count,
        first: group
            .first
            .first()
            .map_or_else(String::new, |m| m.place.to_string()),
    };
    mistakes.groups().iter().map(told).collect()
}
