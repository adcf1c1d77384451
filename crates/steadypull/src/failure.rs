//! What went wrong, for people and for programs.

use steadypull_contract::plan_file::PlanProblems;
use steadypull_contract::printed::{Errors, InputError};
use steadypull_contract::{AnswerError, ChanceError};
use steadypull_testday::TestsError;

use crate::report::Page;

/// Why a command failed; exit code 1.
#[derive(Debug)]
pub struct Failure {
    text: String,
    errors: Errors,
}

impl Failure {
    /// Something is wrong with a file as a whole.
    pub fn of_file(file: &str, message: &str, hint: &str) -> Self {
        Self::new(Some(file), message, Some(hint))
    }

    /// Every mistake in a plan file.
    pub fn of_plan(file: &str, text: &str, problems: &PlanProblems) -> Self {
        Self {
            text: problems.report(&shown_name(file), text),
            errors: Errors::of_plan(Some(file), problems),
        }
    }

    /// Every mistake in a study file.
    pub fn of_study(file: &str, text: &str, problems: &PlanProblems) -> Self {
        let of_plan = Self::of_plan(file, text, problems);
        Self {
            text: of_plan
                .text
                .replace("; no plan was read\n", "; nothing was worked out\n"),
            ..of_plan
        }
    }

    /// The test file was read, but something it needs is in the way.
    pub fn of_tests(file: &str, error: &TestsError) -> Self {
        let errors = tests_errors(error);
        if let TestsError::NotFinite(_) = error {
            return Self::new(Some(file), &error.to_string(), None);
        }
        let mut page = Page::default();
        for error in &errors.errors {
            let about = error.file.as_deref().unwrap_or(file);
            page.flush_left(&format!("{about}: {}", error.message));
            if let Some(hint) = &error.hint {
                page.paragraph(&format!("hint: {hint}"));
            }
        }
        Self {
            text: page.finish(),
            errors,
        }
    }

    /// The plan was read, but no answer came of it.
    pub fn of_answer(file: &str, error: &AnswerError) -> Self {
        Self::new(Some(file), &error.to_string(), None)
    }

    /// Nothing came of the study of a plan.
    pub fn of_chance(file: &str, text: &str, error: &ChanceError) -> Self {
        let hint = match error {
            ChanceError::Plan(problems) => return Self::of_plan(file, text, problems),
            ChanceError::NoRig(_) => {
                Some("make the rig of the plan one that can be laid, or leave `[rig]` out")
            }
            _ => None,
        };
        Self::new(Some(file), &error.to_string(), hint)
    }

    /// Anything else.
    pub fn other(message: &str, hint: &str) -> Self {
        Self::new(None, message, Some(hint))
    }

    /// The report for people.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The documented object.
    pub fn errors(&self) -> &Errors {
        &self.errors
    }

    fn new(file: Option<&str>, message: &str, hint: Option<&str>) -> Self {
        let mut page = Page::default();
        let about = file.map_or("steadypull".into(), shown_name);
        page.flush_left(&format!("{about}: {message}"));
        if let Some(hint) = hint {
            page.paragraph(&format!("hint: {hint}"));
        }
        let error = InputError::whole(file, message, hint);
        Self {
            text: page.finish(),
            errors: Errors::new(vec![error], 0),
        }
    }
}

/// Why there is no answer of the tests area, as the documented object.
pub fn tests_errors(error: &TestsError) -> Errors {
    let errors = match error {
        TestsError::NotFinite(_) => vec![InputError::whole(None, &error.to_string(), None)],
        TestsError::InTheWay(troubles) => {
            let told = troubles.iter().map(|trouble| {
                let hint = trouble.hint.as_deref();
                InputError::whole(Some(&trouble.about), &trouble.message, hint)
            });
            told.collect()
        }
    };
    Errors::new(errors, 0)
}

/// The name people know a file by.
fn shown_name(file: &str) -> String {
    if file == "-" {
        "standard input".into()
    } else {
        file.into()
    }
}
