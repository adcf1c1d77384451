//! What each soil does to a vehicle in it.

use super::handbook;
use crate::plan::Soil;
use crate::source::{Source, Status};
use crate::units::Pressure;

/// Drag, grip and adhesion of a soil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoilFacts {
    /// The word for it in plan files.
    pub word: &'static str,
    /// Drag on wheels that are not sunk, as a share of weight.
    pub rolling: f64,
    /// Where that comes from.
    pub rolling_source: Source,
    /// Grip of a driven tyre in it, as a share of the weight it carries (assumed).
    pub grip: f64,
    /// Adhesion when pulled slowly (assumed: soft clay and wet silt stick with a
    /// few kilopascals; no published figure for vehicles was found).
    pub adhesion: Pressure,
}

/// The facts of `soil`.
pub fn soil_facts(soil: Soil) -> SoilFacts {
    let by_ground = |word, rolling, grip, adhesion_kpa| SoilFacts {
        word,
        rolling,
        rolling_source: handbook::GROUND_SOURCE,
        grip,
        adhesion: Pressure::from_kpa(adhesion_kpa),
    };
    match soil {
        Soil::Clay => by_ground("clay", 1.0 / 2.0, 0.15, 2.0),
        Soil::Silt => by_ground("silt", 1.0 / 3.0, 0.15, 1.0),
        Soil::Bog => by_ground("bog", 1.0 / 2.0, 0.10, 0.5),
        Soil::Mud => by_ground("mud", 1.0 / 3.0, 0.20, 0.5),
        Soil::SoftSand => by_ground("soft-sand", 1.0 / 4.0, 0.30, 0.0),
        Soil::WetSand => by_ground("wet-sand", 1.0 / 5.0, 0.40, 0.0),
        Soil::Snow => SoilFacts {
            rolling_source: Source::new("soft snow taken like wet sand", Status::Assumed),
            ..by_ground("snow", 1.0 / 5.0, 0.20, 0.0)
        },
        Soil::Firm => SoilFacts {
            rolling_source: Source::new("Carvill 1993: medium hard soil", Status::Read),
            ..by_ground("firm", 0.08, 0.50, 0.0)
        },
    }
}
