//! A ground plate held by pins driven through it.
//!
//! No published rule for the hold of such a plate was found (US Army FM 5-125
//! ch. 4 shows one, a steel box plate with nine holes, and gives no figure, from
//! memory). Each pin is taken as the steel picket of CV-PICK-05, 1.5 m by 25 mm and
//! two thirds in the ground; pins side by side share the soil between them, so
//! more than one counts 0.7 of their sum. Both are assumed and the spread, 0.5, is
//! wide on purpose: a maker's own figure belongs in a `stated` anchor.

use super::pickets::{self, STEEL_EACH};
use super::{Hold, Pull, Way};
use crate::chance::LogNormal;
use crate::plan::GroundPlate;
use crate::source::{Source, Status};
use crate::units::Force;

/// The rule.
pub const SOURCE: Source = Source::new(
    "assumed: each pin as the steel picket of the Australian Emergency Manual, \
     Disaster Rescue par. 8.3",
    Status::Assumed,
);

/// Share of the sum of single pins that a group holds (assumed).
pub const GROUP: f64 = 0.7;
/// Spread (assumed).
const SPREAD: f64 = 0.5;

/// Hold of a plate with so many pins in good ground.
pub fn plate_hold(pins: u8) -> Force {
    let together = if pins > 1 { GROUP } else { 1.0 };
    STEEL_EACH * (f64::from(pins) * together)
}

/// What the plate holds.
pub(super) fn hold(name: &str, plate: &GroundPlate, pull: Pull) -> Hold {
    let share = pickets::ground_share(plate.ground) * pickets::lift_share(pull);
    let mut hold = Hold::of(vec![Way {
        what: "draws its pins",
        load: LogNormal::new((plate_hold(plate.pins) * share).get(), SPREAD),
        less: Force::ZERO,
        method: format!(
            "{} pins, each as a steel picket{}",
            plate.pins,
            pickets::in_ground(plate.ground)
        ),
        source: SOURCE,
    }]);
    hold.findings.extend(pickets::steep(name, pull));
    hold
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_holds_less_than_its_sum_and_more_than_one() {
        assert_eq!(plate_hold(1), STEEL_EACH);
        assert_eq!(plate_hold(0), Force::ZERO);
        for pins in 2..20 {
            assert!(plate_hold(pins) > plate_hold(pins - 1));
            assert!(plate_hold(pins) < STEEL_EACH * f64::from(pins));
        }
    }
}
