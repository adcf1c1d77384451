//! Line files that a request carries, or that whoever answers it holds.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{
    BriefRequest, Edit, EditRequest, LayOut, LiveRequest, OpenAsRig, PlanRequest, ReplayRequest,
    SetValue,
};
use crate::plan_file::{is_line_file, line_files_named};

/// A request about a plan, with line files that the plan names.
pub trait CarriesLines {
    /// The plan file as text, and the changes to it.
    fn plan(&self) -> (&str, &[Edit]);
    /// Texts of line files by name.
    fn lines(&mut self) -> &mut BTreeMap<String, String>;

    /// Adds what `fetch` holds of the line files that the plan names, before or after the
    /// changes, and that the request does not carry itself.
    fn add_lines(&mut self, fetch: impl Fn(&str) -> Option<String>) {
        let (plan, edits) = self.plan();
        let mut names = line_files_named(plan);
        for edit in edits {
            if let Edit::Set(SetValue { value, .. }) = edit {
                named_in(value, &mut names);
            }
        }
        let lines = self.lines();
        for name in names {
            if !lines.contains_key(&name)
                && let Some(text) = fetch(&name)
            {
                lines.insert(name, text);
            }
        }
    }
}

/// Texts in a value that are names of line files.
fn named_in(value: &Value, names: &mut Vec<String>) {
    match value {
        Value::String(name) if is_line_file(name) => names.push(name.clone()),
        Value::Array(items) => items.iter().for_each(|item| named_in(item, names)),
        Value::Object(table) => table.values().for_each(|item| named_in(item, names)),
        _ => {}
    }
}

macro_rules! carries_lines {
    ($($name:ident $edits:expr;)+) => { $(
        impl CarriesLines for $name {
            fn plan(&self) -> (&str, &[Edit]) {
                let edits: fn(&Self) -> &[Edit] = $edits;
                (&self.plan, edits(self))
            }

            fn lines(&mut self) -> &mut BTreeMap<String, String> {
                &mut self.lines
            }
        }
    )+ };
}

carries_lines! {
    PlanRequest |_| &[];
    BriefRequest |_| &[];
    ReplayRequest |_| &[];
    OpenAsRig |_| &[];
    LayOut |_| &[];
    EditRequest |asked| &asked.edits;
    LiveRequest |asked| &asked.edits;
}
