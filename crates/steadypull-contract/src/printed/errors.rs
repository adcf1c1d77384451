//! What could not be worked out, and why.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::answer::CONTRACT_VERSION;
use crate::plan_file::{PlanProblems, Problem};

/// What any command prints with `--json` when it ends with exit code 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Errors {
    /// Version of the contract.
    pub contract_version: u32,
    /// Every mistake found, in the order of the file.
    pub errors: Vec<InputError>,
    /// Mistakes beyond those listed, in a file that is broken as a whole.
    pub more: u32,
}

/// One mistake.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InputError {
    /// The file, as it was named (`-` for standard input); null when no file is to blame.
    pub file: Option<String>,
    /// Line, from 1; null when it is about the file as a whole.
    pub line: Option<u32>,
    /// Column in characters, from 1.
    pub column: Option<u32>,
    /// Column after the last character that is wrong.
    pub end_column: Option<u32>,
    /// The key that it is about, as a plan file has it; null where it is about none.
    pub key: Option<String>,
    /// The text that is wrong, as written; empty where something is missing.
    pub found: Option<String>,
    /// What is wrong.
    pub message: String,
    /// What was expected instead.
    pub expected: Option<String>,
    /// What to do about it.
    pub hint: Option<String>,
}

impl InputError {
    /// A mistake that is about no place in a file.
    pub fn whole(file: Option<&str>, message: &str, hint: Option<&str>) -> Self {
        Self {
            file: file.map(String::from),
            line: None,
            column: None,
            end_column: None,
            key: None,
            found: None,
            message: message.into(),
            expected: None,
            hint: hint.map(String::from),
        }
    }

    /// A mistake in a plan file.
    pub fn in_plan(file: Option<&str>, problem: &Problem) -> Self {
        Self {
            line: Some(problem.line),
            column: Some(problem.column),
            end_column: Some(problem.end_column),
            key: problem.key.clone(),
            found: Some(problem.found.clone()),
            expected: problem.expected.clone(),
            ..Self::whole(file, &problem.message, problem.hint.as_deref())
        }
    }
}

impl Errors {
    /// Every mistake of a plan.
    pub fn of_plan(file: Option<&str>, problems: &PlanProblems) -> Self {
        let errors = problems.problems.iter();
        let errors = errors.map(|problem| InputError::in_plan(file, problem));
        Self::new(errors.collect(), problems.more)
    }

    /// The object for `errors`, with `more` beyond them.
    pub fn new(errors: Vec<InputError>, more: u32) -> Self {
        Self {
            contract_version: CONTRACT_VERSION,
            errors,
            more,
        }
    }
}
