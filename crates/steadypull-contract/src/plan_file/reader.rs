//! The file being read: its mistakes and filled-in values so far.

use core::cell::{Cell, RefCell};
use core::ops::Range;

use steadypull_engine::plan::{Assumed, Plan, TestedLine};

use super::line_file::LinesRead;
use super::listing::Listing;
use super::position::Lines;
use super::problem::{PlanProblems, Problem};
use super::quantity::short;
use super::value::Fault;
use super::vary::Varying;
use crate::operation::Form;

/// Most mistakes that are noted; past it they are counted.
const MOST_NOTED: usize = 1000;

/// A mistake before its place is worked out.
#[derive(PartialEq)]
struct Noted {
    span: Range<usize>,
    fault: Fault,
    /// In the TOML itself.
    syntax: bool,
    /// The key that it is about, if it is about one.
    key: Option<String>,
}

/// The file being read: its mistakes and filled-in values so far.
pub(super) struct Reader<'t> {
    text: &'t str,
    lines: &'t Lines<'t>,
    pub(super) varying: &'t Varying<'t>,
    /// `None` when nobody asks for the form: it costs time.
    pub(super) listing: Option<Listing>,
    /// The line files at hand; `None` of a file that names none.
    pub(super) line_files: Option<&'t LinesRead>,
    noted: RefCell<Vec<Noted>>,
    uncounted: Cell<u32>,
    assumed: RefCell<Vec<Assumed>>,
    tested: RefCell<Vec<TestedLine>>,
    broken_lines: RefCell<Vec<u32>>,
}

impl<'t> Reader<'t> {
    pub fn new(text: &'t str, lines: &'t Lines<'t>, varying: &'t Varying<'t>) -> Self {
        Self {
            text,
            lines,
            varying,
            listing: None,
            line_files: None,
            noted: RefCell::default(),
            uncounted: Cell::new(0),
            assumed: RefCell::default(),
            tested: RefCell::default(),
            broken_lines: RefCell::default(),
        }
    }

    /// The same, with the line files that it may name.
    pub fn with_lines(self, line_files: &'t LinesRead) -> Self {
        Self {
            line_files: Some(line_files),
            ..self
        }
    }

    /// The same, listing every key that is asked for.
    pub fn listing(self) -> Self {
        Self {
            listing: Some(Listing::default()),
            ..self
        }
    }

    /// Notes a mistake, about a key where it is about one; its message is a whole sentence.
    pub fn note(&self, span: Range<usize>, key: Option<String>, fault: Fault) {
        self.add(Noted {
            span,
            fault,
            syntax: false,
            key,
        });
    }

    /// Notes a mistake in the TOML itself.
    pub fn broken_syntax(&self, span: Range<usize>, fault: Fault) {
        let mut broken = self.broken_lines.borrow_mut();
        let line = self.lines.place(&span).line;
        // One slip often trips the parser several times on its line.
        if broken.len() < MOST_NOTED && !broken.contains(&line) {
            broken.push(line);
            self.add(Noted {
                span,
                fault,
                syntax: true,
                key: None,
            });
        }
    }

    fn add(&self, mistake: Noted) {
        let mut noted = self.noted.borrow_mut();
        if noted.len() < MOST_NOTED {
            noted.push(mistake);
        } else {
            self.uncounted.set(self.uncounted.get().saturating_add(1));
        }
    }

    /// Whether the TOML is broken, so that anything may be missing from the tree.
    pub fn is_broken(&self) -> bool {
        !self.broken_lines.borrow().is_empty()
    }

    /// An empty span at the end.
    pub fn end_of_text(&self) -> Range<usize> {
        self.text.len()..self.text.len()
    }

    /// The start of what is written in `span`, on one line and without its quotes.
    pub fn written(&self, span: Range<usize>) -> String {
        let text = self.text.get(span).unwrap_or_default();
        let words: Vec<&str> = text.split_whitespace().collect();
        short(words.join(" ").trim_matches('"'))
    }

