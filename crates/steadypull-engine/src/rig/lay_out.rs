//! A rig laid out on the ground, from the words of the plan to a graph.
//!
//! Answers: which line meets which point, block, ring or anchor, what settles the
//! tension of each run, and what cannot be laid or pulled as written. Rules of a
//! run's path stand with [`Run`](crate::plan::Run).
//!
//! - `entry`: what a name in a run is, and where;
//! - `trace`: one run cut into its stops and the parts between them;
//! - `haul`: which runs are hauled;
//! - `build`: stops and parts to nodes and runs, bridles included;
//! - `held`: blocks that nothing holds, lines that go round nothing;
//! - `first_guess`: where free nodes come to lie;
//! - `reach`: lines too short, points out of reach, lines that would have to push.
//!
//! Assumptions: lines without weight; a shackle counts [`SHACKLE_LENGTH`] of
//! length; a line slips round a trunk with [`TRUNK_FRICTION`]; a block has one
//! sheave, so one line goes round it once.

mod build;
mod entry;
mod first_guess;
mod haul;
mod held;
mod reach;
mod trace;

#[cfg(test)]
pub(in crate::rig) mod tests;

use crate::plan::{Method, Plan};
use crate::rig::Graph;
use crate::source::{Source, Status};
use crate::units::Length;

/// Length that a shackle, or a block's own hook or eye, adds to a run.
pub const SHACKLE_LENGTH: Length = Length::new(0.1);
/// Where [`SHACKLE_LENGTH`] comes from.
pub const SHACKLE_LENGTH_SOURCE: Source = Source::new(
    "a bow shackle of 4.75 t with its pin, rounded",
    Status::Assumed,
);
/// Friction of a line that slips round a trunk or post.
pub const TRUNK_FRICTION: f64 = 0.3;
/// Where [`TRUNK_FRICTION`] comes from.
pub const TRUNK_FRICTION_SOURCE: Source =
    Source::new("fibre or wire slipping on bark, dry", Status::Assumed);

/// What a fault is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RigSubject {
    /// An entry of a run's path.
    Stop {
        /// Name of the run.
        run: String,
        /// Place in its path, from 0.
        index: usize,
    },
    /// A run.
    Run(String),
    /// A part of the kit.
    Part(String),
    /// The whole rig.
    Layout,
}

/// Why a rig cannot be laid out or pulled as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RigFault {
    /// What it is about.
    pub subject: RigSubject,
    /// What is wrong, in a sentence.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl RigFault {
    fn new(subject: RigSubject, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            subject,
            message: message.into(),
            remedy: remedy.into(),
        }
    }
}

/// The plan's laid out rig as a graph, its free nodes placed about where they
/// come to lie, or everything that is wrong with it.
pub fn graph(plan: &Plan) -> Result<Graph, Vec<RigFault>> {
    let whole =
        |message: &str, remedy: &str| vec![RigFault::new(RigSubject::Layout, message, remedy)];
    let Some((rig, layout)) = plan
        .rig
        .as_ref()
        .and_then(|rig| Some((rig, rig.layout.as_ref()?)))
    else {
        return Err(whole(
            "the rig is not laid out on the ground",
            "describe its runs",
        ));
    };
    if rig.method == Method::Kinetic {
        return Err(whole(
            "a kinetic pull is not laid out on the ground: it is worked out along one straight line",
            "describe it by a path from the casualty to the tug, or choose another method",
        ));
    }
    let traced = trace::trace_all(plan, layout)?;
    let hauls = haul::hauls(plan, rig.method, &traced)?;
    let mut built = build::build(plan, layout, rig.method, &traced, &hauls);
    none_or(no_numbers(&built.graph))?;
    held::check(&built)?;
    first_guess::settle(&mut built.graph);
    reach::check(plan, &built)?;
    Ok(built.graph)
}

/// Places and lengths that are no numbers: a comparison with one must never read
/// as safe.
fn no_numbers(graph: &Graph) -> Vec<RigFault> {
    let lost = graph
        .nodes
        .iter()
        .filter(|node| !node.place_m.iter().all(|x| x.is_finite()))
        .map(|node| &node.name);
    let runs = graph.runs.iter().filter(|run| {
        let sound = |x: f64| x.is_finite() && x > 0.0;
        !(sound(run.rest_m) && sound(run.stiffness_n))
    });
    lost.chain(runs.map(|run| &run.name))
        .map(|name| {
            RigFault::new(
                RigSubject::Layout,
                format!("{name} has a place, length or strength that is no number"),
                "give every place and line of the rig in finite figures",
            )
        })
        .collect()
}

/// All faults, or nothing.
fn none_or(faults: Vec<RigFault>) -> Result<(), Vec<RigFault>> {
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}
