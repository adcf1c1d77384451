//! A log taken into a test file: its recipe kept beside it, a table for each pull found.

use std::collections::BTreeSet;

use serde::Serialize;
use steadypull_contract::operation::{SetValue, TakeUpRequest, edit_tests, named_in_tests};
use steadypull_contract::plan_file::{PullEntry, TestFile, read_tests};
use steadypull_contract::printed::Errors;
use steadypull_logs::Recipe;

use crate::files::Files;
use crate::log_named::{LONGEST_RECIPE, recipe};
use crate::record::record;
use crate::shelf::Place;
use crate::take::Wanted;
use crate::trouble::{TestsError, Trouble};

/// Recipes of one name that are tried.
const MOST_ALIKE: u32 = 100;

/// A log taken up.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenUp {
    /// The test file's text with the new pulls.
    pub text: String,
    /// The recipe to be kept; `None` where the same is there already.
    pub recipe: Option<NewRecipe>,
}

/// A recipe that is not there yet.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRecipe {
    /// The name of its file.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Why a log is not taken up.
#[derive(Debug, Clone, PartialEq)]
pub enum TakeUpError {
    /// Mistakes of the test file as it would be, or a change that cannot be made.
    Text(Errors),
    /// The log, or its recipe.
    Log(TestsError),
}

impl From<Trouble> for TakeUpError {
    fn from(trouble: Trouble) -> Self {
        Self::Log(trouble.into())
    }
}

/// A `[pull.NAME]` as it is written.
#[derive(Clone, Copy, Serialize)]
struct Table<'a> {
    log: &'a str,
    recipe: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    sha256: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    which: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    force: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    displacement: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cell: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    setup: Option<&'a str>,
}

/// Takes a log into the test file `text`: a table for each of its pulls but rebounds, cleaned
/// and found as the test file says, named after the log.
pub fn take_up(
    text: &str,
    wanted: &TakeUpRequest,
    files: &dyn Files,
) -> Result<TakenUp, TakeUpError> {
    let own = recipe("the recipe", wanted.recipe.as_bytes())?;
    let (name, is_new) = recipe_name(text, &wanted.file, &own, files)?;
    let table = Table {
        log: &wanted.file,
        recipe: &name,
        sha256: None,
        which: None,
        force: wanted.force.as_deref(),
        displacement: wanted.displacement.as_deref(),
        cell: wanted.cell.as_deref(),
        setup: wanted.setup.as_deref(),
    };
    let (stem, taken) = (stem(&wanted.file), named_in_tests(text, "pull"));
    // With a table more the test file reads, and says how the log is to be cleaned.
    let trial = with(text, &[(first_free(&stem, &taken), table)])?.1;
    let entry = only_of(&trial, &wanted.file)?;
    let beside = Beside {
        files,
        name: &name,
        text: &wanted.recipe,
    };
    let record = record(&trial, entry, &beside, Wanted::Readings)?;
    let pulls = &record.found.pulls;
    let names = names(&stem, pulls.iter().filter(|p| !p.rebound).count(), &taken);
    let tables = names.into_iter().zip(1..).map(|(name, which)| {
        let table = Table {
            sha256: Some(record.sha256()),
            which: Some(which),
            ..table
        };
        (name, table)
    });
    let (text, _) = with(text, &tables.collect::<Vec<_>>())?;
    let recipe = is_new.then(|| NewRecipe {
        name: name.clone(),
        text: wanted.recipe.clone(),
    });
    Ok(TakenUp { text, recipe })
}

/// The test file with these pulls too, as text and as read.
fn with(text: &str, pulls: &[(String, Table)]) -> Result<(String, TestFile), TakeUpError> {
    let edits: Result<Vec<SetValue>, Trouble> = pulls
        .iter()
        .map(|(name, table)| {
            let value = serde_json::to_value(table);
            Ok(SetValue {
                path: vec!["pull".into(), name.clone()],
                value: value.map_err(|error| Trouble::new(name, error.to_string()))?,
            })
        })
        .collect();
    let text = edit_tests(text, &edits?).map_err(TakeUpError::Text)?;
    let test = read_tests(&text).map_err(|problems| {
        TakeUpError::Text(Errors::of_plan(
            Some("the test file with the new pulls"),
            &problems,
        ))
    })?;
    Ok((text, test))
}

