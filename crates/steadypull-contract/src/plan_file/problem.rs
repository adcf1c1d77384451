//! A mistake in a plan file, with its place.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One mistake in a plan file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Column after the last character that is wrong.
    pub end_column: u32,
    /// The key that it is about, as the plan file has it; null where it is about none.
    pub key: Option<String>,
    /// The text that is wrong, as written; empty where something is missing.
    pub found: String,
    /// What is wrong.
    pub message: String,
    /// What was expected instead.
    pub expected: Option<String>,
    /// What to write, or what was probably meant.
    pub hint: Option<String>,
}

impl Problem {
    /// It with what to do, on one line.
    pub(super) fn in_words(&self) -> String {
        let more = [("expected", &self.expected), ("hint", &self.hint)];
        let more = more.iter().filter_map(|(label, said)| {
            let said = said.as_ref()?;
            Some(format!("; {label}: {said}"))
        });
        self.message.clone() + &more.collect::<String>()
    }
}

/// Every mistake in a plan file, in the order of the file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanProblems {
    /// The first mistakes, [`PlanProblems::MOST`] at most.
    pub problems: Vec<Problem>,
    /// How many more there are.
    pub more: u32,
}

impl PlanProblems {
    /// Most mistakes that are kept; a file with more is broken as a whole.
    pub const MOST: usize = 50;

    pub(super) fn too_long(length: usize, longest: usize) -> Self {
        let problem = Problem {
            line: 1,
            column: 1,
            end_column: 2,
            key: None,
            found: String::new(),
            message: format!("the file is too long for a plan: {length} bytes"),
            expected: Some(format!("at most {longest} bytes")),
            hint: Some("is this really a plan file?".into()),
        };
        Self {
            problems: vec![problem],
            more: 0,
        }
    }
}

impl core::fmt::Display for PlanProblems {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let count = self.problems.len() + self.more as usize;
        let first = self.problems.first();
        write!(f, "{count} mistake(s) in the plan file")?;
        first.map_or(Ok(()), |p| {
            write!(f, "; first, line {}: {}", p.line, p.message)
        })
    }
}

impl core::error::Error for PlanProblems {}
