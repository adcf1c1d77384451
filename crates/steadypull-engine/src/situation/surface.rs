//! Rolling and grip of a rubber tyre by surface: published tables.
//!
//! Rolling resistance is a share of the weight on the tyre; grip is the
//! coefficient at its peak and when sliding. Bands, not single figures, where
//! the source gives bands. Tread, pressure and load are not in them.

use crate::plan::Surface;
use crate::source::{Source, Status};

/// Rolling, first set.
pub const MOYER: Source = Source::new("Moyer, in Marks Standard Handbook", Status::Read);
/// Rolling, second set.
pub const CARVILL: Source = Source::new(
    "Carvill, Mechanical Engineers Data Handbook (1993), quoted in a mining manual",
    Status::Read,
);
/// Peak and sliding grip.
pub const TABOREK: Source = Source::new("Taborek 1957, in Wong", Status::FromMemory);

/// A rolling coefficient as printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rolling {
    /// The surface in the source's words.
    pub surface: &'static str,
    /// Lowest share of weight.
    pub low: f64,
    /// Highest share of weight.
    pub high: f64,
    /// Who printed it.
    pub source: Source,
}

const fn rolling(surface: &'static str, low: f64, high: f64, source: Source) -> Rolling {
    Rolling {
        surface,
        low,
        high,
        source,
    }
}

/// The rolling coefficients of both sources.
pub const ROLLING: [Rolling; 9] = [
    rolling("hard road", 0.008, 0.008, MOYER),
    rolling("firm packed gravel", 0.012, 0.012, MOYER),
    rolling("wet loose gravel", 0.06, 0.06, MOYER),
    rolling("new asphalt or concrete", 0.01, 0.01, CARVILL),
    rolling("worn asphalt or concrete", 0.02, 0.02, CARVILL),
    rolling("rolled new gravel", 0.01, 0.01, CARVILL),
    rolling("loose worn gravel", 0.04, 0.04, CARVILL),
    rolling("medium hard soil", 0.08, 0.08, CARVILL),
    rolling("sand", 0.1, 0.2, CARVILL),
];

/// The printed coefficient for a surface by the source's words.
pub fn rolling_coefficient(surface: &str) -> Option<Rolling> {
    ROLLING.into_iter().find(|row| row.surface == surface)
}

/// Grip of a tyre, as bands of the coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GripBand {
    /// At its peak: low and high.
    pub peak: (f64, f64),
    /// When sliding: low and high.
    pub sliding: (f64, f64),
}

/// The published grip on `surface`, where there is one.
pub fn grip_band(surface: Surface) -> Option<GripBand> {
    let band = |peak, sliding| Some(GripBand { peak, sliding });
    match surface {
        Surface::DryRoad => band((0.80, 0.90), (0.75, 0.75)),
        Surface::WetRoad => band((0.50, 0.70), (0.45, 0.60)),
        Surface::Gravel => band((0.60, 0.60), (0.55, 0.55)),
        Surface::DryEarth => band((0.68, 0.68), (0.65, 0.65)),
        Surface::WetEarth => band((0.55, 0.55), (0.40, 0.50)),
        Surface::Snow => band((0.20, 0.20), (0.15, 0.15)),
        Surface::Ice => band((0.10, 0.10), (0.07, 0.07)),
        Surface::Grass | Surface::FirmSand | Surface::SoftSand | Surface::Mud => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sliding_never_grips_better_than_the_peak() {
        for surface in [
            Surface::DryRoad,
            Surface::WetRoad,
            Surface::WetEarth,
            Surface::Ice,
        ] {
            let band = grip_band(surface).unwrap();
            assert!(band.sliding.0 <= band.peak.0 && band.sliding.1 <= band.peak.1);
        }
        assert_eq!(rolling_coefficient("lava"), None);
    }
}