/// The one pull that names a log; a log that is taken up twice would count twice.
fn only_of<'t>(test: &'t TestFile, log: &str) -> Result<&'t PullEntry, Trouble> {
    let of_log: Vec<&PullEntry> = test.pulls.iter().filter(|p| p.log == log).collect();
    match &of_log[..] {
        [one] => Ok(one),
        [first, ..] => Err(Trouble::new(
            log,
            format!("is taken up already: pull {} names it", first.name),
        )
        .hinting("change its pulls in the test file, or take them out there first")),
        [] => Err(Trouble::new(log, "could not be written into the test file")),
    }
}

/// The name of a recipe's file and whether it is new: one that holds the same already, or
/// one beside the log.
fn recipe_name(
    text: &str,
    log: &str,
    own: &Recipe,
    files: &dyn Files,
) -> Result<(String, bool), Trouble> {
    let same = |bytes: &[u8]| recipe("", bytes).is_ok_and(|there| there == *own);
    let named = read_tests(text).map_or_else(|_| Vec::new(), |test| test.pulls);
    let known = named.iter().map(|pull| &pull.recipe);
    if let Some(name) = known.collect::<BTreeSet<_>>().into_iter().find(|name| {
        files
            .read_short(name, LONGEST_RECIPE)
            .is_ok_and(|bytes| same(&bytes))
    }) {
        return Ok((name.clone(), false));
    }
    let stem: String = before_ending(log).chars().take(80).collect();
    for number in 1..=MOST_ALIKE {
        let name = match number {
            1 => format!("{stem}.recipe.toml"),
            _ => format!("{stem}.recipe-{number}.toml"),
        };
        match files.read_short(&name, LONGEST_RECIPE) {
            // Where it is not free after all, it is not kept over what stands there.
            Err(_) => return Ok((name, true)),
            Ok(bytes) if same(&bytes) => return Ok((name, false)),
            Ok(_) => {}
        }
    }
    Err(
        Trouble::new(log, "there are too many recipes of that name already")
            .hinting("remove those that no pull names"),
    )
}

/// Names for so many pulls, none taken: the log's own for one, numbered for more.
fn names(stem: &str, pulls: usize, taken: &[String]) -> Vec<String> {
    if pulls == 1 {
        return vec![first_free(stem, taken)];
    }
    let numbered = (1..).map(|number| format!("{stem}-{number}"));
    numbered
        .filter(|name| !taken.contains(name))
        .take(pulls)
        .collect()
}

fn first_free(stem: &str, taken: &[String]) -> String {
    match taken.iter().any(|name| name == stem) {
        false => stem.into(),
        true => {
            let mut numbered = (2_u64..).map(|number| format!("{stem}-{number}"));
            let free = numbered.find(|name| !taken.contains(name));
            free.unwrap_or_else(|| stem.into())
        }
    }
}

/// A log's name as the name of a table: letters, digits, hyphens and underscores.
fn stem(log: &str) -> String {
    let plain = |c: char| match c.is_ascii_alphanumeric() || c == '-' || c == '_' {
        true => c,
        false => '-',
    };
    before_ending(log).chars().map(plain).collect()
}

fn before_ending(log: &str) -> &str {
    log.rfind('.')
        .filter(|at| *at > 0)
        .map_or(log, |at| &log[..at])
}

/// Files with one more that is not kept yet.
struct Beside<'f> {
    files: &'f dyn Files,
    name: &'f str,
    text: &'f str,
}

impl Files for Beside<'_> {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        match name == self.name {
            true => Ok(self.text.as_bytes().to_vec()),
            false => self.files.read(name),
        }
    }

    fn place(&self, name: &str) -> Option<Place<'_>> {
        self.files.place(name)
    }
}
