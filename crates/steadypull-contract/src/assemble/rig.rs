//! The `rig` area: what the statics solver found, at the design load.
//!
//! The solver works at a haul of 1 N; geometry does not change with the load, so
//! every force is that one times the same factor.

use steadypull_engine::finding::Finding;
use steadypull_engine::plan::Plan;
use steadypull_engine::rig::{
    Direction, Graph, GraphRun, Holds, LaidOut, Link, Motion, NodeKind, Solved, allowed_tension,
    node_load, yielding,
};
use steadypull_engine::units::Force;

use super::{ChosenRig, anchors};
use crate::answer::{RigMotion, RigNode, RigNodeKind, RigPart, RigRun, RigState};

/// A pull along the casualty's way smaller than this share of the haul is none.
const NO_PULL: f64 = 1e-9;
/// A movement smaller than this, over the casualty's, is none.
const NO_TRAVEL: f64 = 1e-6;

pub(super) fn rig(plan: &Plan, chosen: Option<&ChosenRig>) -> Option<RigState> {
    let (laid_out, scale) = chosen.and_then(design_load)?;
    let mut state = state(laid_out, scale, plan.casualty.free_after.get());
    let on = anchor_loads(laid_out, scale);
    state.anchors = anchors::anchors(plan, &on.anchors, on.winch, on.pull_n);
    if let Some((haul, link)) = chosen.and_then(|c| greatest_haul(plan, c, laid_out)) {
        state.greatest_haul_n = Some(haul.get());
        state.greatest_haul_set_by = Some(link.name.clone());
    }
    Some(state)
}

/// What was noticed about the anchors of the chosen rig.
pub(super) fn anchor_findings(plan: &Plan, chosen: &ChosenRig) -> Vec<Finding> {
    let Some((laid_out, scale)) = design_load(chosen) else {
        return Vec::new();
    };
    let on = anchor_loads(laid_out, scale);
    anchors::findings(plan, &on.anchors, on.winch, on.pull_n)
}

/// What pulls on the anchors of a rig.
struct AnchorLoads {
    /// Load on each, N, by the name of its node.
    anchors: Vec<(String, [f64; 3])>,
    /// Load on the winch, N, if one hauls.
    winch: Option<[f64; 3]>,
    /// Pull on the casualty, N.
    pull_n: f64,
}

fn anchor_loads(laid_out: &LaidOut, scale: f64) -> AnchorLoads {
    let solved = &laid_out.at_unit_haul;
    let pull_n = solved.pull().get() * scale;
    let per_newton = yielding::anchor_loads(laid_out);
    let mut winches = laid_out.graph.nodes.iter().zip(&solved.nodes);
    AnchorLoads {
        anchors: per_newton
            .into_iter()
            .map(|(name, load)| (name, load.map(|f| f * pull_n)))
            .collect(),
        winch: winches
            .find(|(node, _)| node.kind == NodeKind::Winch)
            .map(|(_, under)| under.load_n.map(|f| f * scale)),
        pull_n,
    }
}

/// The haul at which the first link comes to what it may carry, and that link.
fn greatest_haul<'a>(
    plan: &Plan,
    chosen: &ChosenRig<'a>,
    laid_out: &LaidOut,
) -> Option<(Force, &'a Link)> {
    let solved = &laid_out.at_unit_haul;
    let method = chosen.path.method;
    let links = chosen.path.links.iter();
    let allowed = links.map(|link| (allowed_tension(link, method, &plan.policy), link));
    let (tension, link) = allowed.min_by(|a, b| a.0.get().total_cmp(&b.0.get()))?;
    let haul = tension * (solved.haul / solved.pull());
    haul.is_finite().then_some((haul, link))
}

/// The rig on the ground and what its forces at unit haul are to be multiplied
/// with, for the peak load of its method at the casualty; none for a straight
/// rig. Without a load, or where the rig pulls nowhere, the factor is 0.
pub(super) fn design_load<'a>(chosen: &ChosenRig<'a>) -> Option<(&'a LaidOut, f64)> {
    let laid_out = chosen.path.laid_out.as_ref()?;
    let pull = laid_out.at_unit_haul.pull();
    let peak = chosen.rung.peak.unwrap_or_default();
    let scale = if pull.get() > NO_PULL {
        peak / pull
    } else {
        0.0
    };
    Some((laid_out, scale))
}

