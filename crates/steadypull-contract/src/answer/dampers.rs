//! Dampers by design: what `steadypull dampers` answers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Side;

/// What dampers it takes to keep a wish, or that none will do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DamperDesign {
    /// Why nothing was worked out, if so; everything else is then empty.
    pub missing: Option<String>,
    /// What was asked, and for which link.
    pub wish: Option<DamperWish>,
    /// Whether dampers keep the wish, or none are needed.
    pub meets: bool,
    /// The answer in a sentence.
    pub headline: String,
    /// Without dampers.
    pub bare: Option<ArrivalEnergies>,
    /// The least set-up for each number of dampers; where none keeps the wish, the
    /// one that comes closest.
    pub numbers: Vec<DamperChoice>,
    /// Place in `numbers` of the set-up of the answer: the least that keeps the wish,
    /// else the one that comes closest; null where no dampers are needed.
    pub chosen: Option<u32>,
    /// The same set-up if another link lets go at the same end.
    pub other_links: Vec<OtherLink>,
    /// Arrival energy against the mass of each damper, at the places of `numbers`.
    pub by_mass: Vec<MassCurve>,
    /// Arrival energy against the place of one damper.
    pub by_place: Vec<PlacePoint>,
    /// Mass of that damper.
    pub placed_mass_kg: f64,
    /// Arrival energy of the chosen set-up against the force at which its grips slip.
    pub by_grip: Vec<GripPoint>,
    /// Usual set-ups against the load at which the line parts.
    pub by_load: Vec<LoadPoint>,
    /// The usual set-ups, in the order of `by_load`.
    pub usual: Vec<UsualSetUp>,
    /// Where common advice holds, in words.
    pub advice: Vec<String>,
    /// How fine the search was.
    pub accuracy: Option<DesignAccuracy>,
}

/// What was asked of the dampers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DamperWish {
    /// The link that lets go.
    pub link: String,
    /// Whether it is the worst of the rig, as against one that was named.
    pub worst: bool,
    /// The end at which it lets go.
    pub parts_at: Side,
    /// What flies to the other vehicle, in words.
    pub flies: String,
    /// Mass of the hardware that flies, median; 0 for a bare line.
    pub hardware_mass_kg: f64,
    /// Tension in the line when it lets go, median.
    pub tension_n: f64,
    /// Energy that the line gives back then, median.
    pub stored_energy_j: f64,
    /// Length of the line.
    pub line_m: f64,
    /// Nothing may arrive with more than this, at any height, dampers included.
    pub under_j: f64,
    /// In this share of the draws.
    pub chance: f64,
    /// Energy at which people have first been hurt: the lower line of the figure.
    pub first_casualty_j: f64,
    /// Greatest mass of one damper.
    pub most_kg: f64,
    /// Force at which the grip of a damper slips (assumed unless the plan or the
    /// command line says it).
    pub grip_n: f64,
    /// Drag coefficient times area of a damper.
    pub drag_area_m2: f64,
}

/// One quantity over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergySpread {
    /// Median.
    pub median_j: f64,
    /// At the wish's chance.
    pub quantile_j: f64,
    /// Lower end of the 90 % sampling band of that quantile.
    pub band_low_j: f64,
    /// Upper end; null where there are too few draws to have one.
    pub band_high_j: Option<f64>,
}

/// What arrives at the far vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArrivalEnergies {
    /// The hardware alone, or the last half metre of a bare line; 0 when it stops short.
    pub hardware: EnergySpread,
    /// The most energetic damper, of its own mass.
    pub damper: EnergySpread,
    /// The most energetic thing: the hardware with all that it carries, or a damper.
    pub worst: EnergySpread,
    /// Share of the draws that keep the wish, through dampers with what finer segments
    /// could add.
    pub met_share: f64,
    /// Lower end of the 90 % sampling band of that share.
    pub met_low: f64,
    /// Upper end.
    pub met_high: f64,
    /// Share of the draws in which the hardware gets to the far vehicle at all.
    pub arrives_share: f64,
    /// Draws.
    pub draws: u32,
    /// Draws whose run failed; they count against the wish.
    pub failed: u32,
}

/// One damper of a set-up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HungDamper {
    /// Mass.
    pub mass_kg: f64,
    /// Length of line between it and the hardware; 0 is hard against it.
    pub from_hardware_m: f64,
    /// The same as a share of the line.
    pub from_hardware_share: f64,
}

