//! The `lowering` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::ForceRange;

/// Lowering the casualty down a slope. Distances are those of its upper axle
/// along the ground from the top of the way, unless said otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lowering {
    /// The main line.
    pub line: String,
    /// What holds it back, in words.
    pub held_by: String,
    /// What that is fixed to.
    pub anchor: String,
    /// Whether the nose points down the way.
    pub nose_down: bool,
    /// Distance between the axles.
    pub wheelbase_m: f64,
    /// Place at the start.
    pub from_m: f64,
    /// Place at the end.
    pub to_m: f64,
    /// The ground, from the anchor to past the end.
    pub way: Vec<WayPoint>,
    /// Tension in the line at the vehicle where it is greatest, as a range.
    pub greatest: ForceRange,
    /// The same at the policy's design quantile: the load for every part.
    pub greatest_design_n: f64,
    /// Where that is.
    pub greatest_at_m: f64,
    /// Tension at the holder there, after edges and blocks.
    pub at_holder: ForceRange,
    /// The holding force along the way.
    pub series: LoweringSeries,
    /// How it tips over an edge on its chassis; null if it does not.
    pub rocks: Option<Rocking>,
    /// First place where the chassis bears on the ground; null if it clears it.
    pub belly_from_m: Option<f64>,
    /// Last such place.
    pub belly_to_m: Option<f64>,
    /// Least share of the weight on the upper axle; under 0 it pitches over.
    pub upper_axle_share: f64,
    /// Paying out.
    pub pay_out: PayOut,
    /// Every part of the main line that could let go, vehicle end first.
    pub parts: Vec<LoweringPart>,
    /// The worst run-away with nothing to catch.
    pub run_away: RunAway,
    /// The belay; null if there is none.
    pub belay: Option<Belay>,
    /// How far everybody without a task keeps from vehicle, lines and anchors.
    pub standoff_m: f64,
    /// The rule behind that.
    pub standoff_rule: String,
    /// What was taken into account and what was not.
    pub models: Vec<String>,
}

/// A place on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayPoint {
    /// Level distance from the top of the way.
    pub level_m: f64,
    /// Height over the top of the way.
    pub height_m: f64,
    /// Slope, positive where it falls.
    pub slope_deg: f64,
}

/// The holding force along the way; all lists are as long.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoweringSeries {
    /// Place.
    pub distance_m: Vec<f64>,
    /// Median tension at the vehicle.
    pub hold_n: Vec<f64>,
    /// 5 % quantile.
    pub hold_low_n: Vec<f64>,
    /// 95 % quantile.
    pub hold_high_n: Vec<f64>,
    /// Median tension at the holder.
    pub holder_n: Vec<f64>,
    /// Pitch of the vehicle, positive down the way.
    pub pitch_deg: Vec<f64>,
    /// Share of the weight on the upper bearing (axle, or edge under the chassis).
    pub upper_share: Vec<f64>,
    /// Line between anchor and vehicle.
    pub line_out_m: Vec<f64>,
    /// Level distance of the foot of the upper wheels.
    pub upper_level_m: Vec<f64>,
    /// Height of the foot of the upper wheels.
    pub upper_height_m: Vec<f64>,
    /// Level distance of the foot of the lower wheels.
    pub lower_level_m: Vec<f64>,
    /// Height of the foot of the lower wheels.
    pub lower_height_m: Vec<f64>,
}

/// A rocking over an edge on the chassis.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rocking {
    /// Where.
    pub at_m: f64,
    /// Pitch before.
    pub from_deg: f64,
    /// Pitch after.
    pub to_deg: f64,
}

/// Paying out, all the way down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PayOut {
    /// Speed: that wanted, or the winch's if it is slower.
    pub speed_m_s: f64,
    /// Time without a stop.
    pub time_s: f64,
    /// Line between anchor and vehicle at the start.
    pub out_at_start_m: f64,
    /// The most line out.
    pub out_greatest_m: f64,
    /// Line needed, with that on the holder and the tail.
    pub needed_m: f64,
    /// Line there is.
    pub there_is_m: f64,
    /// Greatest force of the tending hand; null on a winch.
    pub hand: Option<ForceRange>,
    /// The same at the policy's design quantile.
    pub hand_design_n: Option<f64>,
    /// Most that a hand holds for minutes.
    pub hand_limit_n: Option<f64>,
    /// Turns that keep the hand within that; null on a winch.
    pub turns_needed: Option<f64>,
    /// Heat at the holder.
    pub heat_j: f64,
    /// Heat that a winch's brake is tested with; null for turns.
    pub heat_limit_j: Option<f64>,
    /// Hottest that what the turns go round gets, no heat lost; null on a winch.
    pub hottest_c: Option<f64>,
    /// Temperature up to which the line keeps its strength.
    pub line_stands_c: f64,
}

