//! What the tug can do on its own ground.
//!
//! Steady pull `min(mu W s cos a, F_drive) − W sin a − f W cos a`: grip `mu` on
//! the driven share `s` of weight, greatest drive force, grade, rolling. As a
//! braked anchor all wheels hold: `mu W cos a − W sin a` when pulled back down
//! the slope it pulls up (CV-ANCH-01).

use super::resistance::{ForceRange, SAMPLES, driven_share};
use crate::chance::{Column, LogNormal};
use crate::plan::Tug;
use crate::units::Force;

/// Crawling speed at which engine power limits a steady pull, m/s.
const CRAWL_M_S: f64 = 0.7;
/// Stream of the tug's grip, past the streams of the resistance's terms.
const GRIP_STREAM: u64 = 100;

/// The tug's ability, sample by sample.
#[derive(Debug, Clone, PartialEq)]
pub struct TugAbility {
    /// Steady pull, N, sample by sample.
    pub steady_samples: Vec<f64>,
    /// Its range.
    pub steady: ForceRange,
    /// Hold as a braked anchor, N, sample by sample.
    pub anchor_samples: Vec<f64>,
    /// Force at which it slides when braked.
    pub anchor: ForceRange,
    /// Whether grip (else drive) limits the median pull.
    pub limited_by_grip: bool,
}

/// Greatest drive force that engine and gearing give at a crawl.
pub fn drive_limit(tug: &Tug) -> Force {
    tug.max_drive.min(Force::new(tug.power.get() / CRAWL_M_S))
}

/// Force of grade and rolling on the tug while it pulls; may help downhill.
pub fn own_resistance(tug: &Tug) -> Force {
    let weight = tug.vehicle.mass.weight();
    weight * tug.slope_along.sin() + weight * (tug.rolling * tug.slope_along.cos())
}

/// Grip at the driven wheels for a coefficient `mu`.
pub fn grip_force(tug: &Tug, mu: f64) -> Force {
    let carried = driven_share(tug.vehicle.driven) * tug.slope_along.cos();
    tug.vehicle.mass.weight() * (mu * carried)
}

/// What the tug can do.
pub fn tug_ability(tug: &Tug, seed: u64) -> TugAbility {
    let column = Column::new(seed, GRIP_STREAM, SAMPLES);
    let grip = LogNormal::new(tug.grip, tug.grip_spread);
    let weight = tug.vehicle.mass.weight();
    let own = own_resistance(tug);
    let limit = drive_limit(tug);
    let mut steady_samples = Vec::with_capacity(SAMPLES);
    let mut anchor_samples = Vec::with_capacity(SAMPLES);
    for i in 0..SAMPLES {
        let mu = grip.quantile(column.level(i));
        let pull = grip_force(tug, mu).min(limit) - own;
        steady_samples.push(pull.max(Force::ZERO).get());
        let hold = weight * (mu * tug.slope_along.cos() - tug.slope_along.sin());
        anchor_samples.push(hold.max(Force::ZERO).get());
    }
    TugAbility {
        steady: ForceRange::of(&steady_samples),
        anchor: ForceRange::of(&anchor_samples),
        limited_by_grip: grip_force(tug, tug.grip) < limit,
        steady_samples,
        anchor_samples,
    }
}
