//! Balance made exact: forces at every moving node, lengths of every taut run.
//!
//! Unknowns: places of the moving nodes and the tension of each taut run that
//! keeps its length. Equations: line pulls on each moving node add to nothing;
//! each of those runs is as long as it is (longer by its stretch where only
//! stretch settles the shares). Newton's method with backtracking; a run whose
//! tension would be a push hangs slack, a slack one that is overdrawn is taut.

use super::linear::{Factored, factor};
use super::settle::moved;
use super::shape::Shape;
use super::vector::{plus, size, towards};
use crate::rig::graph::Holds;
use crate::rig::solved::Vector;

/// Newton steps before the search counts as failed.
const STEPS: usize = 80;
/// Unbalanced force over the haul, and metres of length, that are small enough.
const EXACT: f64 = 1e-11;
/// The same for a search that no longer gets better.
const GOOD: f64 = 1e-8;
/// Stiffness that keeps an unheld node in place, N/m for a haul of 1 N: a
/// ten-millionth of that of a line. It changes the way to balance, not balance.
const STAYS: f64 = 1e-9;
/// Rounds of taut and slack.
const ROUNDS: usize = 24;

/// A shape in balance; forces over the haul.
#[derive(Debug, Clone)]
pub(super) struct Balance {
    pub places: Vec<Vector>,
    /// Tension of each run: at the haul for a hauled run, of the first span else.
    pub pulls: Vec<f64>,
    /// Tension of each span over its run's, by run.
    pub factors: Vec<Vec<f64>>,
    /// Which runs are taut.
    pub taut: Vec<bool>,
    /// Largest unbalanced force.
    pub residual: f64,
}

/// Why balance was not reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Failed {
    /// The equations do not settle every unknown.
    Singular,
    /// The search came to nothing.
    Search,
}

/// What balance is sought under.
pub(super) struct Terms<'a> {
    pub shape: &'a Shape<'a>,
    /// Way the line moves over each inner stop, by run.
    pub flow: &'a [Vec<f64>],
    /// Stretch of each run for a pull of 1 (metres), nothing for rigid ones.
    pub give: &'a [f64],
}

impl Balance {
    /// A first shape as the start of a search.
    pub fn start(shape: &Shape, places: Vec<Vector>, pulls: Vec<f64>) -> Self {
        let hauled = |run| matches!(shape.holds(run), Holds::Hauled { .. });
        let taut = |run: usize| pulls[run] > 0.0 && (hauled(run) || shape.gives(run));
        let taut: Vec<bool> = (0..pulls.len()).map(taut).collect();
        let pulls = pulls
            .iter()
            .zip(&taut)
            .map(|(pull, taut)| if *taut { *pull } else { 0.0 })
            .collect::<Vec<f64>>();
        let factors = (0..pulls.len())
            .map(|run| vec![1.0; shape.graph.runs[run].stops.len() - 1])
            .collect();
        Self {
            places,
            pulls,
            factors,
            taut,
            residual: f64::INFINITY,
        }
    }
}

/// Brings `state` into balance.
pub(super) fn balance(terms: &Terms, state: &mut Balance) -> Result<(), Failed> {
    for _ in 0..ROUNDS {
        newton(terms, state)?;
        if !change_slack(terms, state) {
            return Ok(());
        }
    }
    Err(Failed::Search)
}

/// Lets go what pushes and takes up what is overdrawn; whether anything changed.
fn change_slack(terms: &Terms, state: &mut Balance) -> bool {
    let mut changed = false;
    for run in 0..state.pulls.len() {
        let Holds::Length(rest) = terms.shape.holds(run) else {
            continue;
        };
        if state.taut[run] && state.pulls[run] < -1e-9 {
            (state.taut[run], state.pulls[run]) = (false, 0.0);
            changed = true;
        } else if !state.taut[run]
            && terms.shape.gives(run)
            && terms.shape.length(run, &state.places) > rest + 1e-9
        {
            (state.taut[run], state.pulls[run]) = (true, 1e-6);
            changed = true;
        }
    }
    changed
}

