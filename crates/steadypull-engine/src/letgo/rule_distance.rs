//! Standoff by rule: how far people stay back whatever a model says.
//!
//! The sources disagree, so the largest that applies is taken:
//! - wire rope under tension: twice the length paid out;
//! - observers: one cable length, on the side opposite the angle of pull;
//! - people with no task: the length of the longest cable in use;
//! - recovery strap: one and a half unstretched lengths from either vehicle.
//!
//! A rule distance never makes a computed zone smaller.

use crate::gear::strap_rule::bystander_distance;
use crate::source::{Source, Status};
use crate::units::{Angle, Length, Mass};

/// Recoil and observers.
pub const MANUAL_SOURCE: Source = Source::new(
    "US Army FM 4-30.31 (2006) ch. 4, safety precautions",
    Status::Read,
);
/// People not involved.
pub const UNINVOLVED_SOURCE: Source =
    Source::new("US Army TM 9-2320-356-BD par. 4-6 warning", Status::Read);

/// Distance from a wire rope under tension.
pub fn wire_recoil_distance(paid_out: Length) -> Length {
    paid_out * 2.0
}

/// Distance of observers from a cable under stress.
pub fn observer_distance(cable: Length) -> Length {
    cable
}

/// Distance of people with no task: the longest cable in use; nothing in use,
/// no distance.
pub fn uninvolved_distance(cables: &[Length]) -> Length {
    cables
        .iter()
        .fold(Length::ZERO, |longest, cable| longest.max(*cable))
}

/// A side of the line, seen along the pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// The side observers stand on: opposite the angle of pull (positive to the
/// left). A straight pull favours neither.
pub fn observer_side(angle_of_pull: Angle) -> Option<Side> {
    match angle_of_pull.get() {
        a if a > 0.0 => Some(Side::Right),
        a if a < 0.0 => Some(Side::Left),
        _ => None,
    }
}

/// A line in use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineInUse {
    /// Unstretched length, or length paid out of a winch.
    pub length: Length,
    /// Wire rope or chain, as against fibre.
    pub metal: bool,
}

/// The largest rule distance for the lines in use; NaN for a length that is
/// no number, so that it cannot pass for a small one.
pub fn rule_distance(lines: &[LineInUse]) -> Length {
    if lines.iter().any(|line| line.length.get().is_nan()) {
        return Length::new(f64::NAN);
    }
    let lengths: Vec<Length> = lines.iter().map(|line| line.length).collect();
    let by_line = lines.iter().map(|line| {
        if line.metal {
            wire_recoil_distance(line.length)
        } else {
            bystander_distance(line.length)
        }
    });
    by_line.fold(uninvolved_distance(&lengths), Length::max)
}

/// A block thrown when a dead line parts: its mass and the reach told of it.
///
/// 200 lb and up to 300 yards ([`MANUAL_SOURCE`]): an order of magnitude.
pub fn thrown_block() -> (Mass, Length) {
    (Mass::from_lb(200.0), Length::from_ft(900.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(length: f64, metal: bool) -> LineInUse {
        LineInUse {
            length: Length::new(length),
            metal,
        }
    }

    #[test]
    fn the_largest_rule_counts() {
        assert_eq!(
            rule_distance(&[line(9.0, false), line(5.0, true)]).get(),
            13.5
        );
        assert_eq!(
            rule_distance(&[line(9.0, false), line(20.0, true)]).get(),
            40.0
        );
        assert_eq!(rule_distance(&[]).get(), 0.0);
        assert!(
            rule_distance(&[line(9.0, false), line(f64::NAN, true)])
                .get()
                .is_nan()
        );
    }
}
