//! What an answer can hold, from its JSON Schema: a path is checked, and its
//! column's kind known, before anything is worked out.

use serde_json::Value;

use super::output::{Kind, Output, Select, Step};
use crate::plan_file::nearest_word;
use crate::schemas;

/// The shape of the whole answer.
pub(super) struct Shape(Value);

/// What a path leads to, or where it stops leading anywhere.
enum Led {
    To(Vec<Step>, Kind),
    /// No such field; those there are.
    Lost(String, Vec<String>),
    /// It ends at something that is neither a number nor a word.
    Short(Vec<String>),
}

impl Shape {
    pub fn of_the_answer() -> Self {
        let text = schemas().into_iter().next().map(|(_, text)| text);
        // The schema of the program's own types always parses.
        let schema = text.and_then(|text| serde_json::from_str(&text).ok());
        Self(schema.unwrap_or(Value::Null))
    }

    /// The output that a path stands for.
    pub fn output(&self, path: &str) -> Option<Output> {
        if let Some(derived) = Output::derived(path) {
            return Some(derived);
        }
        match self.led(&self.0, &path.split('.').collect::<Vec<_>>()) {
            Led::To(steps, kind) => Some(Output::at(path, steps, kind)),
            _ => None,
        }
    }

    /// What is wrong with a path, and what was probably meant.
    pub fn check(&self, path: &str) -> Result<(), (String, Option<String>)> {
        if Output::derived(path).is_some() {
            return Ok(());
        }
        let list = "`steadypull sweep PLAN --list` shows what an answer holds";
        match self.led(&self.0, &path.split('.').collect::<Vec<_>>()) {
            Led::To(..) => Ok(()),
            Led::Lost(at, there) => {
                let hint = match nearest_word(&at, there.iter().map(|name| &name[..])) {
                    Some(meant) => format!("did you mean {meant}?"),
                    None => list.into(),
                };
                let message = format!("\"{path}\" is no output: the answer has no \"{at}\" there");
                Err((message, Some(hint)))
            }
            Led::Short(there) => {
                let message = format!("\"{path}\" is neither a number nor a word");
                let hint = match there.is_empty() {
                    true => list.into(),
                    false => format!("go on with one of {}", there.join(", ")),
                };
                Err((message, Some(hint)))
            }
        }
    }

    fn led(&self, node: &Value, names: &[&str]) -> Led {
        let node = self.plain(node);
        if let Some(fields) = node["properties"].as_object() {
            let there = || fields.keys().cloned().collect();
            let Some((name, rest)) = names.split_first() else {
                return Led::Short(there());
            };
            return match fields.get(*name) {
                Some(field) => with(Step::Field((*name).into()), self.led(field, rest)),
                None => Led::Lost((*name).into(), there()),
            };
        }
        if node["type"] == "array" || node["items"].is_object() {
            return self.led_on(&node["items"], names);
        }
        match (kind(node), names.first()) {
            (Some(kind), None) => Led::To(Vec::new(), kind),
            (Some(_), Some(name)) => Led::Lost((*name).into(), Vec::new()),
            (None, _) => Led::Short(Vec::new()),
        }
    }

    /// Through an entry of a list. A part's name may hold a dot, so as many words as
    /// it takes are tried.
    fn led_on(&self, items: &Value, names: &[&str]) -> Led {
        if names.is_empty() {
            let how = ["NAME", "1", "last", "least", "greatest"].map(String::from);
            return Led::Short(how.into());
        }
        let mut lost = None;
        for taken in 1..=names.len() {
            let select = Select::new(&names[..taken].join("."));
            match self.led(items, &names[taken..]) {
                Led::To(_, Kind::Text) if select.is_extreme() => {}
                Led::To(steps, kind) => return with(Step::Entry(select), Led::To(steps, kind)),
                other => lost = lost.or(Some(other)),
            }
        }
        lost.unwrap_or_else(|| Led::Short(Vec::new()))
    }

    /// Past references, and past the null of what may be absent.
    fn plain<'v>(&'v self, node: &'v Value) -> &'v Value {
        let mut node = node;
        for _ in 0..8 {
            let all_of = node["allOf"].as_array().and_then(|all| all.first());
            let any_of = node["anyOf"].as_array();
            let some = any_of.and_then(|any| any.iter().find(|one| one["type"] != "null"));
            node = match (node["$ref"].as_str(), all_of, some) {
                (Some(name), ..) => self.0.pointer(name.trim_start_matches('#')).unwrap_or(node),
                (_, Some(one), _) | (_, _, Some(one)) => one,
                _ => return node,
            };
        }
        node
    }
}

fn with(step: Step, led: Led) -> Led {
    match led {
        Led::To(mut steps, kind) => {
            steps.insert(0, step);
            Led::To(steps, kind)
        }
        other => other,
    }
}

fn kind(node: &Value) -> Option<Kind> {
    let is = |what: &str| {
        node["type"] == what
            || node["type"]
                .as_array()
                .is_some_and(|all| all.iter().any(|one| one == what))
    };
    if is("number") || is("integer") || is("boolean") {
        Some(Kind::Number)
    } else if is("string") || node["enum"].is_array() || node["oneOf"].is_array() {
        Some(Kind::Text)
    } else {
        None
    }
}
