//! Rigs that can be laid out, what they become, and those that cannot.

pub(in crate::rig) mod scene;

use super::{RigFault, RigSubject, graph};
use crate::plan::{Method, Part};
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

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3)
        .map(|k| (a[k] - b[k]) * (a[k] - b[k]))
        .sum::<f64>()
        .sqrt()
}

fn stop(run: &str, index: usize) -> RigSubject {
    RigSubject::Stop {
        run: run.into(),
        index,
    }
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

#[test]
fn a_kinetic_pull_is_not_laid_out() {
    let fault = refused(Method::Kinetic, SINGLE, "kinetic");
    assert_eq!(fault.subject, RigSubject::Layout);
    let mut straight = plan(Method::WinchSingle, SINGLE);
    straight.rig.as_mut().unwrap().layout = None;
    assert!(graph(&straight).is_err());
    assert!(graph(&plan(Method::WinchSingle, &[])).is_err());
}

#[test]
fn names_and_loose_ends() {
    let winch = Method::WinchSingle;
    let fault = refused(
        winch,
        &[("m", &["casualty.rer", "winch-line", "tug.winch"])],
        "casualty.rer",
    );
    assert_eq!(fault.subject, stop("m", 0));
    let fault = refused(winch, &[("m", &["winch-line", "tug.winch"])], "loose end");
    assert_eq!(fault.subject, stop("m", 0));
    refused(
        winch,
        &[("m", &["casualty.rear", "winch-line"])],
        "loose end",
    );
    refused(winch, &[("m", &["casualty.rear"])], "no two ends");
    refused(
        winch,
        &[("m", &["wagon-3", "winch-line", "tug.winch"])],
        "is a vehicle",
    );
    refused(
        winch,
        &[("m", &["casualty.rear", "bow-1", "tug.winch"])],
        "no line in it",
    );
    refused(
        winch,
        &[(
            "m",
            &[
                "casualty.rear",
                "long-1",
                "tug.rear",
                "winch-line",
                "tug.winch",
            ],
        )],
        "in the middle",
    );
    refused(
        winch,
        &[(
            "m",
            &[
                "casualty.rear",
                "long-1",
                "bridle-e",
                "winch-line",
                "tug.winch",
            ],
        )],
        "in the middle",
    );
}

#[test]
fn lines_go_round_blocks_as_written() {
    let multi = Method::WinchMulti;
    let redirect = ("redirect", &["block-1", "strap-1", "tree-1"][..]);
    let again = [
        "tug.winch",
        "winch-line",
        "block-1",
        "winch-line",
        "casualty.rear",
    ];
    assert_eq!(
        refused(multi, &[("m", &again), redirect], "named again").subject,
        stop("m", 3)
    );
    let joined = [
        "tug.winch",
        "winch-line",
        "block-1",
        "long-1",
        "casualty.rear",
    ];
    refused(multi, &[("m", &joined), redirect], "straight into long-1");
    let shackled = [
        "casualty.rear",
        "bow-1",
        "block-1",
        "winch-line",
        "tug.winch",
    ];
    refused(
        multi,
        &[("m", &shackled), redirect],
        "no line goes round block-1",
    );
    let bare = ["casualty.rear", "block-1", "winch-line", "tug.winch"];
    refused(multi, &[("m", &bare), redirect], "no line between");
    let back = ["casualty.rear", "winch-line", "tug.winch"];
    let loop_back = ["block-1", "strap-2", "block-1", "bow-1", "tree-1"];
    refused(
        multi,
        &[("m", &back), ("loop", &loop_back)],
        "straight back",
    );
}

#[test]
fn parts_are_used_once() {
    let fault = refused(
        Method::WinchSingle,
        &[
            ("m", &["casualty.rear", "bow-1", "winch-line", "tug.winch"]),
            (
                "belay",
                &["casualty.rear-left", "bow-1", "long-1", "tree-1"],
            ),
        ],
        "bow-1 is in run m and in run belay",
    );
    assert_eq!(fault.subject, stop("belay", 1));
}

#[test]
fn blocks_and_rings_are_held_and_threaded() {
    let multi = Method::WinchMulti;
    let main = ("m", &["casualty.rear", "winch-line", "tug.winch"][..]);
    refused(
        multi,
        &[main, ("x", &["block-1", "strap-1", "tree-1"])],
        "one part of line",
    );
    refused(
        multi,
        &[
            ("m", &["casualty.rear", "long-1", "block-1"]),
            ("n", &["block-1", "winch-line", "tug.winch"]),
        ],
        "no line goes round block-1",
    );
    refused(
        multi,
        &[(
            "m",
            &[
                "tug.winch",
                "winch-line",
                "block-1",
                "bow-1",
                "casualty.rear",
            ],
        )],
        "nothing holds block-1",
    );
    refused(
        multi,
        &[main, ("x", &["ring-1", "strap-1", "tree-1"])],
        "only one run meets ring-1",
    );
    refused(
        multi,
        &[(
            "m",
            &[
                "tug.winch",
                "winch-line",
                "ring-1",
                "bow-1",
                "casualty.rear",
            ],
        )],
        "only one run meets",
    );
    refused(
        multi,
        &[
            (
                "m",
                &[
                    "tug.winch",
                    "winch-line",
                    "block-1",
                    "tree-1",
                    "block-1",
                    "bow-1",
                    "casualty.rear",
                ],
            ),
            ("x", &["block-1", "strap-1", "tree-2"]),
        ],
        "2 times",
    );
}

#[test]
fn the_haul_is_one_and_reaches_the_casualty() {
    let single = Method::WinchSingle;
    refused(
        single,
        &[("m", &["casualty.rear", "tow-1", "tug.front"])],
        "nothing hauls this rig",
    );
    refused(
        single,
        &[
            ("m", &["casualty.rear", "winch-line", "tug.winch"]),
            ("n", &["casualty.rear-left", "tow-1", "tug.winch"]),
        ],
        "both end at the winch",
    );
    refused(
        single,
        &[("m", &["casualty.rear", "long-1", "tug.winch"])],
        "another line than its own",
    );
    refused(
        single,
        &[("m", &["tree-1", "winch-line", "tug.winch"])],
        "no run reaches the casualty",
    );
    refused(
        single,
        &[
            ("m", &["tree-1", "winch-line", "tug.winch"]),
            ("n", &["casualty.rear", "long-1", "tree-2"]),
        ],
        "does not reach the casualty",
    );
    refused(
        Method::SteadyTow,
        &[
            (
                "m",
                &[
                    "tug.front-left",
                    "winch-line",
                    "block-1",
                    "bow-1",
                    "tug.front-right",
                ],
            ),
            ("x", &["block-1", "bow-2", "casualty.rear"]),
        ],
        "hauled at both ends",
    );
    refused(
        single,
        &[
            ("m", &["casualty.rear", "winch-line", "tug.winch"]),
            ("x", &["ring-1", "strap-1", "ring-2"]),
            ("y", &["ring-1", "strap-2", "ring-2"]),
        ],
        "nothing fixed",
    );
}

#[test]
fn lines_reach() {
    let fault = refused(
        Method::WinchMulti,
        &[
            ("main", &["casualty.rear", "winch-line", "tug.winch"]),
            ("belay", &["casualty.rear-left", "strap-1", "tree-1"]),
        ],
        "tree-1 cannot be reached from casualty.rear-left",
    );
    assert_eq!(fault.subject, RigSubject::Run("belay".into()));
    // 12.4 m from (2.3, -0.42) to (12, 8): at least 10.8 m short of 2 m.
    assert!(
        fault.message.contains("10.8 m too short"),
        "{}",
        fault.message
    );
    let fault = refused(
        Method::WinchMulti,
        &[
            (
                "main",
                &[
                    "casualty.rear",
                    "winch-line",
                    "block-1",
                    "bow-4",
                    "tug.winch",
                ],
            ),
            ("x", &["block-1", "strap-1", "ring-1"]),
            ("y", &["ring-1", "strap-2", "tree-1"]),
            ("z", &["ring-1", "strap-3", "casualty.rear"]),
        ],
        "another line",
    );
    assert_eq!(fault.subject, stop("main", 4));
    refused(
        Method::WinchMulti,
        &[
            (
                "main",
                &[
                    "casualty.rear",
                    "bow-4",
                    "winch-line",
                    "block-1",
                    "tug.winch",
                ],
            ),
            ("x", &["block-1", "bow-1", "ring-1"]),
            ("y", &["ring-1", "strap-2", "tree-1"]),
            ("z", &["ring-1", "strap-3", "casualty.rear"]),
        ],
        "too short",
    );
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
fn enough_line_and_enough_wraps() {
    let says = |length_m: f64, said: &str| {
        let faults = with_line(SINGLE, length_m).expect_err("too little line");
        assert!(faults[0].message.contains(said), "{faults:#?}");
    };
    // 20.4 m from point to winch, 0.1 m of it the shackle.
    says(15.0, "needs 20.4 m of line as it lies and has 15.1 m");
    says(21.0, "wraps on the drum; fibre line needs 10");
    // Ten wraps of a 64 mm drum and a line of about 14 mm are about 2.5 m.
    assert!(with_line(SINGLE, 23.5).is_ok());
    // A double line takes twice that: 20.3 m, and 22.4 m back to the tree at (25, 10).
    assert!(with_line(DOUBLE, 44.0).is_err());
    assert!(with_line(DOUBLE, 48.0).is_ok());
}

#[test]
fn lines_only_pull() {
    let fault = refused(
        Method::WinchSingle,
        &[("m", &["casualty.front", "winch-line", "tug.winch"])],
        "it cannot push",
    );
    assert!(fault.message.contains("casualty.front"));
    let slack = [
        (
            "main",
            &[
                "casualty.rear",
                "bow-1",
                "winch-line",
                "block-1",
                "tug.winch",
            ][..],
        ),
        ("hanger", &["block-1", "long-1", "tree-1"]),
    ];
    refused(Method::WinchMulti, &slack, "straight past block-1");
    let opposite = [
        ("one", &["casualty.rear", "tow-1", "tug.front"][..]),
        (
            "two",
            &["casualty.front", "winch-line", "tree-1", "wagon-3.rear"],
        ),
    ];
    let mut against = plan(Method::SteadyTow, &opposite);
    against.kit.anchors[0] = scene::tree("tree-1", -15.0, 0.0);
    let faults = graph(&against).expect_err("pulls cancel");
    assert!(
        faults[0].message.contains("pulls on it cancel"),
        "{faults:#?}"
    );
}

mod random_paths {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    const NAMES: [&str; 26] = [
        "casualty.rear",
        "casualty.rear-left",
        "casualty.front",
        "tug.winch",
        "tug.front",
        "tug.rear",
        "tree-1",
        "tree-2",
        "wagon-3",
        "wagon-3.rear",
        "winch-line",
        "long-1",
        "long-2",
        "strap-1",
        "strap-2",
        "bow-1",
        "bow-2",
        "block-1",
        "block-2",
        "block-3",
        "ring-1",
        "ring-2",
        "bridle-e",
        "bridle-f",
        "tug-bridle",
        "nothing",
    ];
    const METHODS: [Method; 7] = [
        Method::ClearAndDig,
        Method::AirDownAndBoards,
        Method::SteadyTow,
        Method::WinchSingle,
        Method::WinchMulti,
        Method::Kinetic,
        Method::Lower,
    ];

    fn check(plan: &crate::plan::Plan) -> Result<(), TestCaseError> {
        match graph(plan) {
            Ok(graph) => {
                let hauled = |run: &GraphRun| matches!(run.holds, Holds::Hauled { .. });
                prop_assert!(graph.runs.iter().any(hauled));
                for node in &graph.nodes {
                    prop_assert!(node.place_m.iter().all(|x| x.is_finite()), "{node:?}");
                }
                for run in &graph.runs {
                    prop_assert_eq!(run.parts.len() + 1, run.stops.len());
                    prop_assert!(run.rest_m > 0.0 && run.stiffness_n > 0.0, "{:?}", run);
                    prop_assert!(run.rest_m.is_finite() && run.stiffness_n.is_finite());
                }
            }
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                let told = |f: &RigFault| !f.message.is_empty() && !f.remedy.is_empty();
                prop_assert!(faults.iter().all(told));
            }
        }
        Ok(())
    }

    /// Two stations with a line and sometimes more between them.
    fn likely_path() -> impl Strategy<Value = Vec<&'static str>> {
        let station = select(vec![
            "casualty.rear",
            "casualty.rear-left",
            "tug.winch",
            "tug.front",
            "tree-1",
            "tree-2",
            "wagon-3.rear",
            "block-1",
            "block-2",
            "ring-1",
            "bridle-e",
            "bridle-f",
            "tug-bridle",
        ]);
        let line = select(vec![
            "winch-line",
            "long-1",
            "long-2",
            "strap-1",
            "strap-2",
            "tow-1",
        ]);
        let round = prop::collection::vec(
            select(vec![
                "block-1", "block-2", "block-3", "ring-1", "ring-2", "tree-1",
            ]),
            0..4,
        );
        (station.clone(), line, round, station).prop_map(|(from, line, round, to)| {
            let mut path = vec![from, line];
            path.extend(round);
            path.push(to);
            path
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn any_paths_are_laid_out_or_refused(
            method in select(METHODS.to_vec()),
            paths in prop::collection::vec(prop::collection::vec(select(NAMES.to_vec()), 0..7), 0..4),
        ) {
            let names = ["a", "b", "c", "d"];
            let runs: Vec<(&str, &[&str])> = names.into_iter().zip(paths.iter().map(Vec::as_slice)).collect();
            check(&plan(method, &runs))?;
        }

        #[test]
        fn likely_rigs_are_laid_out_or_refused(
            method in select(METHODS.to_vec()),
            paths in prop::collection::vec(likely_path(), 1..5),
            x in -40.0..40.0f64,
            y in -40.0..40.0f64,
        ) {
            let names = ["a", "b", "c", "d"];
            let runs: Vec<(&str, &[&str])> = names.into_iter().zip(paths.iter().map(Vec::as_slice)).collect();
            let mut plan = plan(method, &runs);
            plan.kit.anchors[0] = scene::tree("tree-1", x, y);
            check(&plan)?;
        }
    }
}
