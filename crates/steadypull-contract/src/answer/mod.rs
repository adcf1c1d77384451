//! The answer: the documented JSON contract.
//!
//! Top-level fields are the tool's areas. Every number's field ends in its
//! unit; shares and probabilities are plain ratios from 0 to 1 (a share of a
//! rating may pass 1). Optional fields are `null` when there is nothing to
//! say. Coordinates: x runs from the casualty's recovery point (0) towards the
//! tug along the ground, y to the left of x, z up. For a rig laid out on the
//! ground they are those of the plan file.

mod anchors;
mod chance;
mod convergence;
mod dampers;
mod flying;
mod let_go;
mod load_path;
mod lowering;
mod options;
mod parting;
mod pull;
mod rig;
mod situation;
mod standoff;
mod test_day;
mod tether;
mod winch;

pub use anchors::{AnchorHold, AnchorKind};
pub use chance::{
    Chance, ChanceBelay, ChanceFlight, ChanceLowering, ChanceMethod, ChanceProbability,
    ChanceSample, ChanceStrikes, ChanceStudied, ChanceVariable, ChanceZone, Driver, Drivers,
    FirstToGo, QuantileAt, Quantiles, ReckonedChance, StoppedBy, ZoneContour,
};
pub use convergence::{ConvergedCase, Convergence, ConvergenceLevel};
pub use dampers::{
    AdviceHolds, ArrivalEnergies, DamperChoice, DamperDesign, DamperWish, DesignAccuracy,
    EnergySpread, GripPoint, HungDamper, LoadPoint, MassCurve, MassPoint, OtherLink, PlacePoint,
    UsualSetUp,
};
pub use flying::{
    BodyFace, BreakPlace, FaceStruck, FlyingSide, FlyingSort, FlyingThing, Hazardous, HazardousWay,
    Meeting, Passes, Shield, SnapBack, Strike, Whip,
};
pub use let_go::{Arrival, DamperFlight, EnergyAt, FlightPath, LetGo, LetGoCase, TetherOutcome};
pub use load_path::{Derating, Link, LinkKind, LinkState, LoadPath, Side};
pub use lowering::{
    Belay, Lowering, LoweringPart, LoweringSeries, PayOut, Rocking, RunAway, RunAwaySeries,
    WayPoint,
};
pub use options::{LinkLoad, Options, Rung, RungRisks, RungVerdict};
pub use parting::{Flight, FreedRun, Parting};
pub use pull::{
    AskedChances, EnergyAudit, KineticPull, LimitChance, Probability, Pull, PullChances, PullEvent,
    PullSeries, RepeatPull, RunUpWindow, SpeedChances, SpeedStands, WindowPoint,
};
pub use rig::{RigMotion, RigNode, RigNodeKind, RigPart, RigRun, RigState};
pub use situation::{ForceRange, Situation, Term, TugAbility};
pub use standoff::{DangerArea, Outline, Place, PlanPoint, Standoff};
pub use test_day::{
    CellUsed, CleaningStep, ClockAgreement, ClockEvent, ComparePair, CompareVerdict, Compared,
    ComparedSetUp, Doubt, DrawnPull, FitVerdict, FittedLine, FittedParameter, FittedPull,
    FootageAxis, FootageClock, FootageRead, HashedFile, KeptCertificate, LogColumn, LogCourse,
    LogFault, LogGroup, LogProvenance, LookChoice, LookInstead, LookPreviewCell, LookPreviewRow,
    LookSure, Measured, OscillationReadings, OtherPull, PlannedPull, Predicted, PullRead,
    PullReadings, Seen, SetBy, StandoffOfPlan, StretchReadings, TestDamper, TestEvent,
    TestEventKind, TestReading, TestSetUp, TestSummary, TestsCompareAnswer, TestsFitAnswer,
    TestsLevels, TestsLookAnswer, TestsPlanAnswer, TestsReadAnswer, TestsReport, ToleranceLimit,
    axis_unit, fine_length, in_unit,
};
pub use tether::{TetherCell, TetherDesign, TetherFit, TetherPoint, TetherWish};
pub use winch::{
    HaulCourse, HaulElectric, HaulEnd, HaulEnergy, HaulSeries, WinchDrum, WinchHaul, WinchLayer,
};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of this contract; it rises when a field changes meaning or goes.
pub const CONTRACT_VERSION: u32 = 1;

/// Everything the tool says about one plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The plan in short, and every default that was filled in.
    pub plan: PlanSummary,
    /// The answer in a few sentences.
    pub verdict: Verdict,
    /// How hard the casualty is stuck.
    pub situation: Situation,
    /// Every method, least hazardous first.
    pub options: Options,
    /// The load in every link from casualty to tug.
    pub load_path: LoadPath,
    /// A rig laid out on the ground under the same load; null for a straight rig.
    pub rig: Option<RigState>,
    /// What a kinetic pull would do.
    pub pull: Pull,
    /// What comes back if a part lets go.
    pub let_go: LetGo,
    /// How far back people stand.
    pub standoff: Standoff,
    /// Lowering the casualty down a slope; null if the plan has none.
    pub lowering: Option<Lowering>,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// The plan in short.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanSummary {
    /// Title of the plan.
    pub title: String,
    /// Where it happens.
    pub place: Option<String>,
    /// Name of the casualty.
    pub casualty: String,
    /// Name of the tug.
    pub tug: String,
    /// Mass of the casualty as it stands.
    pub casualty_mass_kg: f64,
    /// Mass of the tug as it stands.
    pub tug_mass_kg: f64,
    /// People with a task.
    pub crew: u32,
    /// People without a task.
    pub bystanders: u32,
    /// Seed of every random draw.
    pub seed: u64,
    /// What the plan says, as read, one line each (`casualty mass 2600 kg`).
    pub inputs: Vec<String>,
    /// Defaults that were filled in.
    pub assumed: Vec<AssumedDefault>,
    /// Inputs given as a range or a distribution; this answer uses their middle.
    pub spreads: Vec<SpreadInput>,
    /// Lines that were measured in tests, from the line files that the plan names.
    pub tested: Vec<LineFromTests>,
}

