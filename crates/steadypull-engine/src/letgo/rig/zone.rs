//! The standoff zone of a rig laid out on the ground: nobody inside while it is loaded.
//!
//! A star-shaped polygon about the middle of all the line, one corner a ray, in the
//! plan's frame. Along each ray it reaches the largest of
//! - the rule: the furthest place within the rule distance of any part of line, and
//!   with it of every point, anchor and block;
//! - the computed reach: of each thing that could fly, the stated quantile of how far
//!   it comes down within the lobe's angle of that ray, then the largest of all things;
//! - the inside of every bight with its throw.
//!
//! The quantile is taken thing by thing, so that one that seldom comes this way is
//! not averaged away by others. Corners are pushed out until every side clears the
//! rule and the bights.
//!
//! The rule is the policy's multiple of the line paid out, run by run, never under
//! one length of the longest line or the policy's least
//! ([`crate::letgo::rule_distance`]).

use super::area::{DangerArea, danger_areas};
use super::scatter::RigScatter;
use super::scene::Scene;
use super::shape::{Capsule, Spot, from_line, polygon_reach, sides};
use crate::letgo::rule_distance::uninvolved_distance;
use crate::letgo::zone::{cleared, reach_towards};
use crate::plan::Plan;
use crate::rig::{Graph, NodeKind, Solved};
use crate::units::Length;

/// Rays, one every three degrees.
const RAYS: usize = 120;
/// Half the angle one landing stands for, as for a straight rig.
const LOBE_DEG: f64 = 12.0;

/// The rule distance of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RigRule {
    /// The distance.
    pub distance: Length,
    /// The run whose line paid out sets it, and how many times that line; none
    /// where the longest line or the policy's least does.
    pub by_run: Option<(String, f64)>,
    /// Whether that run is wire rope or chain.
    pub metal: bool,
}

/// The zone of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RigZone {
    /// Corners, anticlockwise, m in the plan's frame.
    pub corners: Vec<Spot>,
    /// Corners of the rule's share of it.
    pub rule_corners: Vec<Spot>,
    /// The bights, each with its own danger area.
    pub areas: Vec<DangerArea>,
    /// The rule.
    pub rule: RigRule,
    /// Greatest distance from the casualty's points to the edge, where these are
    /// the nearest of the rig.
    pub behind_casualty: Length,
    /// The same from the tug's points and winch.
    pub behind_tug: Length,
    /// Greatest distance from the nearest part of line to the rest of the edge.
    pub beside: Length,
    /// Greatest computed distance from the nearest part of line.
    pub computed_reach: Length,
    /// Whether the computed zone, bights included, passes the rule anywhere.
    pub computed_governs: bool,
    /// Runs that count.
    pub runs: usize,
    /// Runs that failed.
    pub failed: u32,
}

/// The zone around what `scatter` brought down.
pub fn rig_zone(plan: &Plan, graph: &Graph, solved: &Solved, scatter: &RigScatter) -> RigZone {
    let scene = Scene::new(plan, graph, solved);
    let rule = rig_rule(&scene);
    let areas = danger_areas(&scene, scatter);
    let Floor {
        middle,
        angles,
        rule_reach,
        least,
    } = Floor::of(&scene, rule.distance, &areas, RAYS);
    let groups: Vec<Vec<Vec<Spot>>> = scatter
        .groups
        .iter()
        .map(|g| g.runs.iter().map(|run| polar(run, middle)).collect())
        .collect();
    let lobe = LOBE_DEG.to_radians();
    let half_ray = libm::cos(core::f64::consts::PI / RAYS as f64);
    let reach: Vec<f64> = angles
        .iter()
        .zip(&least)
        .map(|(a, least)| {
            let of = groups
                .iter()
                .map(|g| reach_towards(g, *a, lobe, plan.policy.zone_quantile));
            // The side between two corners clears a landing between their rays.
            of.map(|r| r / half_ray).fold(*least, f64::max)
        })
        .collect();
    let corners = places(&angles, &reach, middle);
    let edge = Edge::measure(&scene, &corners);
    RigZone {
        computed_governs: reach
            .iter()
            .zip(&rule_reach)
            .any(|(r, c)| *r > c * (1.0 + 1e-9)),
        rule_corners: places(&angles, &rule_reach, middle),
        behind_casualty: Length::new(edge.casualty),
        behind_tug: Length::new(edge.tug),
        beside: Length::new(edge.beside),
        computed_reach: computed_reach(&scene, scatter),
        runs: scatter.runs(),
        failed: scatter.failed,
        corners,
        areas,
        rule,
    }
}

/// How far a zone reaches at the least, ray by ray about the middle of all the line.
pub(super) struct Floor {
    /// Middle of all the line.
    pub middle: Spot,
    /// Directions of the rays, the first along the haul, rad.
    pub angles: Vec<f64>,
    /// By the rule alone, m.
    pub rule_reach: Vec<f64>,
    /// By the rule and the inside of every bight, m.
    pub least: Vec<f64>,
}

