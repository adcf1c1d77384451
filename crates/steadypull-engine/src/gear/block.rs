//! Blocks and tackles: load on a block, loss, real advantage, fall line.
//!
//! - load on a block `F = 2 T cos(a/2)`, `a` the angle between its two lines;
//! - across one sheave the tension falls by 1/1.09 (plain bearing) or 1/1.04
//!   (rolling bearing); round a post or trunk it changes by `exp(mu w)`;
//! - advantage of `n` parts, haul line leaving the moving side: the sum
//!   `1 + e + e² + …` of `n` terms, `e` the share that survives each sheave;
//! - lead line leaving the fixed block: `K^n (K − 1)/(K^n − 1)` of the load;
//! - army rule: total `R (1 + s n)`, fall line that over the advantage.

use crate::source::{Source, Status};
use crate::units::{Angle, Force};

/// Load on a block.
pub const BLOCK_SOURCE: Source = Source::new("statics", Status::Computed);
/// Sheave loss and lead line factor; the formula is from memory.
pub const SHEAVE_SOURCE: Source = Source::new("Wire Rope Users Manual 4th ed. p. 88", Status::Read);
/// Capstan friction.
pub const CAPSTAN_SOURCE: Source = Source::new("Euler-Eytelwein", Status::Computed);
/// The army's tackle rule.
pub const TACKLE_SOURCE: Source = Source::new(
    "US Army TB 9-2350-292-10, method of rigging, steps 2-5",
    Status::Read,
);
/// Share of the load lost at each sheave by the army's rule (from memory).
pub const TACKLE_SHARE_PER_SHEAVE: f64 = 0.10;

/// Load a line at `tension` puts on a block, its two parts `between` apart.
pub fn block_load(tension: Force, between: Angle) -> Force {
    let load = 2.0 * tension.get() * libm::cos(0.5 * between.get());
    Force::new(load.abs())
}

/// Load on a block whose two lines, `between` apart, pull unalike: friction takes
/// its share on the way round.
pub fn unequal_load(first: Force, second: Force, between: Angle) -> Force {
    let (a, b) = (first.get(), second.get());
    let square = a * a + b * b + 2.0 * a * b * between.cos();
    Force::new(square.max(0.0).sqrt())
}

/// What a sheave turns on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bearing {
    /// Plain (bronze) bush.
    Plain,
    /// Rolling bearing.
    Rolling,
}

impl Bearing {
    /// Line load after one more sheave over the load before it.
    pub fn load_factor(self) -> f64 {
        match self {
            Self::Plain => 1.09,
            Self::Rolling => 1.04,
        }
    }

    /// Share of tension that survives one sheave.
    pub fn efficiency(self) -> f64 {
        1.0 / self.load_factor()
    }
}

/// Share that survives wire rope over a good rolling-bearing sheave
/// (wire rope maker technical note 09.4, read).
pub const WIRE_ON_ROLLING_SHEAVE: f64 = 0.98;

/// Ratio of the tensions either side of a post, tree or ring.
pub fn capstan_ratio(friction: f64, wrap: Angle) -> f64 {
    libm::exp(friction * wrap.get())
}

/// Pull on the load over haul tension, for `parts` of line on the moving side.
pub fn real_advantage(parts: u32, efficiency: f64) -> f64 {
    let mut share = 1.0;
    let mut sum = 0.0;
    for _ in 0..parts {
        sum += share;
        share *= efficiency;
    }
    sum
}

/// Lead line tension over load with the lead leaving the fixed block; `None`
/// for no parts at all.
pub fn lead_line_factor(parts: u32, bearing: Bearing) -> Option<f64> {
    if parts == 0 {
        return None;
    }
    let k = bearing.load_factor();
    let power = libm::pow(k, f64::from(parts));
    Some(power * (k - 1.0) / (power - 1.0))
}

/// Lead line tension after `extra` more sheaves on its way to the winch.
pub fn lead_line_tension(load: Force, parts: u32, bearing: Bearing, extra: u32) -> Option<Force> {
    let factor = lead_line_factor(parts, bearing)?;
    Some(load * (factor * libm::pow(bearing.load_factor(), f64::from(extra))))
}

/// Rigging step 4: the load with the resistance of the tackle added.
pub fn total_resistance(load: Force, share_per_sheave: f64, sheaves: u32) -> Force {
    load * (1.0 + share_per_sheave * f64::from(sheaves))
}

/// Rigging step 5: tension in the fall line; `None` without an advantage.
pub fn fall_line(total: Force, advantage: f64) -> Option<Force> {
    (advantage > 0.0).then(|| total / advantage)
}

/// Least whole advantage whose fall line stays below what the winch can pull;
/// `None` when no number of parts would do.
pub fn least_advantage(total: Force, winch_capacity: Force) -> Option<u32> {
    let parts = total / winch_capacity;
    if !(parts.is_finite() && parts >= 0.0 && parts < f64::from(u32::MAX)) {
        return None;
    }
    Some(parts as u32 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_part_is_no_advantage_and_no_parts_none() {
        assert_eq!(real_advantage(1, 0.9), 1.0);
        assert_eq!(real_advantage(0, 0.9), 0.0);
        assert_eq!(real_advantage(4, 1.0), 4.0);
        assert_eq!(lead_line_factor(0, Bearing::Plain), None);
        assert_eq!(fall_line(Force::new(1.0), 0.0), None);
        assert_eq!(fall_line(Force::new(1.0), f64::NAN), None);
    }

    #[test]
    fn a_straight_line_leaves_a_block_unloaded() {
        let load = block_load(Force::new(1e4), Angle::from_deg(180.0));
        assert!(load.get() < 1e-9);
    }

    #[test]
    fn unequal_pulls_add_up_as_vectors() {
        let (a, b) = (Force::new(3e3), Force::new(4e3));
        let load = |deg: f64| unequal_load(a, b, Angle::from_deg(deg)).get();
        assert!((load(0.0) - 7e3).abs() < 1e-9);
        assert!((load(90.0) - 5e3).abs() < 1e-9);
        assert!((load(180.0) - 1e3).abs() < 1e-6);
        let alike = unequal_load(a, a, Angle::from_deg(50.0));
        assert!((alike / block_load(a, Angle::from_deg(50.0)) - 1.0).abs() < 1e-12);
    }
}