fn state(laid_out: &LaidOut, scale: f64, movement_m: f64) -> RigState {
    let graph = &laid_out.graph;
    let solved = laid_out.at_unit_haul.scaled(scale);
    let pull = Direction::of(laid_out.at_unit_haul.pull_n).unwrap_or_default();
    let advantage = solved.ideal_advantage;
    RigState {
        motion: motion(graph.motion),
        haul_n: solved.haul.get(),
        pull_n: solved.pull().get(),
        pull_direction_deg: pull.plan.to_deg(),
        pull_rise_deg: pull.rise.to_deg(),
        ideal_advantage: advantage,
        real_advantage: solved.real_advantage,
        efficiency: (advantage > NO_PULL).then(|| solved.real_advantage / advantage),
        haul_per_metre: solved.haul_per_metre,
        movement_m,
        hauled_in_m: solved.haul_per_metre * movement_m,
        paid_out_m: laid_out.hauled_out().get(),
        greatest_haul_n: None,
        greatest_haul_set_by: None,
        residual: solved.residual,
        anchors: Vec::new(),
        nodes: (0..graph.nodes.len())
            .map(|i| node(graph, &solved, i))
            .collect(),
        runs: (0..graph.runs.len())
            .map(|i| run(graph, &solved, i))
            .collect(),
    }
}

fn motion(motion: Motion) -> RigMotion {
    match motion {
        Motion::HaulingIn => RigMotion::HaulingIn,
        Motion::PayingOut => RigMotion::PayingOut,
        Motion::Frictionless => RigMotion::Frictionless,
    }
}

fn kind(kind: NodeKind) -> RigNodeKind {
    match kind {
        NodeKind::Casualty => RigNodeKind::Casualty,
        NodeKind::Tug => RigNodeKind::Tug,
        NodeKind::Winch => RigNodeKind::Winch,
        NodeKind::Anchor => RigNodeKind::Anchor,
        NodeKind::Block => RigNodeKind::Block,
        NodeKind::Ring => RigNodeKind::Ring,
        NodeKind::Apex => RigNodeKind::Apex,
    }
}

fn is_hauled(run: &GraphRun) -> bool {
    matches!(run.holds, Holds::Hauled { .. })
}

fn node(graph: &Graph, solved: &Solved, index: usize) -> RigNode {
    let (of, at) = (&graph.nodes[index], &solved.nodes[index]);
    let load = node_load(graph, solved, index);
    let way_of_load = Direction::of(load.pull);
    let way = Direction::of(at.travel).filter(|_| at.travel_size() > NO_TRAVEL);
    RigNode {
        name: of.name.clone(),
        kind: kind(of.kind),
        x_m: at.place_m[0],
        y_m: at.place_m[1],
        z_m: at.place_m[2],
        fixed: of.fixed,
        load_n: load.size.get(),
        load_direction_deg: way_of_load.map(|d| d.plan.to_deg()),
        load_rise_deg: way_of_load.map(|d| d.rise.to_deg()),
        included_angle_deg: at.included.map(|a| a.to_deg()),
        side_angle_deg: at.side_angle.map(|a| a.to_deg()),
        travel_per_metre: at.travel_size(),
        travel_direction_deg: way.map(|d| d.plan.to_deg()),
    }
}

fn run(graph: &Graph, solved: &Solved, index: usize) -> RigRun {
    let (of, under) = (&graph.runs[index], &solved.runs[index]);
    RigRun {
        name: of.name.clone(),
        words: run_words(graph, of),
        hauled: is_hauled(of),
        slack: under.slack,
        rest_m: of.rest_m,
        length_m: solved.paid_out(index).get(),
        parts: parts_of(graph, solved, index),
    }
}

