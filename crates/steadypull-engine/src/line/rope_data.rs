//! Published rope properties: stiffness, strength and mass by diameter.
//!
//! - static stiffness `EA = n MBL`, so the linear strain at break is `1/n`;
//! - dynamic stiffness `EAd = (a + b s) MBL`, `s` the mean load over MBL;
//! - strength `MBL = s2 d² + s3 d³`, mass `m2 d²` (N, kg/m, d in m);
//! - a line let go from rest at MBL recoils at `c e = MBL / sqrt(EA m)`.
//!
//! Fits to new mooring ropes; a recovery strap is
//! woven, lighter and smaller, so they give order and sense, not its figures.

use crate::source::{Source, Status};
use crate::units::{Force, Length, LineMass, Speed};

/// Fits by diameter.
pub const FIT_SOURCE: Source = Source::new(
    "NREL MoorPy default line properties (open data)",
    Status::Read,
);
/// Nylon double braid, dry, cyclic.
pub const BRAID_SOURCE: Source = Source::new("UFC 4-159-03 (2005) table 6-8", Status::Read);
/// Stretch of nylon rope.
pub const STRETCH_SOURCE: Source = Source::new(
    "US Navy Basic Military Requirements 12018 ch. 7",
    Status::Read,
);
/// A load above this share of breaking strength harms a line for good
/// (US Navy 14160 seamanship text, read).
pub const LASTING_HARM_SHARE: f64 = 0.75;
/// Strain of nylon 3-strand at its safe working load.
pub const NYLON_3_STRAND_STRAIN_WORKING: f64 = 1.0 / 3.0;
/// Strain of nylon 3-strand at break.
pub const NYLON_3_STRAND_STRAIN_BREAK: f64 = 0.50;

/// Properties of one kind of rope by its diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RopeFit {
    /// Mass, kg/m over d².
    pub mass_kg_m3: f64,
    /// Strength, N over d².
    pub strength_n_m2: f64,
    /// Strength, N over d³.
    pub strength_n_m3: f64,
    /// Static stiffness over strength.
    pub stiffness_ratio: f64,
    /// Dynamic stiffness over strength at no mean load, and its rise with it.
    pub dynamic: Option<(f64, f64)>,
}

/// Nylon rope.
pub const NYLON: RopeFit = RopeFit {
    mass_kg_m3: 585.0,
    strength_n_m2: 207e6,
    strength_n_m3: 230e6,
    stiffness_ratio: 5.0,
    dynamic: Some((2.08, 39.0)),
};
/// Polyester rope.
pub const POLYESTER: RopeFit = RopeFit {
    mass_kg_m3: 679.0,
    strength_n_m2: 308e6,
    strength_n_m3: 0.0,
    stiffness_ratio: 14.0,
    dynamic: Some((11.6, 40.0)),
};
/// HMPE rope.
pub const HMPE: RopeFit = RopeFit {
    mass_kg_m3: 496.0,
    strength_n_m2: 580e6,
    strength_n_m3: 651e6,
    stiffness_ratio: 56.0,
    dynamic: Some((59.0, 54.0)),
};
/// Wire rope: EA 97.1e9 d², strength 1022e6 d².
pub const WIRE: RopeFit = RopeFit {
    mass_kg_m3: 5293.0,
    strength_n_m2: 1022e6,
    strength_n_m3: 0.0,
    stiffness_ratio: 97.1e9 / 1022e6,
    dynamic: None,
};

impl RopeFit {
    /// Mass by length.
    pub fn mass(&self, diameter: Length) -> LineMass {
        LineMass::new(self.mass_kg_m3 * diameter.get() * diameter.get())
    }

    /// Breaking strength.
    pub fn strength(&self, diameter: Length) -> Force {
        let d = diameter.get();
        Force::new(self.strength_n_m2 * d * d + self.strength_n_m3 * d * d * d)
    }

    /// Static stiffness EA.
    pub fn stiffness(&self, diameter: Length) -> Force {
        self.strength(diameter) * self.stiffness_ratio
    }

    /// Linear strain at break.
    pub fn strain_at_break(&self) -> f64 {
        1.0 / self.stiffness_ratio
    }

    /// Dynamic stiffness over strength at a mean load share.
    pub fn dynamic_stiffness_ratio(&self, mean_load_share: f64) -> Option<f64> {
        self.dynamic.map(|(a, b)| a + b * mean_load_share)
    }

    /// Speed of the free end when a linear line parts at its strength.
    pub fn recoil_speed(&self, diameter: Length) -> Speed {
        let (mbl, ea) = (
            self.strength(diameter).get(),
            self.stiffness(diameter).get(),
        );
        Speed::new(mbl / (ea * self.mass(diameter).get()).sqrt())
    }
}

/// One size of nylon double braid, dry, cyclic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BraidSize {
    /// Nominal diameter, inches.
    pub diameter_in: f64,
    /// Breaking strength, 1e5 N.
    pub strength_1e5_n: f64,
    /// Stiffness AE, 1e5 N.
    pub stiffness_1e5_n: f64,
}

impl BraidSize {
    /// Breaking strength.
    pub fn strength(&self) -> Force {
        Force::new(self.strength_1e5_n * 1e5)
    }

    /// Stiffness AE.
    pub fn stiffness(&self) -> Force {
        Force::new(self.stiffness_1e5_n * 1e5)
    }

    /// Energy a linear line holds at break, J per metre of line.
    pub fn energy_per_length_j_m(&self) -> f64 {
        let strength = self.strength().get();
        strength * strength / (2.0 * self.stiffness().get())
    }
}

const fn braid(diameter_in: f64, strength_1e5_n: f64, stiffness_1e5_n: f64) -> BraidSize {
    BraidSize {
        diameter_in,
        strength_1e5_n,
        stiffness_1e5_n,
    }
}

/// The printed sizes, in the table's SI columns: its 1.8 in row prints 417.0
/// kips beside 17.32e5 N, which is 389.4 kips and fits its neighbours.
pub const NYLON_BRAID: [BraidSize; 20] = [
    braid(1.0, 1.495, 5.29),
    braid(1.1, 2.002, 7.09),
    braid(1.2, 2.313, 8.19),
    braid(1.3, 2.624, 9.29),
    braid(1.4, 3.292, 11.65),
    braid(1.6, 4.048, 14.33),
    braid(1.8, 4.893, 17.32),
    braid(1.9, 5.827, 20.63),
    braid(2.1, 6.806, 24.09),
    braid(2.2, 7.873, 27.87),
    braid(2.4, 8.985, 31.81),
    braid(2.5, 10.231, 36.22),
    braid(2.7, 11.432, 40.47),
    braid(2.9, 12.677, 44.88),
    braid(3.2, 14.323, 50.7),
    braid(3.5, 17.081, 60.46),
    braid(3.8, 20.061, 71.01),
    braid(4.1, 23.264, 82.35),
    braid(4.5, 26.645, 94.32),
    braid(4.8, 30.248, 107.07),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn braid_sizes_keep_one_ratio() {
        for size in NYLON_BRAID {
            let ratio = size.stiffness() / size.strength();
            assert!(
                (ratio / 3.54 - 1.0).abs() < 0.005,
                "{} in: {ratio}",
                size.diameter_in
            );
        }
    }

    #[test]
    fn wire_has_no_dynamic_fit() {
        assert_eq!(WIRE.dynamic_stiffness_ratio(0.2), None);
    }
}
