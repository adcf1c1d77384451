//! A plan as a form: every key it has or could have, with what is filled in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::plan_file::retold;
use crate::show::Units;

/// Every key that the reader looked for, in the order it reads them.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// The fields.
    pub fields: Vec<Field>,
    /// The tables that they are in, and those that could be there.
    pub tables: Vec<FormTable>,
}

/// A table of a plan, there or not: one that is not can be made by an edit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FormTable {
    /// Key as the plan file has it, such as `tug.winch` or `line`.
    pub key: String,
    /// The same table by table, for an edit.
    pub path: Vec<String>,
    /// Whether the file has it.
    pub there: bool,
    /// Whether it holds tables by names of the plan's own, such as `line.strap-1`.
    pub named: bool,
}

impl Form {
    /// Tells what is filled in, and the limits of keys, in `units`.
    pub(crate) fn tell_in(&mut self, units: Units) {
        for field in &mut self.fields {
            if let Some(filled) = &mut field.filled {
                filled.value = retold(&filled.value, units);
            }
            if let Some(limits) = &mut field.limits {
                let ends: Vec<String> =
                    limits.split(" to ").map(|end| retold(end, units)).collect();
                *limits = ends.join(" to ");
            }
        }
    }
}

/// One key of a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// Key as the plan file has it, such as `casualty.mass` or `line.strap-1.mbs`.
    pub key: String,
    /// The same table by table, for an edit.
    pub path: Vec<String>,
    /// What can stand there.
    pub kind: FieldKind,
    /// What stands there as JSON: text as written without its quotes, numbers, flags,
    /// lists, tables; null where the file leaves it out.
    pub written: serde_json::Value,
    /// What is filled in where the file leaves it out; null where it is needed, or where
    /// nothing is filled in.
    pub filled: Option<Filled>,
    /// Whether a plan without it is no plan.
    pub needed: bool,
    /// The words that it can be; empty where it is no word of a fixed list.
    pub words: Vec<String>,
    /// Units that can be written, the usual metric one first; empty where it has none.
    pub units: Vec<String>,
    /// The range that it must lie in, as people write it.
    pub limits: Option<String>,
    /// What can stand there, in words, with an example.
    pub expected: String,
    /// What is wrong with what stands there: the mistakes, one a line, each with what to do.
    pub problem: Option<String>,
}

/// A value that was filled in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Filled {
    /// The value, as a plan file would have it.
    pub value: String,
    /// Why this one.
    pub reason: String,
}

/// What can stand at a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FieldKind {
    /// A number with its unit, or a spread of them.
    Quantity,
    /// A plain number, or a spread of them.
    Number,
    /// A whole number.
    Count,
    /// One of `words`.
    Word,
    /// A line of text.
    Text,
    /// The name of a part of the kit, a recovery point, an anchor or the winch.
    Part,
    /// A list of such names.
    Parts,
    /// True or false.
    Flag,
    /// A list, or a table with a form of its own; `words` and `units` are then those of its
    /// entries.
    Other,
}