    /// Number and text of the line that holds the byte `at`.
    pub fn line_around(&self, at: usize) -> (u32, &'t str) {
        let number = self.lines.place(&(at..at)).line;
        (number, self.lines.line(number))
    }

    /// Lists a filled-in value.
    pub fn assume(&self, key: String, value: String, reason: &str) {
        self.assumed.borrow_mut().push(Assumed {
            key,
            value,
            reason: reason.into(),
        });
    }

    /// The same, listed after what was filled in of the table `path` before.
    pub fn assume_in(&self, path: &str, key: String, value: String, reason: &str) {
        let mut assumed = self.assumed.borrow_mut();
        let of_table = |a: &Assumed| {
            let rest = a.key.strip_prefix(path).and_then(|k| k.strip_prefix('.'));
            rest.is_some_and(|key| !key.contains('.'))
        };
        let last = assumed.iter().rposition(of_table);
        let at = last.map_or(assumed.len(), |last| last + 1);
        assumed.insert(
            at,
            Assumed {
                key,
                value,
                reason: reason.into(),
            },
        );
    }

    /// Lists a line that was measured in tests.
    pub fn tested(&self, line: TestedLine) {
        self.tested.borrow_mut().push(line);
    }

    /// What was filled in so far: key, value, reason.
    pub fn assumed(&self) -> Vec<(String, String, String)> {
        let all = self.assumed.borrow();
        let told = |a: &Assumed| (a.key.clone(), a.value.clone(), a.reason.clone());
        all.iter().map(told).collect()
    }

    /// Every mistake, if there was any.
    pub fn mistakes(&self) -> Result<(), PlanProblems> {
        let any = !self.noted.borrow().is_empty();
        if any { Err(self.problems()) } else { Ok(()) }
    }

    /// The plan, if there was no mistake.
    pub fn finish(&self, plan: Option<Plan>) -> Result<Plan, PlanProblems> {
        let noted = self.noted.take();
        match plan {
            Some(plan) if noted.is_empty() => {
                return Ok(Plan {
                    assumed: self.assumed.take(),
                    spreads: self.varying.take_spreads(),
                    tested: self.tested.take(),
                    ..plan
                });
            }
            None if noted.is_empty() => {
                // Unreachable as long as every `None` is noted; never silent.
                self.note(0..0, None, Fault::new("the plan could not be read".into()));
            }
            _ => self.noted.replace(noted).clear(),
        }
        Err(self.problems())
    }

    /// The form of what was read, and every mistake in it.
    pub fn form(mut self) -> (Form, PlanProblems) {
        let problems = self.problems();
        let listing = self.listing.take().unwrap_or_default();
        let assumed = self.assumed.take();
        (listing.into_form(&assumed, &problems.problems), problems)
    }

    fn problems(&self) -> PlanProblems {
        let broken = self.broken_lines.borrow();
        let mut placed: Vec<_> = self
            .noted
            .take()
            .into_iter()
            .map(|noted| (self.lines.place(&noted.span), noted))
            // What a broken line seems to say is not worth a second mistake.
            .filter(|(place, noted)| noted.syntax || !broken.contains(&place.line))
            .collect();
        placed.sort_by_key(|(place, noted)| (place.line, noted.span.start));
        placed.dedup_by(|a, b| a.1 == b.1);
        let beyond = placed.len().saturating_sub(PlanProblems::MOST) as u32;
        placed.truncate(PlanProblems::MOST);
        let problems = placed
            .into_iter()
            .map(
                |(
                    place,
                    Noted {
                        span, fault, key, ..
                    },
                )| Problem {
                    line: place.line,
                    column: place.column,
                    key: key.or_else(|| self.listing.as_ref()?.key_around(&span)),
                    end_column: place.end_column,
                    found: self.text.get(span).map(short).unwrap_or_default(),
                    message: fault.message,
                    expected: fault.expected,
                    hint: fault.hint,
                },
            )
            .collect();
        PlanProblems {
            problems,
            more: beyond.saturating_add(self.uncounted.get()),
        }
    }
}
