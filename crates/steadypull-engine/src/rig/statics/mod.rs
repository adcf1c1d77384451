//! Statics of a rig in three dimensions.
//!
//! Answers: the tension in every part of line, where moving blocks, rings and
//! bridle apexes come to rest, what every node carries, how much pull the haul
//! gives (with and without friction), how much line it takes for a metre of
//! casualty movement, and which way each moving block travels.
//!
//! - At every moving node the line pulls add to nothing; a run that is not hauled
//!   keeps its length; no line pushes: one that would hangs slack.
//! - Across a sheave `e T`, round a ring or trunk `T exp(-mu w)` survives, against
//!   the way the line moves. The way comes from the rig's own motion: the change
//!   of the parts of line as the casualty moves along the pull on it. A line that
//!   does not move over a stop (under a thousandth of the casualty's movement)
//!   passes it without friction: its friction is not settled by statics.
//! - A block or ring whose hanger is slack lies on a straight line: nothing presses
//!   the line on it, so it has no friction, and where it lies along the line is open.
//! - Lines are weightless, straight between nodes, and do not stretch, so every
//!   force is in proportion to the haul; only where lengths alone leave the shares
//!   open (three fixed legs) does stretch settle them, at the haul asked for.
//! - Vehicles and anchors stay where they are.
//!
//! Method: least energy for a first shape ([`settle`]), Newton on forces and
//! lengths for the exact one ([`balance`]). Ideal advantage is that of the same
//! rig without friction; by virtual work it is the line hauled per metre.

mod balance;
mod linear;
mod report;
mod settle;
mod shape;
pub(in crate::rig) mod vector;

use thiserror::Error;

use self::balance::{Balance, Failed, Terms};
use self::shape::Shape;
use self::vector::{plus, size};
use super::graph::{Graph, Holds, Motion, NodeKind};
use super::solved::{Solved, Vector};
use crate::source::{Source, Status};
use crate::units::Force;

/// Where the model comes from.
pub const SOURCE: Source = Source::new(
    "statics; sheave efficiency; Euler-Eytelwein",
    Status::Computed,
);

/// Movement of line over a stop, per metre of casualty movement, below which no
/// friction is counted there.
const STANDS: f64 = 1e-3;
/// Parts of line shorter than this have their ends drawn up against each other, m.
const DRAWN_UP_M: f64 = 0.02;
/// Longest a run may be over its length in the first shape, m: more means that
/// it does not reach.
const REACH_M: f64 = 0.005;
/// Rounds of finding which way lines move.
const TURNS: usize = 4;

/// Why a rig cannot be solved.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StaticsError {
    /// Nothing hauls.
    #[error("nothing hauls: no line of the rig ends at a winch or at a vehicle that tows")]
    NoHaul,
    /// Nothing pulls on the casualty.
    #[error("no line pulls the casualty along the ground")]
    NoPull,
    /// A figure that is none.
    #[error("{0} is not a sound number")]
    NotANumber(String),
    /// A run is too short for what it joins.
    #[error(
        "`{run}` is {short_m:.2} m too short for what it joins: lengthen it or bring its ends nearer"
    )]
    TooShort {
        /// The run.
        run: String,
        /// By how much.
        short_m: f64,
    },
    /// Two nodes are drawn up against each other.
    #[error(
        "`{0}` is drawn right up to `{1}`: the rig has no travel left; give it more room or hold `{0}` by another line"
    )]
    DrawnUp(String, String),
    /// A node that nothing holds.
    #[error(
        "nothing holds `{0}` in place: a line there would have to push; tie it to something on the other side"
    )]
    Unheld(String),
    /// Lengths and forces leave something open.
    #[error(
        "the shares of the lines at `{0}` cannot be told: lines run alongside each other or cross in a tangle; leave one out"
    )]
    Open(String),
    /// The search failed.
    #[error(
        "no balance was found near `{0}`: the rig may be tangled; check the order of its lines"
    )]
    Tangled(String),
}

