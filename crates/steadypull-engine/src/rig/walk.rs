//! The order in which a rig laid out on the ground is read: the haul from the
//! casualty to what hauls, then every branch from where it joins.

use std::collections::VecDeque;

use super::graph::{Graph, Holds, NodeKind};

/// A part of line walked from one node to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Leg {
    pub run: usize,
    pub span: usize,
    pub from: usize,
    pub to: usize,
    /// Walked against the order of the run's stops.
    pub backwards: bool,
}

/// A stretch of the rig: parts of line one after another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stretch {
    /// Node of an earlier stretch at which it joins; none for the haul.
    pub joins: Option<usize>,
    pub legs: Vec<Leg>,
}

/// Every part of line once, in the order of reading.
pub(super) fn walk(graph: &Graph) -> Vec<Stretch> {
    let all = legs(graph);
    let mut used = vec![false; all.len() / 2];
    let haul = haul_path(graph, &all);
    let mut met: VecDeque<usize> = VecDeque::new();
    let mut seen = vec![false; graph.nodes.len()];
    let mut out = Vec::new();
    let mut meet = |node: usize, met: &mut VecDeque<usize>| {
        if !core::mem::replace(&mut seen[node], true) {
            met.push_back(node);
        }
    };
    for leg in &haul {
        used[number(&all, leg)] = true;
        meet(leg.from, &mut met);
        meet(leg.to, &mut met);
    }
    out.push(Stretch {
        joins: None,
        legs: haul,
    });
    // What no line joins to the haul (a second rig beside it) is read last.
    for node in 0..graph.nodes.len() {
        met.push_back(node);
        while let Some(at) = met.pop_front() {
            while let Some(first) = all
                .iter()
                .find(|leg| leg.from == at && !used[number(&all, leg)])
            {
                let legs = follow(&all, *first, &mut used);
                for leg in &legs {
                    meet(leg.to, &mut met);
                }
                out.push(Stretch {
                    joins: Some(at),
                    legs,
                });
            }
        }
    }
    out
}

/// Each part of line both ways: the two lie one behind the other.
fn legs(graph: &Graph) -> Vec<Leg> {
    let mut all = Vec::new();
    for (run, described) in graph.runs.iter().enumerate() {
        for (span, pair) in described.stops.windows(2).enumerate() {
            let (from, to) = (pair[0].node, pair[1].node);
            let leg = |from, to, backwards| Leg {
                run,
                span,
                from,
                to,
                backwards,
            };
            all.push(leg(from, to, false));
            all.push(leg(to, from, true));
        }
    }
    all
}

fn number(all: &[Leg], leg: &Leg) -> usize {
    all.iter()
        .position(|l| l.run == leg.run && l.span == leg.span)
        .map_or(0, |i| i / 2)
}

/// On along the run of `first` as long as its parts are unread.
fn follow(all: &[Leg], first: Leg, used: &mut [bool]) -> Vec<Leg> {
    let mut legs = vec![first];
    used[number(all, &first)] = true;
    let mut at = first;
    while let Some(next) = all.iter().find(|leg| {
        let on = if at.backwards {
            leg.span + 1 == at.span
        } else {
            leg.span == at.span + 1
        };
        leg.run == at.run && leg.backwards == at.backwards && on && !used[number(all, leg)]
    }) {
        at = *next;
        used[number(all, next)] = true;
        legs.push(at);
    }
    legs
}

/// The shortest way over parts of line from the casualty to the first haul.
fn haul_path(graph: &Graph, all: &[Leg]) -> Vec<Leg> {
    let haul = graph.runs.iter().find_map(|run| match run.holds {
        Holds::Hauled { .. } => run.stops.last().map(|stop| stop.node),
        Holds::Length(_) => None,
    });
    let Some(haul) = haul else { return Vec::new() };
    let mut came_by: Vec<Option<Leg>> = vec![None; graph.nodes.len()];
    let mut next: VecDeque<usize> = VecDeque::from([haul]);
    let mut seen = vec![false; graph.nodes.len()];
    seen[haul] = true;
    while let Some(node) = next.pop_front() {
        if graph.nodes[node].kind == NodeKind::Casualty {
            let mut path = Vec::new();
            let mut at = node;
            while let Some(leg) = came_by[at] {
                path.push(leg);
                at = leg.to;
            }
            return path;
        }
        for leg in all.iter().filter(|leg| leg.to == node) {
            if !core::mem::replace(&mut seen[leg.from], true) {
                came_by[leg.from] = Some(*leg);
                next.push_back(leg.from);
            }
        }
    }
    Vec::new()
}
