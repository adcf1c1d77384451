//! A sweep: one plan worked out many times over, its numbers varied.
//!
//! Point `i` of a study depends on the study, the plan and `i` alone: lists make a
//! grid, its first input changing slowest; at each point of the grid the same draws
//! are made of everything that is a spread, so that points of the grid differ by
//! what the grid changes and not by luck. What the plan draws together is drawn together.
//!
//! ```text
//! i = ((a0 n1 + a1) n2 + ...) runs + draw
//! ```
//!
//! - `shape`: what the answer can hold, from its schema;
//! - `output`: a number or word of the answer by its path;
//! - `points`: from `i` to the numbers that are set;
//! - `identity`: one word for plan, study and program, against mixing;
//! - `row`: one point worked out.

mod identity;
mod output;
mod points;
mod row;
mod shape;

pub use output::{Cell, Kind, found_in};
pub use row::{Row, Status};

use steadypull_engine::chance::{Joined, SamplerError};
use steadypull_engine::plan::Plan;
use thiserror::Error;

use crate::plan_file::{
    ParsedPlan, PlanProblems, PlanText, Points, StudyInput, Variable, Varied, read_study,
};
use output::Output;
use points::Grid;
use shape::Shape;

/// Draws where a study has spreads and does not say how many.
const RUNS: u64 = 256;
/// Most points of one study.
const MOST_POINTS: u64 = 1 << 40;

/// Why there is no study.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StudyError {
    /// Something is wrong in the plan.
    #[error("the plan has mistakes in it")]
    Plan(PlanProblems),
    /// Something is wrong in the study.
    #[error("the study has mistakes in it")]
    Study(PlanProblems),
    /// Its parts do not go together.
    #[error("{0}")]
    Whole(String),
}

/// A column of the table that a sweep makes.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading, with the unit.
    pub name: String,
    /// What it holds.
    pub kind: Kind,
}

/// A study, ready to be worked out point by point.
#[derive(Debug)]
pub struct Study<'t> {
    plan: ParsedPlan<'t>,
    /// The plan at the middle of everything.
    middle: Plan,
    inputs: Vec<StudyInput>,
    grid: Grid,
    outputs: Vec<Output>,
    points: Points,
    seed: u64,
    id: String,
}

impl<'t> Study<'t> {
    /// The study in `study`, of `plan`.
    pub fn new(study: &str, plan: impl Into<PlanText<'t>>) -> Result<Self, StudyError> {
        let text = plan.into();
        let plan = ParsedPlan::new(text).map_err(StudyError::Plan)?;
        let middle = plan.plan().map_err(StudyError::Plan)?;
        let shape = Shape::of_the_answer();
        let file = read_study(study, &plan, |path| shape.check(path));
        let file = file.map_err(StudyError::Study)?;
        let mut inputs = file.inputs;
        let own = inputs.len();
        let said = file.runs.is_some() || inputs.iter().any(is_drawn);
        if said {
            inputs.extend(spreads_of(&plan, &middle, &inputs)?);
        }
        if inputs.is_empty() {
            return Err(StudyError::Whole(
                "nothing is varied: [vary] names no number".into(),
            ));
        }
        let drawn = inputs.iter().any(is_drawn);
        if !drawn && (file.runs.is_some() || file.points.is_some()) {
            let message = "runs or points are given, but nothing is drawn: \
                           every input is a list, and the plan holds no spread";
            return Err(StudyError::Whole(message.into()));
        }
        let runs = if drawn { file.runs.unwrap_or(RUNS) } else { 1 };
        let (points, seed) = (
            file.points.unwrap_or(Points::Sobol),
            file.seed.unwrap_or(middle.seed),
        );
        let grid = Grid::new(&inputs, points, seed, runs, joined(&middle, &inputs, own))?;
        if grid.points() > MOST_POINTS {
            let message = format!(
                "{} points are too many: {MOST_POINTS} at most",
                grid.points()
            );
            return Err(StudyError::Whole(message));
        }
        let want = match file.want.is_empty() {
            true => output::usual(&middle),
            false => file.want,
        };
        let outputs = want.iter().filter_map(|path| shape.output(path)).collect();
        let id = identity::of(text, &inputs, &want, points, seed, runs);
        Ok(Self {
            plan,
            middle,
            inputs,
            grid,
            outputs,
            points,
            seed,
            id,
        })
    }

