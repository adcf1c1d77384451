//! The study file of a sweep: which numbers of a plan are varied, and how.
//!
//! ```toml
//! plan = "plan.toml"          # beside the study file
//! runs = 256                  # draws at each point of the grid
//! points = "sobol"            # or "latin-hypercube", "random"
//! seed = 1
//! want = ["load_path.tension_n", "verdict.headline"]
//!
//! [vary]
//! rig.run_up_speed = ["6 km/h", "8 km/h", "10 km/h"]
//! casualty.mass = "2.2 t to 2.6 t"
//! ```
//!
//! Lists make a grid, spreads are drawn. Every mistake is told with its place.

use core::ops::Range;

use toml::de::DeValue;

use super::limits;
use super::parsed::{ParsedPlan, no_such_number};
use super::position::Lines;
use super::problem::PlanProblems;
use super::reader::Reader;
use super::section::Section;
use super::syntax;
use super::value::{Fault, Text};
use super::varied::{self, Varied};
use super::vary::{Variable, Varying};

/// Most entries of `want`.
const MOST_WANTED: usize = 500;
/// Deepest key under `[vary]`.
const DEEPEST: usize = 8;

/// How drawn inputs are sampled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Points {
    /// Scrambled Sobol points.
    Sobol,
    /// A Latin hypercube of the wanted number of runs.
    LatinHypercube,
    /// Plain random values.
    Random,
}

impl Points {
    /// The word for it in a study file.
    pub fn word(self) -> &'static str {
        super::words::Words::word(self)
    }
}

/// One number of the plan and what is made of it.
#[derive(Debug, Clone)]
pub struct StudyInput {
    /// Which number.
    pub variable: Variable,
    /// Its values.
    pub varied: Varied,
    /// As the study file writes it, on one line.
    pub text: String,
}

/// A study as read.
#[derive(Debug, Clone)]
pub struct StudyFile {
    /// How drawn inputs are sampled, if said.
    pub points: Option<Points>,
    /// Draws at each point of the grid, if said.
    pub runs: Option<u64>,
    /// Seed of the draws, if said.
    pub seed: Option<u64>,
    /// Outputs wanted by their paths; empty for the usual ones.
    pub want: Vec<String>,
    /// What is varied, in the order of the file.
    pub inputs: Vec<StudyInput>,
}

/// The plan file that a study names; none if the text is no study but a plan.
pub fn plan_of_study(text: &str) -> Option<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (tree, _) = toml::de::DeTable::parse_recoverable(text);
    let tree = tree.get_ref();
    let named = tree.get("plan").map(|value| value.get_ref());
    match named {
        Some(DeValue::String(name)) => Some(name.to_string()),
        Some(_) => Some(String::new()),
        None if tree.contains_key("vary") => Some(String::new()),
        None => None,
    }
}

/// Reads a study of `plan`. `wanted` says of a path whether it is an output, and
/// else what is wrong with it and what was probably meant.
pub fn read_study(
    text: &str,
    plan: &ParsedPlan,
    wanted: impl Fn(&str) -> Result<(), (String, Option<String>)>,
) -> Result<StudyFile, PlanProblems> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > super::LONGEST_PLAN {
        return Err(PlanProblems::too_long(text.len(), super::LONGEST_PLAN));
    }
    let known = plan.variables()?;
    let (tree, mistakes) = toml::de::DeTable::parse_recoverable(text);
    let (lines, nothing) = (Lines::new(text), Varying::replacing(&[]));
    let reader = Reader::new(text, &lines, &nothing);
    syntax::report(&reader, &mistakes);
    let file = Section::whole_file(&reader, tree.get_ref());
    let read = study(&file, &known, &wanted);
    reader.mistakes()?;
    read.ok_or_else(|| {
        // Unreachable as long as every `None` is noted; never silent.
        reader.note(0..0, None, Fault::new("the study could not be read".into()));
        reader.mistakes().err().unwrap_or_else(|| PlanProblems {
            problems: Vec::new(),
            more: 1,
        })
    })
}

fn study(
    file: &Section,
    known: &[Variable],
    wanted: &impl Fn(&str) -> Result<(), (String, Option<String>)>,
) -> Option<StudyFile> {
    let plan = file.key::<Text>("plan").need();
    let points = file.key::<Points>("points").maybe();
    let runs = file.key::<u64>("runs").within(&limits::STUDY_RUNS).maybe();
    let seed = file.key::<u64>("seed").within(&limits::SEED).maybe();
    let want = want(file, wanted);
    let vary = file.table("vary");
    let mut inputs = Vec::new();
    flatten(&vary, known, "", vary.entries(), 0, &mut inputs);
    file.close();
    plan?;
    Some(StudyFile {
        points: points?,
        runs: runs?,
        seed: seed?,
        want: want?,
        inputs,
    })
}

fn want(
    file: &Section,
    wanted: &impl Fn(&str) -> Result<(), (String, Option<String>)>,
) -> Option<Vec<String>> {
    let items = file.items::<Text>("want", MOST_WANTED)?;
    let mut paths: Vec<String> = Vec::new();
    for (span, Text(path)) in items {
        let fault = match wanted(&path) {
            Err((message, hint)) => Fault {
                hint,
                ..Fault::new(message)
            },
            Ok(()) if paths.contains(&path) => Fault::new(format!("\"{path}\" stands here twice")),
            Ok(()) => {
                paths.push(path);
                continue;
            }
        };
        file.note_whole(span, fault);
    }
    Some(paths)
}

type Entry<'r> = (&'r str, Range<usize>, &'r toml::Spanned<DeValue<'r>>);

/// The keys under `[vary]`, written with dots, in quotes, or as tables.
fn flatten(
    vary: &Section,
    known: &[Variable],
    before: &str,
    entries: Vec<Entry>,
    depth: usize,
    found: &mut Vec<StudyInput>,
) {
    for (name, span, value) in entries {
        let key = match before {
            "" => name.to_string(),
            before => format!("{before}.{name}"),
        };
        match (known.iter().find(|one| one.key == key), value.get_ref()) {
            (Some(variable), said) => {
                if found.iter().any(|input| input.variable.key == key) {
                    let fault = Fault::new(format!("{key} stands here a second time"));
                    vary.note_whole(span, fault.hinting("keep one of the two"));
                } else if let Some(input) = input(vary, variable, value.span(), said) {
                    found.push(input);
                }
            }
            (None, DeValue::Table(table)) if depth < DEEPEST && begins_one(known, &key) => {
                let mut inner: Vec<Entry> = table
                    .iter()
                    .map(|(name, value)| (&name.get_ref()[..], name.span(), value))
                    .collect();
                inner.sort_by_key(|(_, span, _)| span.start);
                flatten(vary, known, &key, inner, depth + 1, found);
            }
            _ => vary.note_whole(span, no_such_number(&key, known)),
        }
    }
}

/// Whether any number's key goes on from `key`.
fn begins_one(known: &[Variable], key: &str) -> bool {
    let goes_on = |one: &Variable| {
        one.key
            .strip_prefix(key)
            .is_some_and(|r| r.starts_with('.'))
    };
    known.iter().any(goes_on)
}

fn input(
    vary: &Section,
    variable: &Variable,
    span: Range<usize>,
    value: &DeValue,
) -> Option<StudyInput> {
    match varied::of(variable, value) {
        Ok(varied) => Some(StudyInput {
            variable: variable.clone(),
            varied,
            text: vary.reader.written(span),
        }),
        Err(fault) => {
            let message = format!("{} {}", variable.key, fault.message);
            vary.note_whole(span, Fault { message, ..fault });
            None
        }
    }
}
