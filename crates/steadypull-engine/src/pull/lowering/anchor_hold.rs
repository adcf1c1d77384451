//! What the anchor of a lowering line holds, where that is known.
//!
//! The tug as a braked anchor as elsewhere (`mu W cos a − W sin a`, CV-ANCH-01);
//! another braked vehicle alike; a stated hold as stated. What else an anchor
//! holds is not guessed here: state it.

use crate::chance::{LogNormal, quantile};
use crate::plan::{AnchorKind, AnchorVehicle, LineAnchor, Plan};
use crate::situation::tug_ability;
use crate::units::Force;

/// The name that means the tug.
pub const TUG: &str = "tug";

/// What `anchor` holds at least with probability `sure`.
pub fn anchor_hold(plan: &Plan, anchor: &LineAnchor, sure: f64) -> Option<Force> {
    let below = 1.0 - sure;
    if let Some((holds, spread)) = anchor.holds {
        let stated = LogNormal::new(holds.get(), spread);
        return Some(Force::new(stated.quantile(below)));
    }
    if anchor.name == TUG {
        let mut samples = tug_ability(&plan.tug, plan.seed).anchor_samples;
        samples.sort_by(f64::total_cmp);
        return Some(Force::new(quantile(&samples, below)));
    }
    match &plan.kit.anchor(&anchor.name)?.kind {
        AnchorKind::Stated(stated) => {
            let hold = LogNormal::new(stated.holds.get(), stated.spread);
            Some(Force::new(hold.quantile(below)))
        }
        AnchorKind::Vehicle(vehicle) => Some(braked(vehicle, below)),
        _ => None,
    }
}

fn braked(vehicle: &AnchorVehicle, below: f64) -> Force {
    let mu = LogNormal::new(vehicle.grip, vehicle.grip_spread).quantile(below);
    let a = vehicle.slope_along;
    (vehicle.mass.weight() * (mu * a.cos() - a.sin())).max(Force::ZERO)
}
