//! What could let go in a rig: every part of every part of line, every node's own part.

use super::holding::Loss;
use super::pieces::Piece;
use super::scene::Scene;
use crate::plan::{AnchorKind, Part, Plan};
use crate::rig::{Meets, NodeKind};
use crate::units::{Force, Mass};

/// A steel picket as in CV-PICK-05, 25 mm by 1.5 m, kg.
const PICKET_KG: f64 = 5.8;
/// A ground plate or a ring bolt that tears out, kg (assumed).
const PLATE_KG: f64 = 10.0;
const RING_BOLT_KG: f64 = 2.0;

/// What lets go, before it is worked out.
pub(super) struct Cause {
    pub name: String,
    pub words: String,
    pub at: String,
    pub place_m: [f64; 3],
    pub load_n: f64,
    pub strength: Option<Force>,
    pub loss: Loss,
    /// Free ends that it leaves: run, part of line, piece, direction, mass torn off.
    pub ends: Vec<((usize, usize, usize), bool, Mass)>,
    /// A piece of line that parts inside too: run, part of line, piece.
    pub inside: Option<(usize, usize, usize)>,
    /// Mass that stays on a thrown node.
    pub on_node: Mass,
}

/// Each part of each part of line.
pub(super) fn in_lines(scene: &Scene) -> Vec<Cause> {
    let mut found = Vec::new();
    for (r, run) in scene.pieces.iter().enumerate() {
        for (s, segment) in run.iter().enumerate() {
            for (k, piece) in segment.iter().enumerate() {
                found.push(in_line(scene, (r, s, k), segment, piece));
            }
        }
    }
    found
}

fn in_line(
    scene: &Scene,
    (r, s, k): (usize, usize, usize),
    segment: &[Piece],
    piece: &Piece,
) -> Cause {
    let stops = &scene.graph.runs[r].stops;
    let (from, to) = (stops[s].node, stops[s + 1].node);
    let mut ends = vec![
        ((r, s, k), false, Mass::ZERO),
        ((r, s, k), true, Mass::ZERO),
    ];
    if piece.stretchy.is_some() {
        // What stays on the other side of either end.
        if k > 0 {
            ends.push(((r, s, k - 1), false, Mass::ZERO));
        }
        if k + 1 < segment.len() {
            ends.push(((r, s, k + 1), true, Mass::ZERO));
        }
    }
    let [a, b] = [scene.place(from), scene.place(to)];
    let share = (k as f64 + 0.5) / segment.len() as f64;
    let moving = |n: usize| !scene.node(n).fixed;
    // The lighter side of the break is the quicker.
    let stays = match (moving(from), moving(to)) {
        (true, false) => mass_of(&segment[..k]),
        (false, true) => mass_of(&segment[k + 1..]),
        _ => mass_of(&segment[..k]).min(mass_of(&segment[k + 1..])),
    };
    Cause {
        name: piece.name.clone(),
        words: piece.words.into(),
        at: format!("{} to {}", scene.node(from).name, scene.node(to).name),
        place_m: core::array::from_fn(|i| a[i] + share * (b[i] - a[i])),
        load_n: scene.tension_n(r, s),
        strength: piece.strength,
        loss: Loss {
            runs: vec![r],
            node: None,
        },
        ends,
        inside: piece.stretchy.as_ref().map(|_| (r, s, k)),
        on_node: stays,
    }
}

pub(super) fn mass_of(pieces: &[Piece]) -> Mass {
    let of = |p: &Piece| p.mass + Mass::new(p.stretchy.as_ref().map_or(0.0, |s| s.kg()));
    pieces.iter().map(of).sum()
}

/// Each node's own part.
pub(super) fn in_nodes(scene: &Scene) -> Vec<Cause> {
    (0..scene.graph.nodes.len())
        .filter(|n| scene.node(*n).kind != NodeKind::Apex)
        .map(|n| in_node(scene, n))
        .collect()
}

fn in_node(scene: &Scene, n: usize) -> Cause {
    let mass = node_mass(scene, n);
    let node = scene.node(n);
    let mut ends = Vec::new();
    for (r, run) in scene.graph.runs.iter().enumerate() {
        let last = run.stops.len().saturating_sub(1);
        for (stop, to_last) in [(0, true), (last, false)] {
            if last == 0 || run.stops[stop].node != n || run.stops[stop].meets != Meets::Fast {
                continue;
            }
            let segment = if to_last { 0 } else { last - 1 };
            let count = scene.pieces[r][segment].len();
            let piece = if to_last { 0 } else { count.saturating_sub(1) };
            ends.push(((r, segment, piece), to_last, mass));
        }
    }
    Cause {
        name: node.name.clone(),
        words: node_words(node.kind).into(),
        at: node.name.clone(),
        place_m: scene.place(n),
        load_n: scene.solved.nodes[n].carries.get(),
        strength: node_strength(scene.plan, &node.name, node.kind),
        loss: Loss {
            runs: Vec::new(),
            node: Some(n),
        },
        ends,
        inside: None,
        on_node: Mass::ZERO,
    }
}

fn node_words(kind: NodeKind) -> &'static str {
    match kind {
        NodeKind::Casualty | NodeKind::Tug => "recovery point",
        NodeKind::Winch => "winch mount",
        NodeKind::Anchor => "anchor",
        NodeKind::Block => "block",
        NodeKind::Ring => "ring",
        NodeKind::Apex => "join",
    }
}

fn recovery_point<'p>(plan: &'p Plan, name: &str) -> Option<&'p crate::plan::RecoveryPoint> {
    let (owner, short) = name.split_once('.')?;
    let points = match owner {
        "casualty" => &plan.casualty.vehicle.recovery_points,
        "tug" => &plan.tug.vehicle.recovery_points,
        _ => match &plan.kit.anchor(owner)?.kind {
            AnchorKind::Vehicle(vehicle) => &vehicle.recovery_points,
            _ => return None,
        },
    };
    points.iter().find(|p| p.name == short)
}

/// What flies of a node when it comes away.
pub(super) fn node_mass(scene: &Scene, n: usize) -> Mass {
    let plan = scene.plan;
    let node = scene.node(n);
    match node.kind {
        NodeKind::Winch => plan.tug.winch.as_ref().map_or(Mass::ZERO, |w| w.mount_mass),
        NodeKind::Block | NodeKind::Ring => match plan.kit.part(&node.name) {
            Some(Part::Block(block)) => block.mass,
            _ => Mass::ZERO,
        },
        NodeKind::Apex => Mass::ZERO,
        _ => match (
            recovery_point(plan, &node.name),
            plan.kit.anchor(&node.name).map(|a| &a.kind),
        ) {
            (Some(point), _) => point.torn_off_mass,
            (_, Some(AnchorKind::Pickets(_))) => Mass::new(PICKET_KG),
            (_, Some(AnchorKind::Plate(_))) => Mass::new(PLATE_KG),
            (_, Some(AnchorKind::Stated(_))) => Mass::new(RING_BOLT_KG),
            // A tree, a buried log or a sliding vehicle does not fly.
            _ => Mass::ZERO,
        },
    }
}

fn node_strength(plan: &Plan, name: &str, kind: NodeKind) -> Option<Force> {
    match kind {
        NodeKind::Winch => plan.tug.winch.as_ref()?.mount_mbs,
        NodeKind::Block | NodeKind::Ring => match plan.kit.part(name)? {
            Part::Block(block) => Some(block.mbs),
            _ => None,
        },
        _ => recovery_point(plan, name)?.mbs,
    }
}