/// The least set-up of so many dampers, or the one that comes closest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DamperChoice {
    /// The dampers, from the hardware on.
    pub dampers: Vec<HungDamper>,
    /// Mass of all.
    pub total_kg: f64,
    /// Whether they keep the wish, on fresh draws too.
    pub meets: bool,
    /// Over the draws that they were chosen by: flattered, since the best was taken.
    pub search: ArrivalEnergies,
    /// Over fresh draws.
    pub check: ArrivalEnergies,
}

/// The chosen set-up if another link lets go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherLink {
    /// The link.
    pub link: String,
    /// Length of the line that flies: less than all of it where it parts inside.
    pub line_m: f64,
    /// Tension in the line when it lets go.
    pub tension_n: f64,
    /// Mass of the hardware that flies.
    pub hardware_mass_kg: f64,
    /// Whether the wish is kept.
    pub meets: bool,
    /// What arrives, over fresh draws.
    pub check: ArrivalEnergies,
}

/// Arrival energy against mass for one number of dampers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassCurve {
    /// Their places, as shares of the line from the hardware.
    pub places: Vec<f64>,
    /// Points, from no dampers on.
    pub points: Vec<MassPoint>,
}

/// A point of a curve against mass.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassPoint {
    /// Mass of each damper.
    pub each_kg: f64,
    /// What arrives.
    pub energies: ArrivalEnergies,
}

/// A point of the curve against place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlacePoint {
    /// Place of the damper, as a share of the line from the hardware.
    pub from_hardware_share: f64,
    /// What arrives.
    pub energies: ArrivalEnergies,
}

/// A point of the curve against grip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GripPoint {
    /// Force at which every grip slips.
    pub grip_n: f64,
    /// What arrives.
    pub energies: ArrivalEnergies,
}

/// A set-up that people use.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UsualSetUp {
    /// In words.
    pub name: String,
    /// Its dampers.
    pub dampers: Vec<HungDamper>,
}

/// The usual set-ups at one load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadPoint {
    /// Tension in the line when it parts, median.
    pub tension_n: f64,
    /// Energy that it gives back then, median.
    pub stored_energy_j: f64,
    /// Whether this is the load of the plan.
    pub own: bool,
    /// One a usual set-up.
    pub energies: Vec<ArrivalEnergies>,
    /// Which common advice holds; null where nothing arrives with more than the wish
    /// without any damper.
    pub advice: Option<AdviceHolds>,
}

/// Which common advice holds at one load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdviceHolds {
    /// A light damper in the middle takes less than 30 % of the hardware's median energy.
    pub light_does_little: bool,
    /// The hardware's median energy falls with each step until it is stopped: none,
    /// light, heavy, two.
    pub in_order: bool,
    /// With two of 5 kg, one hard against the hardware, the hardware alone keeps the wish,
    /// with what finer segments could add.
    pub two_stop_hardware: bool,
    /// With these nothing that arrives passes the wish, dampers included.
    pub two_stop_all: bool,
}

/// How fine the search was.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DesignAccuracy {
    /// Segments of the runs that set-ups were chosen by, and of the curves.
    pub segments: u32,
    /// Segments of the check on fresh draws, as short as the distance at which hardware
    /// runs into a damper (longer on a long line); draws are spread over this number, 4
    /// and 8 more.
    pub check_segments: u32,
    /// What finer segments could still add to an energy through dampers in the check, as a
    /// share: a wish is kept only with so much added, and shares that keep it count so.
    pub finer_adds_share: f64,
    /// The same in the curves, which have fewer segments: they may run so much too low.
    pub finer_adds_to_curves_share: f64,
    /// Draws that set-ups were chosen by.
    pub search_draws: u32,
    /// Fresh draws that those were checked on that will do; fewer tell what the others
    /// and other links come to.
    pub check_draws: u32,
    /// Finest step of a damper's mass.
    pub mass_step_kg: f64,
    /// Finest step of a place, as a share of the line.
    pub place_step_share: f64,
    /// Draws by which the two numbers of segments are compared.
    pub compared_draws: u32,
    /// Median over them of the most energetic thing of the chosen set-up, with the
    /// segments of the check; null where no dampers are needed.
    pub compared_check_j: Option<f64>,
    /// The same with the segments of the search.
    pub compared_search_j: Option<f64>,
}
