//! The danger area of each bight.
//!
//! A line that goes round a block stores a bight's worth of slack: if the block or
//! what holds it lets go, block and line fly into the bight and out on its other
//! side. The area is the convex hull of the two parts of line, of the place to which
//! the block swings on its line, and of where it lands if it comes off, at the
//! policy's quantile.

use super::scatter::RigScatter;
use super::scene::{Scene, mirrored};
use super::shape::{Spot, hull};
use crate::letgo::bodies::{dot, plus, square};
use crate::rig::Meets;

/// Deflection under which a line counts as straight, as the cosine of 3 deg.
const STRAIGHT: f64 = 0.9986;

/// A part of the zone with a danger of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct DangerArea {
    /// What it is called.
    pub name: String,
    /// Why nobody goes in.
    pub why: String,
    /// On which side of the rig observers may stand as far as this area goes.
    pub observers: String,
    /// Corners, anticlockwise, m in the plan's frame.
    pub corners: Vec<Spot>,
}

/// One a node that a loaded line goes round.
pub(super) fn danger_areas(scene: &Scene, scatter: &RigScatter) -> Vec<DangerArea> {
    (0..scene.graph.nodes.len())
        .filter_map(|n| bight(scene, n, scatter))
        .collect()
}

fn bight(scene: &Scene, n: usize, scatter: &RigScatter) -> Option<DangerArea> {
    let here = scene.place(n);
    let mut spots: Vec<Spot> = Vec::new();
    let mut way = [0.0; 3];
    for (r, run) in scene.graph.runs.iter().enumerate() {
        for i in 1..run.stops.len().saturating_sub(1) {
            let stop = run.stops[i];
            let loaded = scene.tension_n(r, i) > 0.0 || scene.tension_n(r, i - 1) > 0.0;
            let straight = dot(scene.way(r, i - 1), scene.way(r, i)) > STRAIGHT;
            if stop.node != n || stop.meets == Meets::Fast || !loaded || straight {
                continue;
            }
            let (a, b) = (
                scene.place(run.stops[i - 1].node),
                scene.place(run.stops[i + 1].node),
            );
            let across = mirrored(here, a, b);
            spots.extend([here, a, b, across].map(|p| (p[0], p[1])));
            way = plus(way, -1.0, scene.way(r, i - 1));
            way = plus(way, 1.0, scene.way(r, i));
        }
    }
    if spots.is_empty() || square(way) == 0.0 {
        return None;
    }
    for group in scatter.groups.iter().filter(|g| g.node == Some(n)) {
        spots.extend(within_quantile(
            &group.runs,
            (here[0], here[1]),
            scene.plan.policy.zone_quantile,
        ));
    }
    let name = &scene.node(n).name;
    let into = scene.side(way);
    Some(DangerArea {
        name: format!("bight at {name}"),
        why: format!(
            "if {name} or what holds it lets go, it and the line fly into the bight, {into}"
        ),
        observers: format!("on the outside of the bight at {name}, {}", opposite(into)),
        corners: hull(&spots),
    })
}

/// The side away from the bight.
fn opposite(into: &str) -> &'static str {
    match into {
        "to the left of the pull" => "to the right of the pull",
        "to the right of the pull" => "to the left of the pull",
        "along the pull" => "back against the pull and well to the side",
        _ => "along the pull and well to the side",
    }
}

/// Landings of the runs that reach no further than the quantile.
fn within_quantile(runs: &[Vec<Spot>], from: Spot, quantile: f64) -> Vec<Spot> {
    let reach = |run: &Vec<Spot>| {
        let away = |p: &Spot| libm::hypot(p.0 - from.0, p.1 - from.1);
        run.iter().map(away).fold(0.0, f64::max)
    };
    let mut sorted: Vec<&Vec<Spot>> = runs.iter().collect();
    sorted.sort_by(|a, b| reach(a).total_cmp(&reach(b)));
    let rank = libm::ceil(quantile.clamp(0.0, 1.0) * (runs.len() + 1) as f64) as usize;
    sorted.into_iter().take(rank).flatten().copied().collect()
}
