//! The log and the recipe that a pull names, and which of its channels are meant.

use std::sync::Arc;

use steadypull_contract::plan_file::{CellEntry, CellLaw, PullEntry};
use steadypull_logs::{Log, LogChannel, Quantity, Recipe};

use crate::files::{Files, unfetched};
use crate::look::refused;
use crate::shelf::Place;
use crate::trouble::Trouble;

/// Longest recipe, bytes.
pub(crate) const LONGEST_RECIPE: usize = 1 << 18;

fn unread(entry: &PullEntry, name: &str, why: String) -> Trouble {
    Trouble::new(name, why).hinting(format!("[pull.{}] names it", entry.name))
}

pub(crate) fn recipe_of(entry: &PullEntry, files: &dyn Files) -> Result<Recipe, Trouble> {
    let bytes = files.read_short(&entry.recipe, LONGEST_RECIPE);
    let bytes = bytes.map_err(|why| unread(entry, &entry.recipe, why))?;
    recipe(&entry.recipe, &bytes)
}

/// The log of a pull, read by its recipe.
pub(crate) fn log(
    entry: &PullEntry,
    recipe: &Recipe,
    files: &dyn Files,
) -> Result<Arc<Log>, Trouble> {
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
pub(crate) fn check_hash(entry: &PullEntry, sha256: &str) -> Result<(), Trouble> {
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

pub(crate) fn force_channel(entry: &PullEntry, log: &Log) -> Result<usize, Trouble> {
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

pub(crate) fn stretch_channel(entry: &PullEntry, log: &Log) -> Result<Option<usize>, Trouble> {
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
pub(crate) fn check_unit(
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
