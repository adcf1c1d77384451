//! What `steadypull chance` answers: a recovery under everything that is not known.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Finding, MethodName, Outline, PlanPoint, PlanSummary};

/// A recovery under everything that is not known: how likely it is to work and to
/// break, what breaks first, how far things fly, and what drives all that.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Chance {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan in short, and every default that was filled in.
    pub plan: PlanSummary,
    /// One line, such as `Do not pull with this rig`.
    pub headline: String,
    /// What an instructor reads first, one sentence each.
    pub summary: Vec<String>,
    /// What the study is of.
    pub studied: ChanceStudied,
    /// The method studied; null of a plan without a rig.
    pub method: Option<MethodName>,
    /// Its rig: the parts in order from the casualty; empty without one.
    pub rig: Vec<String>,
    /// Whether the tool proposed the rig.
    pub proposed: bool,
    /// Whether the casualty is dug out first, as the verdict on the method assumes.
    pub dug_first: bool,
    /// Wanted speed of the tug when the line comes taut; null unless it is a kinetic pull.
    pub run_up_m_s: Option<f64>,
    /// How many draws were made and how sure they are.
    pub sample: ChanceSample,
    /// That the casualty moves before anything lets go: it breaks out under a steady
    /// pull, or comes as far as asked in one kinetic pull. Null of a lowering (see
    /// `lowering`) and of a plan without a rig (see `by_method`).
    pub moves: Option<ChanceProbability>,
    /// The lowering; null of anything else.
    pub lowering: Option<ChanceLowering>,
    /// Of a plan without a rig: the methods that the tug alone decides; else empty.
    pub by_method: Vec<ChanceMethod>,
    /// That a part passes its working load limit, after reductions; null where no part
    /// has one.
    pub passes_wll: Option<ChanceProbability>,
    /// That a part lets go; null where no part has a stated strength.
    pub lets_go: Option<ChanceProbability>,
    /// The same with the strengths not drawn but reckoned whole, as the laws they follow,
    /// for the load of each draw: much finer where it is rare.
    pub lets_go_reckoned: Option<ReckonedChance>,
    /// That each part is the first to go, likeliest first.
    pub first_to_go: Vec<FirstToGo>,
    /// Parts whose strength is not stated: they are not counted among what lets go.
    pub strength_not_stated: Vec<String>,
    /// Resistance to be overcome; null for a casualty that is held fast, and of a
    /// lowering.
    pub resistance_n: Option<Quantiles>,
    /// The same once dug out; of a plan without a rig, else null.
    pub resistance_dug_n: Option<Quantiles>,
    /// What the method can bring to bear at the casualty; null for a kinetic pull, of a
    /// lowering and of a plan without a rig.
    pub brings_n: Option<Quantiles>,
    /// Greatest pull at the casualty; it stops where a part lets go. Null of a plan
    /// without a rig.
    pub peak_n: Option<Quantiles>,
    /// Movement in one kinetic pull; null for a steady pull.
    pub movement_m: Option<Quantiles>,
    /// Greatest load over working load limit of all parts that have one, a share.
    pub share_of_wll: Option<Quantiles>,
    /// Greatest load over breaking strength of all parts that have one, a share.
    pub share_of_mbs: Option<Quantiles>,
    /// If a part lets go, each as likely; null where nothing flies.
    pub if_a_part_lets_go: Option<ChanceFlight>,
    /// If a part lets go, thing by thing, the most energetic first.
    pub flights: Vec<ChanceFlight>,
    /// Where nobody stands.
    pub zone: ChanceZone,
    /// What drives the answer: one list a result.
    pub drivers: Vec<Drivers>,
    /// Everything that was drawn, with what it may be and why.
    pub variables: Vec<ChanceVariable>,
    /// What cannot be said, and why.
    pub not_said: Vec<String>,
    /// What to know about these numbers.
    pub notes: Vec<String>,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// What a study is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChanceStudied {
    /// A pull by a rig.
    Pull,
    /// A lowering.
    Lowering,
    /// A plan without a rig: what the tug alone decides.
    NoRig,
}

/// A lowering by chance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceLowering {
    /// That the vehicle is held all the way down: the holder and what it is fixed to
    /// hold the greatest pull, and no part lets go before.
    pub held: ChanceProbability,
    /// Greatest pull that holding it asks for, at the vehicle.
    pub asked_n: Quantiles,
    /// Pull at the vehicle that the holder, and anchors that give way slowly, can hold.
    pub can_hold_n: Quantiles,
    /// Greatest speed if the main line lets go anywhere on the way with nothing to
    /// catch it; of a vehicle that does not stop in sight, that at the end of the way.
    pub loose_m_s: Quantiles,
    /// The belay, if the main line lets go anywhere on the way; null if there is none.
    pub belay: Option<ChanceBelay>,
}

