//! How an anchor stands in a rig.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What an anchor holds, its load, and what happens when it yields.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AnchorHold {
    /// Its name in the plan; `tug` for the tug that winches.
    pub name: String,
    /// What it is.
    pub kind: AnchorKind,
    /// What it is, in words.
    pub words: String,
    /// Load that all but 5 % of such anchors hold.
    pub low_hold_n: f64,
    /// Load that half of such anchors hold.
    pub median_hold_n: f64,
    /// Load that only 5 % of such anchors hold.
    pub high_hold_n: f64,
    /// Load on it.
    pub load_n: f64,
    /// Load on it over the pull at the casualty.
    pub share: f64,
    /// Probability that it yields at this load.
    pub yield_probability: f64,
    /// Pull at the casualty at which 5 % of such anchors have yielded; null for one
    /// that carries nothing.
    pub yields_at_low_n: Option<f64>,
    /// Pull at which half have.
    pub yields_at_median_n: Option<f64>,
    /// Pull at which 95 % have.
    pub yields_at_high_n: Option<f64>,
    /// Whether it is the first to yield, by the median.
    pub yields_first: bool,
    /// What happens when it yields.
    pub when_it_yields: String,
    /// How far from it it falls along the pull, for a tree.
    pub falls_within_m: Option<f64>,
    /// Why it may never be used, if so.
    pub refused: Option<String>,
    /// How its hold was found.
    pub method: String,
    /// Where the figure comes from, and how far that was seen.
    pub source: String,
}

/// What an anchor is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum AnchorKind {
    /// A standing tree.
    Tree,
    /// Pickets driven in a row and lashed.
    Pickets,
    /// A buried log or timber.
    Deadman,
    /// A plate held by pins.
    Plate,
    /// A braked vehicle.
    Vehicle,
    /// Something whose hold is stated.
    Stated,
    /// The tug itself, braked while it winches.
    Tug,
}
