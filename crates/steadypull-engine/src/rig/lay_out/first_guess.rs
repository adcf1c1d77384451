//! Where free nodes come to lie, near enough for the solver to start from.
//!
//! Without friction the haul takes in as much line as the others let it:
//! minimise `sum(share length)` of the hauled runs while no other run is longer
//! than its rest length. Lengths are convex in the places of the nodes, so there
//! is one least value: step down its gradient, put right each run that is too
//! long, and let the step shrink (projected subgradients: Shor, Minimization
//! Methods for Non-Differentiable Functions, 1985, from memory). The same search
//! without the haul says whether any place at all is within reach of every line.

use crate::rig::statics::vector::distance;
use crate::rig::{Graph, GraphRun, Holds};

/// First and last step over the size of the scene, and how each shrinks.
const FIRST_STEP: f64 = 0.5;
const LAST_STEP: f64 = 1e-6;
const SHRINK: f64 = 0.96;
/// Times each run is put right after a step.
const SWEEPS: usize = 4;
/// Times the runs are put right at the end, at most.
const LAST_SWEEPS: usize = 2000;
/// A run longer than its rest length by less than this lies right, m.
pub(super) const LIES_RIGHT_M: f64 = 0.005;

/// Places every free node of the graph.
pub(super) fn settle(graph: &mut Graph) {
    spread_out(graph);
    haul_in(graph, FIRST_STEP);
}

/// Places them anew after the fixed nodes moved a little.
pub(super) fn settle_again(graph: &mut Graph) {
    haul_in(graph, 0.02);
}

/// Length of a run as it lies, m.
pub(super) fn length_m(graph: &Graph, run: &GraphRun) -> f64 {
    let legs = run.stops.windows(2);
    legs.map(|leg| distance(place(graph, leg[0].node), place(graph, leg[1].node)))
        .sum()
}

/// How much too long a run that keeps its length lies, m.
pub(super) fn excess_m(graph: &Graph, run: &GraphRun) -> f64 {
    match run.holds {
        Holds::Length(rest_m) => length_m(graph, run) - rest_m,
        Holds::Hauled { .. } => 0.0,
    }
}

fn place(graph: &Graph, node: usize) -> [f64; 3] {
    graph.nodes[node].place_m
}

/// Each free node amid those that its lines lead to.
fn spread_out(graph: &mut Graph) {
    let fixed: Vec<[f64; 3]> = graph
        .nodes
        .iter()
        .filter(|n| n.fixed)
        .map(|n| n.place_m)
        .collect();
    let count = fixed.len().max(1) as f64;
    let middle = [0, 1, 2].map(|k| fixed.iter().map(|p| p[k]).sum::<f64>() / count);
    for node in graph.nodes.iter_mut().filter(|node| !node.fixed) {
        node.place_m = middle;
    }
    for _ in 0..4 * graph.nodes.len() {
        let mut sums = vec![([0.0; 3], 0.0); graph.nodes.len()];
        for leg in graph.runs.iter().flat_map(|run| run.stops.windows(2)) {
            for (from, to) in [(leg[0].node, leg[1].node), (leg[1].node, leg[0].node)] {
                let at = place(graph, to);
                let (sum, weight) = &mut sums[from];
                *sum = [sum[0] + at[0], sum[1] + at[1], sum[2] + at[2]];
                *weight += 1.0;
            }
        }
        for (node, (sum, weight)) in graph.nodes.iter_mut().zip(sums) {
            if !node.fixed && weight > 0.0 {
                node.place_m = sum.map(|s| s / weight);
            }
        }
    }
}

fn haul_in(graph: &mut Graph, first_step: f64) {
    let size_m = size_m(graph);
    let mut slopes = vec![[0.0; 3]; graph.nodes.len()];
    let mut step_m = first_step * size_m;
    while step_m > LAST_STEP * size_m {
        slopes.fill([0.0; 3]);
        for run in &graph.runs {
            if let Holds::Hauled { share } = run.holds {
                add_slopes(graph, run, share, &mut slopes);
            }
        }
        for (node, slope) in graph.nodes.iter_mut().zip(&slopes) {
            if !node.fixed {
                move_by(&mut node.place_m, slope, -step_m);
            }
        }
        for _ in 0..SWEEPS {
            put_right(graph, &mut slopes);
        }
        step_m *= SHRINK;
    }
    let mut before = f64::INFINITY;
    for _ in 0..LAST_SWEEPS {
        let most = put_right(graph, &mut slopes);
        // A run between fixed ends stays as long as it is.
        if most < 0.2 * LIES_RIGHT_M || most == before {
            break;
        }
        before = most;
    }
}

/// Largest distance between two fixed nodes, m.
fn size_m(graph: &Graph) -> f64 {
    let fixed = || graph.nodes.iter().filter(|node| node.fixed);
    let pairs = fixed().flat_map(|a| fixed().map(|b| distance(a.place_m, b.place_m)));
    pairs.fold(1.0, f64::max)
}

/// Adds how the length of a run grows with the place of each node on it.
fn add_slopes(graph: &Graph, run: &GraphRun, weight: f64, slopes: &mut [[f64; 3]]) {
    for leg in run.stops.windows(2) {
        let (from, to) = (place(graph, leg[0].node), place(graph, leg[1].node));
        let far = distance(from, to);
        if far > 1e-9 {
            let along = [0, 1, 2].map(|k| (to[k] - from[k]) / far);
            move_by(&mut slopes[leg[1].node], &along, weight);
            move_by(&mut slopes[leg[0].node], &along, -weight);
        }
    }
}

fn move_by(place: &mut [f64; 3], along: &[f64; 3], times: f64) {
    for k in 0..3 {
        place[k] += times * along[k];
    }
}

/// Draws in each run that lies too long; the most that any was, m.
fn put_right(graph: &mut Graph, slopes: &mut [[f64; 3]]) -> f64 {
    let mut most = 0.0f64;
    for index in 0..graph.runs.len() {
        let excess_m = excess_m(graph, &graph.runs[index]);
        if excess_m <= 0.0 {
            continue;
        }
        most = most.max(excess_m);
        for stop in &graph.runs[index].stops {
            slopes[stop.node] = [0.0; 3];
        }
        add_slopes(graph, &graph.runs[index], 1.0, slopes);
        draw_in(graph, index, excess_m, slopes);
    }
    most
}

fn draw_in(graph: &mut Graph, index: usize, excess_m: f64, slopes: &mut [[f64; 3]]) {
    let Graph { nodes, runs, .. } = graph;
    let square = |s: &[f64; 3]| s[0] * s[0] + s[1] * s[1] + s[2] * s[2];
    let mut total = 0.0;
    for (i, stop) in runs[index].stops.iter().enumerate() {
        let again = runs[index].stops[..i].iter().any(|s| s.node == stop.node);
        if !nodes[stop.node].fixed && !again {
            total += square(&slopes[stop.node]);
        }
    }
    if total < 1e-12 {
        return;
    }
    for stop in &runs[index].stops {
        if !nodes[stop.node].fixed {
            let slope = core::mem::take(&mut slopes[stop.node]);
            move_by(&mut nodes[stop.node].place_m, &slope, -excess_m / total);
        }
    }
}
