//! What a winch pull and a rig laid out on the ground add to the brief: tables,
//! limits, checks, roles. The checks and roles are common practice.

use steadypull_contract::answer::{
    Answer, LinkKind, RigMotion, RigNode, RigNodeKind, RigState, Standoff,
};
use steadypull_contract::show::{Units, figures, percent};

use super::{Block, Column, Pair, Table};

/// The parts of line and the nodes of a rig laid out on the ground.
pub(super) fn tables(answer: &Answer, units: Units) -> Vec<Block> {
    let Some(rig) = &answer.rig else {
        return Vec::new();
    };
    // Tensions stand in the plan view, loads and angles in the table of links.
    let mut blocks = vec![Block::Text(advantage(rig, units))];
    if !rig.anchors.is_empty() {
        blocks.push(Block::Table(anchor_table(rig, units)));
    }
    blocks
}

fn anchor_table(rig: &RigState, units: Units) -> Table {
    Table {
        caption: "Anchors. Low hold: 95 of 100 such anchors hold it. Yields from: the pull at the casualty at which that is reached.".into(),
        columns: vec![
            column("Anchor", false, 0.2),
            column("Load", true, 0.12),
            column("Low hold", true, 0.12),
            column("Yields from", true, 0.14),
            column("What then", false, 0.42),
        ],
        rows: rig
            .anchors
            .iter()
            .map(|a| {
                vec![
                    a.name.clone(),
                    units.force(a.load_n),
                    units.force(a.low_hold_n),
                    a.yields_at_low_n.map_or("never".into(), |n| units.force(n)),
                    a.when_it_yields.clone(),
                ]
            })
            .collect(),
    }
}

fn advantage(rig: &RigState, units: Units) -> String {
    let friction = match (rig.motion, rig.efficiency) {
        (RigMotion::HaulingIn, Some(left)) => format!(
            " (friction of blocks, rings and trunks leaves {} of it)",
            percent(left)
        ),
        (RigMotion::PayingOut, Some(_)) => " (friction helps to hold)".into(),
        (RigMotion::Frictionless, _) => " (no friction counted)".into(),
        (_, None) => String::new(),
    };
    format!(
        "A haul of {} pulls with {} at the casualty: {} times, {} without friction{friction}. {} times as much line as the casualty moves: {} for {}.",
        units.force(rig.haul_n),
        units.force(rig.pull_n),
        figures(rig.real_advantage),
        figures(rig.ideal_advantage),
        figures(rig.haul_per_metre),
        units.length(rig.hauled_in_m),
        units.length(rig.movement_m)
    )
}

fn column(heading: &'static str, number: bool, share: f64) -> Column {
    Column {
        heading,
        number,
        share,
    }
}

/// An angle to the degree: none of the models is finer.
fn degrees(deg: f64) -> String {
    let whole = deg.round();
    if whole.is_finite() {
        // No -0.
        format!("{} deg", if whole == 0.0 { 0.0 } else { whole })
    } else {
        "unknown".into()
    }
}

/// The haul, and the haul at which the first part is at its limit.
pub(super) fn limits(rig: &RigState, units: Units) -> Vec<Pair> {
    let pair = |name: &str, value: String, note: String| Pair {
        name: name.into(),
        value,
        note,
    };
    let mut pairs = vec![pair(
        "Haul for that",
        units.force(rig.haul_n),
        format!(
            "{} of line for {} of movement",
            units.length(rig.hauled_in_m),
            units.length(rig.movement_m)
        ),
    )];
    if let (Some(haul), Some(link)) = (rig.greatest_haul_n, &rig.greatest_haul_set_by) {
        pairs.push(pair(
            "Never haul past",
            units.force(haul),
            format!("{link} is then at what it may carry"),
        ));
    }
    if let Some(node) = most_loaded(rig) {
        let angle = node.included_angle_deg.map_or(String::new(), |deg| {
            format!(", {} between its lines", degrees(deg))
        });
        pairs.push(pair(
            "Most loaded turn",
            units.force(node.load_n),
            format!("{}{angle}", node.name),
        ));
    }
    pairs
}

