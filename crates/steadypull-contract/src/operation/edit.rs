//! Changing a plan's text.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Form, ReadUnits};
use crate::answer::CONTRACT_VERSION;
use crate::plan_file::{LineFiles, ParsedPlan, PlanProblems, referring};
use crate::plan_text::{self, Refused};
use crate::printed::{Errors, InputError};

/// One change to a plan file; comments and the order of the file stay.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(
    untagged,
    expecting = "an edit is { path, value }, or { path, rename } for a new name"
)]
pub enum Edit {
    /// Sets or takes away a value or a table.
    Set(SetValue),
    /// Gives a table another name, with whatever names it in the plan.
    Rename(Rename),
}

/// A value or a table set or taken away.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SetValue {
    /// Where, table by table: `["casualty", "mass"]`; a figure in a list by its place from
    /// 0: `["casualty", "at", "1"]`. Tables on the way are made.
    pub path: Vec<String>,
    /// What stands there from now on; null takes the key or the table away. Text becomes
    /// text, a number a number, true or false a flag, a list a list, an object a table.
    pub value: serde_json::Value,
}

/// Another name for a part, a recovery point, an anchor or a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rename {
    /// Which table: `["line", "strap-1"]`, `["casualty", "point", "front"]`.
    pub path: Vec<String>,
    /// Its new name; every key of the plan that names it follows.
    pub rename: String,
}

/// A plan and what to change in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EditRequest {
    /// The plan file as text.
    pub plan: String,
    /// Changes, in order; none to have the form alone.
    pub edits: Vec<Edit>,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// In which units the form tells what is filled in and between which limits a key lies.
    #[serde(default)]
    pub units: ReadUnits,
}

/// A plan after changes, as text and as a form. A plan with mistakes in it is changed
/// all the same: it stays editable and says what is wrong.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Edited {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan file as text.
    pub plan: String,
    /// The plan as a form.
    pub form: Form,
    /// What is wrong in it, in the order of the file.
    pub errors: Vec<InputError>,
    /// Mistakes beyond those listed.
    pub more: u32,
}

/// The plan after the changes, in order: all of them, or none and why not.
pub fn edit(request: &EditRequest) -> Result<Edited, Errors> {
    let plan = changed(&request.plan, &request.edits)?;
    Ok(as_form(plan, &(&request.lines).into(), request.units))
}

/// A plan's text with its form, told in `units`, and its mistakes.
pub(super) fn as_form(plan: String, lines: &LineFiles, units: ReadUnits) -> Edited {
    let (mut form, problems) = match ParsedPlan::new((&plan[..], lines)) {
        Ok(parsed) => parsed.form(),
        Err(problems) => (Form::default(), problems),
    };
    form.tell_in(units.into());
    Edited {
        contract_version: CONTRACT_VERSION,
        form,
        errors: Errors::of_plan(None, &problems).errors,
        more: problems.more,
        plan,
    }
}

/// The text after the changes, in order.
pub(super) fn changed(plan: &str, edits: &[Edit]) -> Result<String, Errors> {
    if edits.is_empty() {
        return Ok(plan.into());
    }
    in_text(plan, |text| {
        broken(text)?;
        let mut text = text.to_string();
        for edit in edits {
            text = one(&text, edit).map_err(|refused| {
                let (Edit::Set(SetValue { path, .. }) | Edit::Rename(Rename { path, .. })) = edit;
                not_made(path, refused)
            })?;
        }
        Ok(text)
    })
}

/// What `change` makes of a text; a mark of the byte order stays where it is.
pub(super) fn in_text(
    whole: &str,
    change: impl FnOnce(&str) -> Result<String, Errors>,
) -> Result<String, Errors> {
    let text = whole.strip_prefix('\u{feff}').unwrap_or(whole);
    let mark = &whole[..whole.len() - text.len()];
    Ok(format!("{mark}{}", change(text)?))
}

/// Refuses a text that is not TOML: there is nothing to find a key by.
fn broken(text: &str) -> Result<(), Errors> {
    let problems = match ParsedPlan::new(text) {
        Ok(parsed) if !parsed.is_broken() => return Ok(()),
        Ok(parsed) => parsed.form().1,
        Err(problems) => problems,
    };
    Err(broken_text("the plan", "a plan file", &problems))
}

/// That `what` is not TOML, and where.
pub(super) fn broken_text(what: &str, kind: &str, problems: &PlanProblems) -> Errors {
    let refused = InputError::whole(
        None,
        &format!("{what} cannot be changed here: its text does not read as {kind}"),
        Some("mend the text first, at the lines named here; nothing of it was changed"),
    );
    let errors = [refused]
        .into_iter()
        .chain(Errors::of_plan(None, problems).errors);
    Errors::new(errors.collect(), problems.more)
}

fn one(text: &str, edit: &Edit) -> Result<String, Refused> {
    match edit {
        Edit::Set(wanted) => set(text, wanted),
        Edit::Rename(Rename { path, rename }) => {
            let places = referring(text, path, rename).map_err(Refused::because)?;
            let mut renamed = plan_text::rename(text, path, rename)?;
            // References stand in values: their paths do not change with the name of
            // another table, but for those inside the table itself.
            for (mut at, name) in places {
                if at.starts_with(path) {
                    at[path.len() - 1].clone_from(rename);
                }
                renamed = plan_text::set(&renamed, &at, Some(&name.into()))?;
            }
            Ok(renamed)
        }
    }
}

/// The text with one value set or taken away.
pub(super) fn set(text: &str, SetValue { path, value }: &SetValue) -> Result<String, Refused> {
    plan_text::set(text, path, Some(value).filter(|value| !value.is_null()))
}

/// That a change at `path` is not made.
pub(super) fn not_made(path: &[String], refused: Refused) -> Errors {
    let error = InputError {
        key: Some(path.join(".")),
        ..InputError::whole(None, &refused.message, refused.hint.as_deref())
    };
    Errors::new(vec![error], 0)
}
