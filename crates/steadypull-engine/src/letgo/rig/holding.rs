//! What is left holding when a part has let go.
//!
//! A run whose end came loose carries nothing. A node that moves and on which
//! nothing but one made fast end is left cannot hold that end: its run goes slack
//! too, and so on. A block without its hanger rides on its line, which snaps
//! straight and holds again once the slack of the bight has run out. What holds
//! the casualty is what still leads from it to the ground or another vehicle.

use super::scene::{Scene, distance};
use crate::rig::{Meets, NodeKind};

/// What lets go, as the graph sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Loss {
    /// Runs that are cut.
    pub runs: Vec<usize>,
    /// A node that no longer joins anything.
    pub node: Option<usize>,
}

/// What is left.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Left {
    /// Whether each run can still carry load.
    pub carries: Vec<bool>,
    /// Runs that still hold the casualty.
    pub casualty_by: Vec<usize>,
    /// Slack that runs out first, m; none where nothing is freed.
    pub slack_m: Option<f64>,
    /// Nodes that stay under load but have lost something that held them.
    pub thrown: Vec<usize>,
}

/// What is left of the rig after `loss`.
pub(super) fn left(scene: &Scene, loss: &Loss) -> Left {
    let mut carries = vec![true; scene.graph.runs.len()];
    for &run in &loss.runs {
        carries[run] = false;
    }
    for (r, run) in scene.graph.runs.iter().enumerate() {
        let fast_there =
            |stop: &crate::rig::Stop| Some(stop.node) == loss.node && stop.meets == Meets::Fast;
        if run.stops.iter().any(fast_there) {
            carries[r] = false;
        }
    }
    while let Some(loose) = loose_end(scene, &carries, loss.node) {
        carries[loose] = false;
    }
    let thrown = thrown(scene, &carries, loss.node);
    let casualty_by = holding_casualty(scene, &carries, loss.node);
    let slack = thrown
        .iter()
        .filter_map(|n| freed_slack_m(scene, *n, &carries));
    Left {
        slack_m: slack.reduce(f64::max),
        carries,
        casualty_by,
        thrown,
    }
}

/// A run made fast to a node on which nothing else is left.
fn loose_end(scene: &Scene, carries: &[bool], gone: Option<usize>) -> Option<usize> {
    (0..scene.graph.nodes.len())
        .filter(|n| !scene.node(*n).fixed && Some(*n) != gone)
        .find_map(|n| {
            let left: Vec<_> = scene
                .pulls_on(n)
                .into_iter()
                .filter(|p| carries[p.run])
                .collect();
            match left.as_slice() {
                [only] if only.fast => Some(only.run),
                _ => None,
            }
        })
}

/// Nodes with something lost and something left that pulled on them.
fn thrown(scene: &Scene, carries: &[bool], gone: Option<usize>) -> Vec<usize> {
    (0..scene.graph.nodes.len())
        .filter(|&n| {
            let pulls = scene.pulls_on(n);
            let loaded = |p: &&super::scene::Pull| p.tension_n > 0.0;
            let broken = Some(n) == gone;
            let lost = pulls.iter().filter(loaded).any(|p| !carries[p.run]);
            let kept = pulls.iter().filter(loaded).any(|p| carries[p.run]);
            kept && (broken || (lost && !scene.node(n).fixed))
        })
        .collect()
}

fn holding_casualty(scene: &Scene, carries: &[bool], gone: Option<usize>) -> Vec<usize> {
    let casualty = |n: usize| scene.node(n).kind == NodeKind::Casualty;
    let stops = |r: usize| {
        let all = scene.graph.runs[r].stops.iter().map(|s| s.node);
        all.filter(move |n| Some(*n) != gone)
    };
    // Through a fixed node nothing passes on: it ends there.
    let reaches = |start: usize| {
        let mut seen = vec![start];
        let mut open = vec![start];
        while let Some(run) = open.pop() {
            for n in stops(run) {
                if scene.node(n).fixed {
                    if !casualty(n) {
                        return true;
                    }
                    continue;
                }
                for (r, _) in carries.iter().enumerate().filter(|(_, c)| **c) {
                    if !seen.contains(&r) && stops(r).any(|m| m == n) {
                        seen.push(r);
                        open.push(r);
                    }
                }
            }
        }
        false
    };
    (0..carries.len())
        .filter(|&r| carries[r] && stops(r).any(casualty) && reaches(r))
        .collect()
}

/// Slack of a freed node that what is left on it leads straight past, m.
pub(super) fn freed_slack_m(scene: &Scene, node: usize, carries: &[bool]) -> Option<f64> {
    let left: Vec<_> = scene
        .pulls_on(node)
        .into_iter()
        .filter(|p| carries[p.run])
        .collect();
    let [a, b] = left.as_slice() else { return None };
    let (here, one, other) = (
        scene.place(node),
        scene.place(a.other),
        scene.place(b.other),
    );
    let around = distance(here, one) + distance(here, other);
    Some((around - distance(one, other)).max(0.0))
}
