//! One recoil to look at: the computed motion, sampled in time.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::ReadUnits;
use crate::answer::{Flight, LetGoCase, MethodName, Side};

/// A plan, which link parts, and the dampers to try.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayRequest {
    /// The plan file as text.
    pub plan: String,
    /// The rig that the plan's answer is about; worked out afresh, which takes longer, if
    /// null.
    pub rig: Option<ReplayRig>,
    /// Which of `let_go.cases` of the plan's answer, from 0; of `let_go.partings` where the
    /// rig is laid out on the ground.
    pub case: u32,
    /// Which of the `flights` of that parting; null for a straight rig.
    pub flight: Option<u32>,
    /// Dampers in place of the plan's, if given: at most 12.
    pub dampers: Option<Vec<ReplayDamper>>,
    /// The load at which it parts, N: in the line, or on the part of a rig laid out on the
    /// ground; that of the answer if null.
    pub load_n: Option<f64>,
    /// Texts of the line files that the plan names, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lines: BTreeMap<String, String>,
    /// In which units its sentences are; every number stays SI.
    #[serde(default)]
    pub units: ReadUnits,
}

/// The rig of an answer, with the pull on it: `load_path.method` and
/// `load_path.tension_n`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayRig {
    /// The method that it is for.
    pub method: MethodName,
    /// The pull, N.
    pub pull_n: f64,
}

/// A damper on the line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayDamper {
    /// Mass, kg: 0.1 to 100.
    pub mass_kg: f64,
    /// Place on the line as in a plan, 0 at the casualty's end to 1 at the tug's.
    pub place: f64,
}

/// The motion of one recoil, the same run as that behind the answer. Places are in the
/// frame of the answer's zone: of a straight rig x from the casualty's recovery point
/// towards the tug along the ground, y to the left; of a rig laid out on the ground that
/// of the plan file. z is the height above the ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Replay {
    /// Version of the contract.
    pub contract_version: u32,
    /// The rig that it is of.
    pub rig: ReplayRig,
    /// What parts, where, in words.
    pub parts: String,
    /// The load at which it parts, N.
    pub load_n: f64,
    /// The greatest load that the rig's lines can bring there, N.
    pub most_load_n: f64,
    /// The dampers looked at, those on the other side of the break among them.
    pub dampers: Vec<ReplayDamper>,
    /// The vehicle that it flies to; null where it flies to something else.
    pub flies_to: Option<Side>,
    /// Time of each frame after the link let go, s, from 0 to the end of the run.
    pub time_s: Vec<f64>,
    /// The furthest that anything moves from one frame to the next, m.
    pub apart_m: f64,
    /// Whether everything had come to rest by the end.
    pub at_rest: bool,
    /// What moves, the line first.
    pub tracks: Vec<ReplayTrack>,
    /// The vehicles of a straight rig as boxes; empty for a rig laid out on the ground,
    /// whose `standoff.outlines` has them.
    pub vehicles: Vec<ReplayVehicle>,
    /// Slope of the ground, uphill positive: along x of a straight rig, along the way of a
    /// flight of a rig laid out on the ground.
    pub slope_deg: f64,
    /// What flies and what it does: speeds and energies against the injury criterion.
    pub things: Vec<ReplayThing>,
    /// All that the answer tells of it, with these dampers at this load, for a straight rig.
    pub case: Option<LetGoCase>,
    /// The same for a rig laid out on the ground.
    pub flight: Option<Flight>,
    /// Energy that the line could give back when it let go, J.
    pub stored_energy_j: f64,
    /// Injury criterion of the policy, J.
    pub criterion_j: f64,
    /// The criterion in words, with its source.
    pub criterion: String,
    /// Segments that the line was followed in.
    pub segments: u32,
    /// The largest share of the energy books that did not close.
    pub energy_error_share: f64,
    /// What it leaves out, in words.
    pub leaves_out: Vec<String>,
    /// What holds for every answer.
    pub cautions: Vec<String>,
}

/// What a track is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TrackKind {
    /// The line: its points from the end that holds to the end that let go.
    Line,
    /// What is on the line's free end.
    Hardware,
    /// A damper.
    Damper,
    /// A tether: where it is made fast, and where it holds the line.
    Tether,
}

/// Places of one thing over time: a line is many points, hardware or a damper one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayTrack {
    /// What it is.
    pub kind: TrackKind,
    /// Its name in words.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Points that it consists of.
    pub points: u32,
    /// x, y, z of each point, frame by frame, in millimetres: frame f, point p, axis a at
    /// `(f * points + p) * 3 + a`.
    pub places_mm: Vec<i32>,
    /// Speed, m/s, frame by frame: of a line that of its free end as a whole.
    pub speed_m_s: Vec<f64>,
    /// Kinetic energy, J, frame by frame, of its own mass.
    pub energy_j: Vec<f64>,
    /// When a tether parted; null if it held, and of anything else.
    pub parts_at_s: Option<f64>,
}

/// A vehicle as a box.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayVehicle {
    /// Which it is.
    pub side: Side,
    /// Its name.
    pub name: String,
    /// Its outline from the side: x and z of each corner, mm, when the link lets go.
    pub outline_mm: Vec<[i32; 2]>,
    /// y of its right side, mm.
    pub right_mm: i32,
    /// y of its left side, mm.
    pub left_mm: i32,
    /// Whether it holds the line, and rolls with the line's first point.
    pub holds_line: bool,
}

/// What flies, at its worst and where it arrives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReplayThing {
    /// Its name in words.
    pub name: String,
    /// Its mass; of a line the half metre that counts.
    pub mass_kg: f64,
    /// Greatest speed, m/s.
    pub fastest_m_s: f64,
    /// Greatest kinetic energy, J.
    pub greatest_energy_j: f64,
    /// Time of arrival at the far recovery point, s; null where it stops short.
    pub arrives_s: Option<f64>,
    /// Speed there, m/s.
    pub arrival_speed_m_s: Option<f64>,
    /// Energy there, J, with what it has picked up.
    pub arrival_energy_j: Option<f64>,
    /// What it strikes of the far vehicle; null where it misses or stops short.
    pub strikes: Option<String>,
    /// When, s.
    pub strikes_s: Option<f64>,
    /// Its speed there, m/s.
    pub strike_speed_m_s: Option<f64>,
    /// Its energy there, J.
    pub strike_energy_j: Option<f64>,
    /// Whether it arrives or strikes with more than the criterion; null where it stops
    /// short.
    pub over_criterion: Option<bool>,
}
