//! One plan file, parsed once and read as often as wanted with inputs replaced.

use steadypull_engine::plan::Plan;
use toml::de::{DeTable, Error};

use super::line_file::{LinesRead, read_all};
use super::line_files::PlanText;
use super::position::Lines;
use super::problem::PlanProblems;
use super::reader::Reader;
use super::section::Section;
use super::spelling::nearest;
use super::syntax;
use super::value::Fault;
use super::vary::{Variable, Varying};
use super::{LONGEST_PLAN, plan};
use crate::operation::Form;

/// A plan file's text, parsed; reading it again costs no parsing.
#[derive(Debug)]
pub struct ParsedPlan<'t> {
    text: &'t str,
    lines: Lines<'t>,
    tree: DeTable<'t>,
    mistakes: Vec<Error>,
    line_files: LinesRead,
}

impl<'t> ParsedPlan<'t> {
    /// Parses; what is wrong in the text is told when it is read.
    pub fn new(plan: impl Into<PlanText<'t>>) -> Result<Self, PlanProblems> {
        let PlanText { text, lines } = plan.into();
        let line_files = read_all(lines);
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if text.len() > LONGEST_PLAN {
            return Err(PlanProblems::too_long(text.len(), LONGEST_PLAN));
        }
        let (tree, mistakes) = DeTable::parse_recoverable(text);
        Ok(Self {
            text,
            lines: Lines::new(text),
            tree: tree.into_inner(),
            mistakes,
            line_files,
        })
    }

    /// The plan as written.
    pub fn plan(&self) -> Result<Plan, PlanProblems> {
        // Mistakes are worth another reading, to say which keys they are about.
        self.plan_with(&[]).map_err(|_| self.form().1)
    }

    /// The plan with the numbers of some keys replaced, in SI; of a key set twice
    /// the last holds. A replaced number counts as if the file gave it.
    pub fn plan_with(&self, set: &[(String, f64)]) -> Result<Plan, PlanProblems> {
        let varying = Varying::replacing(set);
        let read = self.read(&varying);
        let unknown = varying.unknown();
        if unknown.is_empty() {
            return read;
        }
        // A key nobody asked for is either unknown, or behind another mistake.
        let known = self.variables()?;
        let reader = self.reader(&varying);
        for key in unknown {
            reader.note(reader.end_of_text(), None, no_such_number(key, &known));
        }
        reader.finish(None)
    }

    /// Every number of the plan that can be varied, in the order it is read.
    pub fn variables(&self) -> Result<Vec<Variable>, PlanProblems> {
        let varying = Varying::listing();
        self.read(&varying)?;
        Ok(varying.into_list())
    }

    /// Whether the text is no TOML.
    pub(crate) fn is_broken(&self) -> bool {
        !self.mistakes.is_empty()
    }

    /// The plan as a form, and every mistake in it.
    pub(crate) fn form(&self) -> (Form, PlanProblems) {
        let varying = Varying::replacing(&[]);
        let reader = self.reader(&varying).listing();
        // A reading without mistake has none to tell.
        let _plan = self.read_by(&reader);
        reader.form()
    }

    fn read(&self, varying: &Varying) -> Result<Plan, PlanProblems> {
        let reader = self.reader(varying);
        let plan = self.read_by(&reader);
        reader.finish(plan)
    }

    fn reader<'r>(&'r self, varying: &'r Varying<'r>) -> Reader<'r> {
        Reader::new(self.text, &self.lines, varying).with_lines(&self.line_files)
    }

    fn read_by(&self, reader: &Reader) -> Option<Plan> {
        syntax::report(reader, &self.mistakes);
        plan(&Section::whole_file(reader, &self.tree))
    }
}

/// The mistake of a key that is no number of the plan.
pub(super) fn no_such_number(key: &str, known: &[Variable]) -> Fault {
    let shown = super::quantity::short(key);
    let fault = Fault::new(format!("\"{shown}\" is no number of this plan"));
    let names = || known.iter().map(|variable| &variable.key[..]);
    // Names are long: a slip in the last word is found by that word.
    let last = |name: &str| name.rsplit('.').next().unwrap_or_default().to_string();
    let ends_alike = || names().find(|name| last(name) == last(key));
    match nearest(key, names()).or_else(ends_alike) {
        Some(meant) => fault.hinting(format!("did you mean \"{meant}\"?")),
        None => fault.hinting(
            "`steadypull sweep PLAN --list` shows every number of a plan; one that it leaves out \
             and that has no default has to be written in it first",
        ),
    }
}

/// Reads a plan file with the numbers of some keys replaced, in SI. For many
/// readings of one text parse it once: [`ParsedPlan::plan_with`].
pub fn read_plan_with<'t>(
    plan: impl Into<PlanText<'t>>,
    set: &[(String, f64)],
) -> Result<Plan, PlanProblems> {
    ParsedPlan::new(plan)?.plan_with(set)
}

/// Every number of a plan file that can be varied.
pub fn variables<'t>(plan: impl Into<PlanText<'t>>) -> Result<Vec<Variable>, PlanProblems> {
    ParsedPlan::new(plan)?.variables()
}