fn newton(terms: &Terms, state: &mut Balance) -> Result<(), Failed> {
    let mut worst = f64::INFINITY;
    for _ in 0..STEPS {
        refresh(terms, state);
        let wrong = residual(terms, state);
        worst = largest(&wrong);
        if !worst.is_finite() {
            return Err(Failed::Search);
        }
        state.residual = worst;
        if worst <= EXACT {
            return Ok(());
        }
        let way = jacobian(terms, state)
            .ok_or(Failed::Singular)?
            .solve(&wrong);
        if !backtrack(terms, state, &way, worst) {
            break;
        }
    }
    if worst <= GOOD {
        Ok(())
    } else {
        Err(Failed::Search)
    }
}

/// Goes along `way` as far as it helps; false when it does not help at all.
fn backtrack(terms: &Terms, state: &mut Balance, way: &[f64], worst: f64) -> bool {
    let mut share = 1.0;
    for _ in 0..30 {
        let mut tried = state.clone();
        advance(terms, &mut tried, way, -share);
        refresh(terms, &mut tried);
        let now = largest(&residual(terms, &tried));
        if now < worst * (1.0 - 1e-4 * share) {
            *state = tried;
            return true;
        }
        share *= 0.5;
    }
    false
}

fn advance(terms: &Terms, state: &mut Balance, way: &[f64], share: f64) {
    state.places = moved(terms.shape, &state.places, way, share);
    let mut next = 3 * terms.shape.moving;
    for run in 0..state.pulls.len() {
        if is_unknown(terms, state, run) {
            state.pulls[run] += share * way[next];
            next += 1;
        }
    }
}

fn refresh(terms: &Terms, state: &mut Balance) {
    let shape = terms.shape;
    let held = held_nodes(shape, state);
    for run in 0..state.pulls.len() {
        // A block that nothing holds bears on no line: no friction there.
        let stops = &shape.graph.runs[run].stops;
        let inner = stops[1..stops.len() - 1].iter();
        let flow: Vec<f64> = inner
            .zip(&terms.flow[run])
            .map(|(stop, flow)| if held[stop.node] { *flow } else { 0.0 })
            .collect();
        state.factors[run] = shape.factors(run, &state.places, &flow);
    }
}

/// Nodes that stay, or that a taut line is made fast to.
fn held_nodes(shape: &Shape, state: &Balance) -> Vec<bool> {
    let mut held: Vec<bool> = shape.slot.iter().map(Option::is_none).collect();
    for (run, taut) in shape.graph.runs.iter().zip(&state.taut) {
        for end in [run.stops.first(), run.stops.last()].into_iter().flatten() {
            held[end.node] |= *taut;
        }
    }
    held
}

fn is_unknown(terms: &Terms, state: &Balance, run: usize) -> bool {
    state.taut[run] && matches!(terms.shape.holds(run), Holds::Length(_))
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(
        0.0,
        |m, v| if v.is_nan() { f64::NAN } else { v.abs().max(m) },
    )
}

/// What is out of balance: forces on moving nodes, then lengths of taut runs.
fn residual(terms: &Terms, state: &Balance) -> Vec<f64> {
    let loads = node_loads(terms.shape, state);
    let mut wrong = vec![0.0; 3 * terms.shape.moving];
    for (node, slot) in terms.shape.slot.iter().enumerate() {
        if let Some(slot) = slot {
            wrong[3 * slot..3 * slot + 3].copy_from_slice(&loads[node]);
        }
    }
    for run in 0..state.pulls.len() {
        if let (true, Holds::Length(rest)) = (is_unknown(terms, state, run), terms.shape.holds(run))
        {
            let length = terms.shape.length(run, &state.places);
            wrong.push(length - rest - terms.give[run] * state.pulls[run]);
        }
    }
    wrong
}

/// Line pulls on every node.
pub(super) fn node_loads(shape: &Shape, state: &Balance) -> Vec<Vector> {
    let mut loads = vec![[0.0; 3]; state.places.len()];
    for run in 0..state.pulls.len() {
        for (span, (a, b)) in shape.spans(run).enumerate() {
            let tension = state.pulls[run] * state.factors[run][span];
            let (unit, _) = towards(state.places[a], state.places[b]);
            loads[a] = plus(loads[a], unit, tension);
            loads[b] = plus(loads[b], unit, -tension);
        }
    }
    loads
}

