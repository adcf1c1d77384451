//! Why there is no answer.

use serde::Serialize;
use steadypull_contract::non_finite;
use thiserror::Error;

/// One thing that is in the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Trouble {
    /// The file, or the table of the test file, that it is about.
    pub about: String,
    /// What is so.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}

impl Trouble {
    pub(crate) fn new(about: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            about: about.into(),
            message: message.into(),
            hint: None,
        }
    }

    pub(crate) fn hinting(self, hint: impl Into<String>) -> Self {
        Self {
            hint: Some(hint.into()),
            ..self
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum TestsError {
    /// Something is in the way: every such thing.
    #[error("{}", in_words(.0))]
    InTheWay(Vec<Trouble>),
    /// The sums went wrong; nothing of that answer may be shown.
    #[error("the sums went wrong: {} came out as no number; nothing of this answer can be trusted", .0.join(", "))]
    NotFinite(Vec<String>),
}

fn in_words(all: &[Trouble]) -> String {
    let words = |t: &Trouble| format!("{}: {}", t.about, t.message);
    all.iter().map(words).collect::<Vec<_>>().join("; ")
}

impl From<Trouble> for TestsError {
    fn from(trouble: Trouble) -> Self {
        Self::InTheWay(vec![trouble])
    }
}

/// Lets an answer through only if every number in it is one.
pub(crate) fn sound<T: Serialize>(answer: T) -> Result<T, TestsError> {
    let fields = non_finite(&answer);
    if fields.is_empty() {
        Ok(answer)
    } else {
        Err(TestsError::NotFinite(fields))
    }
}
