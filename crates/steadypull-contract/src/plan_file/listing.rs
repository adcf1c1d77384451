//! The plan as a form: every key that was looked for while a file was read.
//!
//! The reader itself is the one source of what a plan can hold: what it asks for is
//! listed as it is asked for, with the limits it is held to and the values that are
//! filled in.

use core::cell::{Cell, RefCell};
use core::ops::Range;

use steadypull_engine::plan::Assumed;
use toml::de::DeValue;

use super::problem::Problem;
use super::value::Value;
use crate::operation::{Field, FieldKind, Filled, Form, FormTable};

/// What can stand at a key.
pub(super) struct FieldShape {
    pub kind: FieldKind,
    /// Words that it can be.
    pub words: Vec<&'static str>,
    /// Units, the usual one first.
    pub units: Vec<&'static str>,
}

impl FieldShape {
    pub fn of(kind: FieldKind) -> Self {
        Self {
            kind,
            words: Vec::new(),
            units: Vec::new(),
        }
    }

    pub fn word(words: impl IntoIterator<Item = &'static str>) -> Self {
        Self {
            words: words.into_iter().collect(),
            ..Self::of(FieldKind::Word)
        }
    }
}

/// What was asked for so far.
#[derive(Default)]
pub(super) struct Listing {
    fields: RefCell<Vec<(Field, Option<Range<usize>>)>>,
    tables: RefCell<Vec<FormTable>>,
    paused: Cell<bool>,
}

/// One key as the reader asks for it.
pub(super) struct Asked<'a> {
    /// The table that it is in, with all its path.
    pub path: &'a [String],
    pub key: &'a str,
    pub written: Option<(Range<usize>, &'a DeValue<'a>)>,
    pub limits: Option<&'static str>,
    pub needed: bool,
}

impl Listing {
    /// Whether what is asked for now is listed: not what is only looked up.
    pub fn pause(&self, paused: bool) {
        self.paused.set(paused);
    }

    /// Lists a key, once.
    pub fn field<T: Value>(&self, asked: Asked, in_a_list: bool) {
        let mut shape = T::shape();
        if in_a_list {
            shape.kind = match shape.kind {
                FieldKind::Part => FieldKind::Parts,
                _ => FieldKind::Other,
            };
        }
        self.shaped(asked, shape, T::expected());
    }

    /// Lists a key with a form of its own, once.
    pub fn shaped(&self, asked: Asked, shape: FieldShape, expected: String) {
        if self.paused.get() {
            return;
        }
        let path = with(asked.path, asked.key);
        let mut fields = self.fields.borrow_mut();
        if let Some((known, _)) = fields.iter_mut().find(|(known, _)| known.path == path) {
            known.needed |= asked.needed;
            return;
        }
        let (span, value) = asked.written.unzip();
        let owned = |texts: Vec<&str>| texts.into_iter().map(String::from).collect();
        fields.push((
            Field {
                key: path.join("."),
                path,
                kind: shape.kind,
                written: value.map_or(serde_json::Value::Null, as_json),
                filled: None,
                needed: asked.needed,
                words: owned(shape.words),
                units: owned(shape.units),
                limits: asked.limits.map(String::from),
                expected,
                problem: None,
            },
            span,
        ));
    }

    /// Marks a key as needed, as it turns out.
    pub fn needed(&self, table: &[String], key: &str) {
        let path = with(table, key);
        let mut fields = self.fields.borrow_mut();
        let field = fields.iter_mut().find(|(field, _)| field.path == path);
        if let Some((field, _)) = field {
            field.needed = true;
        }
    }

    /// Lists a table that was asked for, once.
    pub fn table(&self, path: &[String], there: bool, named: bool) {
        if self.paused.get() {
            return;
        }
        let mut tables = self.tables.borrow_mut();
        if let Some(known) = tables.iter_mut().find(|known| known.path == path) {
            known.named |= named;
            return;
        }
        tables.push(FormTable {
            key: path.join("."),
            path: path.to_vec(),
            there,
            named,
        });
    }

    /// Whether a table was asked for.
    pub fn has_table(&self, path: &[String]) -> bool {
        self.tables.borrow().iter().any(|table| table.path == path)
    }

    /// The key whose value a mistake stands in.
    pub fn key_around(&self, span: &Range<usize>) -> Option<String> {
        let fields = self.fields.borrow();
        let around = fields.iter().rfind(|(_, value)| {
            let inside = |value: &Range<usize>| value.start <= span.start && span.end <= value.end;
            value.as_ref().is_some_and(inside)
        });
        around.map(|(field, _)| field.key.clone())
    }

    /// The form, with what was filled in and what is wrong.
    pub fn into_form(self, assumed: &[Assumed], problems: &[Problem]) -> Form {
        let fields = self.fields.into_inner().into_iter();
        let fields = fields.map(|(field, _)| Field {
            filled: assumed
                .iter()
                .find(|a| a.key == field.key && field.written.is_null())
                .map(|a| Filled {
                    value: a.value.clone(),
                    reason: a.reason.clone(),
                }),
            problem: said(problems, &field.key),
            ..field
        });
        Form {
            fields: fields.collect(),
            tables: self.tables.into_inner(),
        }
    }
}

fn with(table: &[String], key: &str) -> Vec<String> {
    table.iter().cloned().chain([key.into()]).collect()
}

/// The mistakes at a key, one a line.
fn said(problems: &[Problem], key: &str) -> Option<String> {
    let here = problems.iter().filter(|p| p.key.as_deref() == Some(key));
    let lines: Vec<String> = here.map(Problem::in_words).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

/// A value of a plan file as JSON; what JSON has no number for, as text.
pub(crate) fn as_json(value: &DeValue) -> serde_json::Value {
    use serde_json::Value as Json;
    let number = |text: &str| text.replace('_', "").trim_start_matches('+').to_string();
    match value {
        DeValue::String(text) => Json::String(text.to_string()),
        DeValue::Integer(whole) => {
            match i64::from_str_radix(&number(whole.as_str()), whole.radix()) {
                Ok(whole) => whole.into(),
                Err(_) => Json::String(whole.as_str().into()),
            }
        }
        DeValue::Float(size) => {
            let parsed = number(size.as_str()).parse::<f64>().ok();
            match parsed.and_then(serde_json::Number::from_f64) {
                Some(size) => Json::Number(size),
                None => Json::String(size.as_str().into()),
            }
        }
        DeValue::Boolean(flag) => Json::Bool(*flag),
        DeValue::Datetime(time) => Json::String(time.to_string()),
        DeValue::Array(items) => items.iter().map(|item| as_json(item.get_ref())).collect(),
        DeValue::Table(entries) => entries
            .iter()
            .map(|(name, held)| (name.get_ref().to_string(), as_json(held.get_ref())))
            .collect(),
    }
}
