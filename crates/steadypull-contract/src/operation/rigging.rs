//! Rigs made for the drawing board: one that the ladder proposes, written as the plan's
//! own; a straight one laid out on the ground, where it can be dragged.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use steadypull_engine::options::path_of;
use steadypull_engine::plan::{Method, Part, Plan, Rig};
use steadypull_engine::rig::{LinkKind, LoadPath};

use super::edit::{as_form, changed};
use super::placed::laid;
use super::{Edit, Edited, ReadUnits, SetValue};
use crate::answer::MethodName;
use crate::assemble::method_of;
use crate::plan_file::{LineFiles, PlanText, Words, read_plan};
use crate::printed::{Errors, InputError};

/// A method of the ladder, to be opened as the plan's own rig.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OpenAsRig {
    /// The plan file as text.
    pub plan: String,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// The method; its rig takes the place of the one in the plan.
    pub method: MethodName,
}

/// A plan whose straight rig is to be laid out on the ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LayOut {
    /// The plan file as text.
    pub plan: String,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
}

/// The plan with the rig that its answer shows for a method written as `[rig]`.
pub fn open_as_rig(request: &OpenAsRig) -> Result<Edited, Errors> {
    let lines = LineFiles::from(&request.lines);
    let text = PlanText::from((&request.plan[..], &lines));
    let plan = read(text)?;
    let method = method_of(request.method);
    let path = path_of(&plan, method).map_err(|why| {
        let message = format!("{} has no rig to open: {why}", request.method.title());
        refused(&message, "add what is missing, or open another method")
    })?;
    if plan.rig.as_ref().is_some_and(|rig| rig.method == method) {
        return Ok(as_form(request.plan.clone(), &lines, ReadUnits::Metric));
    }
    let rig = opened(&plan, &path).ok_or_else(|| {
        refused(
            "this rig cannot be written out",
            "write [rig] in the plan file's text",
        )
    })?;
    written(text, vec![set(&["rig"], rig)])
}

/// The plan with its straight rig laid out on the ground, under the same load.
pub fn lay_out(request: &LayOut) -> Result<Edited, Errors> {
    let lines = LineFiles::from(&request.lines);
    let text = PlanText::from((&request.plan[..], &lines));
    let plan = read(text)?;
    let rig = plan.rig.as_ref().ok_or_else(|| {
        refused(
            "the plan has no rig of its own",
            "open a method of the ladder as a rig first",
        )
    })?;
    if rig.layout.is_some() {
        return Ok(as_form(request.plan.clone(), &lines, ReadUnits::Metric));
    }
    stays_straight(&plan, rig)?;
    let edits = laid(text, &plan, rig)
        .map_err(|why| refused(&why, "write the places in the plan file's text"))?;
    written(text, edits)
}

/// What a rig laid out on the ground would lose without a word.
fn stays_straight(plan: &Plan, rig: &Rig) -> Result<(), Errors> {
    if rig.method == Method::Kinetic {
        return Err(refused(
            "a kinetic pull is always one straight line: it cannot be laid out",
            "a strap round a block stores energy where nobody looks for it",
        ));
    }
    let slope = plan.site.slope_along.get() != 0.0 || plan.site.slope_across.get() != 0.0;
    if slope {
        return Err(refused(
            "the ground between the vehicles slopes by [site], which counts for a straight rig alone",
            "take the slope out of [site]; a rig laid out has it from the heights in `at`",
        ));
    }
    Ok(())
}

fn read(text: PlanText) -> Result<Plan, Errors> {
    read_plan(text).map_err(|problems| Errors::of_plan(None, &problems))
}

/// The plan after the edits, if it reads; else the plan stays as it is.
fn written(text: PlanText, edits: Vec<Edit>) -> Result<Edited, Errors> {
    let edited = as_form(changed(text.text, &edits)?, text.lines, ReadUnits::Metric);
    if edited.errors.is_empty() {
        return Ok(edited);
    }
    let why = refused(
        "this rig cannot be written as one that reads; nothing was changed",
        "write [rig] in the plan file's text",
    );
    let errors = why.errors.into_iter().chain(edited.errors);
    Err(Errors::new(errors.collect(), edited.more))
}

fn refused(message: &str, hint: &str) -> Errors {
    Errors::new(vec![InputError::whole(None, message, Some(hint))], 0)
}

/// An edit that sets what stands at `path`.
pub(super) fn set(path: &[&str], value: Value) -> Edit {
    Edit::Set(SetValue {
        path: path.iter().map(|part| (*part).into()).collect(),
        value,
    })
}

/// The table `[rig]` of a rig that was proposed.
fn opened(plan: &Plan, path: &LoadPath) -> Option<Value> {
    let names: Vec<&str> = path.links.iter().map(|link| &link.name[..]).collect();
    let blocks = path.links.iter().filter(|l| l.kind == LinkKind::Block);
    let method = Words::word(path.method);
    if blocks.count() < 2 {
        return Some(json!({ "method": method, "path": names }));
    }
    // Two blocks are no straight path: the triple line from winch to moving block.
    let [
        point,
        shackle,
        moving,
        line,
        standing,
        held_by,
        at_tug,
        winch,
    ] = names[..]
    else {
        return None;
    };
    let whole = matches!(plan.kit.part(line), Some(Part::Line(_))) && winch == "tug.winch";
    whole.then(|| {
        json!({
            "method": method,
            "layout": "triple-line",
            "line": line,
            "blocks": [moving, standing],
            "casualty_end": [shackle, point],
            "fixed_at": [held_by, at_tug],
            "dead_end": [moving],
        })
    })
}
