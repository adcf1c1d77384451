//! Wet, worn, knotted: what is left of a line's strength and stretch.

use super::Material;
use crate::gear::knot::{Knot, left_by};

/// The state a line is in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Wet through.
    pub wet: bool,
    /// 0 new to 1 worn out.
    pub wear: f64,
    /// Knot in the load path.
    pub knot: Knot,
    /// Greatest strain seen today and not recovered; 0 when rested.
    pub strain_seen: f64,
}

impl Default for Condition {
    fn default() -> Self {
        Self {
            wet: false,
            wear: 0.0,
            knot: Knot::None,
            strain_seen: 0.0,
        }
    }
}

/// Wet nylon keeps this share of its strength
/// (UFC 4-159-03 table 6-8 note: reduce by 15 %).
pub const WET_NYLON_STRENGTH: f64 = 0.85;
/// Wet nylon keeps this share of its stretch at a given share of its strength
/// (assumed; CV-STRAP-07 gives the sign only).
pub const WET_NYLON_STRETCH: f64 = 0.9;
/// A worn-out line keeps this share of its strength
/// (mean of seven old nylon lines, CV-AGE-01).
pub const WORN_OUT_STRENGTH: f64 = 0.3407;
/// A worn-out line keeps this share of its stretch (assumed; TF-03 gives the
/// bound: under 5 % at half of MBS).
pub const WORN_OUT_STRETCH: f64 = 0.4;

impl Condition {
    /// Share of stretch left.
    pub fn stretch_factor(&self, material: Material) -> f64 {
        let wet = if self.wet && material.is_nylon() {
            WET_NYLON_STRETCH
        } else {
            1.0
        };
        wet * (1.0 - (1.0 - WORN_OUT_STRETCH) * self.wear)
    }

    /// Share of strength left: the product of [`strength_factors`].
    pub fn strength_factor(&self, material: Material) -> f64 {
        strength_factors(self, material)
            .iter()
            .map(|f| f.1)
            .product()
    }
}

/// Each reduction of strength that applies: what, factor, source.
pub fn strength_factors(
    condition: &Condition,
    material: Material,
) -> Vec<(&'static str, f64, &'static str)> {
    let mut factors = Vec::new();
    if condition.wet && material.is_nylon() {
        factors.push(("wet", WET_NYLON_STRENGTH, "UFC 4-159-03 table 6-8 note"));
    }
    if condition.wear > 0.0 {
        factors.push((
            "wear",
            1.0 - (1.0 - WORN_OUT_STRENGTH) * condition.wear,
            "straight line to the mean of seven old nylon lines (CV-AGE-01)",
        ));
    }
    let knot = left_by(condition.knot, material.is_hmpe());
    factors.extend(knot.map(|(left, source)| (join_word(condition.knot), left, source)));
    factors
}

/// What a knot is called among the reductions.
fn join_word(knot: Knot) -> &'static str {
    match knot {
        Knot::EyeSplice | Knot::ShortSplice | Knot::HandSplice => "splice",
        Knot::Clips | Knot::SwagedSocket => "termination",
        _ => "knot",
    }
}
