//! A rig laid out on the ground: haul, advantage, every part of line, every node.

use steadypull_contract::answer::{RigMotion, RigNode, RigNodeKind, RigPart, RigRun, RigState};
use steadypull_contract::show::{Units, figures, percent};

use super::{Detail, Page};

/// Writes the haul and the advantage, then the parts of line, then the nodes.
pub fn write(page: &mut Page, rig: Option<&RigState>, units: Units, detail: Detail) {
    page.heading(
        "RIG",
        "tension in every part of line, load on every block and anchor",
    );
    let Some(rig) = rig else {
        page.paragraph("A straight path: `steadypull load-path PLAN` has each link and its load.");
        return;
    };
    haul(page, rig, units);
    page.gap();
    lines(page, rig, units, detail);
    page.gap();
    nodes(page, rig, units, detail);
    if !rig.anchors.is_empty() {
        page.gap();
        anchors(page, rig, units, detail);
    }
}

/// What each anchor holds, and the pull at the casualty at which it yields.
fn anchors(page: &mut Page, rig: &RigState, units: Units, detail: Detail) {
    let pull = |n: Option<f64>| n.map_or("never".into(), |n| units.force(n));
    let rows: Vec<[String; 6]> = rig
        .anchors
        .iter()
        .map(|a| {
            [
                a.name.clone(),
                units.force(a.load_n),
                units.force(a.low_hold_n),
                units.force(a.median_hold_n),
                percent(a.yield_probability),
                pull(a.yields_at_low_n),
            ]
        })
        .collect();
    page.table(
        &[
            "Anchor",
            "load",
            "low hold",
            "middle",
            "yields",
            "from a pull of",
        ],
        &rows,
    );
    page.paragraph(
        "Low hold: 95 of 100 such anchors hold it. Yields: the chance at this load. From a pull of: at the casualty, when the low hold is reached.",
    );
    for anchor in &rig.anchors {
        let first = if anchor.yields_first {
            "FIRST TO YIELD; "
        } else {
            ""
        };
        let refused = anchor
            .refused
            .as_ref()
            .map_or(String::new(), |why| format!(" REFUSED: {why}."));
        page.item(
            "-",
            &format!(
                "{}: {}; {first}{}{refused}",
                anchor.name, anchor.words, anchor.when_it_yields
            ),
        );
        if detail == Detail::Full {
            page.under(&format!("{}; {}", anchor.method, anchor.source));
        }
    }
}

fn haul(page: &mut Page, rig: &RigState, units: Units) {
    let at = rig
        .nodes
        .iter()
        .find(|n| n.kind == RigNodeKind::Winch)
        .map_or(String::new(), |n| format!(" at {}", n.name));
    let haul = match rig.motion {
        RigMotion::PayingOut => "Hold",
        _ => "Haul",
    };
    page.fact(haul, &format!("{}{at}", units.force(rig.haul_n)));
    page.fact(&format!("{haul}, never past"), &limit(rig, units));
    page.fact(
        "Pull at the casualty",
        &format!(
            "{} towards {}, {} above level",
            units.force(rig.pull_n),
            degrees(rig.pull_direction_deg),
            degrees(rig.pull_rise_deg)
        ),
    );
    page.fact("Advantage", &advantage(rig));
    page.fact(
        "Line for the way",
        &format!(
            "{} times as much line as the casualty moves",
            figures(rig.haul_per_metre)
        ),
    );
    page.fact(line_label(rig.motion), &moved(rig, units));
    page.fact("Line out at the start", &units.length(rig.paid_out_m));
}

fn limit(rig: &RigState, units: Units) -> String {
    match (rig.greatest_haul_n, &rig.greatest_haul_set_by) {
        (Some(haul), Some(link)) => {
            format!("{}: {link} is then at what it may carry", units.force(haul))
        }
        _ => "not known: no link says what it may carry".into(),
    }
}

fn line_label(motion: RigMotion) -> &'static str {
    match motion {
        RigMotion::PayingOut => "Line to pay out",
        _ => "Line to haul in",
    }
}