/// Solves a rig for a haul.
pub fn solve(graph: &Graph, haul: Force) -> Result<Solved, StaticsError> {
    check(graph, haul)?;
    let shape = Shape::new(graph);
    let mut places: Vec<Vector> = graph.nodes.iter().map(|n| n.place_m).collect();
    let pulls = settle::settle(&shape, &mut places);
    reaches(&shape, &places)?;
    drawn_up(&shape, &places)?;
    let mut search = Search {
        shape: &shape,
        give: vec![0.0; graph.runs.len()],
        flow: graph
            .runs
            .iter()
            .map(|r| vec![0.0; r.stops.len() - 2])
            .collect(),
    };
    let mut ideal = Balance::start(&shape, places, pulls);
    if let Err(failed) = balance::balance(&search.terms(), &mut ideal) {
        // Lengths alone do not settle it: let the lines stretch.
        search.give = stretches(graph, haul);
        balance::balance(&search.terms(), &mut ideal)
            .map_err(|_| failure(&shape, &ideal, failed))?;
    }
    drawn_up(&shape, &ideal.places)?;
    let ideal_motion = search.motion(&ideal)?;
    let (real, motion) = search.with_friction(&ideal, &ideal_motion)?;
    report::solved(&shape, haul, (&ideal, &ideal_motion), (&real, &motion))
}

/// How the rig moves with the casualty.
struct Moves {
    /// Level direction of the pull on the casualty.
    way: Vector,
    /// Travel of every node, m per metre of casualty movement.
    travel: Vec<Vector>,
}

struct Search<'a> {
    shape: &'a Shape<'a>,
    give: Vec<f64>,
    flow: Vec<Vec<f64>>,
}

impl Search<'_> {
    fn terms(&self) -> Terms<'_> {
        Terms {
            shape: self.shape,
            flow: &self.flow,
            give: &self.give,
        }
    }

    fn motion(&self, state: &Balance) -> Result<Moves, StaticsError> {
        let pull = pull_on_casualty(self.shape, state);
        let level = [pull[0], pull[1], 0.0];
        let length = size(level);
        if length.is_nan() || length <= 1e-9 {
            return Err(StaticsError::NoPull);
        }
        let way = level.map(|v| v / length);
        let given: Vec<Vector> = self
            .shape
            .graph
            .nodes
            .iter()
            .map(|node| {
                if node.kind == NodeKind::Casualty {
                    way
                } else {
                    [0.0; 3]
                }
            })
            .collect();
        let travel = balance::travel(&self.terms(), state, &given)
            .ok_or_else(|| failure(self.shape, state, Failed::Singular))?;
        Ok(Moves { way, travel })
    }

    /// The same rig with friction against the way its lines move.
    fn with_friction(
        &mut self,
        ideal: &Balance,
        moves: &Moves,
    ) -> Result<(Balance, Moves), StaticsError> {
        let sign = match self.shape.graph.motion {
            Motion::Frictionless => return Ok((ideal.clone(), self.motion(ideal)?)),
            Motion::HaulingIn => 1.0,
            Motion::PayingOut => -1.0,
        };
        let mut state = ideal.clone();
        let mut flow = flows(self.shape, &state, &moves.travel, sign);
        for _ in 0..TURNS {
            self.flow = flow;
            let mut next = state.clone();
            balance::balance(&self.terms(), &mut next)
                .map_err(|failed| failure(self.shape, &next, failed))?;
            let now = self.motion(&next)?;
            state = next;
            flow = flows(self.shape, &state, &now.travel, sign);
            if flow == self.flow {
                break;
            }
        }
        drawn_up(self.shape, &state.places)?;
        let moves = self.motion(&state)?;
        Ok((state, moves))
    }
}

/// Which way each run's line moves over its inner stops: 1 towards its last stop,
/// -1 away from it, 0 not at all.
fn flows(shape: &Shape, state: &Balance, travel: &[Vector], sign: f64) -> Vec<Vec<f64>> {
    (0..state.pulls.len())
        .map(|run| {
            let mut gathered = 0.0;
            let mut flow: Vec<f64> = shape
                .spans(run)
                .map(|(a, b)| {
                    let (unit, _) = vector::towards(state.places[a], state.places[b]);
                    gathered -= vector::dot(plus(travel[b], travel[a], -1.0), unit);
                    match sign * gathered {
                        f if f > STANDS => 1.0,
                        f if f < -STANDS => -1.0,
                        _ => 0.0,
                    }
                })
                .collect();
            flow.pop();
            flow
        })
        .collect()
}

