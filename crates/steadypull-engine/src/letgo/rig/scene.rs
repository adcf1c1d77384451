//! A rig under load with all that a let-go asks of it.

use super::pieces::{Piece, pieces};
use super::terrain::Terrain;
use crate::letgo::LinePart;
use crate::letgo::bodies::{minus, plus, square, times};
use crate::plan::Plan;
use crate::rig::{Graph, Meets, Node, Solved};

/// A rig under load.
pub(super) struct Scene<'a> {
    pub plan: &'a Plan,
    pub graph: &'a Graph,
    /// Under load, but no line over its own strength.
    pub solved: Solved,
    pub pieces: Vec<Vec<Vec<Piece>>>,
    pub terrain: Terrain,
    /// Strength over tension of the line that is nearest to its strength, at least 1.
    pub in_hand: f64,
}

/// A stretch of line seen from one of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pull {
    pub run: usize,
    pub segment: usize,
    /// The node at its other end.
    pub other: usize,
    /// Towards that, a unit vector.
    pub way: [f64; 3],
    pub tension_n: f64,
    /// Made fast here, as against passing.
    pub fast: bool,
}

impl<'a> Scene<'a> {
    /// Of `graph` under `solved`, whose lines carry at most their strength: no
    /// part can let go at a load that the lines do not bring.
    pub fn new(plan: &'a Plan, graph: &'a Graph, solved: &Solved) -> Self {
        let pieces = pieces(plan, graph, solved);
        let mut least = f64::INFINITY;
        for (run, under_load) in pieces.iter().zip(&solved.runs) {
            for (segment, tension_n) in run.iter().zip(&under_load.tension_n) {
                let lines = segment.iter().filter_map(|p| p.stretchy.as_ref());
                for line in lines.filter(|_| *tension_n > 0.0) {
                    least = least.min(line.law.breaking_n() / tension_n);
                }
            }
        }
        Self {
            plan,
            graph,
            solved: solved.scaled(least.min(1.0)),
            pieces,
            terrain: Terrain::under(plan, graph, solved),
            in_hand: least.max(1.0),
        }
    }

    /// Where a node is, m.
    pub fn place(&self, node: usize) -> [f64; 3] {
        self.solved.nodes[node].place_m
    }

    /// A node.
    pub fn node(&self, node: usize) -> &Node {
        &self.graph.nodes[node]
    }

    /// From stop `segment` of a run to the next, a unit vector.
    pub fn way(&self, run: usize, segment: usize) -> [f64; 3] {
        let stops = &self.graph.runs[run].stops;
        unit(minus(
            self.place(stops[segment + 1].node),
            self.place(stops[segment].node),
        ))
    }

    /// Tension in a part of line, N.
    pub fn tension_n(&self, run: usize, segment: usize) -> f64 {
        let under_load = &self.solved.runs[run];
        let slack = under_load.slack;
        let tension = under_load.tension_n.get(segment).copied().unwrap_or(0.0);
        if slack || !tension.is_finite() {
            0.0
        } else {
            tension
        }
    }

    /// The lines of a part of line, ready to recoil from `share` of its tension.
    pub fn line_parts(&self, run: usize, segment: usize, share: f64) -> Vec<LinePart> {
        let tension_n = self.tension_n(run, segment) * share;
        if tension_n <= 0.0 {
            return Vec::new();
        }
        let lines = self.pieces[run][segment]
            .iter()
            .filter_map(|p| p.stretchy.as_ref());
        lines.map(|s| s.line_part(tension_n, 1.0)).collect()
    }

    /// All the lines of a run, each at its tension.
    pub fn run_parts(&self, run: usize, share: f64) -> Vec<LinePart> {
        (0..self.pieces[run].len())
            .flat_map(|segment| self.line_parts(run, segment, share))
            .collect()
    }

    /// Everything that pulls on a node.
    pub fn pulls_on(&self, node: usize) -> Vec<Pull> {
        let mut found = Vec::new();
        for (r, run) in self.graph.runs.iter().enumerate() {
            for (i, stop) in run.stops.iter().enumerate() {
                if stop.node != node {
                    continue;
                }
                let fast = stop.meets == Meets::Fast;
                let mut add = |segment: usize, other: usize, sign: f64| {
                    found.push(Pull {
                        run: r,
                        segment,
                        other: run.stops[other].node,
                        way: times(sign, self.way(r, segment)),
                        tension_n: self.tension_n(r, segment),
                        fast,
                    });
                };
                if i > 0 {
                    add(i - 1, i - 1, -1.0);
                }
                if i + 1 < run.stops.len() {
                    add(i, i + 1, 1.0);
                }
            }
        }
        found
    }

    /// Level direction along which the casualty is pulled.
    pub fn haul_way(&self) -> [f64; 2] {
        level([self.solved.way[0], self.solved.way[1], 0.0])
    }

    /// On which side of the haul a direction goes, in words.
    pub fn side(&self, way: [f64; 3]) -> &'static str {
        let (h, w) = (self.haul_way(), level(way));
        let along = h[0] * w[0] + h[1] * w[1];
        let left = h[0] * w[1] - h[1] * w[0];
        // Ten degrees either way still count as along.
        if left > 0.174 {
            "to the left of the pull"
        } else if left < -0.174 {
            "to the right of the pull"
        } else if along < 0.0 {
            "back against the pull"
        } else {
            "along the pull"
        }
    }
}

/// Distance between two places, m.
pub(super) fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    square(minus(a, b)).sqrt()
}

/// `v` at unit length; nothing of nothing.
pub(super) fn unit(v: [f64; 3]) -> [f64; 3] {
    let size = square(v).sqrt();
    if size > 1e-12 {
        times(1.0 / size, v)
    } else {
        [0.0; 3]
    }
}

/// The level part of `v` at unit length; along x where there is none.
pub(super) fn level(v: [f64; 3]) -> [f64; 2] {
    let size = (v[0] * v[0] + v[1] * v[1]).sqrt();
    if size > 1e-9 {
        [v[0] / size, v[1] / size]
    } else {
        [1.0, 0.0]
    }
}

/// The mirror image of `p` in the straight line through `a` and `b`.
pub(super) fn mirrored(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    let along = unit(minus(b, a));
    let from = minus(p, a);
    let share = from[0] * along[0] + from[1] * along[1] + from[2] * along[2];
    let foot = plus(a, share, along);
    plus(foot, -1.0, minus(p, foot))
}
