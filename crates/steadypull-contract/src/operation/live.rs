//! The answer while something is dragged.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::edit::changed;
use super::{Edit, ReadUnits};
use crate::AnswerError;
use crate::answer::{CONTRACT_VERSION, Finding, LoadPath, RigState, Situation, Standoff};
use crate::assemble::at_once::{AtOnce, Quick, at_once};
use crate::plan_file::{LineFiles, read_plan};
use crate::printed::{Errors, InputError};

/// A plan, what to change in it, and that an answer is wanted at once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiveRequest {
    /// The plan file as text.
    pub plan: String,
    /// Changes, in order.
    pub edits: Vec<Edit>,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// In which units its sentences are; every number stays SI.
    #[serde(default)]
    pub units: ReadUnits,
}

/// What can be told at once: loads, angles and zones, without what takes many runs. The
/// whole answer follows by `answer`; `quick` says what is left out until then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Live {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan file as text, after the changes; as it came where they cannot be made.
    pub plan: String,
    /// What is wrong in it; everything below is null while anything is.
    pub errors: Vec<InputError>,
    /// How hard the casualty is stuck.
    pub situation: Option<Situation>,
    /// Every link from casualty to tug with its load, as in the whole answer.
    pub load_path: Option<LoadPath>,
    /// The rig laid out on the ground, as in the whole answer; null for a straight one too.
    pub rig: Option<RigState>,
    /// How far back people stand by the rule and the bights alone, and the outlines to
    /// draw. What flies can only make the zone of the whole answer larger: `quick` says
    /// so, and `places` is empty until then.
    pub standoff: Option<Standoff>,
    /// What was noticed in what was worked out, worst first.
    pub findings: Vec<Finding>,
    /// What the quick answer leaves out, in words.
    pub quick: Vec<String>,
}

/// What the zone of a quick answer is.
const ZONE: &str = "what flies is not worked out yet: the zone is that of the rule and the bights \
                    alone, and can only grow";
/// What else is left out of every quick answer.
const LATER: &str = "the verdict, the options and what comes back if a part lets go follow with \
                     the whole answer, and more findings with them";
const KINETIC: &str = "the loads and the zone of a kinetic pull take many runs: they follow with \
                       the whole answer";
const HAUL: &str = "the winch's haul in time follows with the whole answer";

/// What can be told of the plan after the changes at once.
pub fn live(request: &LiveRequest) -> Live {
    let empty = Live {
        contract_version: CONTRACT_VERSION,
        plan: request.plan.clone(),
        errors: Vec::new(),
        situation: None,
        load_path: None,
        rig: None,
        standoff: None,
        findings: Vec::new(),
        quick: Vec::new(),
    };
    let text = match changed(&request.plan, &request.edits) {
        Ok(text) => text,
        Err(refused) => {
            return Live {
                errors: refused.errors,
                ..empty
            };
        }
    };
    let empty = Live {
        plan: text,
        ..empty
    };
    let lines = LineFiles::from(&request.lines);
    let plan = match read_plan((&empty.plan[..], &lines)) {
        Ok(plan) => plan.said_in(request.units.into()),
        Err(problems) => {
            return Live {
                errors: Errors::of_plan(None, &problems).errors,
                ..empty
            };
        }
    };
    let told = at_once(&plan).map(|quick| with(&empty, quick));
    match told.and_then(AnswerError::refuse_numbers) {
        Ok(live) => live,
        Err(error) => Live {
            errors: vec![InputError::whole(None, &error.to_string(), None)],
            ..empty
        },
    }
}

fn with(empty: &Live, quick: Quick) -> Live {
    let (situation, told) = match quick {
        Quick::Told(told) => (told.situation.clone(), Some(*told)),
        Quick::Stuck(situation) => (*situation, None),
    };
    let live = Live {
        situation: Some(situation),
        ..empty.clone()
    };
    let Some(AtOnce {
        load_path,
        rig,
        standoff,
        findings,
        ..
    }) = told
    else {
        return Live {
            quick: [KINETIC, LATER].map(String::from).to_vec(),
            ..live
        };
    };
    let hauls = load_path
        .method
        .is_some_and(crate::answer::MethodName::hauls);
    let quick = [Some(ZONE), hauls.then_some(HAUL), Some(LATER)];
    Live {
        load_path: Some(load_path),
        rig,
        standoff: Some(Standoff {
            places: Vec::new(),
            ..standoff
        }),
        findings,
        quick: quick.into_iter().flatten().map(String::from).collect(),
        ..live
    }
}
