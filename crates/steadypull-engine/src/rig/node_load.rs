//! The load on a node of a solved rig, with its direction.
//!
//! A node that moves is in balance: all pulls on it add up to nothing, so the
//! sum says nothing about what the part itself carries. Here the load is, with
//! `T` the tension of a part of line and `u` its direction away from the node:
//!
//! - on a node that stays: the sum of all `T u`, what the ground or vehicle holds;
//! - on a block or ring that moves: the sum of `T u` of the line round it, what
//!   its hanger carries;
//! - on the apex of a bridle that moves: the greatest `T u` of one line.
//!
//! Parts of line are straight between nodes (sag is left out), as in the solver.

use super::graph::{Graph, Meets, NodeKind};
use super::solved::{Solved, SolvedNode, Vector};
use super::statics::vector::{plus, size, towards};
use crate::units::{Angle, Force};

/// The load on a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeLoad {
    /// Along x, y and z, N.
    pub pull: Vector,
    /// Its size.
    pub size: Force,
}

/// Which way a vector points.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Direction {
    /// In plan, anticlockwise from +x, −180 to 180 deg.
    pub plan: Angle,
    /// Above level, −90 to 90 deg.
    pub rise: Angle,
}

impl Direction {
    /// The direction of `v`; none for nothing.
    pub fn of(v: Vector) -> Option<Self> {
        let level = libm::sqrt(v[0] * v[0] + v[1] * v[1]);
        (size(v) > 0.0).then(|| Self {
            plan: Angle::new(libm::atan2(v[1], v[0])),
            rise: Angle::new(libm::atan2(v[2], level)),
        })
    }
}

impl SolvedNode {
    /// How far it moves for a metre of casualty movement, m.
    pub fn travel_size(&self) -> f64 {
        size(self.travel)
    }
}

/// The load on node `index`.
pub fn node_load(graph: &Graph, solved: &Solved, index: usize) -> NodeLoad {
    let node = &graph.nodes[index];
    let at = &solved.nodes[index];
    match (node.fixed, node.kind) {
        (true, _) => NodeLoad {
            pull: at.load_n,
            size: at.carries,
        },
        (false, NodeKind::Apex) => {
            let pull = greatest(&pulls_on(graph, solved, index));
            NodeLoad {
                pull,
                size: Force::new(size(pull)),
            }
        }
        (false, _) => NodeLoad {
            pull: of_line_round(&pulls_on(graph, solved, index)),
            size: at.carries,
        },
    }
}

/// The pull of one part of line on a node.
struct Pull {
    /// N.
    pull: Vector,
    /// Whether its line goes round the node, rather than being made fast to it.
    round: bool,
}

fn pulls_on(graph: &Graph, solved: &Solved, index: usize) -> Vec<Pull> {
    let here = solved.nodes[index].place_m;
    let mut pulls = Vec::new();
    for (run, under) in graph.runs.iter().zip(&solved.runs) {
        for (i, stop) in run.stops.iter().enumerate() {
            if stop.node != index {
                continue;
            }
            let before = i.checked_sub(1).map(|b| (b, run.stops[b].node));
            let after = run.stops.get(i + 1).map(|next| (i, next.node));
            for (part, other) in before.into_iter().chain(after) {
                let there = solved.nodes[other].place_m;
                let tension = under.tension_n.get(part).copied().unwrap_or(0.0);
                pulls.push(Pull {
                    pull: towards(here, there).0.map(|c| c * tension),
                    round: stop.meets != Meets::Fast,
                });
            }
        }
    }
    pulls
}

fn greatest(pulls: &[Pull]) -> Vector {
    let larger = |a: Vector, b: Vector| if size(b) > size(a) { b } else { a };
    pulls.iter().map(|p| p.pull).fold([0.0; 3], larger)
}

