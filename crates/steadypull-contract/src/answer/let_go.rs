//! The `let_go` area.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Side;
use super::flying::{FaceStruck, FlyingSide};
use super::parting::Parting;

/// What comes back if a part lets go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LetGo {
    /// Tension at which each link is taken to let go, in words.
    pub load_case: String,
    /// One case a side of each link that could part; empty for a rig laid out on the ground.
    pub cases: Vec<LetGoCase>,
    /// One a part of a rig laid out on the ground; empty for a straight rig.
    pub partings: Vec<Parting>,
    /// Faces of the vehicles that what flies strikes in the scattered runs behind the
    /// zone, hardest first; empty for a rig laid out on the ground.
    pub faces: Vec<FaceStruck>,
    /// Name of the link whose failure arrives with the most energy.
    pub worst: Option<String>,
    /// Energy at which a fragment counts as hazardous.
    pub injury_energy_j: f64,
    /// Where that figure comes from.
    pub injury_source: String,
    /// What stands in the way of what flies: no vehicle is taken to shelter anybody.
    pub shelter: String,
    /// Why there are no cases, if there are none.
    pub missing: Option<String>,
}

/// One link lets go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LetGoCase {
    /// The link that lets go.
    pub link: String,
    /// The vehicle that this side of it parted from; what is left flies to the other.
    pub parts_at: Side,
    /// What flies, in words.
    pub flies: String,
    /// Tension when it lets go.
    pub tension_n: f64,
    /// Energy stored in the line then.
    pub stored_energy_j: f64,
    /// Mass of the hardware at the free end.
    pub hardware_mass_kg: f64,
    /// Greatest speed of the free end.
    pub launch_speed_m_s: f64,
    /// Greatest energy of the hardware (or of the line's last half metre where there is none).
    pub launch_energy_j: f64,
    /// At the far vehicle, with the dampers and tethers planned; null when it does not get there.
    pub arrival: Option<Arrival>,
    /// The same without dampers or tethers.
    pub arrival_bare: Option<Arrival>,
    /// Energy of all that arrives together, dampers included, over the injury criterion.
    pub times_injury: f64,
    /// Energy passing each distance from the far vehicle's side of the break.
    pub energy_along: Vec<EnergyAt>,
    /// Where the free end is when it has come to rest, or is too slow to matter, as if no
    /// vehicle stood in its way.
    pub rests_x_m: f64,
    /// The same, to the side.
    pub rests_y_m: f64,
    /// How far past the far recovery point it gets, still held by the line, as if no
    /// vehicle stood there.
    pub reach_m: f64,
    /// How far past the far recovery point it could skip and slide if it came off the
    /// line, as if no vehicle stood there.
    pub free_reach_m: f64,
    /// What each damper does.
    pub dampers: Vec<DamperFlight>,
    /// What each tether does.
    pub tethers: Vec<TetherOutcome>,
    /// How far the far vehicle has moved by the time a tether parts, or by arrival.
    pub vehicle_moved_m: f64,
    /// Energy left over by the run as a share of what was stored (ideally 0).
    pub audit_error_share: f64,
    /// Everything that flies on this side, what it meets, what stays behind.
    pub side: FlyingSide,
    /// The free end in time.
    pub path: FlightPath,
}

/// Arrival of the free end at the far vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Arrival {
    /// When, after the link let go.
    pub time_s: f64,
    /// How fast.
    pub speed_m_s: f64,
    /// Energy of the hardware alone, or of the line's last half metre where there
    /// is none. A damper that comes with it is told under `dampers`.
    pub energy_j: f64,
    /// How high above the ground.
    pub height_m: f64,
    /// What it meets: ground, body, screen, over the roof.
    pub strikes: String,
}

/// Energy of the free end as it passes a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyAt {
    /// Distance flown along the line of pull from where it let go.
    pub distance_m: f64,
    /// Energy there.
    pub energy_j: f64,
}

/// What a damper does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DamperFlight {
    /// Its name.
    pub name: String,
    /// Its greatest speed.
    pub speed_m_s: f64,
    /// Its greatest energy: a damper is itself a projectile.
    pub energy_j: f64,
    /// How far its grip slipped along the line.
    pub slipped_m: f64,
}

/// What a tether does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TetherOutcome {
    /// Its name.
    pub name: String,
    /// Whether it parts.
    pub parts: bool,
    /// When it parts.
    pub parts_at_s: Option<f64>,
    /// Greatest load in it.
    pub peak_load_n: f64,
    /// Energy it can take up.
    pub energy_capacity_j: f64,
    /// Energy the recoil asks of it.
    pub energy_asked_j: f64,
}

/// The free end in time; all lists have the same length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FlightPath {
    /// Time after the link let go.
    pub time_s: Vec<f64>,
    /// Along the line of pull.
    pub x_m: Vec<f64>,
    /// To the side.
    pub y_m: Vec<f64>,
    /// Above the ground.
    pub z_m: Vec<f64>,
    /// Speed.
    pub speed_m_s: Vec<f64>,
}