/// How what is out of balance changes with every unknown, friction held.
pub(super) fn jacobian(terms: &Terms, state: &Balance) -> Option<Factored> {
    let shape = terms.shape;
    let unknown: Vec<usize> = (0..state.pulls.len())
        .filter(|&run| is_unknown(terms, state, run))
        .collect();
    let forces = 3 * shape.moving;
    let n = forces + unknown.len();
    let mut rows = vec![0.0; n * n];
    for run in 0..state.pulls.len() {
        let column = unknown.iter().position(|u| *u == run).map(|k| forces + k);
        for (span, (a, b)) in shape.spans(run).enumerate() {
            let factor = state.factors[run][span];
            let ends = (a, b);
            add_span(&mut rows, n, shape, state, ends, state.pulls[run] * factor);
            if let Some(column) = column {
                let (unit, _) = towards(state.places[a], state.places[b]);
                for (node, sign) in [(a, 1.0), (b, -1.0)] {
                    let Some(slot) = shape.slot[node] else {
                        continue;
                    };
                    for (i, u) in unit.iter().enumerate() {
                        rows[(3 * slot + i) * n + column] += sign * factor * u;
                        rows[column * n + 3 * slot + i] -= sign * u;
                    }
                }
            }
        }
        if let Some(column) = column {
            rows[column * n + column] -= terms.give[run];
        }
    }
    // A node that nothing holds along some way (all its lines slack, or a block that
    // a straight line could slide through) stays where it is along that way.
    for i in 0..forces {
        rows[i * n + i] -= STAYS;
    }
    factor(n, rows)
}

/// How the pull of a span turns as its ends move.
fn add_span(
    rows: &mut [f64],
    n: usize,
    shape: &Shape,
    state: &Balance,
    (a, b): (usize, usize),
    tension: f64,
) {
    let (unit, length) = towards(state.places[a], state.places[b]);
    if tension == 0.0 || length == 0.0 {
        return;
    }
    for (node, sign) in [(a, 1.0), (b, -1.0)] {
        let Some(slot) = shape.slot[node] else {
            continue;
        };
        for (other, turn) in [(a, -sign), (b, sign)] {
            let Some(column) = shape.slot[other] else {
                continue;
            };
            for i in 0..3 {
                for j in 0..3 {
                    let flat = f64::from(i == j) - unit[i] * unit[j];
                    rows[(3 * slot + i) * n + 3 * column + j] += turn * tension * flat / length;
                }
            }
        }
    }
}

/// How every node moves when fixed ones move by `given`, m for m.
pub(super) fn travel(terms: &Terms, state: &Balance, given: &[Vector]) -> Option<Vec<Vector>> {
    let shape = terms.shape;
    let mut wrong = vec![0.0; 3 * shape.moving];
    let mut lengths = Vec::new();
    for run in 0..state.pulls.len() {
        let mut longer = 0.0;
        for (span, (a, b)) in shape.spans(run).enumerate() {
            let (unit, length) = towards(state.places[a], state.places[b]);
            if length == 0.0 {
                continue;
            }
            let tension = state.pulls[run] * state.factors[run][span];
            let apart = plus(given[b], given[a], -1.0);
            let along = super::vector::dot(apart, unit);
            longer += along;
            let turn = plus(apart, unit, -along).map(|v| v * tension / length);
            for (node, sign) in [(a, 1.0), (b, -1.0)] {
                if let Some(slot) = shape.slot[node] {
                    for i in 0..3 {
                        wrong[3 * slot + i] += sign * turn[i];
                    }
                }
            }
        }
        if is_unknown(terms, state, run) {
            lengths.push(longer);
        }
    }
    wrong.extend(lengths);
    let by = jacobian(terms, state)?.solve(&wrong);
    Some(moved(shape, given, &by, -1.0))
}

/// Node with the largest force left on it, for a message.
pub(super) fn worst_node(shape: &Shape, state: &Balance) -> Option<usize> {
    let loads = node_loads(shape, state);
    (0..loads.len())
        .filter(|&node| shape.slot[node].is_some())
        .max_by(|&a, &b| size(loads[a]).total_cmp(&size(loads[b])))
}
