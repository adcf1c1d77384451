//! The answers of the tests area: a log looked at, pulls read, a line fitted, set-ups
//! compared, a day planned.

mod compare;
mod fit;
mod look;
mod plan;
mod read;
mod report;
mod told;

pub use compare::{
    ComparePair, CompareVerdict, Compared, ComparedSetUp, Predicted, TestsCompareAnswer,
    ToleranceLimit,
};
pub use fit::{FitVerdict, FittedLine, FittedParameter, FittedPull, TestsFitAnswer};
pub use look::{
    LogColumn, LogCourse, LogGroup, LookChoice, LookInstead, LookPreviewCell, LookPreviewRow,
    LookSure, TestsLookAnswer,
};
pub use plan::{PlannedPull, Seen, StandoffOfPlan, TestsPlanAnswer};
pub use read::{
    CellUsed, CleaningStep, ClockAgreement, ClockEvent, FootageAxis, FootageClock, FootageRead,
    KeptCertificate, LogFault, LogProvenance, OscillationReadings, OtherPull, PullRead,
    PullReadings, SetBy, StretchReadings, TestEvent, TestEventKind, TestsLevels, TestsReadAnswer,
};
pub use report::{DrawnPull, HashedFile, TestsReport};
pub use told::{axis_unit, fine_length, in_unit};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::AssumedDefault;

/// A test file, or a day file, in short.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestSummary {
    /// Title.
    pub title: String,
    /// Day, as year-month-day; null where none is fixed.
    pub date: Option<String>,
    /// Where.
    pub place: Option<String>,
    /// Seed of every random draw.
    pub seed: u64,
    /// Set-ups that the file describes; none in a day file.
    pub setups: Vec<TestSetUp>,
    /// Defaults that were filled in.
    pub assumed: Vec<AssumedDefault>,
}

/// What was pulled, as the labels of a test file say it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestSetUp {
    /// Its name.
    pub name: String,
    /// The line.
    pub line: Option<String>,
    /// What stands on the label of what was tested.
    pub product: Option<String>,
    /// `new`, `used` or `worn`.
    pub condition: Option<String>,
    /// Wet or dry.
    pub wet: Option<bool>,
    /// Dampers on the line.
    pub dampers: Vec<TestDamper>,
    /// Anything else.
    pub note: Option<String>,
}

/// A damper on a tested line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestDamper {
    /// Its mass.
    pub mass_kg: f64,
    /// Where it hung, as a share of the line from the casualty.
    pub place_share: f64,
}

/// A number with how sure it is. The field that holds it ends in the unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// The number; null where it could not be had.
    pub value: Option<f64>,
    /// Lower end of its interval, which is meant to hold the truth 95 times in 100.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Combined standard uncertainty.
    pub standard_uncertainty: Option<f64>,
    /// Why there is no interval; null where there is one.
    pub no_interval: Option<String>,
    /// What the uncertainty is made of, largest first.
    pub made_of: Vec<Doubt>,
}

/// One doubt about a number.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Doubt {
    /// Where it comes from.
    pub from: String,
    /// Standard uncertainty it brings, in the unit of the number.
    pub standard_uncertainty: f64,
}

/// A reading of a pull by which set-ups can be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TestReading {
    /// Greatest load, N.
    Peak,
    /// Load over time, N s.
    Impulse,
    /// From taut to slack, s.
    Duration,
    /// From 10 to 90 % of the peak, s.
    Rise,
    /// Greatest stretch, m.
    Stretch,
    /// Energy taken in, J.
    EnergyIn,
    /// Energy given back, J.
    EnergyBack,
    /// Share of the energy kept.
    Hysteresis,
    /// Load for a metre more of stretch, N/m.
    Stiffness,
}

impl TestReading {
    /// The words for people.
    pub fn title(self) -> &'static str {
        match self {
            Self::Peak => "peak load",
            Self::Impulse => "impulse",
            Self::Duration => "duration",
            Self::Rise => "rise time",
            Self::Stretch => "greatest stretch",
            Self::EnergyIn => "energy taken in",
            Self::EnergyBack => "energy given back",
            Self::Hysteresis => "share of energy kept",
            Self::Stiffness => "dynamic stiffness",
        }
    }

    /// SI unit; `1` for a share.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Peak => "N",
            Self::Impulse => "N s",
            Self::Duration | Self::Rise => "s",
            Self::Stretch => "m",
            Self::EnergyIn | Self::EnergyBack => "J",
            Self::Hysteresis => "1",
            Self::Stiffness => "N/m",
        }
    }
}
