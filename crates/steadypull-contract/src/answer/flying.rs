//! Everything that flies when a link lets go, and what it meets.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Side;

/// One side of a link that lets go: what flies, what it meets, what stays behind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FlyingSide {
    /// The vehicle to which it flies.
    pub flies_to: Side,
    /// Where the link parts, in words.
    pub parts: String,
    /// For a line that parts inside: how far from its casualty end, at rest; the worst of
    /// the places tried.
    pub inside_at_m: Option<f64>,
    /// The places along the line that were tried; empty where it does not part inside.
    pub places: Vec<BreakPlace>,
    /// What stays on the other vehicle, in words.
    pub stays: String,
    /// Mass of the hardware that stays there.
    pub stays_mass_kg: f64,
    /// A bridle that snaps back to the other vehicle.
    pub snaps_back: Option<SnapBack>,
    /// The face of the vehicle that the line comes to, in words.
    pub comes_to: String,
    /// Everything that flies on this side.
    pub things: Vec<FlyingThing>,
    /// The crack of the tail; null where the run did not come so far.
    pub whip: Option<Whip>,
}

/// A place along a line at which it was tried to part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BreakPlace {
    /// How far along the line, at rest, from its end that comes first in its path or run.
    pub at_m: f64,
    /// Greatest speed of the tail's end.
    pub speed_m_s: f64,
    /// Energy of its last half metre with any damper that it picked up: as it arrives
    /// (0 if it does not); in a rig laid out on the ground the greatest, as it leaves.
    pub energy_j: f64,
}

/// A bridle that snaps back to its own vehicle: upper bounds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SnapBack {
    /// Its apex, with what hangs on it, is no faster.
    pub speed_m_s: f64,
    /// Energy at that speed.
    pub energy_j: f64,
}

/// What sort of thing flies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FlyingSort {
    /// Hardware on the line, with dampers that it has picked up.
    Hardware,
    /// The bare end of the line: its last half metre.
    LineEnd,
    /// The last half metre of line behind the hardware.
    Tail,
    /// A damper.
    Damper,
    /// The hardware, or half a metre of bare line, that came off at its greatest speed.
    OffTheLine,
}

/// Something that flies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FlyingThing {
    /// What, in words.
    pub what: String,
    /// What sort.
    pub sort: FlyingSort,
    /// Its mass.
    pub mass_kg: f64,
    /// Greatest speed before it strikes.
    pub speed_m_s: f64,
    /// Greatest energy before it strikes; of hardware with dampers that it carries.
    pub energy_j: f64,
    /// What it meets at the vehicle.
    pub meets: Meeting,
    /// The strike, if it strikes.
    pub strike: Option<Strike>,
    /// How it passes the end of the vehicle, if it does not strike.
    pub passes: Option<Passes>,
    /// Where it comes to rest if no vehicle is in its way, along the line of pull: what
    /// strikes one is followed on as if nothing stood there.
    pub rests_x_m: f64,
    /// The same, to the side.
    pub rests_y_m: f64,
    /// Stretches of its way over the injury criteria.
    pub hazardous: Vec<Hazardous>,
}

/// What a flying thing meets at the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Meeting {
    /// It strikes it.
    Strikes,
    /// It passes over it.
    PassesOver,
    /// It passes under its bumper or tailgate.
    PassesUnder,
    /// It passes beside it.
    PassesBeside,
    /// It does not get there.
    StopsShort,
}

/// A face of a vehicle.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum BodyFace {
    /// Grille, bar and lamps.
    Grille,
    /// The bonnet; the engine bay under a raised one.
    Bonnet,
    /// A raised bonnet.
    RaisedBonnet,
    /// The windscreen.
    Windscreen,
    /// The tailgate.
    Tailgate,
    /// The rear screen.
    RearScreen,
    /// The roof.
    Roof,
    /// A side.
    Side,
}

