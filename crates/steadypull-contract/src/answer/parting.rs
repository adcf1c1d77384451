//! A part of a rig laid out on the ground that could part.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Side;
use super::flying::{BreakPlace, HazardousWay, Strike, Whip};

/// A part lets go. Places are in the plan's own frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Parting {
    /// The part's name in the plan.
    pub part: String,
    /// What it is.
    pub what: String,
    /// Where in the rig, by the names of its neighbours.
    pub at: String,
    /// Where that is.
    pub x_m: f64,
    /// Where that is.
    pub y_m: f64,
    /// Height in the plan's frame.
    pub z_m: f64,
    /// Its load when it lets go.
    pub load_n: f64,
    /// Energy that comes free.
    pub released_energy_j: f64,
    /// The runs that go slack.
    pub freed: Vec<FreedRun>,
    /// What is left holding the casualty, in words.
    pub holding: String,
    /// Runs that can still carry load.
    pub runs_left: Vec<String>,
    /// Runs that still hold the casualty; empty when nothing does.
    pub casualty_held_by: Vec<String>,
    /// Slack that runs out before they do, where it is known.
    pub slack_m: Option<f64>,
    /// What flies, most energetic first.
    pub flights: Vec<Flight>,
    /// To which sides things fly, in words.
    pub side: String,
    /// Energy of the most energetic flight as it leaves, over the injury criterion.
    pub times_injury: f64,
}

/// A run that goes slack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FreedRun {
    /// Its name in the plan.
    pub run: String,
    /// Its greatest tension before.
    pub tension_n: f64,
    /// Energy that it gives back.
    pub energy_j: f64,
}

/// Something that flies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Flight {
    /// What, in words.
    pub what: String,
    /// A block, ring or join thrown by the lines left on it, as against an end of line.
    pub thrown: bool,
    /// Mass of the hardware; 0 for a bare end of line.
    pub mass_kg: f64,
    /// From where.
    pub from_x_m: f64,
    /// From where.
    pub from_y_m: f64,
    /// Direction in which it leaves, anticlockwise from the frame's x axis.
    pub heading_deg: f64,
    /// How steeply it leaves upwards.
    pub climb_deg: f64,
    /// Greatest speed.
    pub speed_m_s: f64,
    /// Energy of the hardware then, or of the last half metre of a bare end.
    pub energy_j: f64,
    /// Whether speed and energy are upper bounds, as against worked out in time.
    pub upper_bound: bool,
    /// Where it first touches the ground if it comes off the line.
    pub lands_x_m: Option<f64>,
    /// Where it first touches the ground if it comes off the line.
    pub lands_y_m: Option<f64>,
    /// How far from where it let go it could skip and slide in all.
    pub runs_on_m: Option<f64>,
    /// The vehicle at which its line ends, if it strikes that.
    pub strikes_vehicle: Option<Side>,
    /// The strike, if it comes off the line at its greatest speed; its `side_m` is to
    /// the left of its own way.
    pub strike: Option<Strike>,
    /// For the tail of a line that parts inside: how far along the line, at rest, from
    /// its end that its run comes to first; the worst of the places tried.
    pub inside_at_m: Option<f64>,
    /// The places along the line that were tried; empty where it does not part inside.
    pub places: Vec<BreakPlace>,
    /// The crack of the tail; null for what is thrown, for an upper bound, and where the
    /// run did not come so far.
    pub whip: Option<Whip>,
    /// Stretches of its way on its line over the injury criteria; empty for what is
    /// thrown and for an upper bound.
    pub hazardous: Vec<HazardousWay>,
    /// The same if it comes off the line at its greatest speed, flight and slide.
    pub hazardous_off_line: Vec<HazardousWay>,
    /// To which side, in words.
    pub side: String,
}
