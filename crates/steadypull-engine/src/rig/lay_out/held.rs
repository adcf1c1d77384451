//! What hangs on nothing: blocks without a hanger, sheaves without a line, rings
//! that join nothing, a haul that does not reach the casualty.

use super::build::Built;
use super::{RigFault, RigSubject, none_or};
use crate::rig::{GraphRun, Holds, Meets, NodeKind};

/// How lines meet a node.
#[derive(Default)]
struct Joins {
    /// Passes round it.
    passes: usize,
    /// Runs that go round it.
    round: Vec<usize>,
    /// Runs that are made fast to it and do not go round it.
    hangers: Vec<usize>,
    /// Ends made fast to it, hangers or not.
    fast: usize,
}

pub(super) fn check(built: &Built) -> Result<(), Vec<RigFault>> {
    let nodes = &built.graph.nodes;
    let faults = (0..nodes.len())
        .filter_map(|node| match nodes[node].kind {
            NodeKind::Block => block(built, node),
            NodeKind::Ring => ring(built, node),
            _ => None,
        })
        .collect();
    none_or(faults)?;
    none_or(astray(built))
}

fn joins(built: &Built, node: usize) -> Joins {
    let mut joins = Joins::default();
    for (index, run) in built.graph.runs.iter().enumerate() {
        let passes = run
            .stops
            .iter()
            .filter(|s| s.node == node && s.meets != Meets::Fast);
        let (passes, ends) = (passes.count(), ends_at(run, node));
        joins.passes += passes;
        joins.fast += ends;
        if passes > 0 {
            joins.round.push(index);
        } else if ends > 0 {
            joins.hangers.push(index);
        }
    }
    joins
}

fn ends_at(run: &GraphRun, node: usize) -> usize {
    let fast = |stop: &&crate::rig::Stop| stop.node == node && stop.meets == Meets::Fast;
    run.stops.iter().filter(fast).count()
}

fn block(built: &Built, node: usize) -> Option<RigFault> {
    let joins = joins(built, node);
    let name = &built.graph.nodes[node].name;
    let (message, remedy) = match (joins.passes, joins.fast, joins.hangers.len()) {
        (0, 0 | 1, _) => (
            format!(
                "{name} has one part of line: a line is made fast to it and none goes round it"
            ),
            format!(
                "name {name} behind the line that goes round it, in the middle of that line's run"
            ),
        ),
        (0, ..) => (
            format!("no line goes round {name}: lines are only made fast to it"),
            "name it behind the line that goes round it, or join lines with a ring or shackle"
                .into(),
        ),
        (1, _, 0) => (
            format!("nothing holds {name}: a line goes round it, and it hangs on nothing else"),
            format!("add a run from {name} to what it hangs on"),
        ),
        (1, ..) => return None,
        (passes, ..) => (
            format!("lines go round {name} {passes} times, and a block has one sheave"),
            "describe a block for each sheave, under names of their own".into(),
        ),
    };
    Some(RigFault::new(built.named_at[node].clone(), message, remedy))
}

fn ring(built: &Built, node: usize) -> Option<RigFault> {
    let joins = joins(built, node);
    let name = &built.graph.nodes[node].name;
    let (message, remedy) = match (joins.round.len(), joins.hangers.len()) {
        (0, 0 | 1) | (1, 0) => (
            format!("only one run meets {name}, and a ring joins two"),
            format!("add the run that {name} hangs on, or leave the ring out"),
        ),
        _ => return None,
    };
    Some(RigFault::new(built.named_at[node].clone(), message, remedy))
}

/// Runs that hang on nothing fixed, and a haul that does not reach the casualty.
fn astray(built: &Built) -> Vec<RigFault> {
    let (nodes, runs) = (&built.graph.nodes, &built.graph.runs);
    let group = groups(built);
    let of_run = |run: &GraphRun| group[run.stops[0].node];
    let has = |wanted: usize, test: &dyn Fn(usize) -> bool| {
        (0..nodes.len()).any(|n| group[n] == wanted && test(n))
    };
    let mut faults = Vec::new();
    let mut told = Vec::new();
    for (run, what) in runs.iter().zip(&built.run_is) {
        let here = of_run(run);
        if !told.contains(&here) && !has(here, &|n| nodes[n].fixed) {
            told.push(here);
            faults.push(RigFault::new(
                what.clone(),
                format!("run {} and what it joins hang on nothing fixed", run.name),
                "make an end fast to a recovery point, winch or anchor",
            ));
        }
    }
    let hauled = runs
        .iter()
        .zip(&built.run_is)
        .filter(|(run, _)| matches!(run.holds, Holds::Hauled { .. }));
    for (run, what) in hauled {
        if !has(of_run(run), &|n| nodes[n].kind == NodeKind::Casualty) && faults.is_empty() {
            let reached = nodes.iter().any(|n| n.kind == NodeKind::Casualty);
            faults.push(RigFault::new(
                if reached {
                    what.clone()
                } else {
                    RigSubject::Layout
                },
                if reached {
                    format!("the haul by run {} does not reach the casualty", run.name)
                } else {
                    "no run reaches the casualty".into()
                },
                "end a run at a recovery point of the casualty, or at a bridle between two",
            ));
        }
    }
    faults
}

/// For each node the least node that runs join it to.
fn groups(built: &Built) -> Vec<usize> {
    let mut group: Vec<usize> = (0..built.graph.nodes.len()).collect();
    for run in &built.graph.runs {
        let least = run.stops.iter().map(|stop| group[stop.node]).min();
        let joined: Vec<usize> = run.stops.iter().map(|stop| group[stop.node]).collect();
        for entry in &mut group {
            if joined.contains(entry) {
                *entry = least.unwrap_or(*entry);
            }
        }
    }
    group
}
