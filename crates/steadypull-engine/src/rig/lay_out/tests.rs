//! Rigs that can be laid out, what they become, and those that cannot.

mod faults;
mod random_paths;
pub(in crate::rig) mod scene;

use super::{RigFault, RigSubject, graph};
use crate::plan::{Method, Part};
use crate::rig::statics::vector::distance;
use crate::rig::{Graph, GraphRun, Holds, Meets, Motion, NodeKind};
use crate::units::Length;
use scene::plan;

type Runs<'r> = &'r [(&'r str, &'r [&'r str])];

const SINGLE: Runs = &[(
    "main",
    &["casualty.rear", "bow-1", "winch-line", "tug.winch"],
)];
const DOUBLE: Runs = &[
    (
        "main",
        &["tug.winch", "winch-line", "block-1", "bow-2", "tree-2"],
    ),
    ("moving", &["block-1", "bow-1", "casualty.rear"]),
];
const REDIRECT: Runs = &[
    (
        "main",
        &[
            "tug.winch",
            "winch-line",
            "block-1",
            "bow-1",
            "casualty.rear",
        ],
    ),
    ("redirect", &["block-1", "bow-2", "strap-1", "tree-1"]),
];

fn laid(method: Method, runs: Runs) -> Graph {
    graph(&plan(method, runs)).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn faults(method: Method, runs: Runs) -> Vec<RigFault> {
    graph(&plan(method, runs)).expect_err("a fault")
}

/// The only fault, its message holding `said`.
fn refused(method: Method, runs: Runs, said: &str) -> RigFault {
    let mut found = faults(method, runs);
    assert_eq!(found.len(), 1, "{found:#?}");
    let fault = found.remove(0);
    assert!(fault.message.contains(said), "{fault:#?}");
    assert!(!fault.remedy.is_empty());
    fault
}

fn run<'g>(graph: &'g Graph, name: &str) -> &'g GraphRun {
    graph.runs.iter().find(|run| run.name == name).expect(name)
}

fn place(graph: &Graph, name: &str) -> [f64; 3] {
    graph.nodes[graph.node(name).expect(name)].place_m
}

fn stop(run: &str, index: usize) -> RigSubject {
    RigSubject::Stop {
        run: run.into(),
        index,
    }
}

/// The scene with this much line on the drum.
fn with_line(runs: Runs, length_m: f64) -> Result<Graph, Vec<RigFault>> {
    let mut plan = plan(Method::WinchMulti, runs);
    for part in &mut plan.kit.parts {
        if let Part::Line(line) = part
            && line.name == "winch-line"
        {
            line.length = Length::new(length_m);
        }
    }
    graph(&plan)
}

#[test]
fn a_single_line_is_two_nodes_and_a_hauled_run() {
    let graph = laid(Method::WinchSingle, SINGLE);
    let main = run(&graph, "main");
    assert_eq!(graph.nodes.len(), 2);
    assert_eq!(main.holds, Holds::Hauled { share: 1.0 });
    assert_eq!(main.parts, [["bow-1", "winch-line"]]);
    assert!((main.rest_m - 60.1).abs() < 1e-12);
    let (from, to) = (place(&graph, "casualty.rear"), place(&graph, "tug.winch"));
    assert!(distance(from, [2.3, 0.0, 0.6]) < 1e-12, "{from:?}");
    assert!(distance(to, [22.7, 0.0, 0.6]) < 1e-12, "{to:?}");
    // Its tail points along +x, the tug's nose along -x.
    let strong: Vec<f64> = graph.nodes.iter().map(|n| n.strong.unwrap()[0]).collect();
    assert!((strong[0] - 1.0).abs() < 1e-12 && (strong[1] + 1.0).abs() < 1e-12);
    assert_eq!(graph.motion, Motion::HaulingIn);
}

#[test]
fn a_run_written_from_the_winch_is_turned_round() {
    let graph = laid(Method::WinchMulti, DOUBLE);
    let main = run(&graph, "main");
    let last = main.stops.last().unwrap().node;
    assert_eq!(graph.nodes[last].kind, NodeKind::Winch);
    assert_eq!(
        main.parts,
        [vec!["bow-2", "winch-line"], vec!["winch-line"]]
    );
    assert_eq!(main.stops[1].meets, Meets::Sheave(0.9));
    let moving = run(&graph, "moving");
    assert_eq!(moving.holds, Holds::Length(0.1));
    assert!(!graph.nodes[graph.node("block-1").unwrap()].fixed);
}

#[test]
fn stiffness_is_of_all_lines_in_series() {
    let graph = laid(Method::WinchMulti, REDIRECT);
    let hmpe = scene::line("x", 1.0);
    let strap = hmpe.mbs.get() / hmpe.curve.strain_at_break();
    let redirect = run(&graph, "redirect");
    // 2 m of strap and 0.1 m of far stiffer steel.
    let expected = 2.1 / (2.0 / strap + 0.1 / (23.75e3 * crate::units::G / 0.01));
    assert!((redirect.stiffness_n / expected - 1.0).abs() < 1e-9);
}

#[test]
fn closed_form_first_guess_of_a_redirect() {
    // The strap hangs along the bisector of the two parts of line.
    let graph = laid(Method::WinchMulti, REDIRECT);
    let block = place(&graph, "block-1");
    let tree = [12.0, 8.0, 0.6];
    assert!((distance(block, tree) - 2.1).abs() < 1e-3, "{block:?}");
    let unit = |to: [f64; 3]| {
        let d = distance(block, to);
        [(to[0] - block[0]) / d, (to[1] - block[1]) / d]
    };
    let (a, b) = (
        unit(place(&graph, "tug.winch")),
        unit(place(&graph, "casualty.rear")),
    );
    let hanger = unit(tree);
    let across = (a[0] + b[0]) * hanger[1] - (a[1] + b[1]) * hanger[0];
    assert!(across.abs() < 1e-2, "{across}");
}

#[test]
fn closed_form_first_guess_of_a_moving_block() {
    // The block lies where its two parts of line draw the casualty.
    let graph = laid(Method::WinchMulti, DOUBLE);
    let (block, point) = (place(&graph, "block-1"), place(&graph, "casualty.rear"));
    assert!((distance(block, point) - 0.1).abs() < 1e-3);
    assert!(block[0] > point[0], "{block:?}");
}

#[test]
fn an_equalising_bridle_is_one_run_and_fixed_legs_are_two() {
    let with = |bridle: &'static str| {
        let path: &[&str] = &[bridle, "bow-1", "winch-line", "tug.winch"];
        laid(Method::WinchSingle, &[("main", path)])
    };
    let graph = with("bridle-e");
    let legs = run(&graph, "bridle-e");
    assert_eq!(legs.holds, Holds::Length(3.0));
    assert_eq!(legs.stops[1].meets, Meets::Slides);
    let apex = place(&graph, "bridle-e");
    // Both legs alike and taut: 1.5 m each, square to a span of 0.84 m.
    let ahead = f64::sqrt(1.5 * 1.5 - 0.42 * 0.42);
    assert!(distance(apex, [2.3 + ahead, 0.0, 0.6]) < 1e-2, "{apex:?}");
    let graph = with("bridle-f");
    for point in ["casualty.rear-left", "casualty.rear-right"] {
        let leg = run(&graph, &format!("bridle-f to {point}"));
        assert_eq!(leg.holds, Holds::Length(1.5));
    }
    assert_eq!(graph.runs.len(), 3);
}

#[test]
fn two_runs_share_the_apex_of_one_bridle() {
    let graph = laid(
        Method::WinchSingle,
        &[
            ("main", &["bridle-f", "bow-1", "winch-line", "tug.winch"]),
            ("belay", &["bridle-f", "bow-2", "long-1", "tree-1"]),
        ],
    );
    assert_eq!(
        graph
            .nodes
            .iter()
            .filter(|n| n.kind == NodeKind::Apex)
            .count(),
        1
    );
    assert_eq!(graph.runs.len(), 4);
}

#[test]
fn rings_and_trunks_are_gone_round() {
    let graph = laid(
        Method::WinchMulti,
        &[
            (
                "main",
                &[
                    "casualty.rear",
                    "winch-line",
                    "ring-1",
                    "tree-1",
                    "tug.winch",
                ],
            ),
            ("hanger", &["ring-1", "strap-1", "bow-1", "tree-2"]),
        ],
    );
    let main = run(&graph, "main");
    assert_eq!(main.stops[1].meets, Meets::Round(0.15));
    assert_eq!(main.stops[2].meets, Meets::Round(0.3));
    assert_eq!(main.parts, [["winch-line"], ["winch-line"], ["winch-line"]]);
}

#[test]
fn a_tow_is_hauled_at_the_tug_and_at_an_anchor_that_tows() {
    let mut two = plan(
        Method::SteadyTow,
        &[
            ("one", &["casualty.rear-left", "tow-1", "tug.front"]),
            (
                "two",
                &[
                    "wagon-3.rear",
                    "long-1",
                    "bow-1",
                    "long-2",
                    "casualty.rear-right",
                ],
            ),
        ],
    );
    let hauled = |graph: &Graph| {
        let hauled = graph
            .runs
            .iter()
            .filter(|r| matches!(r.holds, Holds::Hauled { .. }));
        hauled.map(|r| r.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(hauled(&graph(&two).unwrap()), ["one", "two"]);
    let crate::plan::AnchorKind::Vehicle(wagon) = &mut two.kit.anchors[2].kind else {
        panic!("no vehicle")
    };
    wagon.tows = false;
    assert_eq!(hauled(&graph(&two).unwrap()), ["one"]);
}

#[test]
fn a_tow_on_a_bridle_is_hauled_at_its_apex() {
    let graph = laid(
        Method::SteadyTow,
        &[(
            "main",
            &["tug-bridle", "bow-1", "tow-1", "bow-2", "casualty.rear"],
        )],
    );
    let main = run(&graph, "main");
    let last = &graph.nodes[main.stops.last().unwrap().node];
    assert_eq!((last.name.as_str(), last.fixed), ("tug-bridle", false));
    assert_eq!(main.parts, [["bow-2", "tow-1", "bow-1"]]);
}

#[test]
fn lowering_pays_out_at_the_winch_the_tug_or_the_first_anchor() {
    let graph = laid(
        Method::Lower,
        &[
            ("belay", &["casualty.rear-left", "long-1", "tree-1"]),
            ("main", &["casualty.rear", "winch-line", "tug.winch"]),
        ],
    );
    assert_eq!(graph.motion, Motion::PayingOut);
    assert!(matches!(run(&graph, "main").holds, Holds::Hauled { .. }));
    assert_eq!(run(&graph, "belay").holds, Holds::Length(18.0));
    let graph = laid(
        Method::Lower,
        &[
            ("main", &["tree-1", "long-1", "casualty.rear"]),
            (
                "belay",
                &["casualty.rear-left", "long-2", "bow-1", "strap-1", "tree-1"],
            ),
        ],
    );
    let main = run(&graph, "main");
    let last = main.stops.last().unwrap().node;
    assert_eq!(graph.nodes[last].name, "tree-1");
}

#[test]
fn a_triple_line_lies_with_every_run_in_reach() {
    for dead_end in ["casualty.rear-right", "block-1"] {
        let main: &[&str] = &[
            "tug.winch",
            "winch-line",
            "block-1",
            "block-2",
            "bow-5",
            dead_end,
        ];
        let runs = [
            ("main", main),
            ("moving", &["block-1", "bow-1", "casualty.rear-left"]),
            ("standing", &["block-2", "bow-2", "strap-1", "tree-2"]),
        ];
        let graph = with_line(&runs, 90.0).unwrap();
        for run in &graph.runs {
            if let Holds::Length(rest_m) = run.holds {
                let places = run.stops.iter().map(|stop| graph.nodes[stop.node].place_m);
                let lies: f64 = places
                    .clone()
                    .zip(places.skip(1))
                    .map(|(a, b)| distance(a, b))
                    .sum();
                assert!(lies <= rest_m + 0.005, "{}: {lies}", run.name);
            }
        }
    }
}
