//! What a name in a run is, and where it stands.

use crate::plan::{
    Anchor, AnchorKind, Block, Bridle, Layout, Line, Part, Plan, Pose, RecoveryPoint, Shackle,
};
use crate::rig::NodeKind;
use crate::units::{Angle, Length};

/// What a name in a run is.
#[derive(Debug, Clone)]
pub(super) enum Entry<'p> {
    Line(&'p Line),
    Shackle(&'p Shackle),
    Block(&'p Block),
    Bridle(&'p Bridle),
    /// A tree or other anchor that is no vehicle.
    Post(&'p Anchor),
    /// A vehicle named without one of its points.
    Vehicle(String),
    /// A recovery point or winch.
    Point(Point),
}

/// A recovery point or winch where it stands.
#[derive(Debug, Clone)]
pub(super) struct Point {
    pub kind: NodeKind,
    pub place_m: [f64; 3],
    /// Out of the vehicle, along its axis.
    pub strong: [f64; 3],
    /// At the nose or tail, so that no line leaves across the vehicle.
    pub at_an_end: bool,
    /// On a vehicle that hauls in a tow.
    pub tows: bool,
}

/// A point this far from the middle of its vehicle is at its nose or tail (assumed).
const AT_AN_END: Length = Length::new(1.0);

impl Entry<'_> {
    /// Whether it can be the end of a run.
    pub fn is_station(&self) -> bool {
        !matches!(self, Self::Line(_) | Self::Shackle(_))
    }
}

/// What `name` is, if the plan knows it.
pub(super) fn find<'p>(plan: &'p Plan, layout: &Layout, name: &str) -> Option<Entry<'p>> {
    if let Some(part) = plan.kit.part(name) {
        return Some(match part {
            Part::Line(line) => Entry::Line(line),
            Part::Shackle(shackle) => Entry::Shackle(shackle),
            Part::Bridle(bridle) => Entry::Bridle(bridle),
            Part::Block(block) => Entry::Block(block),
        });
    }
    if let Some(anchor) = plan.kit.anchor(name) {
        return Some(match &anchor.kind {
            AnchorKind::Vehicle(vehicle) => {
                Entry::Vehicle(example_point(name, &vehicle.recovery_points))
            }
            _ => Entry::Post(anchor),
        });
    }
    vehicle_point(plan, layout, name).map(Entry::Point)
}

fn example_point(name: &str, points: &[RecoveryPoint]) -> String {
    let first = points.first().map_or("POINT", |point| &point.name);
    format!("{name}.{first}")
}

fn vehicle_point(plan: &Plan, layout: &Layout, name: &str) -> Option<Point> {
    let (owner, short) = name.split_once('.')?;
    let in_points = |points: &[RecoveryPoint], kind, pose: &Pose, tows| {
        let found = points.iter().find(|point| point.name == short)?;
        let RecoveryPoint {
            forward,
            offset,
            height,
            ..
        } = *found;
        Some(point(kind, pose, [forward, offset, height], tows))
    };
    match owner {
        "casualty" => {
            let points = &plan.casualty.vehicle.recovery_points;
            in_points(points, NodeKind::Casualty, &layout.casualty, false)
        }
        "tug" if short == "winch" => {
            let winch = plan.tug.winch.as_ref()?;
            let at = [winch.forward, Length::ZERO, winch.height];
            Some(point(NodeKind::Winch, &layout.tug, at, false))
        }
        "tug" => {
            let points = &plan.tug.vehicle.recovery_points;
            in_points(points, NodeKind::Tug, &layout.tug, true)
        }
        _ => match &plan.kit.anchor(owner)?.kind {
            AnchorKind::Vehicle(vehicle) => {
                let points = &vehicle.recovery_points;
                in_points(points, NodeKind::Anchor, &vehicle.pose, vehicle.tows)
            }
            _ => None,
        },
    }
}

fn point(kind: NodeKind, pose: &Pose, at: [Length; 3], tows: bool) -> Point {
    let [forward, left, up] = at;
    Point {
        kind,
        place_m: pose.point_m(forward, left, up),
        strong: outward(pose.facing, forward),
        at_an_end: forward.abs() >= AT_AN_END,
        tows,
    }
}

/// Along the vehicle's axis, out of the end that the point is at.
fn outward(facing: Angle, forward: Length) -> [f64; 3] {
    let sign = if forward.get() >= 0.0 { 1.0 } else { -1.0 };
    [sign * facing.cos(), sign * facing.sin(), 0.0]
}

/// The points of a bridle, if the plan knows both.
pub(super) fn bridle_points(plan: &Plan, layout: &Layout, bridle: &Bridle) -> Option<[Point; 2]> {
    let [first, second] = &bridle.points;
    Some([
        vehicle_point(plan, layout, first)?,
        vehicle_point(plan, layout, second)?,
    ])
}
