//! `tests fit`: a line fitted to pulls.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Measured, TestSummary};
use crate::answer::Finding;

/// Every line that a test file asks to be fitted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestsFitAnswer {
    /// Version of the contract.
    pub contract_version: u32,
    /// The test file in short.
    pub test: TestSummary,
    /// The lines.
    pub lines: Vec<FittedLine>,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// One line fitted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FittedLine {
    /// Its name.
    pub name: String,
    /// Material, as a plan file writes it.
    pub material: String,
    /// Rest length as new.
    pub length_m: f64,
    /// Breaking strength that the curve is scaled by; stated, not fitted.
    pub mbs_n: f64,
    /// The pulls it rests on.
    pub pulls: Vec<FittedPull>,
    /// The parameters.
    pub parameters: Vec<FittedParameter>,
    /// How often the intervals are meant to hold the truth.
    pub confidence: f64,
    /// How the intervals were made, in words.
    pub intervals: String,
    /// Whether the pulls can tell the parameters apart.
    pub verdict: FitVerdict,
    /// The same in a sentence, with what to do.
    pub says: String,
    /// Condition of the slopes, from 1 (each on its own).
    pub condition: f64,
    /// Correlations of the parameters, by rows: of their scatter and of what all pulls share.
    pub correlation: Vec<Vec<f64>>,
    /// Whether the residuals pass for noise.
    pub residuals_like_noise: bool,
    /// Chance of as few or as many runs of one sign in noise.
    pub runs_p: f64,
    /// Chance of correlations so large in noise.
    pub correlation_p: f64,
    /// Share of a reading's noise that the next one keeps; 0 where none was found.
    pub noise_memory: f64,
    /// Noise of one load about the line (standard deviation).
    pub noise_n: f64,
    /// What the noise of the stretch makes of one load beside it (root of the mean square).
    pub noise_by_stretch_n: f64,
    /// Stretch over rest length at the points of the extension curve.
    pub curve_stretch: Vec<f64>,
    /// Share of the breaking strength at the same points.
    pub curve_share: Vec<f64>,
    /// Share of the breaking strength up to which there is data; above, the curve goes
    /// straight on.
    pub share_read: f64,
    /// Energy given back over energy taken.
    pub energy_return: f64,
    /// Stretch left over greatest stretch.
    pub set_share: f64,
    /// Instant stiffness over slow; null without a rate effect.
    pub stiffness_ratio: Option<f64>,
    /// Relaxation time; null without a rate effect.
    pub relaxation_s: Option<f64>,
    /// The line file, which a plan names: the line, how sure it is, where it comes from.
    pub line_toml: String,
}

/// A pull that a line was fitted to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FittedPull {
    /// Its name.
    pub name: String,
    /// SHA-256 of its log.
    pub sha256: String,
    /// Readings taken from it.
    pub readings: u32,
    /// Greatest strain seen before it and not recovered.
    pub strain_seen: f64,
    /// How far the fit moved where its stretch begins, from where the log has it taut.
    pub moved_m: f64,
    /// Noise of one stretch that the fit weighed (standard deviation).
    pub stretch_noise_m: f64,
    /// Times of the readings from taut.
    pub time_s: Vec<f64>,
    /// Stretch of each from taut, as moved.
    pub stretch_m: Vec<f64>,
    /// Load of each.
    pub force_n: Vec<f64>,
    /// Fitted less read.
    pub residual_n: Vec<f64>,
}

/// A fitted parameter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FittedParameter {
    /// A stable word for it.
    pub name: String,
    /// What it is.
    pub says: String,
    /// SI unit; `1` for a share or a ratio.
    pub unit: String,
    /// Its value and interval.
    pub value: Measured,
    /// Whether the pulls leave an end of the interval open.
    pub open: bool,
}

/// Whether the pulls can tell the parameters apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FitVerdict {
    /// Each on its own.
    Apart,
    /// Some lean on one another.
    Leaning,
    /// Of one at least the pulls say nothing on a side.
    Open,
}
