//! `tests read`: each pull with where its numbers come from.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::look::LogGroup;
use super::{Measured, TestSummary};
use crate::answer::Finding;

/// Every pull of a test file, read off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsReadAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The test file in short.
    pub test: TestSummary,
    /// The pulls, in the order of the file.
    pub pulls: Vec<PullRead>,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// One pull.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullRead {
    /// Its name in the test file.
    pub name: String,
    /// Its set-up.
    pub setup: Option<String>,
    /// Where its numbers come from.
    pub log: LogProvenance,
    /// The cell that took it; null where the test file names none.
    pub cell: Option<CellUsed>,
    /// What was odd while the log was read.
    pub mistakes: Vec<LogGroup>,
    /// What is wrong with the load channel as it came.
    pub faults: Vec<LogFault>,
    /// What was done to it, in order.
    pub steps: Vec<CleaningStep>,
    /// Standard deviation of one load at rest, after cleaning.
    pub noise_n: f64,
    /// Load from which a pull was taken for one.
    pub threshold_n: f64,
    /// First and last time of the cleaned record.
    pub record_s: [f64; 2],
    /// What happened, in order of time.
    pub events: Vec<TestEvent>,
    /// The log begins, ends or has a gap while the line is under load.
    pub cut_off: bool,
    /// What its footage shows; null without any.
    pub footage: Option<FootageRead>,
    /// Other pulls, and rebounds, in the same log.
    pub others: Vec<OtherPull>,
    /// The numbers.
    pub readings: PullReadings,
}

/// Where numbers come from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogProvenance {
    /// The log as the test file names it.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Whether the test file gave that hash, and it agreed.
    pub checked: bool,
    /// Its length.
    pub bytes: u64,
    /// The recipe it was read by.
    pub recipe: String,
    /// Rows of the log.
    pub samples: u64,
    /// Samples a second, where the file or its recipe tells it.
    pub rate_hz: Option<f64>,
    /// What the logger's clock showed at time 0.
    pub starts: Option<String>,
    /// The channel of the load.
    pub force_channel: String,
    /// The channel of the stretch.
    pub displacement_channel: Option<String>,
}

/// The cell that took a pull.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CellUsed {
    /// Its name in the test file.
    pub name: String,
    /// What its certificate goes by.
    pub certificate: String,
    /// The copy of it that is kept with the test; null where there is none.
    pub certificate_file: Option<KeptCertificate>,
    /// Day the certificate falls due, as year-month-day.
    pub due: String,
    /// Whether it was due on the day of the test.
    pub overdue: bool,
    /// Greatest load calibrated.
    pub range_n: f64,
}

/// The copy of a certificate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptCertificate {
    /// The file as the test file names it.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Whether the test file gave that hash, and it agreed.
    pub checked: bool,
    /// Its length.
    pub bytes: u64,
}

/// Something wrong with a log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogFault {
    /// A stable word for the kind.
    pub kind: String,
    /// Time it begins; null where the times are none.
    pub from_s: Option<f64>,
    /// Time it ends.
    pub to_s: Option<f64>,
    /// What it is and what it does to the numbers.
    pub says: String,
}

/// One step of cleaning.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CleaningStep {
    /// What was done.
    pub says: String,
    /// Samples before.
    pub samples_before: u64,
    /// Samples after.
    pub samples_after: u64,
}

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TestEventKind {
    /// The line comes tight.
    Taut,
    /// The load is greatest.
    Peak,
    /// The casualty begins to move.
    BreakOut,
    /// Something lets go.
    Parting,
    /// The line is slack again.
    End,
}

/// Who set an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SetBy {
    /// Found in the log.
    Log,
    /// Set by hand in the test file.
    Hand,
}

/// Something that happened at a time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestEvent {
    /// What.
    pub kind: TestEventKind,
    /// When, by the log's clock.
    pub time_s: f64,
    /// Standard uncertainty of that.
    pub uncertainty_s: f64,
    /// Who set it.
    pub set_by: SetBy,
}

/// Another pull in the same log.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherPull {
    /// When its line comes tight.
    pub taut_s: f64,
    /// When it is slack.
    pub end_s: f64,
    /// Its greatest load, roughly.
    pub about_n: f64,
    /// Whether it is a rebound of the one before.
    pub rebound: bool,
}

/// How a point moved in footage, by a smoothing spline through its marks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FootageRead {
    /// The table of marks.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// Its length.
    pub bytes: u64,
    /// Marks.
    pub marks: u32,
    /// From the first mark to the last.
    pub span_s: f64,
    /// Along the known length, from its first end to its second.
    pub along: FootageAxis,
    /// Square to it, in the plane.
    pub across: FootageAxis,
    /// Its clock beside the log's; null where no event of the log is named in it.
    pub clock: Option<FootageClock>,
}