    /// Number of points.
    pub fn len(&self) -> u64 {
        self.grid.points()
    }

    /// Whether there are none; a study has one at least.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Draws at each point of the grid; 1 where nothing is drawn.
    pub fn runs(&self) -> u64 {
        self.grid.runs()
    }

    /// How they are sampled, and their seed.
    pub fn sampling(&self) -> (Points, u64) {
        (self.points, self.seed)
    }

    /// What is varied.
    pub fn inputs(&self) -> &[StudyInput] {
        &self.inputs
    }

    /// Every number of the plan that could be.
    pub fn variables(&self) -> Result<Vec<Variable>, StudyError> {
        self.plan.variables().map_err(StudyError::Plan)
    }

    /// Keys of the plan that are spreads and stay at their middle here.
    pub fn left_at_middle(&self) -> Vec<&str> {
        let varied = |key: &str| self.inputs.iter().any(|input| input.variable.key == key);
        let keys = self.middle.spreads.iter().map(|spread| &spread.key[..]);
        keys.filter(|key| !varied(key)).collect()
    }

    /// One word for plan, study and program: rows of different ones never mix.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The columns, in order.
    pub fn columns(&self) -> Vec<Column> {
        let column = |name: String, kind| Column { name, kind };
        let inputs = self.inputs.iter().map(|input| {
            let Variable { key, unit, .. } = &input.variable;
            let name = if unit.is_empty() {
                key.clone()
            } else {
                format!("{key} [{unit}]")
            };
            column(name, Kind::Number)
        });
        let outputs = self
            .outputs
            .iter()
            .map(|one| column(one.path.clone(), one.kind));
        let last = ["status", "reason", "study"].map(|name| column(name.into(), Kind::Text));
        [column("index".into(), Kind::Whole)]
            .into_iter()
            .chain(inputs)
            .chain(outputs)
            .chain(last)
            .collect()
    }

    /// Point `i` worked out.
    pub fn row(&self, i: u64) -> Row {
        let set = self.grid.set(&self.inputs, i);
        row::worked_out(&self.plan, i, &set, &self.outputs)
    }
}

fn is_drawn(input: &StudyInput) -> bool {
    matches!(input.varied, Varied::Drawn(_))
}

/// The plan's own spreads that the study does not vary itself.
fn spreads_of(
    plan: &ParsedPlan,
    middle: &Plan,
    inputs: &[StudyInput],
) -> Result<Vec<StudyInput>, StudyError> {
    let known = plan.variables().map_err(StudyError::Plan)?;
    let others = middle
        .spreads
        .iter()
        .filter(|spread| inputs.iter().all(|input| input.variable.key != spread.key));
    let input = |spread: &steadypull_engine::plan::Spread| {
        let variable = known.iter().find(|one| one.key == spread.key)?.clone();
        Some(StudyInput {
            variable,
            varied: Varied::Drawn(spread.distribution),
            text: spread.text.clone(),
        })
    };
    Ok(others.filter_map(input).collect())
}

/// The plan's spreads that are drawn together, by their places among the drawn inputs, of
/// which the first `own` are the study's; what a study varies itself leaves its set.
fn joined(middle: &Plan, inputs: &[StudyInput], own: usize) -> Vec<Joined> {
    let place = |key: &str| {
        let at = inputs[own..]
            .iter()
            .position(|one| one.variable.key == key)?;
        Some(
            inputs[..own + at]
                .iter()
                .filter(|one| is_drawn(one))
                .count(),
        )
    };
    let sets = middle.together();
    sets.filter_map(|set| set.joined(place)).collect()
}

impl From<SamplerError> for StudyError {
    fn from(error: SamplerError) -> Self {
        Self::Whole(error.to_string())
    }
}
