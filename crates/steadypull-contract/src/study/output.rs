//! A number or word of the answer by its path.
//!
//! A path goes by the fields of the JSON answer. In a list an entry goes by its
//! name (`load_path.links.bow-1.load_n`), by its place from 1, as `last`, or as the
//! `least` or `greatest` of what follows over all of them
//! (`let_go.cases.greatest.arrival.energy_j`); `chosen` on the ladder is the method
//! of the load path. `true` counts as 1, `false` as 0.

use serde_json::Value;
use steadypull_engine::plan::Plan;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Whole numbers from 0.
    Whole,
    /// Numbers, or nothing.
    Number,
    /// Words, or nothing.
    Text,
}

/// One entry of the table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// A number; always finite.
    Number(f64),
    /// Words.
    Text(String),
    /// Nothing there to say.
    Missing,
}

/// Which entry of a list.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Select {
    Named(String),
    At(usize),
    Last,
    Least,
    Greatest,
    Chosen,
}

impl Select {
    pub fn new(word: &str) -> Self {
        match word {
            "last" => Self::Last,
            "least" => Self::Least,
            "greatest" => Self::Greatest,
            "chosen" => Self::Chosen,
            word => match word.parse::<usize>() {
                Ok(at) if at > 0 => Self::At(at - 1),
                _ => Self::Named(word.into()),
            },
        }
    }

    pub fn is_extreme(&self) -> bool {
        matches!(self, Self::Least | Self::Greatest)
    }
}

/// One step of a path.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Step {
    Field(String),
    Entry(Select),
}

#[derive(Debug, Clone, PartialEq)]
enum Source {
    Path(Vec<Step>),
    WeakestDesignFactor,
    CriticalFindings,
}

/// One output of a study.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Output {
    pub path: String,
    pub kind: Kind,
    source: Source,
}

/// MBS over load of the weakest link; no field of the answer.
const WEAKEST: &str = "weakest.design_factor";
/// How many findings say that it must not go ahead like this; no field of the answer.
const CRITICAL: &str = "findings.critical";

impl Output {
    pub fn at(path: &str, steps: Vec<Step>, kind: Kind) -> Self {
        Self {
            path: path.into(),
            kind,
            source: Source::Path(steps),
        }
    }

    /// An output that is worked out from several fields.
    pub fn derived(path: &str) -> Option<Self> {
        let source = match path {
            WEAKEST => Source::WeakestDesignFactor,
            CRITICAL => Source::CriticalFindings,
            _ => return None,
        };
        Some(Self {
            path: path.into(),
            kind: Kind::Number,
            source,
        })
    }

    /// Its value in an answer.
    pub fn of(&self, answer: &Value) -> Cell {
        let cell = match &self.source {
            Source::Path(steps) => at(answer, answer, steps),
            Source::WeakestDesignFactor => weakest_design_factor(answer),
            Source::CriticalFindings => critical_findings(answer),
        };
        match (&cell, self.kind) {
            (Cell::Text(_), Kind::Text) => cell,
            (Cell::Number(number), Kind::Number | Kind::Whole) if number.is_finite() => cell,
            _ => Cell::Missing,
        }
    }
}

fn at(answer: &Value, value: &Value, steps: &[Step]) -> Cell {
    match (value, steps.split_first()) {
        (Value::Number(number), None) => number.as_f64().map_or(Cell::Missing, Cell::Number),
        (Value::Bool(said), None) => Cell::Number(f64::from(u8::from(*said))),
        (Value::String(text), None) => Cell::Text(text.clone()),
        (Value::Object(fields), Some((Step::Field(name), rest))) => fields
            .get(name)
            .map_or(Cell::Missing, |field| at(answer, field, rest)),
        (Value::Array(list), Some((Step::Entry(select), rest))) => {
            entry(answer, list, select, rest)
        }
        _ => Cell::Missing,
    }
}

fn entry(answer: &Value, list: &[Value], select: &Select, rest: &[Step]) -> Cell {
    let one = |entry: Option<&Value>| entry.map_or(Cell::Missing, |entry| at(answer, entry, rest));
    match select {
        Select::Named(name) => one(list.iter().find(|entry| name_of(entry) == Some(name))),
        Select::At(place) => one(list.get(*place)),
        Select::Last => one(list.last()),
        Select::Chosen => {
            let method = &answer["load_path"]["method"];
            one(list.iter().find(|entry| entry["method"] == *method))
        }
        Select::Least => extreme(list.iter().map(|entry| at(answer, entry, rest)), f64::min),
        Select::Greatest => extreme(list.iter().map(|entry| at(answer, entry, rest)), f64::max),
    }
}

