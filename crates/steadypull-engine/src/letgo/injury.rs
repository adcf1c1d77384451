//! What a flying part does to a person: published criteria.
//!
//! - 79 J: a hazardous fragment; 15 J: first casualties among unprotected people;
//! - chance of being struck `1 − exp(−q A)`, `q` fragments per m², A 0.58 m²;
//! - energy per area that pierces an eye; drag coefficients of fragments;
//! - the windscreen test: a 2.26 kg ball dropped 4 m must not pass.
//!
//! Criteria for blunt fragments. A sharp hook or pin pierces at less.

use crate::source::{Source, Status};
use crate::units::{Area, Energy, G, Length, Mass, Speed};

/// A fragment of this energy or more is hazardous (58 ft lbf, rounded there).
pub const HAZARDOUS_FRAGMENT: Energy = Energy::new(79.0);
/// Hazardous fragment and chance of being struck.
pub const FRAGMENT_SOURCE: Source = Source::new(
    "US DDESB TP-12, quoted in an engineering note",
    Status::Read,
);
/// First casualties among unprotected people (11 ft lbf).
pub const FIRST_CASUALTY: Energy = Energy::new(15.0);
/// First casualties.
pub const FIRST_CASUALTY_SOURCE: Source = Source::new("RCC 321 supplement", Status::FromMemory);
/// Area of a standing person that fragments strike.
pub const BODY_AREA: Area = Area::new(0.58);
/// Energy per area that pierces an eye, J/cm²: low and high.
pub const EYE_J_PER_CM2: (f64, f64) = (4.3, 4.8);
/// Eye penetration.
pub const EYE_SOURCE: Source = Source::new(
    "Marshall, Dahlstrom, Powley, Am. J. Forensic Med. Pathol. 32 (2011), abstract",
    Status::Read,
);
/// Laminated windscreens.
pub const WINDSCREEN_SOURCE: Source =
    Source::new("UN Regulation 43 annex 6/4.2", Status::FromMemory);
/// Drag coefficients.
pub const DRAG_SOURCE: Source = Source::new("Hoerner, Fluid-Dynamic Drag", Status::FromMemory);

/// Speed at which `mass` carries `energy`; `None` for no mass.
pub fn speed_at_energy(mass: Mass, energy: Energy) -> Option<Speed> {
    let squared = 2.0 * energy.get() / mass.get();
    (squared.is_finite() && squared >= 0.0).then(|| Speed::new(squared.sqrt()))
}

/// Chance that a person of `area` is struck where `per_m2` fragments fall.
pub fn chance_of_being_struck(per_m2: f64, area: Area) -> f64 {
    -libm::expm1(-per_m2 * area.get())
}

/// Fragments per m² that strike a person of `area` with this chance.
pub fn density_for_chance(chance: f64, area: Area) -> f64 {
    -libm::log1p(-chance) / area.get()
}

/// Energy per area of a blunt body, J/cm².
pub fn energy_per_cm2(energy: Energy, face: Area) -> f64 {
    energy.get() / face.to_cm2()
}

/// Energy of the ball that a laminated windscreen must hold for five seconds;
/// it says nothing of sharp hardware or faster hits.
pub fn windscreen_test_energy() -> Energy {
    let (ball, drop) = (Mass::new(2.26), Length::new(4.0));
    Energy::new(ball.get() * G * drop.get())
}

/// Shape of a flying body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Sphere.
    Sphere,
    /// Cube, face on.
    CubeFaceOn,
    /// Cube, tumbling.
    CubeTumbling,
    /// Long cylinder across the flow.
    CylinderAcross,
    /// Chunky fragment: a shackle.
    Chunky,
}

impl Shape {
    /// Drag coefficient, low and high, within 10 % below the drag crisis.
    pub fn drag_coefficient(self) -> (f64, f64) {
        match self {
            Self::Sphere => (0.47, 0.47),
            Self::CubeFaceOn => (1.05, 1.05),
            Self::CubeTumbling => (0.8, 0.8),
            Self::CylinderAcross => (1.1, 1.2),
            Self::Chunky => (0.8, 1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chance_and_density_undo_each_other() {
        let q = density_for_chance(0.01, BODY_AREA);
        assert!((chance_of_being_struck(q, BODY_AREA) - 0.01).abs() < 1e-15);
        assert_eq!(chance_of_being_struck(0.0, BODY_AREA), 0.0);
        assert_eq!(speed_at_energy(Mass::ZERO, HAZARDOUS_FRAGMENT), None);
    }
}
