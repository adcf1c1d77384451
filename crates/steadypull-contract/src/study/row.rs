//! One point of a study, worked out.

use super::output::{Cell, Output};
use crate::answer_plan;
use crate::plan_file::{ParsedPlan, PlanProblems};

/// How one point went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// It has an answer, safe or not.
    Ok,
    /// Its numbers make no plan that is read.
    Refused,
    /// The plan was read, but no answer came of it.
    Failed,
}

impl Status {
    /// The word in the table.
    pub fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Refused => "refused",
            Self::Failed => "failed",
        }
    }
}

/// One point of a study.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its number, from 0.
    pub index: u64,
    /// What was set, SI, in the order of the study's inputs.
    pub inputs: Vec<f64>,
    /// What came of it, in the order of the study's outputs.
    pub outputs: Vec<Cell>,
    /// How it went.
    pub status: Status,
    /// Why there is no answer, on one line; empty if there is one.
    pub reason: String,
}

pub(super) fn worked_out(
    plan: &ParsedPlan,
    index: u64,
    set: &[(String, f64)],
    outputs: &[Output],
) -> Row {
    let row = |outputs, status, reason: String| Row {
        index,
        inputs: set.iter().map(|(_, value)| *value).collect(),
        outputs,
        status,
        reason: reason.split_whitespace().collect::<Vec<_>>().join(" "),
    };
    let missing = || vec![Cell::Missing; outputs.len()];
    let plan = match plan.plan_with(set) {
        Ok(plan) => plan,
        Err(problems) => return row(missing(), Status::Refused, told(&problems)),
    };
    match answer_plan(&plan).map(serde_json::to_value) {
        Ok(Ok(answer)) => {
            let found = outputs.iter().map(|output| output.of(&answer)).collect();
            row(found, Status::Ok, String::new())
        }
        Ok(Err(error)) => row(missing(), Status::Failed, error.to_string()),
        Err(error) => row(missing(), Status::Failed, error.to_string()),
    }
}

/// The first mistake, and how many more there are.
fn told(problems: &PlanProblems) -> String {
    let count = problems.problems.len() + problems.more as usize;
    let first = problems.problems.first();
    let text = first.map_or("no plan was read", |first| &first.message[..]);
    match count {
        0 | 1 => text.into(),
        count => format!("{text} (and {} more)", count - 1),
    }
}
