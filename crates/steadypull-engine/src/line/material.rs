//! Presets by material and construction; each cites where its curve comes from.

use super::{Curve, CurveError};
use crate::source::{Source, Status};
use crate::units::{Force, Length, LineMass};

/// Material and construction of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Material {
    /// Nylon webbing: kinetic straps.
    NylonWebbing,
    /// Nylon double braid: kinetic ropes.
    NylonBraid,
    /// Polyester webbing: tow straps, extensions, trunk straps.
    PolyesterWebbing,
    /// HMPE rope: winch lines, soft shackles.
    Hmpe,
    /// Wire rope: winch lines.
    WireRope,
    /// Alloy chain.
    Chain,
}

/// What a preset says of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preset {
    /// (strain, share of breaking strength) from the origin to break.
    pub points: &'static [(f64, f64)],
    /// Where the curve comes from.
    pub curve_source: Source,
    /// Energy given back over energy taken: low, taken, high.
    pub energy_return: (f64, f64, f64),
    /// Set over greatest strain.
    pub set_fraction: f64,
    /// Kilograms per metre for each newton of breaking strength.
    pub mass_per_strength: f64,
    /// Where the mass comes from.
    pub mass_source: Source,
    /// Scatter of strength between like parts, 1-sigma of the logarithm.
    pub strength_spread: f64,
}

const ROPE_DATA: &str = "NREL MoorPy default line properties";

impl Material {
    /// All materials.
    pub const ALL: [Self; 6] = [
        Self::NylonWebbing,
        Self::NylonBraid,
        Self::PolyesterWebbing,
        Self::Hmpe,
        Self::WireRope,
        Self::Chain,
    ];

    /// The word for it in plan files.
    pub fn word(self) -> &'static str {
        match self {
            Self::NylonWebbing => "nylon-webbing",
            Self::NylonBraid => "nylon-braid",
            Self::PolyesterWebbing => "polyester-webbing",
            Self::Hmpe => "hmpe",
            Self::WireRope => "wire-rope",
            Self::Chain => "chain",
        }
    }

    /// Whether water weakens it.
    pub fn is_nylon(self) -> bool {
        matches!(self, Self::NylonWebbing | Self::NylonBraid)
    }

    /// Whether it is HMPE.
    pub fn is_hmpe(self) -> bool {
        matches!(self, Self::Hmpe)
    }

    /// Whether it is metal.
    pub fn is_metal(self) -> bool {
        matches!(self, Self::WireRope | Self::Chain)
    }

    /// What is taken for a line of this material when its label says no more.
    ///
    /// No published energy return of recovery gear was found: the ranges are
    /// wide, assumed, and shown wherever they matter.
    pub fn preset(self) -> Preset {
        let practice = |name| Source::new(name, Status::CommonPractice);
        match self {
            Self::NylonWebbing => Preset {
                // Straight: no published load-extension table of kinetic webbing
                // was found, and its end point is the trade's own figure.
                points: &[(0.0, 0.0), (0.18, 1.0)],
                curve_source: practice(
                    "TF-02: 9 m 9 t strap stretches 1.4 to 2.0 m at break; straight line assumed",
                ),
                energy_return: (0.5, 0.7, 0.9),
                set_fraction: 0.1,
                // 0.55 kg/m at 9 t.
                mass_per_strength: 0.55 / 88_259.85,
                mass_source: practice("0.55 kg/m at 9 t (CV-KIN-08 inputs)"),
                strength_spread: 0.08,
            },
            Self::NylonBraid => Preset {
                points: &[(0.0, 0.0), (0.2825, 1.0)],
                curve_source: Source::new(
                    "UFC 4-159-03 table 6-8, dry, cyclic: AE/Fb = 3.54",
                    Status::Read,
                ),
                energy_return: (0.5, 0.7, 0.9),
                set_fraction: 0.1,
                // 24 mm: 0.33696 kg/m and 122 411.5 N (CV-EA-03).
                mass_per_strength: 0.336_96 / 122_411.5,
                mass_source: Source::new(ROPE_DATA, Status::Read),
                strength_spread: 0.08,
            },
            Self::PolyesterWebbing => Preset {
                points: &[(0.0, 0.0), (1.0 / 14.0, 1.0)],
                curve_source: Source::new(ROPE_DATA, Status::Read),
                energy_return: (0.5, 0.75, 0.95),
                set_fraction: 0.05,
                mass_per_strength: 0.391_104 / 177_408.0,
                mass_source: Source::new(ROPE_DATA, Status::Read),
                strength_spread: 0.08,
            },
            Self::Hmpe => Preset {
                points: &[(0.0, 0.0), (1.0 / 56.0, 1.0)],
                curve_source: Source::new(ROPE_DATA, Status::Read),
                energy_return: (0.6, 0.85, 1.0),
                set_fraction: 0.02,
                mass_per_strength: 0.285_696 / 343_079.4,
                mass_source: Source::new(ROPE_DATA, Status::Read),
                strength_spread: 0.08,
            },
            Self::WireRope => Preset {
                points: &[(0.0, 0.0), (1.0 / 95.01, 1.0)],
                curve_source: Source::new(ROPE_DATA, Status::Read),
                energy_return: (0.7, 0.9, 1.0),
                set_fraction: 0.0,
                mass_per_strength: 5293.0 / 1.022e9,
                mass_source: Source::new(ROPE_DATA, Status::Read),
                strength_spread: 0.05,
            },
            Self::Chain => Preset {
                // Grade 8: 800 MPa mean stress at break on both link legs; at
                // least 20 % after yield, of which 1 % is taken as working stretch.
                points: &[(0.0, 0.0), (0.01, 1.0)],
                curve_source: Source::new("assumed: 1 % elastic stretch at break", Status::Assumed),
                energy_return: (0.7, 0.9, 1.0),
                set_fraction: 0.0,
                // 10 mm grade 8 chain: 2.25 kg/m and 126 kN.
                mass_per_strength: 2.25 / 126_000.0,
                mass_source: Source::new(
                    "EN 818-2 grade 8, 10 mm: 2.2 to 2.3 kg/m, 126 kN",
                    Status::FromMemory,
                ),
                strength_spread: 0.05,
            },
        }
    }

    /// The preset curve.
    pub fn curve(self) -> Result<Curve, CurveError> {
        let preset = self.preset();
        Curve::new(preset.points, preset.energy_return.1, preset.set_fraction)
    }

    /// Diameter of a round line of this mass, for its drag in the air (webbing
    /// as if braided). Chain as the bar of its links.
    pub fn diameter(self, mass: LineMass) -> Length {
        // Kilograms per metre over diameter squared, NREL MoorPy defaults; chain
        // from 10 mm and 2.25 kg/m.
        let per_square = match self {
            Self::NylonWebbing | Self::NylonBraid => 585.0,
            Self::PolyesterWebbing => 679.0,
            Self::Hmpe => 496.0,
            Self::WireRope => 5293.0,
            Self::Chain => 22_500.0,
        };
        Length::new((mass.get() / per_square).sqrt())
    }

    /// The preset mass of a line of this strength.
    pub fn mass_per_length(self, mbs: Force) -> LineMass {
        LineMass::new(self.preset().mass_per_strength * mbs.get())
    }
}
