//! The outlines of a rig laid out on the ground: vehicles where they stand,
//! anchors, blocks, rings, bridles and every part of line, each where it comes to
//! rest, in the frame of the plan file.
//!
//! Vehicles have the size of a wagon (assumed; for the drawing only), as for a
//! straight rig.

use steadypull_engine::plan::{Anchor, AnchorKind, Damper, Deadman, Layout, Plan, Pose};
use steadypull_engine::rig::{Direction, LaidOut, NodeKind, Solved, node_load};
use steadypull_engine::units::{Angle, Length};

use super::standoff::{VEHICLE_LENGTH_M, VEHICLE_WIDTH_M};
use crate::answer::{Outline, PlanPoint};

/// Corners of a tree's round stem.
const STEM_CORNERS: u32 = 16;

/// Everything to draw of a rig laid out on the ground, its tensions those at unit
/// haul times `scale`.
pub(super) fn outlines(plan: &Plan, laid_out: &LaidOut, scale: f64) -> Vec<Outline> {
    let solved = laid_out.at_unit_haul.scaled(scale);
    let mut found = Vec::new();
    if let Some(layout) = plan.rig.as_ref().and_then(|r| r.layout.as_ref()) {
        found.extend(vehicles(plan, layout));
    }
    let anchors = plan.kit.anchors.iter().filter(|a| is_used(a, laid_out));
    found.extend(anchors.map(|anchor| anchor_outline(anchor, laid_out)));
    found.extend(parts_of_line(laid_out, &solved));
    found.extend(nodes(plan, laid_out, &solved));
    found.extend(dampers(&plan.kit.dampers, laid_out, &solved));
    found
}

fn vehicles(plan: &Plan, layout: &Layout) -> [Outline; 2] {
    [
        vehicle("casualty", &plan.casualty.vehicle.name, &layout.casualty),
        vehicle("tug", &plan.tug.vehicle.name, &layout.tug),
    ]
}

fn vehicle(what: &str, name: &str, pose: &Pose) -> Outline {
    closed(
        what,
        name,
        rectangle(pose, VEHICLE_LENGTH_M, VEHICLE_WIDTH_M),
    )
}

/// Corners of a rectangle with its middle at a pose.
fn rectangle(pose: &Pose, long_m: f64, wide_m: f64) -> Vec<PlanPoint> {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]
        .map(|(forward, left)| {
            let forward = Length::new(forward * long_m);
            let left = Length::new(left * wide_m);
            on_plan(pose.point_m(forward, left, Length::ZERO))
        })
        .to_vec()
}

/// Whether a line of the rig comes to an anchor, or to a point of it.
fn is_used(anchor: &Anchor, laid_out: &LaidOut) -> bool {
    laid_out.graph.nodes.iter().any(|node| {
        let point = node.name.strip_prefix(&anchor.name);
        point.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    })
}

/// An anchor: a tree by its stem, a deadman by its face across the pull, a
/// vehicle as it stands, all else as a point.
fn anchor_outline(anchor: &Anchor, laid_out: &LaidOut) -> Outline {
    let name = &anchor.name;
    let place = on_plan(anchor.place.metres());
    match &anchor.kind {
        AnchorKind::Tree(tree) => closed("anchor tree", name, stem(place, tree.stem_diameter)),
        AnchorKind::Pickets(_) => open("anchor pickets", name, vec![place]),
        AnchorKind::Deadman(log) => deadman(anchor, log, laid_out),
        AnchorKind::Plate(_) => open("anchor plate", name, vec![place]),
        AnchorKind::Vehicle(of) => vehicle("anchor vehicle", name, &of.pose),
        AnchorKind::Stated(_) => open("anchor", name, vec![place]),
    }
}

fn stem(middle: PlanPoint, diameter: Length) -> Vec<PlanPoint> {
    let radius = 0.5 * diameter.get();
    (0..STEM_CORNERS)
        .map(|i| {
            let turn = Angle::from_deg(360.0 * f64::from(i) / f64::from(STEM_CORNERS));
            PlanPoint {
                x_m: middle.x_m + radius * turn.cos(),
                y_m: middle.y_m + radius * turn.sin(),
            }
        })
        .collect()
}

fn deadman(anchor: &Anchor, log: &Deadman, laid_out: &LaidOut) -> Outline {
    let node = laid_out.graph.node(&anchor.name);
    let pull = node.map(|i| node_load(&laid_out.graph, &laid_out.at_unit_haul, i).pull);
    let way = pull.and_then(Direction::of).unwrap_or_default();
    let pose = Pose {
        at: anchor.place,
        facing: way.plan,
    };
    let corners = rectangle(&pose, log.face.get(), log.length.get());
    closed("anchor deadman", &anchor.name, corners)
}

/// Every part of line with its tension; a leg of a bridle is one too.
fn parts_of_line(laid_out: &LaidOut, solved: &Solved) -> Vec<Outline> {
    let mut found = Vec::new();
    for (run, under) in laid_out.graph.runs.iter().zip(&solved.runs) {
        for (pair, tension) in run.stops.windows(2).zip(&under.tension_n) {
            let ends = [pair[0].node, pair[1].node];
            let points = ends.map(|n| on_plan(solved.nodes[n].place_m)).to_vec();
            found.push(Outline {
                tension_n: Some(if under.slack { 0.0 } else { *tension }),
                ..open("line", &run.name, points)
            });
        }
    }
    found
}

