//! A part that lets go and its consequences, nothing run yet.
//!
//! What goes slack, what is left holding, which ends of line fly and what is thrown.

use super::causes::{Cause, mass_of, node_mass};
use super::ends::FreeEndOf;
use super::holding::{Left, Loss, left};
use super::scene::Scene;
use super::throw::{Throw, throw};
use crate::rig::NodeKind;
use crate::units::Mass;

/// A cause with its consequences, the flights not yet run.
pub(super) struct Draft {
    pub cause: Cause,
    pub share: f64,
    pub left: Left,
    pub ends: Vec<FreeEndOf>,
    /// The two tails of a line that parts inside, broken in the middle.
    pub tails: Vec<FreeEndOf>,
    pub throws: Vec<Throw>,
}

pub(super) fn draft(scene: &Scene, cause: Cause) -> Option<Draft> {
    if !(cause.load_n.is_finite() && cause.load_n > 0.0) {
        return None;
    }
    let share = cause
        .strength
        .map_or(1.0, |s| (s.get() / cause.load_n).min(1.0));
    let left = left(scene, &cause.loss);
    let mut ends: Vec<FreeEndOf> = cause
        .ends
        .iter()
        .filter_map(|(place, to_last, extra)| {
            FreeEndOf::new(scene, *place, *to_last, share, *extra)
        })
        .collect();
    ends.extend(dangling(scene, &cause.loss, &left, share));
    let throws = left
        .thrown
        .iter()
        .filter(|&&n| flies(scene, n))
        .filter_map(|&n| {
            let mass = node_mass(scene, n) + on_node(scene, n, &left, &cause);
            throw(scene, n, mass, &left.carries)
        })
        .collect();
    let tail = |place, to_last| FreeEndOf::tail(scene, place, to_last, share);
    let inside = cause.inside.into_iter();
    let tails = inside
        .flat_map(|place| [tail(place, false), tail(place, true)])
        .flatten()
        .collect();
    Some(Draft {
        cause,
        share,
        left,
        ends,
        tails,
        throws,
    })
}

/// Whether a node leaves its place: a tree or a point on a vehicle does not.
fn flies(scene: &Scene, n: usize) -> bool {
    !scene.node(n).fixed || matches!(scene.node(n).kind, NodeKind::Block | NodeKind::Ring)
}

/// What hangs on a thrown node besides itself: what the cause leaves there, and
/// the parts of any other run that went slack on it. A block that breaks flies alone.
fn on_node(scene: &Scene, node: usize, left: &Left, cause: &Cause) -> Mass {
    if cause.loss.node == Some(node) {
        return Mass::ZERO;
    }
    let pulls = scene.pulls_on(node);
    let own = pulls.iter().any(|p| cause.loss.runs.contains(&p.run));
    let others = pulls
        .iter()
        .filter(|p| !left.carries[p.run] && !cause.loss.runs.contains(&p.run));
    let hung: Mass = others
        .map(|p| mass_of(&scene.pieces[p.run][p.segment]))
        .sum();
    hung + if own { cause.on_node } else { Mass::ZERO }
}

/// Ends of runs that go slack because their node lost all else: the block comes
/// back on its strap.
fn dangling(scene: &Scene, loss: &Loss, left: &Left, share: f64) -> Vec<FreeEndOf> {
    let mut found = Vec::new();
    for (r, run) in scene.graph.runs.iter().enumerate() {
        let cut = loss.runs.contains(&r);
        let touches_gone = run.stops.iter().any(|s| Some(s.node) == loss.node);
        let last = run.stops.len().saturating_sub(1);
        if left.carries[r] || cut || touches_gone || last == 0 {
            continue;
        }
        for (stop, to_last) in [(0, true), (last, false)] {
            let node = run.stops[stop].node;
            if scene.node(node).fixed {
                continue;
            }
            let segment = if to_last { 0 } else { last - 1 };
            let piece = if to_last {
                0
            } else {
                scene.pieces[r][segment].len().saturating_sub(1)
            };
            let extra = node_mass(scene, node);
            found.extend(FreeEndOf::new(
                scene,
                (r, segment, piece),
                to_last,
                share,
                extra,
            ));
        }
    }
    found
}
