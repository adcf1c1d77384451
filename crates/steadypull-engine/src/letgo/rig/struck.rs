//! What a free end strikes whose line ends at a vehicle.
//!
//! What it answers: of an end of line that flies to a recovery point of casualty or
//! tug, or to the tug's winch: which face of that vehicle it strikes if it comes off
//! its line at its greatest speed. The vehicle is the box of
//! [`body`](crate::letgo::body), seen from the side its nose points to; where the
//! line comes to it from further than 45° off its axis, it comes to its flank and
//! nothing is told. Ends whose line goes on round a block are not told either:
//! they fly on past it.

use super::ends::FreeEndOf;
use super::scene::{Scene, level};
use crate::letgo::body::{BodyEnd, VehicleBody};
use crate::plan::{Pose, Vehicle};
use crate::rig::{NodeKind, Side};
use crate::units::Length;

/// Least cosine between line and axis at which it comes to nose or tail.
const ALONG: f64 = 0.707;

/// The vehicle that an end flies to, with its box.
pub(super) fn far_body(scene: &Scene, end: &FreeEndOf) -> Option<(Side, VehicleBody)> {
    if !end.ends_there(scene) {
        return None;
    }
    let node = scene.node(end.towards(scene));
    let layout = scene.plan.rig.as_ref()?.layout.as_ref()?;
    let plan = scene.plan;
    let (side, vehicle, pose, sunk) = match node.kind {
        NodeKind::Casualty => (
            Side::Casualty,
            &plan.casualty.vehicle,
            &layout.casualty,
            plan.casualty.sunk.map_or(Length::ZERO, |s| s.depth),
        ),
        NodeKind::Tug | NodeKind::Winch => {
            (Side::Tug, &plan.tug.vehicle, &layout.tug, Length::ZERO)
        }
        _ => return None,
    };
    let end_of = comes_to(end.way(scene), pose)?;
    let offset = offset_of(vehicle, &node.name);
    let seen = match end_of {
        BodyEnd::Rear => offset,
        BodyEnd::Front => -offset,
    };
    Some((side, VehicleBody::new(&vehicle.shape, end_of, sunk, seen)))
}

/// Nose or tail, whichever the way leads to.
fn comes_to(way: [f64; 2], pose: &Pose) -> Option<BodyEnd> {
    let nose = level([pose.facing.cos(), pose.facing.sin(), 0.0]);
    let along = way[0] * nose[0] + way[1] * nose[1];
    if along >= ALONG {
        Some(BodyEnd::Rear)
    } else if along <= -ALONG {
        Some(BodyEnd::Front)
    } else {
        None
    }
}

/// How far a point sits to the left of its vehicle's middle; a winch sits in it.
fn offset_of(vehicle: &Vehicle, full: &str) -> Length {
    let short = full.split_once('.').map_or(full, |(_, short)| short);
    let mut points = vehicle.recovery_points.iter();
    points
        .find(|p| p.name == short)
        .map_or(Length::ZERO, |p| p.offset)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    #[test]
    fn a_way_leads_to_nose_tail_or_flank() {
        let facing = |deg: f64| Pose {
            facing: Angle::from_deg(deg),
            ..Pose::default()
        };
        let way = [1.0, 0.0];
        assert_eq!(comes_to(way, &facing(0.0)), Some(BodyEnd::Rear));
        assert_eq!(comes_to(way, &facing(180.0)), Some(BodyEnd::Front));
        assert_eq!(comes_to(way, &facing(30.0)), Some(BodyEnd::Rear));
        assert_eq!(comes_to(way, &facing(90.0)), None);
    }
}