fn parts_of(graph: &Graph, solved: &Solved, index: usize) -> Vec<RigPart> {
    let (of, under) = (&graph.runs[index], &solved.runs[index]);
    let name = |stop: usize| graph.nodes[of.stops[stop].node].name.clone();
    let tensions = under.tension_n.iter().zip(&under.length_m).enumerate();
    tensions
        .map(|(i, (tension_n, length_m))| RigPart {
            from: name(i),
            to: name(i + 1),
            tension_n: *tension_n,
            length_m: *length_m,
            holds: of.parts.get(i).cloned().unwrap_or_default(),
        })
        .collect()
}

fn run_words(graph: &Graph, run: &GraphRun) -> String {
    let name = |i: usize| graph.nodes[run.stops[i].node].name.as_str();
    let last = run.stops.len().saturating_sub(1);
    if run.stops.is_empty() {
        return String::new();
    }
    let ends = format!("from {} to {}", name(0), name(last));
    match (run.holds, graph.motion) {
        (Holds::Length(_), _) => format!("keeps its length, {ends}"),
        (Holds::Hauled { .. }, Motion::PayingOut) => format!("paid out at {}, {ends}", name(last)),
        (Holds::Hauled { .. }, _) => format!("hauled in at {}, {ends}", name(last)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::square_rig;
    use super::*;
    use crate::finite::non_finite;
    use steadypull_engine::options::Rung;

    fn area(rung: &Rung) -> RigState {
        let chosen = ChosenRig {
            rung,
            path: rung.path.as_ref().expect("a path"),
            links: &rung.links,
        };
        rig(&square_rig::plan(), Some(&chosen)).expect("laid out")
    }

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-9 * b.abs().max(1.0), "{a} is not {b}");
    }

    #[test]
    fn forces_are_those_of_the_peak_and_places_do_not_move() {
        let state = area(&square_rig::rung(20.0));
        near(state.pull_n, 20_000.0);
        near(state.haul_n, 20_000.0);
        let block = &state.nodes[1];
        near(block.load_n, 20_000.0 * 2f64.sqrt());
        near(block.load_direction_deg.expect("loaded"), 135.0);
        near(block.included_angle_deg.expect("a turn"), 90.0);
        near(block.travel_direction_deg.expect("travels"), -90.0);
        assert_eq!((block.x_m, block.y_m, block.fixed), (0.0, 0.0, false));
        assert_eq!(state.nodes[2].travel_direction_deg, None);
        near(state.runs[1].parts[0].tension_n, 20_000.0 * 2f64.sqrt());
        near(state.runs[0].length_m, 10.0);
        near(state.paid_out_m, 10.0);
        near(state.hauled_in_m, 4.0);
        assert_eq!(state.runs[0].parts[1].holds, ["line"]);
        assert_eq!(
            state.runs[0].words,
            "hauled in at tug.winch, from casualty.front to tug.winch"
        );
        let twice = area(&square_rig::rung(40.0));
        near(twice.nodes[3].load_n, 2.0 * state.nodes[3].load_n);
        assert_eq!(twice.nodes[3].x_m, state.nodes[3].x_m);
    }

    #[test]
    fn the_greatest_haul_is_set_by_the_link_first_at_its_limit() {
        let state = area(&square_rig::rung(20.0));
        // 42 kN over root two is 29.7 kN; the other link allows 35 kN.
        near(
            state.greatest_haul_n.expect("links"),
            42_000.0 / 2f64.sqrt(),
        );
        assert_eq!(state.greatest_haul_set_by.as_deref(), Some("strap-shackle"));
        let again = area(&square_rig::rung(1.0));
        assert_eq!(again.greatest_haul_n, state.greatest_haul_n);
    }

    #[test]
    fn a_number_that_is_none_is_found() {
        let mut state = area(&square_rig::rung(20.0));
        assert!(non_finite(&state).is_empty());
        state.nodes[1].load_n = f64::NAN;
        state.runs[0].parts[0].tension_n = f64::INFINITY;
        assert_eq!(
            non_finite(&state),
            ["nodes.1.load_n", "runs.0.parts.0.tension_n"]
        );
    }
}