fn of_line_round(pulls: &[Pull]) -> Vector {
    let round = pulls.iter().filter(|p| p.round).map(|p| p.pull);
    round.fold([0.0; 3], |sum, pull| plus(sum, pull, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::graph::{GraphRun, Holds, Motion, Node, Stop};
    use crate::rig::solved::SolvedRun;
    use crate::units::Length;

    fn node(name: &str, kind: NodeKind, fixed: bool) -> Node {
        Node {
            name: name.into(),
            kind,
            place_m: [0.0; 3],
            fixed,
            strong: None,
        }
    }

    fn solved_node(place_m: Vector, load_n: Vector, carries: f64) -> SolvedNode {
        SolvedNode {
            place_m,
            load_n,
            carries: Force::new(carries),
            included: None,
            side_angle: None,
            travel: [0.0; 3],
        }
    }

    /// A redirect block on a strap: the winch line comes along x and leaves along y.
    fn redirect() -> (Graph, Solved) {
        let stop = |node, meets| Stop { node, meets };
        let run = |name: &str, stops, holds| GraphRun {
            name: name.into(),
            stops,
            parts: Vec::new(),
            holds,
            rest_m: 1.0,
            stiffness_n: 1e6,
        };
        let graph = Graph {
            nodes: vec![
                node("casualty.front", NodeKind::Casualty, true),
                node("block", NodeKind::Block, false),
                node("tug.winch", NodeKind::Winch, true),
                node("tree", NodeKind::Anchor, true),
            ],
            runs: vec![
                run(
                    "haul",
                    vec![
                        stop(0, Meets::Fast),
                        stop(1, Meets::Sheave(1.0)),
                        stop(2, Meets::Fast),
                    ],
                    Holds::Hauled { share: 1.0 },
                ),
                run(
                    "strap",
                    vec![stop(3, Meets::Fast), stop(1, Meets::Fast)],
                    Holds::Length(1.0),
                ),
            ],
            motion: Motion::Frictionless,
        };
        let s = libm::sqrt(2.0);
        let solved = Solved {
            nodes: vec![
                solved_node([-5.0, 0.0, 0.0], [1.0, 0.0, 0.0], 1.0),
                solved_node([0.0; 3], [0.0; 3], s),
                solved_node([0.0, 5.0, 0.0], [0.0, -1.0, 0.0], 1.0),
                solved_node([1.0, -1.0, 0.0], [-1.0, 1.0, 0.0], s),
            ],
            runs: vec![
                SolvedRun {
                    tension_n: vec![1.0, 1.0],
                    length_m: vec![5.0, 5.0],
                    slack: false,
                },
                SolvedRun {
                    tension_n: vec![s],
                    length_m: vec![s],
                    slack: false,
                },
            ],
            haul: Force::new(1.0),
            pull_n: [1.0, 0.0, 0.0],
            way: [1.0, 0.0, 0.0],
            real_advantage: 1.0,
            ideal_advantage: 1.0,
            haul_per_metre: 1.0,
            residual: 0.0,
        };
        (graph, solved)
    }

    #[test]
    fn a_square_redirect_carries_root_two_away_from_its_anchor() {
        let (graph, solved) = redirect();
        let load = node_load(&graph, &solved, 1);
        assert!((size(load.pull) - libm::sqrt(2.0)).abs() < 1e-12);
        assert_eq!(load.size.get(), size(load.pull));
        let way = Direction::of(load.pull).expect("a load");
        assert!((way.plan.to_deg() - 135.0).abs() < 1e-9);
        assert_eq!(way.rise.to_deg(), 0.0);
        assert_eq!(solved.paid_out(0), Length::new(10.0));
    }

    #[test]
    fn what_stays_holds_the_sum_of_its_lines() {
        let (graph, solved) = redirect();
        assert_eq!(node_load(&graph, &solved, 3).pull, [-1.0, 1.0, 0.0]);
    }

    #[test]
    fn an_apex_carries_its_greatest_line() {
        let (mut graph, solved) = redirect();
        graph.nodes[1].kind = NodeKind::Apex;
        let load = node_load(&graph, &solved, 1);
        assert!((load.size.get() - libm::sqrt(2.0)).abs() < 1e-12);
        let way = Direction::of(load.pull).expect("a load");
        assert!((way.plan.to_deg() + 45.0).abs() < 1e-9, "along the strap");
    }

    #[test]
    fn nothing_has_no_direction() {
        assert_eq!(Direction::of([0.0; 3]), None);
        let up = Direction::of([0.0, 0.0, 2.0]).expect("upwards");
        assert!((up.rise.to_deg() - 90.0).abs() < 1e-12);
    }
}