/// The clock of footage beside the log's, from events that both have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FootageClock {
    /// Log time less footage time (from frame 0, by the frame rate as stated).
    pub shift_s: Measured,
    /// Footage time at which it is so.
    pub at_s: f64,
    /// Seconds that the log gains on the footage in a second, by the events alone; null from
    /// one event.
    pub drift_share: Option<Measured>,
    /// The same as taken: as far as the frame rate's uncertainty leaves room for it.
    pub drift_taken_share: f64,
    /// Standard uncertainty of the footage's clock at the worst place of the pull: what its
    /// stretch is read with.
    pub within_pull_s: f64,
    /// Whether the events agree; null from one event, which nothing checks.
    pub agreement: Option<ClockAgreement>,
    /// The events, in order of time.
    pub events: Vec<ClockEvent>,
}

/// Whether events put the footage beside the log in the same way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClockAgreement {
    /// Sum of squares of what is left of the events, each by its uncertainty.
    pub chi_square: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: u32,
    /// Chance that events which agree would differ so much or more.
    pub p: f64,
    /// Whether they are taken to say different times: the uncertainties are then widened.
    pub in_doubt: bool,
}

/// An event that footage and log both have.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClockEvent {
    /// What.
    pub kind: TestEventKind,
    /// The first frame that shows it.
    pub frame: u32,
    /// When the log has it.
    pub log_time_s: f64,
    /// Log time less footage time and shift.
    pub left_s: f64,
    /// Standard uncertainty of that, from frame and log.
    pub uncertainty_s: f64,
}

/// Greatest values along one axis, with their signs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FootageAxis {
    /// Furthest from the first mark.
    pub moved_m: Measured,
    /// Fastest.
    pub speed_m_s: Measured,
    /// Hardest.
    pub acceleration_m_s2: Measured,
}

/// The numbers of a pull.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PullReadings {
    /// Greatest load, with what the filter took off put back.
    pub peak_n: Measured,
    /// Greatest load as the filter class gives it.
    pub peak_as_filtered_n: Measured,
    /// When it was greatest.
    pub peak_time_s: Measured,
    /// From 10 to 90 % of the peak.
    pub rise_s: Measured,
    /// How long the load was above half the peak.
    pub width_s: Measured,
    /// Load over time from taut to end.
    pub impulse_n_s: Measured,
    /// From taut to end.
    pub duration_s: Measured,
    /// Strongest oscillation of the taut line after the break-out, or after the peak where
    /// there is none.
    pub oscillation: OscillationReadings,
    /// What the stretch beside the load tells; null where there is none.
    pub stretch: Option<StretchReadings>,
    /// Why there is none, where a stretch was logged.
    pub no_stretch: Option<String>,
}

/// The strongest oscillation of the load about its slow course.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OscillationReadings {
    /// Start of the window it was looked for in.
    pub from_s: f64,
    /// End of that window: slack, or the parting.
    pub to_s: f64,
    /// How often it swings.
    pub frequency_hz: Measured,
    /// Damping ratio; 1 is critical.
    pub damping_ratio: Measured,
    /// Half the swing at the start of the window.
    pub amplitude_n: Measured,
    /// Frequencies closer together than this look like one; null where the window is empty.
    pub resolution_hz: Option<f64>,
}

/// What the stretch beside the load tells.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StretchReadings {
    /// Greatest stretch from taut.
    pub greatest_m: Measured,
    /// Energy the line took in.
    pub energy_in_j: Measured,
    /// Energy it gave back.
    pub energy_back_j: Measured,
    /// Share it kept.
    pub hysteresis_share: Measured,
    /// Load for a metre more of stretch, on the way up.
    pub stiffness_n_m: Measured,
}

/// The cleaned load of a pull for drawing: least and greatest in each of even parts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsLevels {
    /// Version of the contract.
    pub contract_version: u32,
    /// The pull.
    pub pull: String,
    /// Whether it is the load as cleaned. If not it is the whole log as it came, by its cell's
    /// sensitivity: zero not taken off, nothing filtered, parts of as many samples each.
    pub cleaned: bool,
    /// Start of the first part.
    pub from_s: f64,
    /// End of the last.
    pub to_s: f64,
    /// Least load in each part; null where there is none.
    pub least_n: Vec<Option<f64>>,
    /// Greatest load in each part; null where there is none.
    pub greatest_n: Vec<Option<f64>>,
    /// Whether a sample is missing in the part.
    pub gap: Vec<bool>,
}