/// The block or ring with the greatest load.
fn most_loaded(rig: &RigState) -> Option<&RigNode> {
    turns(rig).max_by(|a, b| a.load_n.total_cmp(&b.load_n))
}

fn turns(rig: &RigState) -> impl Iterator<Item = &RigNode> {
    let turns = |n: &&RigNode| matches!(n.kind, RigNodeKind::Block | RigNodeKind::Ring);
    rig.nodes.iter().filter(turns)
}

fn anchors(rig: &RigState) -> Vec<&RigNode> {
    let anchor = |n: &&RigNode| n.kind == RigNodeKind::Anchor;
    rig.nodes.iter().filter(anchor).collect()
}

fn names<'a>(nodes: impl IntoIterator<Item = &'a RigNode>) -> String {
    let names: Vec<&str> = nodes.into_iter().map(|n| n.name.as_str()).collect();
    names.join(", ")
}

/// Reasons to stop that a straight rig has not.
pub(super) fn stop_when(rig: &RigState, units: Units) -> Vec<String> {
    let mut items = Vec::new();
    if let Some(haul) = rig.greatest_haul_n {
        items.push(format!(
            "A load cell at the haul passes {}.",
            units.force(haul)
        ));
    }
    if !anchors(rig).is_empty() {
        items.push("An anchor leans, lifts, cracks the ground round it, or walks.".into());
    }
    if turns(rig).next().is_some() {
        items.push("A block turns over, or the line leaves its sheave or rubs.".into());
    }
    items
}

/// What is looked at on a rig laid out on the ground before it is loaded.
pub(super) fn checks(rig: &RigState, standoff: &Standoff, units: Units) -> Vec<String> {
    let mut items = Vec::new();
    let blocks = names(turns(rig));
    if !blocks.is_empty() {
        items.push(format!(
            "{blocks}: side plates closed and pinned, line in the sheave and the right way round."
        ));
    }
    let bends = names(bends(rig));
    if !bends.is_empty() {
        items.push(format!(
            "Nobody in the bight, the inside of the bend, at {bends}; nobody steps over a line."
        ));
    }
    let trees: Vec<&str> = standoff
        .outlines
        .iter()
        .filter(|o| o.what == "anchor tree")
        .map(|o| o.name.as_str())
        .collect();
    if !trees.is_empty() {
        items.push(format!(
            "{}: sound and alive, trunk strap low on the stem, hitch as planned, no line straight on the bark.",
            trees.join(", ")
        ));
    }
    items.extend(anchors(rig).into_iter().map(|node| {
        format!(
            "Anchor {}: {} asked of it, what it holds looked up and agreed.",
            node.name,
            units.force(node.load_n)
        )
    }));
    items
}

/// Blocks and rings at which the line turns, those that travel with the casualty
/// too: where a part lets go, the line whips to the inside of each.
fn bends(rig: &RigState) -> impl Iterator<Item = &RigNode> {
    turns(rig).filter(|node| node.included_angle_deg.is_some())
}

/// Roles that a winch, an anchor or a bend of line calls for.
pub(super) fn roles(answer: &Answer) -> Vec<(&'static str, String)> {
    let mut roles = Vec::new();
    let winch = |l: &steadypull_contract::answer::Link| l.kind == LinkKind::Winch;
    if answer.load_path.links.iter().any(winch) {
        roles.push((
            "Winch operator",
            "At the end of the remote's lead, outside the zone and every bend of line. Sees the drum and the person in charge; lets go of the switch at STOP.".into(),
        ));
    }
    let Some(rig) = &answer.rig else {
        return roles;
    };
    let held = anchors(rig);
    if !held.is_empty() {
        roles.push((
            "Anchor watcher",
            format!(
                "Outside the zone with a view of {}. Calls STOP when one leans, lifts, cracks the ground or walks.",
                names(held)
            ),
        ));
    }
    let bends = names(bends(rig));
    if !bends.is_empty() {
        roles.push((
            "Bight keeper",
            format!("Keeps everybody out of the inside of the bends at {bends}, and from stepping over a line."),
        ));
    }
    roles
}
