//! The `situation` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How hard the casualty is stuck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Situation {
    /// Weight of the casualty.
    pub weight_n: f64,
    /// Resistance by term; negative terms help.
    pub terms: Vec<Term>,
    /// The sum once the casualty is moving.
    pub sliding: ForceRange,
    /// The sum that starts it, suction included, pulled slowly (about a minute).
    pub break_out: ForceRange,
    /// The sum that starts it, pulled fast (a kinetic pull).
    pub break_out_fast: ForceRange,
    /// Resistance a rig is designed for: the break-out sum at `design_quantile`.
    pub design_n: f64,
    /// Quantile of the design value.
    pub design_quantile: f64,
    /// The design value over the casualty's weight.
    pub design_over_weight: f64,
    /// Whether the casualty is a fixed end until something is cleared.
    pub fixed_end: bool,
    /// What holds it, if anything.
    pub held_by: Option<String>,
    /// What the tug can do on its own ground.
    pub tug: TugAbility,
}

/// One term of the resistance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// Its name: rolling, grade, mire, suction, obstacle, locked wheels, own drive.
    pub name: String,
    /// Its range.
    pub range: ForceRange,
    /// The model in a few words with its numbers.
    pub method: String,
    /// Where the model comes from.
    pub source: String,
    /// How far that source was seen: read, computed, from memory, common practice, assumed.
    pub source_status: String,
}

/// A force with its spread.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ForceRange {
    /// 5 % quantile.
    pub low_n: f64,
    /// Median.
    pub median_n: f64,
    /// 95 % quantile.
    pub high_n: f64,
}

/// What the tug can do on its own ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TugAbility {
    /// Steady pull left after its own grade and rolling.
    pub steady_pull: ForceRange,
    /// What limits it: `grip` or `drive`.
    pub limited_by: String,
    /// Winch pull on the layer in use; null without a winch.
    pub winch_pull_n: Option<f64>,
    /// Force at which the tug itself starts to slide when braked.
    pub anchor_hold: ForceRange,
}
