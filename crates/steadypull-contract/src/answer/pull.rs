//! The `pull` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a kinetic pull would do, and a haul by winch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pull {
    /// The kinetic pull; null when no kinetic rig can be put together.
    pub kinetic: Option<KineticPull>,
    /// Why there is none, if there is none.
    pub missing: Option<String>,
    /// The winch haul; null unless the rig shown is hauled by a winch.
    pub winch: Option<super::WinchHaul>,
}

/// A kinetic pull in time, at the design resistance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KineticPull {
    /// Name of the kinetic line.
    pub line: String,
    /// Rest length of the whole path of line.
    pub rest_length_m: f64,
    /// Speed of the tug when the line comes taut.
    pub run_up_speed_m_s: f64,
    /// Whether the plan gave that speed (else the window's middle or its limit).
    pub run_up_planned: bool,
    /// Slack laid out.
    pub slack_m: f64,
    /// Peak tension.
    pub peak_force_n: f64,
    /// Peak tension if the casualty does not move at all.
    pub peak_force_fixed_n: f64,
    /// Greatest stretch.
    pub stretch_m: f64,
    /// Greatest stretch over rest length.
    pub stretch_share: f64,
    /// Energy stored in the line at the peak.
    pub stored_energy_j: f64,
    /// How far the casualty moved.
    pub movement_m: f64,
    /// Whether it moved 1 m, or as far as frees it if that is less: a kinetic pull
    /// works in a row of gentle pulls.
    pub shifted: bool,
    /// Greatest acceleration of the casualty and the people in it.
    pub casualty_peak_acceleration_m_s2: f64,
    /// Greatest deceleration of the tug and the people in it.
    pub tug_peak_deceleration_m_s2: f64,
    /// What happened when.
    pub events: Vec<PullEvent>,
    /// Where the energy went.
    pub audit: EnergyAudit,
    /// The pull in time.
    pub series: PullSeries,
    /// Run-up speeds between shifting it and overloading something.
    pub window: RunUpWindow,
    /// The same pull again and again, the line keeping its set.
    pub repeats: Vec<RepeatPull>,
    /// Chances at this run-up speed.
    pub chances: PullChances,
    /// The same with their sampling intervals, and where the speed stands.
    pub at_run_up: SpeedChances,
    /// What the answer takes for the line, with its source.
    pub line_model: String,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullEvent {
    /// When, from the start of the run.
    pub time_s: f64,
    /// What: taut, break-out, peak, slack, casualty stops, tug stops, parts.
    pub what: String,
}

/// Where the energy went.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyAudit {
    /// Run-up energy, work of the drive and of gravity.
    pub put_in_j: f64,
    /// Kinetic energy at the end.
    pub kinetic_j: f64,
    /// Energy still in the line at the end.
    pub stored_j: f64,
    /// Energy turned to heat in ground, line and tyres.
    pub dissipated_j: f64,
    /// What is left over as a share of what was put in (ideally 0).
    pub error_share: f64,
}

/// The pull in time; all lists have the same length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullSeries {
    /// Time from the start of the run.
    pub time_s: Vec<f64>,
    /// Tension.
    pub force_n: Vec<f64>,
    /// Stretch beyond rest length (0 while slack).
    pub stretch_m: Vec<f64>,
    /// Speed of the tug.
    pub tug_speed_m_s: Vec<f64>,
    /// Speed of the casualty.
    pub casualty_speed_m_s: Vec<f64>,
    /// Movement of the casualty.
    pub casualty_movement_m: Vec<f64>,
}

/// Run-up speeds between shifting it and overloading something.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RunUpWindow {
    /// Least speed that shifts the casualty with the wanted probability; null when none does.
    pub least_m_s: Option<f64>,
    /// Greatest speed that keeps every link and person inside policy; null when none does.
    pub greatest_m_s: Option<f64>,
    /// Whether nothing is left between them.
    pub empty: bool,
    /// Which link, person or rule sets the greatest speed.
    pub limited_by: String,
    /// In words: the window, or what closes it.
    pub words: String,
    /// How the greatest speed is set, in words.
    pub limited_how: String,
    /// Slowest speed that is in the window whatever the sampling error; null when none is.
    pub sure_least_m_s: Option<f64>,
    /// Fastest such speed; null when none is.
    pub sure_greatest_m_s: Option<f64>,
    /// Slowest speed that the sampling error does not rule out; null when it rules out all.
    pub possible_least_m_s: Option<f64>,
    /// Fastest such speed; null when it rules out all.
    pub possible_greatest_m_s: Option<f64>,
    /// What would open an empty window; null when it is open.
    pub opened_by: Option<String>,
    /// What policy asks of the chances.
    pub asked: AskedChances,
    /// Peak tension and movement against speed, at the design resistance.
    pub curve: Vec<WindowPoint>,
    /// Chances against speed, from standstill to past the rule and the plan.
    pub chances: Vec<SpeedChances>,
}

/// What policy asks of the chances of a pull.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedChances {
    /// Least probability that it shifts.
    pub shifts: f64,
    /// Greatest probability that a part passes its working load limit.
    pub passes_wll: f64,
    /// Greatest probability that a part lets go.
    pub lets_go: f64,
    /// Greatest probability that any one other limit of policy is passed: what a link
    /// may carry, how hard the people in the tug are braked.
    pub past_limit: f64,
}

/// A probability and its 90 % sampling interval: of the number of runs alone, not of
/// what the model leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Probability {
    /// As found.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// Chances at one run-up speed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpeedChances {
    /// Run-up speed planned; the speed as driven varies about it.
    pub speed_m_s: f64,
    /// That the casualty moves as far as asked.
    pub shifts: Probability,
    /// That a part passes its working load limit.
    pub passes_wll: Probability,
    /// That a part lets go.
    pub lets_go: Probability,
    /// That any other limit of policy is passed, for each by name.
    pub past_limits: Vec<LimitChance>,
    /// Where the speed stands.
    pub stands: SpeedStands,
}

/// Chance that a limit of policy is passed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LimitChance {
    /// Name of the link, or `people in the tug`.
    pub name: String,
    /// That its limit is passed.
    pub passes: Probability,
}

/// Where a run-up speed stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpeedStands {
    /// Does not shift it as policy asks.
    TooSlow,
    /// In the window, whatever the sampling error.
    Inside,
    /// In the window, but nearer to an end than sampling can tell.
    Close,
    /// Past a limit of policy.
    TooFast,
    /// Does not shift it as asked, and is past a limit all the same.
    TooSlowAndTooFast,
}

impl SpeedStands {
    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::TooSlow => "too slow",
            Self::Inside => "in the window",
            Self::Close => "just in",
            Self::TooFast => "TOO FAST",
            Self::TooSlowAndTooFast => "NEITHER",
        }
    }
}

/// One speed of the window's curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WindowPoint {
    /// Run-up speed.
    pub speed_m_s: f64,
    /// Peak tension.
    pub peak_force_n: f64,
    /// Movement of the casualty at the resistance met with the wanted probability.
    pub movement_m: f64,
}

/// One of a row of pulls.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RepeatPull {
    /// Number of the pull, from 1.
    pub number: u32,
    /// Peak tension.
    pub peak_force_n: f64,
    /// Movement of the casualty in this pull.
    pub movement_m: f64,
    /// Length the line has not taken back before this pull.
    pub set_m: f64,
}

/// Chances at the run-up speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullChances {
    /// That the casualty moves as far as asked.
    pub shifts: f64,
    /// That some link passes its working load limit.
    pub passes_wll: f64,
    /// That some link lets go.
    pub parts: f64,
    /// Number of samples behind these.
    pub samples: u32,
}