impl Floor {
    /// Along `rays` rays, for the rule `distance` and the bights `areas`.
    pub fn of(scene: &Scene, distance: Length, areas: &[DangerArea], rays: usize) -> Self {
        let capsules = capsules(scene, distance.get());
        let middle = middle(&capsules);
        let start = libm::atan2(scene.haul_way()[1], scene.haul_way()[0]);
        let angles: Vec<f64> = (0..rays)
            .map(|k| start + core::f64::consts::TAU * k as f64 / rays as f64)
            .collect();
        let by_rule = |a: f64| {
            let reach = capsules.iter().map(|c| c.reach(middle, a));
            reach.fold(0.0, f64::max)
        };
        let with_bights = |a: f64| {
            let reach = areas.iter().map(|b| polygon_reach(&b.corners, middle, a));
            reach.fold(by_rule(a), f64::max)
        };
        let clear = |edge: &dyn Fn(f64) -> f64| {
            let reach: Vec<f64> = angles.iter().map(|a| edge(*a)).collect();
            cleared(&angles, &reach, edge)
        };
        let (rule_reach, least) = (clear(&by_rule), clear(&with_bights));
        Self {
            middle,
            angles,
            rule_reach,
            least,
        }
    }
}

/// The largest rule that applies.
pub(super) fn rig_rule(scene: &Scene) -> RigRule {
    let policy = &scene.plan.policy;
    let lengths: Vec<Length> = (0..scene.graph.runs.len())
        .map(|r| scene.solved.paid_out(r))
        .collect();
    let mut rule = RigRule {
        distance: policy.standoff_min.max(uninvolved_distance(&lengths)),
        by_run: None,
        metal: false,
    };
    for (r, length) in lengths.iter().enumerate() {
        let metal = scene.pieces[r].iter().flatten().any(|p| {
            let line = p.stretchy.as_ref().map(|s| s.line.material);
            line.is_some_and(|m| m.is_metal())
        });
        let times = if metal {
            policy.standoff_wire_lengths
        } else {
            policy.standoff_line_lengths
        };
        if *length * times > rule.distance {
            rule = RigRule {
                distance: *length * times,
                by_run: Some((scene.graph.runs[r].name.clone(), times)),
                metal,
            };
        }
    }
    rule
}

fn spot(p: [f64; 3]) -> Spot {
    (p[0], p[1])
}

/// One around every part of line.
pub(super) fn capsules(scene: &Scene, radius: f64) -> Vec<Capsule> {
    let parts = scene.graph.runs.iter().flat_map(|run| run.stops.windows(2));
    parts
        .map(|w| Capsule {
            a: spot(scene.place(w[0].node)),
            b: spot(scene.place(w[1].node)),
            radius,
        })
        .collect()
}

/// The middle of all the line.
pub(super) fn middle(capsules: &[Capsule]) -> Spot {
    let (mut sum, mut all) = ((0.0, 0.0), 0.0);
    for c in capsules {
        let length = from_line(c.a, c.b, c.b).0.max(1e-6);
        sum.0 += 0.5 * length * (c.a.0 + c.b.0);
        sum.1 += 0.5 * length * (c.a.1 + c.b.1);
        all += length;
    }
    if all > 0.0 {
        (sum.0 / all, sum.1 / all)
    } else {
        (0.0, 0.0)
    }
}

fn polar(run: &[Spot], middle: Spot) -> Vec<Spot> {
    run.iter()
        .filter(|p| p.0.is_finite() && p.1.is_finite())
        .map(|p| {
            let (x, y) = (p.0 - middle.0, p.1 - middle.1);
            (libm::atan2(y, x), (x * x + y * y).sqrt())
        })
        .collect()
}

fn places(angles: &[f64], reach: &[f64], middle: Spot) -> Vec<Spot> {
    let at = |(a, r): (&f64, &f64)| (middle.0 + r * libm::cos(*a), middle.1 + r * libm::sin(*a));
    angles.iter().zip(reach).map(at).collect()
}

/// Greatest distances from the rig to the edge.
#[derive(Default)]
struct Edge {
    casualty: f64,
    tug: f64,
    beside: f64,
}

impl Edge {
    /// By what of the rig is nearest to each place on the edge.
    fn measure(scene: &Scene, corners: &[Spot]) -> Self {
        const BETWEEN: usize = 4;
        let mut out = Self::default();
        for (a, b) in sides(corners) {
            for j in 0..BETWEEN {
                let t = j as f64 / BETWEEN as f64;
                let p = (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
                let (away, at) = nearest(scene, p);
                let most = match at.map(|n| scene.node(n).kind) {
                    Some(NodeKind::Casualty) => &mut out.casualty,
                    Some(NodeKind::Tug | NodeKind::Winch) => &mut out.tug,
                    _ => &mut out.beside,
                };
                *most = most.max(away);
            }
        }
        out
    }
}

/// Distance to the nearest part of line, and the node if it is nearest at one.
pub(super) fn nearest(scene: &Scene, p: Spot) -> (f64, Option<usize>) {
    let mut best = (f64::INFINITY, None);
    for run in &scene.graph.runs {
        for w in run.stops.windows(2) {
            let (a, b) = (w[0].node, w[1].node);
            let (away, share) = from_line(p, spot(scene.place(a)), spot(scene.place(b)));
            let at = match share {
                0.0 => Some(a),
                1.0 => Some(b),
                _ => None,
            };
            if away < best.0 {
                best = (away, at);
            }
        }
    }
    best
}

fn computed_reach(scene: &Scene, scatter: &RigScatter) -> Length {
    let points = scatter.groups.iter().flat_map(|g| g.runs.iter().flatten());
    let away = points
        .filter(|p| p.0.is_finite() && p.1.is_finite())
        .map(|p| nearest(scene, *p).0);
    Length::new(away.filter(|d| d.is_finite()).fold(0.0, f64::max))
}
