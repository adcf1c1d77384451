//! The winch haul of the `pull` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A winch haul in time with the rig shown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WinchHaul {
    /// What drives it: electric, hydraulic, hand.
    pub drive: String,
    /// Its rated pull on the first layer.
    pub rated_pull_n: f64,
    /// What its figures were filled in from; null if the plan gives them all.
    pub preset: Option<String>,
    /// Its data-plate in words, one line each.
    pub plate: Vec<String>,
    /// The line and the drum it is on.
    pub drum: WinchDrum,
    /// Pull at the casualty over line pull at the winch, friction in.
    pub advantage: f64,
    /// Line hauled in for a metre of casualty movement.
    pub haul_per_metre: f64,
    /// How far the casualty is wanted to move.
    pub distance_m: f64,
    /// The haul against the resistance that a rig is designed for.
    pub design: HaulCourse,
    /// The haul against the median resistance.
    pub median: HaulCourse,
    /// What the answer takes for the winch, with its sources.
    pub model: String,
}

/// The drum with its line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WinchDrum {
    /// Name of the line.
    pub line: String,
    /// Its length.
    pub line_length_m: f64,
    /// Its diameter.
    pub line_diameter_m: f64,
    /// The layer that the plan says is in use; the load path is worked out on it.
    pub layer_planned: u32,
    /// Line paid out when the haul begins.
    pub paid_out_m: f64,
    /// Wraps on the drum then.
    pub wraps_left: f64,
    /// Wraps that stay on the drum whatever happens.
    pub least_wraps: u32,
    /// Most line that can be paid out with those wraps left.
    pub most_paid_out_m: f64,
    /// Line that the drum holds; null where its flanges are not known.
    pub holds_m: Option<f64>,
    /// The layers of the whole line, from the bare drum up.
    pub layers: Vec<WinchLayer>,
}

/// One layer of the drum.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WinchLayer {
    /// Number of the layer, from 1.
    pub layer: u32,
    /// Rated line pull on it.
    pub rated_pull_n: f64,
    /// Line pull at which the winch stalls on it, at the start of the haul.
    pub stall_pull_n: f64,
    /// Line paid out when it is full.
    pub paid_out_when_full_m: f64,
}

/// How a haul ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HaulEnd {
    /// The casualty is where it was wanted.
    Arrived,
    /// More pull was needed than the winch is rated for on the layer.
    Overload,
    /// The winch does not turn.
    Stall,
    /// The anchoring vehicle is drawn towards the casualty.
    Walks,
    /// All line is in.
    LineAllIn,
    /// Too little is left in the battery.
    BatteryFlat,
    /// It takes longer than six hours.
    TooLong,
}

/// One haul from its start to its end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HaulCourse {
    /// Resistance to be overcome, suction with it.
    pub break_out_n: f64,
    /// Resistance once moving.
    pub sliding_n: f64,
    /// Pull at the casualty at which the anchoring vehicle moves instead. Against
    /// the design resistance its hold is taken as low as that is high.
    pub walks_at_n: f64,
    /// How it ended.
    pub end: HaulEnd,
    /// The same in words.
    pub end_words: String,
    /// Movement of the casualty.
    pub movement_m: f64,
    /// Line hauled in.
    pub line_in_m: f64,
    /// Time, rests included.
    pub time_s: f64,
    /// Time spent resting.
    pub resting_s: f64,
    /// Number of rests.
    pub rests: u32,
    /// Time of hauling before the first rest; null if there is none.
    pub first_rest_after_s: Option<f64>,
    /// First layer that winds.
    pub first_layer: u32,
    /// Last layer that winds.
    pub last_layer: u32,
    /// Greatest line pull.
    pub greatest_line_pull_n: f64,
    /// Greatest share used of what the winch may pull on the layer; 1 where it
    /// stops there.
    pub share_of_pull: f64,
    /// Greatest share of the pull at which it would stall.
    pub share_of_stall: f64,
    /// What sets the pull of the layer where most of it was used.
    pub limited_by: String,
    /// Electric winches: current, voltage, heat, battery; null for others.
    pub electric: Option<HaulElectric>,
    /// Greatest pressure of a hydraulic winch; null for others.
    pub greatest_pressure_pa: Option<f64>,
    /// Greatest force on the handle of a hand winch; null for others.
    pub greatest_handle_n: Option<f64>,
    /// What happened when.
    pub events: Vec<super::PullEvent>,
    /// Where the energy went.
    pub energy: HaulEnergy,
    /// The haul in time.
    pub series: HaulSeries,
}

/// What a haul asks of motor and battery.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HaulElectric {
    /// Greatest current.
    pub greatest_current_a: f64,
    /// Least voltage at the winch while it turns; null if it never does.
    pub least_volts_v: Option<f64>,
    /// Hottest winding.
    pub hottest_winding_c: f64,
    /// Temperature at which it rests.
    pub winding_limit_c: f64,
    /// State of charge at the end.
    pub charge_left_share: f64,
    /// State of charge at which a haul is given up.
    pub charge_least_share: f64,
}

/// Where the energy of a haul came from and where it went.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HaulEnergy {
    /// Out of the battery; below 0 if it ends fuller.
    pub battery_j: f64,
    /// Out of the alternator.
    pub alternator_j: f64,
    /// Out of the engine through the pump.
    pub engine_j: f64,
    /// Out of a person.
    pub person_j: f64,
    /// Heat in the battery.
    pub battery_heat_j: f64,
    /// Heat in the cable.
    pub cable_heat_j: f64,
    /// Heat in the winding.
    pub winding_heat_j: f64,
    /// Heat in gear, brake and oil.
    pub gear_heat_j: f64,
    /// Work on the line.
    pub line_j: f64,
    /// Heat in the blocks of the rig.
    pub rig_heat_j: f64,
    /// Work on the casualty.
    pub casualty_j: f64,
    /// What is left over as a share of what passed (ideally 0).
    pub error_share: f64,
}

/// The haul in time; all lists have the same length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HaulSeries {
    /// Time from the start of the haul, rests included.
    pub time_s: Vec<f64>,
    /// Line hauled in.
    pub line_in_m: Vec<f64>,
    /// Movement of the casualty.
    pub movement_m: Vec<f64>,
    /// Layer that winds.
    pub layer: Vec<u32>,
    /// Line pull at the winch; while it rests its brake holds the line loaded.
    pub line_pull_n: Vec<f64>,
    /// Line speed.
    pub line_speed_m_s: Vec<f64>,
    /// Power taken in.
    pub power_in_w: Vec<f64>,
    /// Power on the line.
    pub power_out_w: Vec<f64>,
    /// Current; null unless electric, as are the next three.
    pub current_a: Option<Vec<f64>>,
    /// Voltage at the winch.
    pub volts_v: Option<Vec<f64>>,
    /// Temperature of the winding.
    pub winding_c: Option<Vec<f64>>,
    /// State of charge of the battery.
    pub charge_share: Option<Vec<f64>>,
    /// Pressure; null unless hydraulic.
    pub pressure_pa: Option<Vec<f64>>,
    /// Force on the handle; null unless by hand.
    pub handle_n: Option<Vec<f64>>,
}