/// Points, winches, blocks, rings and apexes; an anchor has an outline of its own,
/// and a vehicle that is one its points besides.
fn nodes(plan: &Plan, laid_out: &LaidOut, solved: &Solved) -> Vec<Outline> {
    let nodes = laid_out.graph.nodes.iter().zip(&solved.nodes);
    nodes
        .filter(|(node, _)| plan.kit.anchor(&node.name).is_none())
        .map(|(node, at)| {
            let what = match node.kind {
                NodeKind::Casualty | NodeKind::Tug | NodeKind::Anchor => "recovery point",
                NodeKind::Winch => "winch",
                NodeKind::Block => "block",
                NodeKind::Ring => "ring",
                NodeKind::Apex => "bridle apex",
            };
            open(what, &node.name, vec![on_plan(at.place_m)])
        })
        .collect()
}

/// Dampers at their share of the haul, from the casualty to what hauls.
fn dampers(dampers: &[Damper], laid_out: &LaidOut, solved: &Solved) -> Vec<Outline> {
    let places: Vec<PlanPoint> = laid_out
        .haul_way()
        .into_iter()
        .map(|node| on_plan(solved.nodes[node].place_m))
        .collect();
    let lengths: Vec<f64> = places
        .windows(2)
        .map(|pair| {
            let (x, y) = (pair[1].x_m - pair[0].x_m, pair[1].y_m - pair[0].y_m);
            (x * x + y * y).sqrt()
        })
        .collect();
    let at = |damper: &Damper| along(&places, &lengths, damper.place);
    let found = dampers.iter().filter_map(|d| Some((d, at(d)?)));
    found
        .map(|(d, place)| open("damper", &d.name, vec![place]))
        .collect()
}

/// The point at a share of the way along a line through `places`, whose parts
/// are `lengths_m` long.
fn along(places: &[PlanPoint], lengths_m: &[f64], share: f64) -> Option<PlanPoint> {
    let mut left = share * lengths_m.iter().sum::<f64>();
    for (pair, length) in places.windows(2).zip(lengths_m) {
        if left <= *length && *length > 0.0 {
            let part = left / length;
            return Some(PlanPoint {
                x_m: pair[0].x_m + part * (pair[1].x_m - pair[0].x_m),
                y_m: pair[0].y_m + part * (pair[1].y_m - pair[0].y_m),
            });
        }
        left -= length;
    }
    places.last().copied()
}

fn on_plan([x_m, y_m, _]: [f64; 3]) -> PlanPoint {
    PlanPoint { x_m, y_m }
}

fn closed(what: &str, name: &str, points: Vec<PlanPoint>) -> Outline {
    Outline {
        closed: true,
        ..open(what, name, points)
    }
}

fn open(what: &str, name: &str, points: Vec<PlanPoint>) -> Outline {
    Outline {
        what: what.into(),
        name: name.into(),
        closed: false,
        points,
        tension_n: None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::square_rig;
    use super::*;

    fn drawn(plan: &Plan) -> Vec<Outline> {
        let rung = square_rig::rung(20.0);
        let path = rung.path.as_ref().expect("a path");
        outlines(plan, path.laid_out.as_ref().expect("laid out"), 20_000.0)
    }

    fn one<'a>(all: &'a [Outline], what: &str) -> &'a Outline {
        let mut found = all.iter().filter(|o| o.what == what);
        let first = found.next().expect(what);
        assert!(found.next().is_none(), "more than one {what}");
        first
    }

    #[test]
    fn every_part_of_line_lies_between_its_nodes_with_its_tension() {
        let all = drawn(&square_rig::plan());
        let lines: Vec<&Outline> = all.iter().filter(|o| o.what == "line").collect();
        let tensions: Vec<f64> = lines.iter().filter_map(|o| o.tension_n).collect();
        assert_eq!(tensions, [20_000.0, 20_000.0, 20_000.0 * 2f64.sqrt()]);
        assert_eq!(lines[0].points[1], lines[1].points[0]);
        let end = &lines[2].points[0];
        assert_eq!((end.x_m, end.y_m), (1.0, -1.0));
        assert!(
            all.iter()
                .all(|o| (o.what == "line") == o.tension_n.is_some())
        );
    }

    #[test]
    fn vehicles_stand_at_their_poses_and_only_the_tree_in_use_is_drawn() {
        let all = drawn(&square_rig::plan());
        let tug = one(&all, "tug");
        let front = [&tug.points[1], &tug.points[2]];
        // Its nose points along -y, 2.45 m from its middle at y = 7 m.
        for corner in front {
            assert!((corner.y_m - 4.55).abs() < 1e-9, "{corner:?}");
            assert!((corner.x_m.abs() - 0.95).abs() < 1e-9, "{corner:?}");
        }
        let tree = one(&all, "anchor tree");
        assert_eq!(tree.name, "tree");
        for corner in &tree.points {
            let (x, y) = (corner.x_m - 1.0, corner.y_m + 1.0);
            assert!(((x * x + y * y).sqrt() - 0.2).abs() < 1e-9, "{corner:?}");
        }
        for what in ["block", "winch", "recovery point", "casualty"] {
            one(&all, what);
        }
    }

    #[test]
    fn a_damper_lies_at_its_share_of_the_haul() {
        let mut plan = square_rig::plan();
        plan.kit.dampers = vec![Damper {
            name: "bag".into(),
            mass: steadypull_engine::units::Mass::new(5.0),
            place: 0.75,
            drag_area: steadypull_engine::units::Area::new(0.05),
            slips_at: steadypull_engine::units::Force::new(200.0),
        }];
        let all = drawn(&plan);
        let at = &one(&all, "damper").points[0];
        assert!(at.x_m.abs() < 1e-9 && (at.y_m - 2.5).abs() < 1e-9, "{at:?}");
    }
}
