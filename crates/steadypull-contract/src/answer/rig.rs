//! The `rig` area: a rig laid out on the ground, at rest under its load.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::AnchorHold;

/// A rig laid out on the ground, under the design load.
///
/// Places are those at which everything comes to rest, in the frame of the plan
/// file: x and y level, z up. Directions in plan are anticlockwise from +x,
/// -180 to 180 deg; rises are above level, -90 to 90 deg.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RigState {
    /// Which way the hauled lines move, and so on which side friction counts.
    pub motion: RigMotion,
    /// Tension at the haul (at the winch, or the vehicle that tows).
    pub haul_n: f64,
    /// Pull on the casualty along the way it moves.
    pub pull_n: f64,
    /// Direction in plan of the pull on the casualty.
    pub pull_direction_deg: f64,
    /// Rise of the pull on the casualty.
    pub pull_rise_deg: f64,
    /// Pull on the casualty over the haul, without friction.
    pub ideal_advantage: f64,
    /// The same with friction.
    pub real_advantage: f64,
    /// Real over ideal: what friction leaves; null where the rig has no advantage.
    pub efficiency: Option<f64>,
    /// Line hauled in (or paid out) for a metre of casualty movement.
    pub haul_per_metre: f64,
    /// How far the casualty is to move.
    pub movement_m: f64,
    /// Line hauled in for that, the rig drawn as it stands at the start.
    pub hauled_in_m: f64,
    /// Line out of all hauled runs, at the start.
    pub paid_out_m: f64,
    /// Greatest haul that keeps every link within its working load limit after
    /// derating, or within the policy's factor to its breaking strength where it
    /// has none; null where there is no link to say so.
    pub greatest_haul_n: Option<f64>,
    /// The link that sets it.
    pub greatest_haul_set_by: Option<String>,
    /// Largest force left unbalanced at a node that moves, over the haul: how
    /// well the rig was solved.
    pub residual: f64,
    /// What each anchor holds, the tug that winches among them.
    pub anchors: Vec<AnchorHold>,
    /// Every place where lines meet or turn.
    pub nodes: Vec<RigNode>,
    /// Every run of line.
    pub runs: Vec<RigRun>,
}

/// Which way hauled lines move over what they go round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RigMotion {
    /// Towards the haul: friction adds to what the haul must pull.
    HaulingIn,
    /// Away from it: friction helps whoever holds.
    PayingOut,
    /// Without friction anywhere: textbook values.
    Frictionless,
}

/// A place where lines meet or turn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RigNode {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub kind: RigNodeKind,
    /// Along x.
    pub x_m: f64,
    /// Along y.
    pub y_m: f64,
    /// Height.
    pub z_m: f64,
    /// Whether it stays where it is (else it moves to where forces balance).
    pub fixed: bool,
    /// Load on it: the sum of the pulls on a point, anchor, block or ring; on the
    /// apex of a bridle the greatest pull of one line.
    pub load_n: f64,
    /// Direction in plan of that load; null where it has none.
    pub load_direction_deg: Option<f64>,
    /// Rise of that load.
    pub load_rise_deg: Option<f64>,
    /// Angle between the two parts of the line that goes round it.
    pub included_angle_deg: Option<f64>,
    /// Angle between the load and the direction in which the point is strong.
    pub side_angle_deg: Option<f64>,
    /// How far it moves for a metre of casualty movement.
    pub travel_per_metre: f64,
    /// Direction in plan of that movement; null where it does not move.
    pub travel_direction_deg: Option<f64>,
}

/// What a place of the rig is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RigNodeKind {
    /// A recovery point of the casualty.
    Casualty,
    /// A recovery point of the tug.
    Tug,
    /// A winch.
    Winch,
    /// An anchor, or a point of a vehicle that is one.
    Anchor,
    /// A block.
    Block,
    /// A ring.
    Ring,
    /// The apex of a bridle.
    Apex,
}

impl RigNodeKind {
    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Casualty => "recovery point of the casualty",
            Self::Tug => "recovery point of the tug",
            Self::Winch => "winch",
            Self::Anchor => "anchor",
            Self::Block => "block",
            Self::Ring => "ring",
            Self::Apex => "apex of a bridle",
        }
    }
}

/// A line with the straps and shackles in series with it, from one made fast end
/// to the other.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RigRun {
    /// Its name in the plan.
    pub name: String,
    /// What it does, in words.
    pub words: String,
    /// Whether it is hauled in or paid out (else it keeps its length).
    pub hauled: bool,
    /// Whether it hangs slack.
    pub slack: bool,
    /// Rest length of all its parts.
    pub rest_m: f64,
    /// Its length as it lies.
    pub length_m: f64,
    /// Its parts of line, in order.
    pub parts: Vec<RigPart>,
}

/// One part of line: what lies between one node and the next.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RigPart {
    /// Name of the node it comes from.
    pub from: String,
    /// Name of the node it goes to.
    pub to: String,
    /// Tension in it.
    pub tension_n: f64,
    /// Its length as it lies.
    pub length_m: f64,
    /// Names of the parts of the kit in it.
    pub holds: Vec<String>,
}
