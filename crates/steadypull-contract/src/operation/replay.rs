//! One recoil to look at: the computed motion, sampled in time.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::answer::Finding;

/// A plan, which link parts, and set-ups of dampers to compare.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayRequest {
    /// The plan file as text.
    pub plan: String,
    /// Which of `let_go.cases` of the plan's answer, from 0; of `let_go.partings` where the
    /// rig is laid out on the ground.
    pub case: u32,
    /// Which of the `flights` of that parting; null for a straight rig.
    pub flight: Option<u32>,
    /// Dampers in place of the plan's, if given.
    pub dampers: Option<Vec<ReplayDamper>>,
    /// The load at which it parts, N; the design load of the answer if null.
    pub load_n: Option<f64>,
}

/// A damper on the line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayDamper {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Place along the parted side, 0 at the end that holds to 1 at the end that let go.
    pub place: f64,
}

/// The motion of one recoil. Places are in the frame of a straight rig's answer: x from the
/// casualty's recovery point towards the tug along the ground, y to the left, z up; of a
/// rig laid out on the ground that of the plan file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Replay {
    /// Version of the contract.
    pub contract_version: u32,
    /// What parts, in words.
    pub parts: String,
    /// The load at which it parts, N.
    pub load_n: f64,
    /// The dampers on the line in this run.
    pub dampers: Vec<ReplayDamper>,
    /// Time of each frame, s.
    pub time_s: Vec<f64>,
    /// What moves, the line first.
    pub tracks: Vec<ReplayTrack>,
    /// What flies and what it does: speeds and energies against the injury criterion.
    pub things: Vec<ReplayThing>,
    /// Injury criterion of the policy, J.
    pub criterion_j: f64,
    /// The criterion in words, with its source.
    pub criterion: String,
    /// x of the recovery point that the line flies to, m.
    pub far_x_m: f64,
    /// Segments that the line was followed in.
    pub segments: u32,
    /// The largest share of the energy books that did not close.
    pub energy_error_share: f64,
    /// What was noticed, worst first.
    pub findings: Vec<Finding>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// Places of one thing over time: a line is many points, hardware or a damper one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayTrack {
    /// What it is: `line`, `hardware`, `damper`, `stays`.
    pub kind: String,
    /// Its name in words.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Points that it consists of.
    pub points: u32,
    /// x, y, z of each point, frame by frame, in millimetres: frame f, point p, axis a at
    /// `(f * points + p) * 3 + a`.
    pub places_mm: Vec<i32>,
    /// Speed, m/s, frame by frame: of a line that of its free end.
    pub speed_m_s: Vec<f64>,
    /// Kinetic energy, J, frame by frame.
    pub energy_j: Vec<f64>,
}

/// What flies, at its worst and where it arrives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayThing {
    /// Its name in words.
    pub name: String,
    /// Greatest speed, m/s.
    pub fastest_m_s: f64,
    /// Greatest kinetic energy, J.
    pub greatest_energy_j: f64,
    /// Time of arrival at the far recovery point, s; null where it stops short.
    pub arrives_s: Option<f64>,
    /// Speed there, m/s.
    pub arrival_speed_m_s: Option<f64>,
    /// Energy there, J.
    pub arrival_energy_j: Option<f64>,
    /// Whether that is over the criterion; null where it stops short.
    pub over_criterion: Option<bool>,
}