/// Line pulls on the casualty together.
fn pull_on_casualty(shape: &Shape, state: &Balance) -> Vector {
    let loads = balance::node_loads(shape, state);
    let on_casualty = shape.graph.nodes.iter().zip(loads);
    on_casualty
        .filter(|(node, _)| node.kind == NodeKind::Casualty)
        .fold([0.0; 3], |sum, (_, load)| plus(sum, load, 1.0))
}

/// Stretch of each run for a pull of one haul, m.
fn stretches(graph: &Graph, haul: Force) -> Vec<f64> {
    graph
        .runs
        .iter()
        .map(|run| match run.holds {
            Holds::Hauled { .. } => 0.0,
            Holds::Length(rest) => rest * haul.get() / run.stiffness_n,
        })
        .collect()
}

fn check(graph: &Graph, haul: Force) -> Result<(), StaticsError> {
    if !(haul.is_finite() && haul.get() > 0.0) {
        return Err(StaticsError::NotANumber("the haul".into()));
    }
    for node in &graph.nodes {
        if node.place_m.iter().any(|v| !v.is_finite()) {
            return Err(StaticsError::NotANumber(format!(
                "the place of `{}`",
                node.name
            )));
        }
    }
    let sound = |run: &super::graph::GraphRun| {
        let held = match run.holds {
            Holds::Hauled { share } => share,
            Holds::Length(rest) => rest,
        };
        held.is_finite() && held > 0.0 && run.stiffness_n > 0.0 && run.stops.len() >= 2
    };
    if let Some(run) = graph.runs.iter().find(|run| !sound(run)) {
        return Err(StaticsError::NotANumber(format!(
            "the length or share of `{}`",
            run.name
        )));
    }
    let hauled = |run: &super::graph::GraphRun| matches!(run.holds, Holds::Hauled { .. });
    if !graph.runs.iter().any(hauled) {
        return Err(StaticsError::NoHaul);
    }
    Ok(())
}

/// Whether every run that keeps its length reaches in the first shape.
fn reaches(shape: &Shape, places: &[Vector]) -> Result<(), StaticsError> {
    let shares: f64 = (0..shape.graph.runs.len())
        .map(|run| match shape.holds(run) {
            Holds::Hauled { share } => share,
            Holds::Length(_) => 0.0,
        })
        .sum();
    for run in 0..shape.graph.runs.len() {
        if let Holds::Length(rest) = shape.holds(run) {
            let short_m = shape.length(run, places) - rest;
            if short_m > REACH_M * shares.max(1.0) {
                let run = shape.graph.runs[run].name.clone();
                return Err(StaticsError::TooShort { run, short_m });
            }
        }
    }
    Ok(())
}

/// Whether the ends of any part of line have come together.
fn drawn_up(shape: &Shape, places: &[Vector]) -> Result<(), StaticsError> {
    for run in 0..shape.graph.runs.len() {
        for (a, b) in shape.spans(run) {
            if vector::towards(places[a], places[b]).1 < DRAWN_UP_M {
                let name = |node: usize| shape.graph.nodes[node].name.clone();
                let (a, b) = if shape.slot[a].is_some() {
                    (a, b)
                } else {
                    (b, a)
                };
                return Err(StaticsError::DrawnUp(name(a), name(b)));
            }
        }
    }
    Ok(())
}

fn failure(shape: &Shape, state: &Balance, failed: Failed) -> StaticsError {
    let name = balance::worst_node(shape, state).map_or("the rig".to_string(), |node| {
        shape.graph.nodes[node].name.clone()
    });
    match failed {
        Failed::Singular => StaticsError::Open(name),
        Failed::Search if state.residual.is_finite() && state.residual > 1e-3 => {
            StaticsError::Unheld(name)
        }
        Failed::Search => StaticsError::Tangled(name),
    }
}