/// A belay by chance, given that the main line lets go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceBelay {
    /// That its line and device stop the vehicle.
    pub stops: ChanceProbability,
    /// That its anchor and its point hold the peak too; null where what one of them
    /// holds is not stated.
    pub holds: Option<ChanceProbability>,
    /// Peak tension in it.
    pub peak_n: Quantiles,
}

/// A method that the tug alone decides, of a plan without a rig.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceMethod {
    /// The method.
    pub method: MethodName,
    /// Whether the casualty is dug out first.
    pub dug_first: bool,
    /// That what the tug brings is at least the resistance.
    pub moves: ChanceProbability,
    /// What it brings to bear at the casualty.
    pub brings_n: Quantiles,
}

/// How many draws were made and how sure they are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceSample {
    /// Seed of every draw; the same seed and count give the same answer to the bit.
    pub seed: u64,
    /// Draws of everything that was worked out.
    pub draws: u64,
    /// Further draws that change one group of inputs at a time, for the drivers.
    pub draws_for_drivers: u64,
    /// Let-go runs behind the flights and the zone.
    pub let_go_runs: u64,
    /// Draws and let-go runs that failed and are not in the numbers (ideally 0).
    pub failed: u64,
    /// Confidence of every interval in this answer, a probability.
    pub confidence: f64,
    /// Error asked for: half the width of the intervals, a share. Null for a fixed count.
    pub error_asked: Option<f64>,
    /// The greatest half width of the intervals of the probabilities it stops by: that it
    /// works, that a part passes its WLL, that one lets go; of a lowering that the belay
    /// holds; without a rig each method's.
    pub error_of_probabilities: f64,
    /// The greatest half width of the intervals of the greatest pull and of the reach
    /// at the policy's quantiles, as a share of them; null where the draws do not bound
    /// one of them.
    pub error_of_quantiles: Option<f64>,
    /// Why it stopped.
    pub stopped: StoppedBy,
}

/// Why a study stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StoppedBy {
    /// The count asked for was reached.
    Count,
    /// The error asked for was reached.
    Error,
    /// The most draws allowed were made before the error asked for was reached.
    MostDraws,
    /// It was interrupted.
    Interrupt,
}

/// A probability with its sampling interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceProbability {
    /// Share of draws in which it happened.
    pub estimate: f64,
    /// Low end of the interval.
    pub low: f64,
    /// High end of the interval: above nothing even where it never happened.
    pub high: f64,
    /// Draws in which it happened.
    pub hits: u64,
    /// Draws.
    pub draws: u64,
}

/// A probability as the mean of what each draw leaves open, with its sampling interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReckonedChance {
    /// As found.
    pub estimate: f64,
    /// Low end of the interval.
    pub low: f64,
    /// High end of the interval.
    pub high: f64,
}

/// A part and how likely it is to be the first to go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FirstToGo {
    /// Name of the part.
    pub part: String,
    /// That it is the first to be exceeded.
    pub probability: ChanceProbability,
}

/// Quantiles of a result, in the unit that its field's name ends in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Quantiles {
    /// The quantiles, rising: 5 %, the middle, 95 % and the policy's.
    pub at: Vec<QuantileAt>,
    /// Draws behind them.
    pub draws: u64,
}

/// One quantile with its sampling interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct QuantileAt {
    /// Share of draws that stay at or under it.
    pub level: f64,
    /// Its value, in the unit of the result.
    pub value: f64,
    /// Low end of the interval; null where so few draws do not bound it.
    pub low: Option<f64>,
    /// High end of the interval; null where so few draws do not bound it.
    pub high: Option<f64>,
}

/// What a let-go is like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceFlight {
    /// What flies.
    pub what: String,
    /// Parts that leave it to fly if they let go.
    pub parts: Vec<String>,
    /// Speed of the hardware: as it passes the far recovery point of a straight rig
    /// (0 where it never does), as it leaves on a rig laid out on the ground.
    pub speed_m_s: Quantiles,
    /// Its energy there.
    pub energy_j: Quantiles,
    /// Greatest distance from the nearest line at which anything is or first comes down.
    pub reach_m: Quantiles,
    /// What it does to the vehicle that it flies to; null where it flies to none, or
    /// where that is not worked out.
    pub at_vehicle: Option<ChanceStrikes>,
}

