//! One area of an answer, with what must never be cut away from it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::answer::{
    Answer, CONTRACT_VERSION, Convergence, DamperDesign, Finding, LetGo, LoadPath, Lowering,
    Options, Pull, RigState, Situation, Standoff, TetherDesign,
};

/// Declares the object an area command prints.
macro_rules! area_answer {
    ($(#[$doc:meta])* $name:ident, $(#[$field_doc:meta])* $field:ident: $area:ty) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// Version of the contract.
            pub contract_version: u32,
            $(#[$field_doc])*
            pub $field: $area,
            /// Everything noticed about the plan, worst first, whatever its area.
            pub findings: Vec<Finding>,
            /// What holds for every answer.
            pub cautions: Vec<String>,
        }

        impl From<Answer> for $name {
            fn from(answer: Answer) -> Self {
                Self {
                    contract_version: CONTRACT_VERSION,
                    $field: answer.$field,
                    findings: answer.findings,
                    cautions: answer.cautions,
                }
            }
        }
    };
}

area_answer! {
    /// What `steadypull situation --json` prints.
    SituationAnswer,
    /// How hard the casualty is stuck.
    situation: Situation
}
area_answer! {
    /// What `steadypull options --json` prints.
    OptionsAnswer,
    /// Every method, least hazardous first.
    options: Options
}
area_answer! {
    /// What `steadypull load-path --json` prints.
    LoadPathAnswer,
    /// The load in every link from casualty to tug.
    load_path: LoadPath
}
area_answer! {
    /// What `steadypull rig --json` prints.
    RigAnswer,
    /// A rig laid out on the ground, under its load; null for a straight rig.
    rig: Option<RigState>
}
area_answer! {
    /// What `steadypull pull --json` prints.
    PullAnswer,
    /// What a kinetic pull would do.
    pull: Pull
}
area_answer! {
    /// What `steadypull let-go --json` prints.
    LetGoAnswer,
    /// What comes back if a part lets go.
    let_go: LetGo
}
area_answer! {
    /// What `steadypull standoff --json` prints.
    StandoffAnswer,
    /// How far back people stand.
    standoff: Standoff
}
area_answer! {
    /// What `steadypull lowering --json` prints.
    LoweringAnswer,
    /// Lowering the casualty down a slope; null if the plan has none.
    lowering: Option<Lowering>
}

/// What `steadypull let-go --converge --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConvergenceAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// Title of the plan.
    pub title: String,
    /// Whether the let-go's numbers have settled.
    pub convergence: Convergence,
    /// Everything noticed about the plan and the check, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// What `steadypull dampers --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DampersAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// Title of the plan.
    pub title: String,
    /// What dampers it takes, or that none will do.
    pub dampers: DamperDesign,
    /// Everything noticed about the plan and the design, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// What `steadypull tether --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// Title of the plan.
    pub title: String,
    /// What tether holds, or that none will do.
    pub tether: TetherDesign,
    /// Everything noticed about the plan and the design, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}
