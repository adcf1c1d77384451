//! What people ask of a rig in balance.

use super::balance::{Balance, node_loads};
use super::shape::Shape;
use super::vector::{angle_between, dot, minus, plus, size, towards};
use super::{Moves, StaticsError, pull_on_casualty};
use crate::rig::graph::{Holds, NodeKind};
use crate::rig::solved::{Solved, SolvedNode, SolvedRun, Vector};
use crate::units::{Angle, Force};

/// The solution at `haul`, from the rig without friction and with it.
pub(super) fn solved(
    shape: &Shape,
    haul: Force,
    (ideal, ideal_moves): (&Balance, &Moves),
    (real, moves): (&Balance, &Moves),
) -> Result<Solved, StaticsError> {
    let newtons = haul.get();
    let loads = node_loads(shape, real);
    let pull = pull_on_casualty(shape, real);
    let residual = loads
        .iter()
        .zip(&shape.slot)
        .filter(|(_, slot)| slot.is_some())
        .fold(0.0, |most: f64, (load, _)| most.max(size(*load)));
    let nodes = (0..shape.graph.nodes.len())
        .map(|node| solved_node(shape, real, moves, node, loads[node], newtons))
        .collect();
    let runs = (0..shape.graph.runs.len())
        .map(|run| solved_run(shape, real, run, newtons))
        .collect();
    let out = Solved {
        nodes,
        runs,
        haul,
        pull_n: pull.map(|f| f * newtons),
        way: moves.way,
        real_advantage: dot(pull, moves.way),
        ideal_advantage: dot(pull_on_casualty(shape, ideal), ideal_moves.way),
        haul_per_metre: haul_per_metre(shape, real, moves),
        residual,
    };
    let sound = [out.real_advantage, out.ideal_advantage, out.haul_per_metre];
    if sound.iter().all(|v| v.is_finite()) {
        Ok(out)
    } else {
        Err(StaticsError::NotANumber("the advantage".into()))
    }
}

fn solved_run(shape: &Shape, state: &Balance, run: usize, newtons: f64) -> SolvedRun {
    SolvedRun {
        tension_n: state.factors[run]
            .iter()
            // A slack line may end a hair under nothing.
            .map(|f| (f * state.pulls[run] * newtons).max(0.0))
            .collect(),
        length_m: shape
            .spans(run)
            .map(|(a, b)| towards(state.places[a], state.places[b]).1)
            .collect(),
        slack: !state.taut[run],
    }
}

fn solved_node(
    shape: &Shape,
    state: &Balance,
    moves: &Moves,
    node: usize,
    load: Vector,
    newtons: f64,
) -> SolvedNode {
    let described = &shape.graph.nodes[node];
    let on_node = OnNode::of(shape, state, node);
    let carries = match described.kind {
        _ if described.fixed => size(load),
        NodeKind::Block | NodeKind::Ring => size(on_node.round).max(on_node.made_fast),
        _ => on_node.made_fast.max(size(on_node.round)),
    };
    let travel = if described.fixed {
        [0.0; 3]
    } else {
        moves.travel[node]
    };
    SolvedNode {
        place_m: state.places[node],
        load_n: load.map(|f| f * newtons),
        carries: Force::new(carries * newtons),
        included: on_node.included.map(Angle::new),
        side_angle: described
            .strong
            .filter(|_| size(load) > 0.0)
            .map(|strong| Angle::new(angle_between(strong, load))),
        travel,
    }
}

/// The lines on one node.
struct OnNode {
    /// Sum of the pulls of the lines that go round it.
    round: Vector,
    /// Angle between the parts of the first of them.
    included: Option<f64>,
    /// Largest tension of a line made fast to it.
    made_fast: f64,
}

impl OnNode {
    fn of(shape: &Shape, state: &Balance, node: usize) -> Self {
        let mut out = Self {
            round: [0.0; 3],
            included: None,
            made_fast: 0.0,
        };
        for (run, described) in shape.graph.runs.iter().enumerate() {
            let tension = |span: usize| state.pulls[run] * state.factors[run][span];
            let last = described.stops.len() - 1;
            for (i, stop) in described.stops.iter().enumerate() {
                if stop.node != node {
                    continue;
                }
                let to = |other: usize| {
                    minus(
                        state.places[described.stops[other].node],
                        state.places[node],
                    )
                };
                if i == 0 || i == last {
                    let span = if i == 0 { 0 } else { last - 1 };
                    out.made_fast = out.made_fast.max(tension(span));
                    continue;
                }
                let (back, on) = (to(i - 1), to(i + 1));
                out.included.get_or_insert(angle_between(back, on));
                out.round = plus(out.round, towards([0.0; 3], back).0, tension(i - 1));
                out.round = plus(out.round, towards([0.0; 3], on).0, tension(i));
            }
        }
        out
    }
}

/// Line that the hauls take in for a metre of casualty movement, by their shares.
fn haul_per_metre(shape: &Shape, state: &Balance, moves: &Moves) -> f64 {
    let mut taken_in = 0.0;
    for run in 0..state.pulls.len() {
        let Holds::Hauled { share } = shape.holds(run) else {
            continue;
        };
        for (a, b) in shape.spans(run) {
            let (unit, _) = towards(state.places[a], state.places[b]);
            let apart = plus(moves.travel[b], moves.travel[a], -1.0);
            taken_in -= share * dot(apart, unit);
        }
    }
    taken_in
}
