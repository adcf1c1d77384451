//! The `standoff` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far back people stand, in plan, to scale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Standoff {
    /// The rule distance from either vehicle and from the line.
    pub rule_m: f64,
    /// The rule in words, with its source.
    pub rule: String,
    /// Greatest computed reach beyond either vehicle's recovery point.
    pub computed_reach_m: f64,
    /// Whether the computed zone is larger than the rule anywhere.
    pub computed_governs: bool,
    /// Quantile of the computed zone.
    pub quantile: f64,
    /// Runs behind it.
    pub runs: u32,
    /// Runs that failed and are not in it (ideally 0).
    pub failed_runs: u32,
    /// Corners of the zone: nobody inside while the line is loaded.
    pub zone: Vec<PlanPoint>,
    /// Corners of the rule's share of it.
    pub rule_zone: Vec<PlanPoint>,
    /// Greatest distance from the casualty's recovery point, away from the tug; for a
    /// rig laid out on the ground to the edge, where that point is nearest to it.
    pub behind_casualty_m: f64,
    /// Greatest distance from the tug's recovery point or winch, in the same way.
    pub behind_tug_m: f64,
    /// Greatest distance to either side of the line; for a rig laid out on the ground
    /// from the nearest line to the edge, where no vehicle's point is nearer.
    pub beside_m: f64,
    /// The vehicles, lines, dampers and blocks to scale.
    pub outlines: Vec<Outline>,
    /// Who stands where.
    pub places: Vec<Place>,
    /// Parts of the zone with a danger of their own: the bights of a rig laid out on
    /// the ground. Empty for a straight rig.
    pub danger_areas: Vec<DangerArea>,
}

/// A part of the zone with a danger of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DangerArea {
    /// What it is called.
    pub name: String,
    /// Why nobody goes in.
    pub why: String,
    /// Its corners, anticlockwise.
    pub corners: Vec<PlanPoint>,
}

/// A point in plan.
///
/// A straight rig lies along its own line of pull; a rig laid out on the ground
/// lies in the frame of its plan file.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanPoint {
    /// Along the line of pull from the casualty's recovery point towards the tug;
    /// x of the plan for a rig laid out on the ground.
    pub x_m: f64,
    /// To the left of that.
    pub y_m: f64,
}

/// Something drawn in plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outline {
    /// What it is: casualty, tug, line, damper, recovery point; in a rig laid out
    /// on the ground also winch, block, ring, bridle apex, and the sorts of
    /// anchor (anchor tree, pickets, deadman, plate, vehicle; else anchor alone).
    pub what: String,
    /// Its name.
    pub name: String,
    /// Whether the last corner joins the first.
    pub closed: bool,
    /// Its corners.
    pub points: Vec<PlanPoint>,
    /// Tension of a part of line, in a rig laid out on the ground.
    pub tension_n: Option<f64>,
}

/// Where a group of people stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Who.
    pub who: String,
    /// Where, in words with distances.
    pub place: String,
}