fn moved(rig: &RigState, units: Units) -> String {
    format!(
        "{} for {} of movement, angles taken as they are at the start",
        units.length(rig.hauled_in_m),
        units.length(rig.movement_m)
    )
}

/// Both advantages, and what friction does.
fn advantage(rig: &RigState) -> String {
    let both = format!(
        "{} real, {} without friction",
        figures(rig.real_advantage),
        figures(rig.ideal_advantage)
    );
    match (rig.motion, rig.efficiency) {
        (RigMotion::HaulingIn, Some(left)) => format!(
            "{both}: friction of blocks, rings and trunks leaves {}",
            percent(left)
        ),
        (RigMotion::PayingOut, Some(left)) => format!(
            "{both}: friction helps to hold, {} of the load without it",
            percent(left)
        ),
        (RigMotion::Frictionless, _) => format!("{both}: no friction counted"),
        (_, None) => both,
    }
}

/// A run a block: its words, then a row for each part of line.
fn lines(page: &mut Page, rig: &RigState, units: Units, detail: Detail) {
    let rows: Vec<[String; 3]> = rig
        .runs
        .iter()
        .flat_map(|run| run.parts.iter().map(|part| row(run, part, units)))
        .collect();
    page.table(&["Part of line", "tension", "length"], &rows);
    for run in &rig.runs {
        page.item("-", &format!("{}: {}{}", run.name, run.words, slack(run)));
        if detail == Detail::Full {
            for part in &run.parts {
                let holds = part.holds.join(", ");
                page.under(&format!("{} to {}: {holds}", part.from, part.to));
            }
            page.under(&format!(
                "{} at rest, {} as it lies",
                units.length(run.rest_m),
                units.length(run.length_m)
            ));
        }
    }
}

fn slack(run: &RigRun) -> &'static str {
    if run.slack { ", SLACK" } else { "" }
}

fn row(run: &RigRun, part: &RigPart, units: Units) -> [String; 3] {
    let tension = if run.slack {
        "slack".into()
    } else {
        units.force(part.tension_n)
    };
    [
        format!("{}: {} to {}", run.name, part.from, part.to),
        tension,
        units.length(part.length_m),
    ]
}

fn nodes(page: &mut Page, rig: &RigState, units: Units, detail: Detail) {
    let rows: Vec<[String; 6]> = rig.nodes.iter().map(|node| node_row(node, units)).collect();
    page.table(
        &["Node", "load", "towards", "between", "side", "travels"],
        &rows,
    );
    page.paragraph(
        "Between: angle between the parts of the line round it. Side: angle off the direction in which the point is strong. Travels: times the casualty's movement, and which way. Directions in plan, anticlockwise from +x of the plan file.",
    );
    if detail == Detail::Full {
        for node in &rig.nodes {
            page.item("-", &node_words(node, units));
        }
        page.fact(
            "Left unbalanced",
            &format!(
                "{} of the haul at most, where anything moves",
                percent(rig.residual)
            ),
        );
    }
}

fn node_row(node: &RigNode, units: Units) -> [String; 6] {
    let angle = |deg: Option<f64>| deg.map_or("-".into(), degrees);
    let travels = match node.travel_direction_deg {
        Some(way) => format!("{} to {}", figures(node.travel_per_metre), degrees(way)),
        None => "stays".into(),
    };
    [
        node.name.clone(),
        units.force(node.load_n),
        angle(node.load_direction_deg),
        angle(node.included_angle_deg),
        angle(node.side_angle_deg),
        travels,
    ]
}

fn node_words(node: &RigNode, units: Units) -> String {
    let rise = node.load_rise_deg.map_or(String::new(), |deg| {
        format!(", load {} above level", degrees(deg))
    });
    let held = if node.fixed {
        "stays"
    } else {
        "finds its place"
    };
    format!(
        "{}: {}, {held}, at x {}, y {}, height {}{rise}",
        node.name,
        node.kind.words(),
        units.length(node.x_m),
        units.length(node.y_m),
        units.length(node.z_m)
    )
}

/// An angle to the degree: none of the models is finer.
fn degrees(deg: f64) -> String {
    let whole = deg.round();
    // No -0.
    format!("{} deg", if whole == 0.0 { 0.0 } else { whole })
}