/// A line that was measured in tests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineFromTests {
    /// Its name in the plan.
    pub line: String,
    /// The line file that the plan names.
    pub file: String,
    /// SHA-256 of the line file.
    pub sha256: String,
    /// Title of the tests.
    pub title: String,
    /// Day of the tests.
    pub date: String,
    /// Where they were made.
    pub place: Option<String>,
    /// Whether it was tested wet: what water takes off is in its curve.
    pub wet: bool,
    /// Its condition as tested (`new`, `used`, `worn`), null if not said; what that takes off
    /// is in its curve, and not in its strength.
    pub condition: Option<String>,
    /// Pulls that it rests on.
    pub pulls: u32,
    /// Share of its breaking strength up to which there is data; above, its curve goes
    /// straight on.
    pub data_to_share: f64,
    /// Whether the pulls can tell its parameters apart.
    pub verdict: FitVerdict,
    /// The same in a sentence, with what to do.
    pub says: String,
    /// Keys that were held in the fit, and so not measured.
    pub held: Vec<String>,
    /// Load cells whose certificate had run out on the day of the tests.
    pub overdue: Vec<String>,
    /// Pulls whose loads no certificate vouches for.
    pub pulls_without_cell: u32,
    /// Whether its numbers are drawn together, as they lean on one another in the tests;
    /// false where the line file does not say how, and each is drawn by itself.
    pub drawn_together: bool,
    /// How the intervals were made, in words.
    pub method: String,
    /// Program and version that made the fit.
    pub program: String,
}

/// An input given as a range or a distribution.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpreadInput {
    /// Key in the plan file.
    pub key: String,
    /// As the plan file writes it.
    pub text: String,
    /// What this answer uses instead, in SI with its unit.
    pub middle: String,
}

/// A default that was filled in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AssumedDefault {
    /// Key in the plan file.
    pub key: String,
    /// Value taken, with its unit.
    pub value: String,
    /// Why this value.
    pub reason: String,
}

/// The answer in a few sentences.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Verdict {
    /// One line, such as `Do not pull with this rig`.
    pub headline: String,
    /// Whether the rig as planned (or proposed) is within policy.
    pub within_policy: bool,
    /// The method to use first; null when none works.
    pub first_method: Option<MethodName>,
    /// The methods in the order to try them.
    pub sequence: Vec<MethodName>,
    /// Reasons, most important first.
    pub reasons: Vec<String>,
}

/// A method of recovery, least hazardous first.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum MethodName {
    /// Clear obstacles and dig, then drive out.
    ClearAndDig,
    /// Air down and lay traction boards, then drive out.
    AirDownAndBoards,
    /// Steady tow on a low-stretch line.
    SteadyTow,
    /// Winch, single part of line.
    WinchSingle,
    /// Winch through a block, several parts of line.
    WinchMulti,
    /// Kinetic pull.
    Kinetic,
    /// Lower the casualty down a slope.
    Lower,
}

impl MethodName {
    /// Whether a winch hauls.
    pub(crate) fn hauls(self) -> bool {
        matches!(self, Self::WinchSingle | Self::WinchMulti)
    }

    /// The words for people.
    pub fn title(self) -> &'static str {
        match self {
            Self::ClearAndDig => "Clear and dig",
            Self::AirDownAndBoards => "Air down and boards",
            Self::SteadyTow => "Steady tow",
            Self::WinchSingle => "Winch, single line",
            Self::WinchMulti => "Winch, multi-part line",
            Self::Kinetic => "Kinetic pull",
            Self::Lower => "Lower down the slope",
        }
    }
}

/// How bad a finding is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Needs a decision before the pull.
    Warning,
    /// The pull must not go ahead like this.
    Critical,
}

/// One thing noticed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// A stable word for the kind of finding.
    pub code: String,
    /// What it is about.
    pub subject: String,
    /// What is so.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// The published source, or `common practice`.
    pub source: String,
}

impl Answer {
    /// Whether anything is pulled: not where a plan only lowers.
    pub fn pulls(&self) -> bool {
        let path = &self.load_path;
        self.lowering.is_none()
            || path.method.is_some_and(|m| m != MethodName::Lower) && !path.links.is_empty()
    }

    /// Whether any finding says that the pull must not go ahead like this.
    pub fn has_critical(&self) -> bool {
        self.findings
            .iter()
            .any(|f| f.severity == Severity::Critical)
    }
}
