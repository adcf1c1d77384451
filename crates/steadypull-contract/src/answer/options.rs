//! The `options` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{MethodName, Probability};

/// Every method, least hazardous first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Options {
    /// One rung a method.
    pub ladder: Vec<Rung>,
}

/// One method.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rung {
    /// The method.
    pub method: MethodName,
    /// Whether it is in or out.
    pub verdict: RungVerdict,
    /// Why, in plain words.
    pub reason: String,
    /// Probability that it shifts the casualty, as found.
    pub shift_probability: Option<f64>,
    /// Sampling error of that probability, one standard error.
    pub shift_probability_error: Option<f64>,
    /// The same after clearing and digging first.
    pub shift_probability_after_digging: Option<f64>,
    /// What it risks with its rig; null where there is none.
    pub risks: Option<RungRisks>,
    /// Load it needs at the casualty for the design case.
    pub needed_n: Option<f64>,
    /// What it can bring to bear, median.
    pub available_n: Option<f64>,
    /// Greatest load it puts in the line.
    pub peak_load_n: Option<f64>,
    /// Energy stored in the line at that load.
    pub stored_energy_j: Option<f64>,
    /// Whether it can be stopped once under way.
    pub stoppable: bool,
    /// Who can stop it and how.
    pub how_to_stop: String,
    /// Peak load in each link.
    pub links: Vec<LinkLoad>,
    /// The model behind the numbers.
    pub model: String,
}

/// What a method risks with its rig, over all that may vary.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RungRisks {
    /// That a part passes its working load limit.
    pub passes_wll: Probability,
    /// The part likeliest to; null where none can.
    pub likeliest_past_wll: Option<String>,
    /// That a part lets go.
    pub lets_go: Probability,
    /// The part likeliest to; null where no strength is known.
    pub likeliest_to_go: Option<String>,
    /// That an anchor yields; null without anchors.
    pub anchor_yields: Option<Probability>,
    /// That the braked tug slides before the casualty moves; null unless a winch pulls.
    pub tug_slides: Option<Probability>,
}

/// Load of one link under a method.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LinkLoad {
    /// Name of the part.
    pub name: String,
    /// Its peak load.
    pub peak_load_n: f64,
    /// Share of its working load limit after derating.
    pub share_of_wll: Option<f64>,
    /// Share of its breaking strength after derating.
    pub share_of_mbs: Option<f64>,
}

/// Whether a method is in or out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RungVerdict {
    /// Use this first: the least hazardous that works.
    First,
    /// Worth doing, but it will probably not do the job alone: a step on the way.
    Step,
    /// Would work, but a less hazardous method does too.
    Reserve,
    /// Will probably not shift it.
    TooWeak,
    /// The gear or the ground for it is not there.
    NotOnHand,
    /// Out: something would be overloaded, refused or cannot be stopped.
    RuledOut,
}

impl RungVerdict {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::First => "FIRST",
            Self::Step => "STEP",
            Self::Reserve => "RESERVE",
            Self::TooWeak => "TOO WEAK",
            Self::NotOnHand => "NOT ON HAND",
            Self::RuledOut => "RULED OUT",
        }
    }
}