/// The first strike on the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Strike {
    /// On which face.
    pub face: BodyFace,
    /// When, after the link let go.
    pub time_s: f64,
    /// How high above the ground.
    pub height_m: f64,
    /// How far behind the face with the recovery point.
    pub behind_m: f64,
    /// How far to the left of the line of pull, seen from the casualty to the tug.
    pub side_m: f64,
    /// How fast.
    pub speed_m_s: f64,
    /// Speed square to the face.
    pub normal_speed_m_s: f64,
    /// With what kinetic energy.
    pub energy_j: f64,
    /// Energy of the ball in the published windscreen test; null unless it strikes glass.
    pub windscreen_test_j: Option<f64>,
    /// What stands before the glass there, outermost first.
    pub shields: Vec<Shield>,
    /// Whether something rated for it holds it; null where no glass is behind it.
    pub glass_is_guarded: Option<bool>,
}

/// Something before the glass.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shield {
    /// What it is.
    pub what: String,
    /// Whether it holds: `true` by its stated rating, `null` where nobody can say.
    /// What is `null` never counts as protection.
    pub holds: Option<bool>,
    /// Its stated rating.
    pub rated_energy_j: Option<f64>,
    /// Rating over the energy that strikes.
    pub margin: Option<f64>,
    /// Estimate of the energy that perforates it, low and high.
    pub perforated_from_j: Option<[f64; 2]>,
    /// What that rests on.
    pub source: String,
}

/// How a thing passes the end of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Passes {
    /// When.
    pub time_s: f64,
    /// How high.
    pub height_m: f64,
    /// How far to the left of the line of pull.
    pub side_m: f64,
    /// How fast.
    pub speed_m_s: f64,
    /// With what energy.
    pub energy_j: f64,
}

/// The stretch of the way over an injury criterion.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hazardous {
    /// The criterion.
    pub criterion_j: f64,
    /// Where it comes from.
    pub source: String,
    /// One end of the stretch, along the line of pull from the casualty's recovery point.
    pub from_x_m: f64,
    /// The other end.
    pub to_x_m: f64,
    /// Least height on it.
    pub lowest_m: f64,
    /// Greatest height on it.
    pub highest_m: f64,
    /// What of a standing person is at those heights.
    pub body: String,
}

/// The stretch of a way over an injury criterion, in a rig laid out on the ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HazardousWay {
    /// The criterion.
    pub criterion_j: f64,
    /// Where it comes from.
    pub source: String,
    /// Where the stretch begins, in the plan's frame.
    pub from_x_m: f64,
    /// Where it begins.
    pub from_y_m: f64,
    /// Where it ends.
    pub to_x_m: f64,
    /// Where it ends.
    pub to_y_m: f64,
    /// How long it is.
    pub length_m: f64,
    /// Least height above the ground on it.
    pub lowest_m: f64,
    /// Greatest height on it.
    pub highest_m: f64,
    /// What of a standing person is at those heights.
    pub body: String,
}

/// The crack of the tail, after the launch: its end turns, or the line comes tight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Whip {
    /// Speed of the last half metre in this run: a chain of segments smooths a crack,
    /// so it is a lower figure.
    pub at_least_m_s: f64,
    /// No more than if all the energy that the line gave back were in that half metre.
    pub at_most_m_s: f64,
    /// When, in this run.
    pub time_s: f64,
    /// Where, along the line of pull; x of the plan for a rig laid out on the ground.
    pub x_m: f64,
    /// Where, to the side; y of the plan for a rig laid out on the ground.
    pub y_m: f64,
    /// How high.
    pub height_m: f64,
}

/// A face that is struck in the scattered runs behind the zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaceStruck {
    /// The vehicle.
    pub vehicle: Side,
    /// The face.
    pub face: BodyFace,
    /// In how many of the runs that fly to this vehicle.
    pub strikes: u32,
    /// How many runs fly to it.
    pub runs: u32,
    /// Link that strikes it hardest.
    pub link: String,
    /// Greatest speed of a strike.
    pub speed_m_s: f64,
    /// Greatest energy of a strike.
    pub energy_j: f64,
    /// What stands before the glass, against that strike.
    pub shields: Vec<Shield>,
    /// Whether something rated for it holds that strike; null where no glass is behind it.
    pub glass_is_guarded: Option<bool>,
}
