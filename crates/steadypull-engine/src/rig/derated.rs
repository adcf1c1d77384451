//! Parts of a rig laid out on the ground as links, with what this rig takes from
//! them: angles, bends and hitches as they lie.

use super::derating::bend_factor;
use super::graph::{Graph, NodeKind};
use super::links::{
    Factor, Link, Side, anchor_link, bridle_link, line_link, point_at, shackle_link_at, strap_link,
    turn_link,
};
use super::solved::Solved;
use super::statics::vector::{angle_between, minus};
use super::walk::Leg;
use crate::gear::anchor::hold;
use crate::plan::{AnchorKind, Bridle, Hitch, Line, Part, Plan};
use crate::units::{Angle, Length};

/// A part of the kit in the part of line `leg`; its share is the caller's.
pub(super) fn part_link(
    plan: &Plan,
    graph: &Graph,
    solved: &Solved,
    part: &Part,
    leg: &Leg,
) -> Option<Link> {
    Some(match part {
        Part::Line(line) if line.hitch != Hitch::Straight => trunk_strap(graph, line, leg),
        Part::Line(line) => line_in(plan, graph, line, leg),
        Part::Shackle(shackle) => {
            shackle_link_at(shackle, Side::Between, side_angle(graph, solved, leg), None)
        }
        Part::Bridle(bridle) => bridle_in(graph, solved, bridle)?,
        // A block in the middle of a part of line is a node, told as such.
        Part::Block(_) => return None,
    })
}

/// A line with the bends of both ends of this part of it.
fn line_in(plan: &Plan, graph: &Graph, line: &Line, leg: &Leg) -> Link {
    let mut link = line_link(line, Side::Between);
    let (from, to) = (&graph.nodes[leg.from].name, &graph.nodes[leg.to].name);
    link.words = format!("{}, from {from} to {to}", link.words);
    let bends = [leg.from, leg.to].map(|node| bend(plan, graph, line, leg.run, node));
    // The sharper bend alone: the two are not in one place.
    link.factors.extend(
        bends
            .into_iter()
            .flatten()
            .min_by(|a, b| a.left.total_cmp(&b.left)),
    );
    link
}

/// What the bend round `node` takes, where the run goes round it.
fn bend(plan: &Plan, graph: &Graph, line: &Line, run: usize, node: usize) -> Option<Factor> {
    let stops = &graph.runs[run].stops;
    let inner = stops.get(1..stops.len() - 1)?;
    inner.iter().find(|stop| stop.node == node)?;
    let name = &graph.nodes[node].name;
    let over = bent_round(plan, name)?;
    bend_factor(line, over, name)
}

/// Diameter of what a line goes round.
fn bent_round(plan: &Plan, name: &str) -> Option<Length> {
    if let Some(Part::Block(block)) = plan.kit.part(name) {
        return Some(block.sheave_diameter);
    }
    match &plan.kit.anchor(name)?.kind {
        AnchorKind::Tree(tree) => Some(tree.stem_diameter),
        _ => None,
    }
}

/// A strap round a trunk; the legs of a basket are taken to lie close together.
fn trunk_strap(graph: &Graph, line: &Line, leg: &Leg) -> Link {
    let mut link = strap_link(line, Side::Between, Angle::ZERO);
    let way = match line.hitch {
        Hitch::Choke => "choked round",
        _ => "in a basket round",
    };
    let anchor = [leg.from, leg.to]
        .into_iter()
        .find(|node| graph.nodes[*node].kind == NodeKind::Anchor);
    if let Some(node) = anchor {
        link.words = format!("{}, {way} {}", link.words, graph.nodes[node].name);
    }
    link
}

/// Angle at which a shackle on a recovery point is pulled to its side.
fn side_angle(graph: &Graph, solved: &Solved, leg: &Leg) -> Angle {
    [leg.from, leg.to]
        .into_iter()
        .filter(|node| graph.nodes[*node].strong.is_some())
        .find_map(|node| solved.nodes[node].side_angle)
        .unwrap_or(Angle::ZERO)
}

/// A bridle with the angle between its legs as they lie.
fn bridle_in(graph: &Graph, solved: &Solved, bridle: &Bridle) -> Option<Link> {
    let mut link = bridle_link(bridle, Side::Casualty)?;
    let node = graph.node(&bridle.line.name)?;
    let ends: Vec<[f64; 3]> = bridle
        .points
        .iter()
        .filter_map(|point| graph.node(point))
        .map(|end| minus(solved.nodes[end].place_m, solved.nodes[node].place_m))
        .collect();
    if let [a, b] = ends[..] {
        link.included = Some(Angle::new(angle_between(a, b)));
    }
    Some(link)
}

/// A block, ring or anchor as links; the share of the first is the caller's.
///
/// A recovery point of an anchor vehicle is a part of its own, and stands before
/// the vehicle.
pub(super) fn node_links(plan: &Plan, graph: &Graph, solved: &Solved, index: usize) -> Vec<Link> {
    let node = &graph.nodes[index];
    let under = &solved.nodes[index];
    if let Some(Part::Block(block)) = plan.kit.part(&node.name) {
        let included = under.included.unwrap_or(Angle::ZERO);
        return vec![turn_link(block, Side::Between, 1.0, included)];
    }
    let (owner, short) = node.name.split_once('.').unwrap_or((&node.name, ""));
    let Some(anchor) = plan.kit.anchor(owner) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    if let AnchorKind::Vehicle(vehicle) = &anchor.kind {
        let found = vehicle.recovery_points.iter().find(|p| p.name == short);
        out.extend(found.map(|found| {
            let side_angle = under.side_angle.unwrap_or_default();
            point_at(&node.name, found, vehicle.mass, Side::Between, side_angle)
        }));
    }
    out.push(anchor_link(
        anchor,
        &hold(anchor, under.load_n, plan.units),
        plan.units,
        Side::Between,
    ));
    out
}
