//! What the anchor of a lowering line holds, where that is known.
//!
//! A hold stated with the lowering as stated; the tug as a braked anchor as
//! elsewhere (`mu W cos a − W sin a`, CV-ANCH-01); any other anchor by
//! [`crate::gear::anchor`]. One that may never be used holds nothing.

use crate::chance::{LogNormal, quantile};
use crate::gear::anchor::{Hold, hold};
use crate::plan::{Anchor, AnchorKind, LineAnchor, Plan};
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
    let (_, hold) = hold_in_kit(plan, &anchor.name)?;
    Some(match hold.refused {
        Some(_) => Force::ZERO,
        None => hold.quantile(below),
    })
}

/// The anchor of the kit called `name` and what it holds; none if the kit has no such.
pub fn hold_in_kit<'p>(plan: &'p Plan, name: &str) -> Option<(&'p Anchor, Hold)> {
    let found = plan.kit.anchor(name)?;
    // A vehicle is taken as pulled along its axis, everything else as level.
    let pull = match &found.kind {
        AnchorKind::Vehicle(vehicle) => {
            let facing = vehicle.pose.facing;
            [facing.cos(), facing.sin(), 0.0]
        }
        _ => [1.0, 0.0, 0.0],
    };
    Some((found, hold(found, pull, plan.units)))
}
