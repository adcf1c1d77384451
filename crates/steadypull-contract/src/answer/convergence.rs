//! Whether the let-go's numbers have settled: what `let-go --converge` answers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Each let-go run with more segments and shorter steps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Convergence {
    /// Why nothing was worked out, if so; `cases` is then empty.
    pub missing: Option<String>,
    /// The answer in a sentence.
    pub headline: String,
    /// Whether Ctrl-C came before the last case: `cases` holds those that were done.
    pub stopped: bool,
    /// Cases there are to follow finer; things that fly alike count once.
    pub of_cases: u32,
    /// One a thing that flies.
    pub cases: Vec<ConvergedCase>,
    /// A speed has settled when no more than this share of it is left to change.
    pub speed_settled_share: f64,
    /// An arrival energy has settled when no more than this share of it is left to change.
    pub arrival_settled_share: f64,
    /// How the errors left are reckoned.
    pub model: String,
}

/// One thing that flies, followed with four finenesses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConvergedCase {
    /// The link that lets go, or the run of a laid-out rig whose end flies.
    pub link: String,
    /// What flies, in words.
    pub flies: String,
    /// What it flies to.
    pub flies_to: String,
    /// Tension in the line when the link lets go.
    pub tension_n: f64,
    /// Mass of hardware at the free end; 0 for a bare line, whose speed is that of its
    /// last twentieth.
    pub hardware_mass_kg: f64,
    /// Dampers on the line: an energy through them settles slowly.
    pub dampers: u32,
    /// Whether the run ends with the launch, as those of a laid-out rig do: no arrival is
    /// followed then.
    pub launch_alone: bool,
    /// With the segments of the answer, twice and four times as many, and with the
    /// segments of the answer and half the step.
    pub levels: Vec<ConvergenceLevel>,
    /// Greatest speed with the segments of the answer against four times as many, as a
    /// share: less than 0 where the answer is too low.
    pub speed_change_share: f64,
    /// The same against half the step.
    pub speed_change_by_step_share: f64,
    /// Error that is left in the speed of the answer, as a share.
    pub speed_error_share: f64,
    /// Arrival energy with the segments of the answer against four times as many, as a
    /// share; null unless both arrive.
    pub arrival_change_share: Option<f64>,
    /// The same against half the step.
    pub arrival_change_by_step_share: Option<f64>,
    /// Error that is left in the arrival energy of the answer, as a share; null unless
    /// all arrive.
    pub arrival_error_share: Option<f64>,
    /// Whether it arrives with some finenesses and not with others.
    pub arrival_in_doubt: bool,
    /// Whether speed and arrival have settled.
    pub settled: bool,
}

/// One run.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConvergenceLevel {
    /// Segments of line.
    pub segments: u32,
    /// Share of the longest stable step that each step took.
    pub step_share: f64,
    /// Steps taken.
    pub steps: u64,
    /// Greatest speed of the free end on its way.
    pub speed_m_s: f64,
    /// Its energy at the far vehicle, of hardware with all it carries; null where it does
    /// not get there.
    pub arrival_energy_j: Option<f64>,
}