/// What flying things do to the vehicle that they fly to: hardware or bare end on its
/// line (off it, where it misses on it), the tail behind it, every damper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceStrikes {
    /// That anything strikes the vehicle.
    pub strikes: ChanceProbability,
    /// That anything strikes its screen: glass, or a raised bonnet before it, which is
    /// never counted on.
    pub strikes_screen: ChanceProbability,
    /// That anything arrives there (strikes it, or passes it) over the injury criterion.
    pub over_injury: ChanceProbability,
    /// That criterion, by the policy.
    pub injury_energy_j: f64,
    /// Height of the hardest strike on the screen; null where none struck it.
    pub screen_height_m: Option<Quantiles>,
    /// Its energy; null where none struck it.
    pub screen_energy_j: Option<Quantiles>,
    /// Of the let-gos that strike the screen behind a guard of a stated rating: that it
    /// holds by that rating. Null where no such guard was struck.
    pub guard_holds: Option<ChanceProbability>,
}

/// The standoff zone by chance, in plan, to scale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceZone {
    /// Quantile of the zone, by the policy.
    pub quantile: f64,
    /// The rule distance; the zone is nowhere smaller.
    pub rule_m: f64,
    /// The rule in words, with its source.
    pub rule: String,
    /// Corners of the zone, anticlockwise: nobody inside while the line is loaded. Of
    /// each thing that could fly the stated share of draws stays inside along every ray.
    pub corners: Vec<PlanPoint>,
    /// Corners of the inner edge of its sampling band.
    pub inner: Vec<PlanPoint>,
    /// Corners of the outer edge of its sampling band.
    pub outer: Vec<PlanPoint>,
    /// Corners of the rule's share of it.
    pub rule_corners: Vec<PlanPoint>,
    /// Where things come down at several quantiles, rising, whatever the rule; those
    /// that so few draws cannot tell are left out.
    pub contours: Vec<ZoneContour>,
    /// Whether it passes the rule anywhere.
    pub computed_governs: bool,
    /// Greatest distance of its edge from the nearest line.
    pub furthest_m: f64,
    /// The same for the inner edge of its band.
    pub furthest_inner_m: f64,
    /// The same for the outer edge of its band.
    pub furthest_outer_m: f64,
    /// Share of the directions in which the band passes the rule that so few runs do not
    /// bound from outside: the band is open there.
    pub open_share: f64,
    /// Distance of the edge from the casualty's recovery point, straight back from the
    /// tug; null for a rig laid out on the ground.
    pub behind_casualty_m: Option<f64>,
    /// Distance of the edge from the tug's recovery point, straight back from the
    /// casualty; null for a rig laid out on the ground.
    pub behind_tug_m: Option<f64>,
    /// Greatest distance to either side of the line; null for a rig laid out on the
    /// ground.
    pub beside_m: Option<f64>,
    /// The vehicles, lines, dampers and blocks to scale.
    pub outlines: Vec<Outline>,
}

/// A contour of the zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ZoneContour {
    /// Its quantile.
    pub quantile: f64,
    /// Its corners, anticlockwise.
    pub corners: Vec<PlanPoint>,
}

/// What drives one result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drivers {
    /// The result, in words.
    pub result: String,
    /// Draws behind the shares.
    pub draws: u64,
    /// Groups of inputs, the largest total first; empty where the result does not vary.
    pub drivers: Vec<Driver>,
}

/// The share of a group of inputs in the spread of a result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Driver {
    /// The inputs.
    pub what: String,
    /// Share of the variance that goes with these inputs alone (first order); may come
    /// out a little under 0 by sampling error.
    pub alone: f64,
    /// Low end of its interval.
    pub alone_low: f64,
    /// High end of its interval.
    pub alone_high: f64,
    /// Share of the variance that would be left if all others were known (total
    /// effect): alone, and together with others.
    pub total: f64,
    /// Low end of its interval.
    pub total_low: f64,
    /// High end of its interval.
    pub total_high: f64,
}

/// One uncertain input.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceVariable {
    /// Key in the plan file, or a short name of the model's own.
    pub key: String,
    /// What it is.
    pub what: String,
    /// The group whose share in the results it counts to.
    pub group: String,
    /// The law it follows, in words.
    pub law: String,
    /// Unit of the three values, SI; empty for a plain number or a share.
    pub unit: String,
    /// 5 % of draws are at or under it, in its unit.
    pub low: f64,
    /// The middle, in its unit.
    pub median: f64,
    /// 95 % of draws are at or under it, in its unit.
    pub high: f64,
    /// Where this comes from.
    pub source: String,
    /// Whether it is an assumption of this project.
    pub assumed: bool,
}
