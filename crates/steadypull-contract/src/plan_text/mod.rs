//! A plan file's text, changed without touching what is not changed.
//!
//! Answers: what is the text after this change? A change is worked out as replaced byte
//! ranges of the text itself, found by the parser's spans, so comments, order, blank
//! lines, spacing and line endings of everything else stay byte for byte.
//!
//! - `statements`: where each heading, key and value stands;
//! - `lines`: where lines begin and end, and which comments belong to a statement;
//! - `written`: JSON as it is written in a plan file;
//! - `inside`: changes within a list or a table in braces;
//! - `set`: one key or table set or taken away;
//! - `rename`: a table or key called otherwise.

mod inside;
mod lines;
mod rename;
mod set;
mod statements;
mod written;

pub(crate) use rename::rename;
pub(crate) use set::set;

use core::ops::Range;

use toml::de::DeTable;

/// Why a change is not made.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refused {
    /// What cannot be done.
    pub message: String,
    /// What to do instead.
    pub hint: Option<String>,
}

impl Refused {
    fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hint: None,
        }
    }

    /// Refused for a reason found elsewhere.
    pub fn because(reason: String) -> Self {
        Self::new(reason)
    }

    fn hinting(self, hint: impl Into<String>) -> Self {
        Self {
            hint: Some(hint.into()),
            ..self
        }
    }
}

/// New text for a range of the old.
type Splice = (Range<usize>, String);

/// The text with each range replaced.
fn spliced(text: &str, mut splices: Vec<Splice>) -> String {
    splices.sort_by_key(|(range, _)| range.start);
    let mut changed = String::with_capacity(text.len() + 64);
    let mut at = 0;
    for (range, new) in splices {
        changed += text.get(at..range.start).unwrap_or_default();
        changed += &new;
        at = at.max(range.end);
    }
    changed + text.get(at..).unwrap_or_default()
}

/// A path as people write it.
fn said(path: &[String]) -> String {
    crate::plan_file::short_words(&path.join("."))
}

/// The changed text, if it still is TOML.
fn still_reads(text: String, path: &[String]) -> Result<String, Refused> {
    match DeTable::parse(&text) {
        Ok(_) => Ok(text),
        Err(why) => Err(Refused::new(format!(
            "{} cannot be put there: the file would not be TOML any more ({})",
            said(path),
            why.message()
        ))
        .hinting("change it in the plan file's text")),
    }
}