/// One part that could let go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoweringPart {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: String,
    /// Its greatest load at the design quantile.
    pub load_n: f64,
    /// What it may carry; null if that is not known or nothing.
    pub limit_n: Option<f64>,
    /// Load over limit.
    pub share_of_limit: Option<f64>,
    /// What the limit is, or why there is none.
    pub limited_by: String,
    /// Whether it may carry its load.
    pub within: bool,
    /// What is left when it lets go.
    pub left: String,
    /// What the vehicle then does at the worst; null if that is not known.
    pub then: Option<RunAway>,
}

/// A run-away: what the vehicle does once it is let go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RunAway {
    /// Place when it is let go.
    pub from_m: f64,
    /// How it ends: `stays`, `caught`, `line parts`, `tail runs through`, `runs`.
    pub end: String,
    /// Greatest speed.
    pub greatest_speed_m_s: f64,
    /// Speed when a line comes tight; null if none does.
    pub taut_speed_m_s: Option<f64>,
    /// Peak tension in the line that catches; 0 if none does.
    pub peak_force_n: f64,
    /// Way run to standstill; null if it does not stop in sight.
    pub ran_m: Option<f64>,
    /// Way from the line coming tight to standstill; null if it is not caught.
    pub stopping_m: Option<f64>,
    /// Line let through by the device.
    pub slipped_m: f64,
    /// Speed at the end of the way; null if it does not get there.
    pub foot_speed_m_s: Option<f64>,
    /// How far past the end it stops; null if it does not get there, or not stop.
    pub past_foot_m: Option<f64>,
    /// Time to standstill, or to the end of the way if it does not stop.
    pub time_s: f64,
    /// Energy the sums lost or made, over what was put in.
    pub audit_error_share: f64,
    /// Its course.
    pub series: RunAwaySeries,
}

impl RunAway {
    /// Run-out past the way within which a vehicle that does not stop was followed.
    pub const FOLLOWED_M: f64 = steadypull_engine::pull::lowering::run_away::FAR.get();

    /// The speed to tell people: the greatest; of a vehicle that does not stop in
    /// sight, that at the end of the way, since nobody knows what comes after.
    pub fn told_speed_m_s(&self) -> f64 {
        match (self.ran_m, self.foot_speed_m_s) {
            (None, Some(foot)) => foot,
            _ => self.greatest_speed_m_s,
        }
    }
}

/// The course of a run-away; all lists are as long.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RunAwaySeries {
    /// Time from the parting.
    pub time_s: Vec<f64>,
    /// Place.
    pub distance_m: Vec<f64>,
    /// Speed.
    pub speed_m_s: Vec<f64>,
    /// Tension in the line that catches.
    pub force_n: Vec<f64>,
}

/// The belay.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Belay {
    /// Its line.
    pub line: String,
    /// What it is fixed to.
    pub anchor: String,
    /// The casualty's point.
    pub point: String,
    /// Slack kept.
    pub slack_m: f64,
    /// Force at which its device slips; null for a fixed one.
    pub slips_at_n: Option<f64>,
    /// Whether it catches from every place, line, anchor and point all standing.
    pub catches: bool,
    /// That in words.
    pub words: String,
    /// Highest peak on it from any place.
    pub peak_force_n: f64,
    /// What its line may carry in a catch: strength over the policy's factor.
    pub limit_n: f64,
    /// Strength of its line as it is.
    pub strength_n: f64,
    /// What its anchor holds; null if that is not known.
    pub anchor_holds_n: Option<f64>,
    /// What its point may carry; null if that is not known or nothing.
    pub point_limit_n: Option<f64>,
    /// Line needed.
    pub needed_m: f64,
    /// Line there is.
    pub there_is_m: f64,
    /// The worst catch.
    pub worst: RunAway,
    /// Place from which each run-away below starts.
    pub from_m: Vec<f64>,
    /// Peak on the belay in each.
    pub peaks_n: Vec<f64>,
}
