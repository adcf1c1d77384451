//! A rig for tests, known by hand: a winch line of tension 1 along x to a block,
//! square off to the winch along y; the block hangs on a strap to a tree. A link
//! at the casualty carries the pull, the strap the root of two times that.

use steadypull_engine::options::{Rung, Verdict};
use steadypull_engine::plan::{
    Anchor, AnchorKind, Layout, Method, Place, Plan, Pose, Rig, Tree, TreeSort,
};
use steadypull_engine::rig::{
    Graph, GraphRun, Holds, LaidOut, Link, LinkKind, LoadPath, Meets, Motion, Node, NodeKind, Side,
    Solved, SolvedNode, SolvedRun, Stop,
};
use steadypull_engine::situation::Treatment;
use steadypull_engine::units::{Angle, Force, Length, Mass};

use crate::plan_file::read_plan;

const PLAN: &str = r#"
[casualty]
mass = "2.6 t"
sits_in = "clay"
free_after = "4 m"
[tug]
mass = "2.9 t"
surface = "grass"
"#;

/// A plan with the tree and the two vehicles of the rig.
pub(super) fn plan() -> Plan {
    let mut plan = read_plan(PLAN).expect("a plan");
    let length = Length::new;
    plan.kit.anchors = ["tree", "tree-unused"]
        .map(|name| Anchor {
            name: name.into(),
            place: Place {
                x: length(1.0),
                y: length(-1.0),
                z: length(0.0),
            },
            kind: AnchorKind::Tree(Tree {
                stem_diameter: length(0.4),
                height: Length::new(15.0),
                strap_height: length(0.3),
                sort: TreeSort::Other,
                sound: true,
            }),
        })
        .to_vec();
    let pose = |x, y, facing| Pose {
        at: Place {
            x: length(x),
            y: length(y),
            z: length(0.0),
        },
        facing: Angle::from_deg(facing),
    };
    plan.rig = Some(Rig {
        method: Method::WinchSingle,
        path: Vec::new(),
        layout: Some(Layout {
            casualty: pose(-7.0, 0.0, 0.0),
            tug: pose(0.0, 7.0, -90.0),
            runs: Vec::new(),
        }),
        run_up_speed: None,
        slack: length(0.0),
    });
    plan
}

fn graph() -> Graph {
    let node = |name: &str, kind, fixed| Node {
        name: name.into(),
        kind,
        place_m: [0.0; 3],
        fixed,
        strong: None,
    };
    let stop = |node, meets| Stop { node, meets };
    let run = |name: &str, stops, parts: &[&str], holds| GraphRun {
        name: name.into(),
        stops,
        parts: parts.iter().map(|p| vec![p.to_string()]).collect(),
        holds,
        rest_m: 12.0,
        stiffness_n: 1e6,
    };
    let over = stop(1, Meets::Sheave(1.0));
    let haul = vec![stop(0, Meets::Fast), over, stop(2, Meets::Fast)];
    let strap = vec![stop(3, Meets::Fast), stop(1, Meets::Fast)];
    Graph {
        nodes: vec![
            node("casualty.front", NodeKind::Casualty, true),
            node("block", NodeKind::Block, false),
            node("tug.winch", NodeKind::Winch, true),
            node("tree", NodeKind::Anchor, true),
        ],
        runs: vec![
            run(
                "haul",
                haul,
                &["line", "line"],
                Holds::Hauled { share: 1.0 },
            ),
            run("redirect", strap, &["strap"], Holds::Length(1.4)),
        ],
        motion: Motion::Frictionless,
    }
}

fn solved() -> Solved {
    let root = 2f64.sqrt();
    let node = |place_m, load_n, carries| SolvedNode {
        place_m,
        load_n,
        carries: Force::new(carries),
        included: None,
        side_angle: None,
        travel: [0.0; 3],
    };
    let mut block = node([0.0; 3], [0.0; 3], root);
    block.included = Some(Angle::from_deg(90.0));
    block.travel = [0.0, -0.1, 0.0];
    let run = |tension_n: Vec<f64>, length_m: Vec<f64>| SolvedRun {
        tension_n,
        length_m,
        slack: false,
    };
    Solved {
        nodes: vec![
            node([-5.0, 0.0, 0.0], [1.0, 0.0, 0.0], 1.0),
            block,
            node([0.0, 5.0, 0.0], [0.0, -1.0, 0.0], 1.0),
            node([1.0, -1.0, 0.0], [-1.0, 1.0, 0.0], root),
        ],
        runs: vec![
            run(vec![1.0, 1.0], vec![5.0, 5.0]),
            run(vec![root], vec![root]),
        ],
        haul: Force::new(1.0),
        pull_n: [1.0, 0.0, 0.0],
        way: [1.0, 0.0, 0.0],
        real_advantage: 1.0,
        ideal_advantage: 1.0,
        haul_per_metre: 1.0,
        residual: 0.0,
    }
}

fn link(name: &str, load_share: f64, wll_kn: f64) -> Link {
    Link {
        name: name.into(),
        kind: LinkKind::Shackle,
        words: "bow shackle".into(),
        side: Side::Between,
        wll: Some(Force::from_kn(wll_kn)),
        mbs: None,
        factors: Vec::new(),
        load_share,
        strength_spread: 0.1,
        mass: Mass::new(1.0),
        metal: true,
        gives_slowly: false,
        refused: None,
        included: None,
        run: None,
        joins: None,
    }
}

/// A rung with the rig, so much pulling at the casualty.
pub(super) fn rung(peak_kn: f64) -> Rung {
    let links = vec![
        link("front-shackle", 1.0, 35.0),
        link("strap-shackle", 2f64.sqrt(), 42.0),
    ];
    Rung {
        method: Method::WinchSingle,
        verdict: Verdict::First,
        reason: String::new(),
        shift: None,
        shift_dug: None,
        samples: 0,
        chances: None,
        needed: None,
        available: None,
        peak: Some(Force::from_kn(peak_kn)),
        stored: None,
        treatment: Treatment::default(),
        path: Some(LoadPath {
            method: Method::WinchSingle,
            proposed: false,
            links,
            lines: Vec::new(),
            advantage: 1.0,
            laid_out: Some(LaidOut {
                graph: graph(),
                at_unit_haul: solved(),
            }),
        }),
        links: Vec::new(),
    }
}