fn extreme(cells: impl Iterator<Item = Cell>, pick: fn(f64, f64) -> f64) -> Cell {
    let numbers = cells.filter_map(|cell| match cell {
        Cell::Number(number) => Some(number),
        _ => None,
    });
    numbers.reduce(pick).map_or(Cell::Missing, Cell::Number)
}

/// What an entry of a list is called.
fn name_of(entry: &Value) -> Option<&str> {
    [
        "name", "link", "part", "method", "code", "run", "what", "who",
    ]
    .into_iter()
    .find_map(|key| entry[key].as_str())
}

fn weakest_design_factor(answer: &Value) -> Cell {
    let links = answer["load_path"]["links"].as_array();
    let shares = links
        .into_iter()
        .flatten()
        .filter_map(|link| link["share_of_mbs"].as_f64());
    match shares.reduce(f64::max) {
        Some(share) if share > 0.0 => Cell::Number(1.0 / share),
        _ => Cell::Missing,
    }
}

fn critical_findings(answer: &Value) -> Cell {
    let findings = answer["findings"].as_array();
    let critical = |finding: &&Value| finding["severity"] == "critical";
    Cell::Number(findings.into_iter().flatten().filter(critical).count() as f64)
}

/// The outputs of a study that names none.
pub(super) fn usual(plan: &Plan) -> Vec<String> {
    const ALWAYS: [&str; 4] = [
        "verdict.headline",
        "verdict.within_policy",
        "verdict.first_method",
        CRITICAL,
    ];
    const PULLED: [&str; 9] = [
        "situation.break_out.median_n",
        "situation.design_n",
        "load_path.tension_n",
        "load_path.weakest",
        WEAKEST,
        "options.ladder.chosen.verdict",
        "options.ladder.chosen.shift_probability",
        "options.ladder.chosen.peak_load_n",
        "options.ladder.chosen.stored_energy_j",
    ];
    const STRAIGHT: [&str; 3] = [
        "let_go.cases.greatest.arrival.speed_m_s",
        "let_go.cases.greatest.arrival.energy_j",
        "let_go.cases.greatest.times_injury",
    ];
    const LAID_OUT: [&str; 3] = [
        "let_go.partings.greatest.flights.greatest.speed_m_s",
        "let_go.partings.greatest.flights.greatest.energy_j",
        "let_go.partings.greatest.times_injury",
    ];
    const LOWERED: [&str; 3] = [
        "lowering.greatest.median_n",
        "lowering.greatest_design_n",
        "lowering.standoff_m",
    ];
    const ZONE: [&str; 5] = [
        "standoff.rule_m",
        "standoff.computed_reach_m",
        "standoff.behind_casualty_m",
        "standoff.behind_tug_m",
        "standoff.beside_m",
    ];
    let laid_out = plan.rig.as_ref().is_some_and(|rig| rig.layout.is_some());
    let mut paths: Vec<&str> = ALWAYS.to_vec();
    paths.extend(PULLED);
    paths.extend(if laid_out { LAID_OUT } else { STRAIGHT });
    if plan.lowering.is_some() {
        paths.extend(LOWERED);
    }
    paths.extend(ZONE);
    paths.into_iter().map(String::from).collect()
}

/// Every number and word in an answer by its path, with its value; long lists of
/// plain numbers are left out.
pub fn found_in(answer: &Value) -> Vec<(String, Cell)> {
    let mut found: Vec<(String, Cell)> = [WEAKEST, CRITICAL]
        .into_iter()
        .filter_map(Output::derived)
        .map(|output| (output.path.clone(), output.of(answer)))
        .collect();
    walk(answer, String::new(), &mut found);
    found
}

fn walk(value: &Value, path: String, found: &mut Vec<(String, Cell)>) {
    let under = |name: &str| match &path[..] {
        "" => name.to_string(),
        path => format!("{path}.{name}"),
    };
    match value {
        Value::Object(fields) => {
            fields
                .iter()
                .for_each(|(name, field)| walk(field, under(name), found));
        }
        Value::Array(list) => {
            for (at, entry) in list
                .iter()
                .enumerate()
                .filter(|(_, entry)| entry.is_object())
            {
                match name_of(entry) {
                    Some(name)
                        if list.iter().position(|one| name_of(one) == Some(name)) == Some(at) =>
                    {
                        walk(entry, under(name), found);
                    }
                    // Of entries without names one is enough to see what they hold.
                    None if at == 0 => walk(entry, under("1"), found),
                    _ => {}
                }
            }
        }
        leaf => match self::at(value, leaf, &[]) {
            Cell::Missing => {}
            cell => found.push((path, cell)),
        },
    }
}
