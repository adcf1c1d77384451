//! Rigs laid out on the ground, with hand-made loads, shared by the let-go tests.
#![allow(dead_code)]

use steadypull_engine::line::{Condition, Material};
use steadypull_engine::plan::{
    Anchor, AnchorKind, Block, BodyShape, Bridle, Casualty, DrivenWheels, Kit, Line, Part, People,
    Place, Plan, PointKind, Policy, RecoveryPoint, Shackle, ShackleKind, Soil, Surface, Tree,
    TreeSort, Tug, Vehicle, Winch, WinchDrive,
};
use steadypull_engine::rig::{
    Graph, GraphRun, Holds, Meets, Motion, Node, NodeKind, Solved, SolvedNode, SolvedRun, Stop,
};
use steadypull_engine::units::{Angle, Duration, Force, Length, Mass, Power, Pressure, Speed};

/// A rig with its plan and loads.
#[derive(Clone)]
pub struct Scene {
    pub plan: Plan,
    pub graph: Graph,
    pub solved: Solved,
}

pub fn line(name: &str, material: Material, length: f64, tonnes: f64) -> Part {
    let mbs = Force::from_tf(tonnes);
    Part::Line(Line {
        name: name.into(),
        material,
        kinetic: false,
        length: Length::new(length),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: material.curve().unwrap(),
        condition: Condition::default(),
        labelled: true,
        hitch: Default::default(),
        parts_at: None,
    })
}

pub fn shackle(name: &str, kg: f64) -> Part {
    Part::Shackle(Shackle {
        name: name.into(),
        kind: ShackleKind::Bow,
        wll: Some(Force::from_tf(4.75)),
        mbs: Force::from_tf(23.75),
        mass: Mass::new(kg),
        side_angle: Angle::ZERO,
        pin_gap: None,
    })
}

pub fn block(name: &str, kg: f64) -> Part {
    Part::Block(Block {
        name: name.into(),
        wll: Force::from_tf(50.0),
        mbs: Force::from_tf(100.0),
        efficiency: 1.0,
        ring_friction: None,
        sheave_diameter: Length::from_mm(100.0),
        mass: Mass::new(kg),
    })
}

fn point(name: &str) -> RecoveryPoint {
    RecoveryPoint {
        name: name.into(),
        kind: PointKind::Rated,
        wll: Some(Force::from_tf(5.0)),
        mbs: Some(Force::from_tf(50.0)),
        torn_off_mass: Mass::new(1.5),
        height: Length::new(0.6),
        offset: Length::ZERO,
        forward: Length::ZERO,
        side_angle: Angle::ZERO,
    }
}

fn vehicle(name: &str, points: &[&str]) -> Vehicle {
    Vehicle {
        name: name.into(),
        mass: Mass::new(2600.0),
        gross_mass: Mass::new(3000.0),
        driven: DrivenWheels::All,
        tyre_pressure: Pressure::from_psi(28.0),
        road_tyre_pressure: Pressure::from_psi(36.0),
        recovery_points: points.iter().map(|p| point(p)).collect(),
        shape: BodyShape::wagon(),
    }
}

/// Two wagons, a tree, and these parts.
pub fn plan(parts: Vec<Part>) -> Plan {
    Plan {
        title: "Test rig".into(),
        place: None,
        casualty: Casualty {
            vehicle: vehicle("Wagon 1", &["rear", "left", "right"]),
            sunk: None,
            soil: Soil::Firm,
            stuck_for: Duration::ZERO,
            contact_area: None,
            slope_along: Angle::ZERO,
            slope_across: Angle::ZERO,
            held_by: None,
            locked_wheels: 0,
            own_drive: false,
            back_along_tracks: false,
            overturned: false,
            free_after: Length::new(4.0),
        },
        tug: Tug {
            vehicle: vehicle("Wagon 2", &["front"]),
            surface: Surface::Grass,
            grip: 0.5,
            grip_spread: 0.2,
            rolling: 0.08,
            slope_along: Angle::ZERO,
            power: Power::new(90e3),
            max_drive: Force::from_kn(20.0),
            holds_drive: false,
            winch: Some(Winch {
                drive: WinchDrive::Electric,
                rated_pull: Force::from_kn(42.0),
                layer: 1,
                drum_diameter: Length::from_mm(64.0),
                drum_width: Length::from_mm(230.0),
                line: "winch-line".into(),
                line_speed: Speed::new(0.1),
                height: Length::new(0.6),
                forward: Length::ZERO,
                mount_mass: Mass::new(35.0),
                mount_mbs: None,
                flange_diameter: None,
                line_diameter: None,
                packing: 0.8,
                least_wraps: 10,
                paid_out: Length::new(30.0),
                plate: steadypull_engine::pull::winch::preset::preset("WG-E42")
                    .expect("a preset")
                    .plate,
                preset: None,
            }),
        },
        kit: Kit {
            parts,
            anchors: ["tree", "tree-2"].map(tree).to_vec(),
            ..Kit::default()
        },
        rig: None,
        site: Default::default(),
        people: People {
            crew: 2,
            bystanders: 0,
            bystanders_at: None,
        },
        policy: Policy::default(),
        lowering: None,
        tried: Vec::new(),
        seed: 7,
        units: Default::default(),
        assumed: Vec::new(),
        spreads: Vec::new(),
        tested: Vec::new(),
    }
}

fn tree(name: &str) -> Anchor {
    Anchor {
        name: name.into(),
        place: Place::default(),
        kind: AnchorKind::Tree(Tree {
            stem_diameter: Length::new(0.4),
            height: Length::new(15.0),
            strap_height: Length::new(0.6),
            sort: TreeSort::Pine,
            sound: true,
        }),
    }
}

/// A node at (x, y), 0.6 m up.
pub fn node(name: &str, kind: NodeKind, x: f64, y: f64) -> Node {
    Node {
        name: name.into(),
        kind,
        place_m: [x, y, 0.6],
        fixed: !matches!(kind, NodeKind::Block | NodeKind::Ring | NodeKind::Apex),
        strong: None,
    }
}

/// A run over `stops` (node, how), the parts of each part of line, its tension.
pub struct RunOf<'a> {
    pub name: &'a str,
    pub stops: &'a [(usize, Meets)],
    pub parts: &'a [&'a [&'a str]],
    pub tension_n: f64,
    pub hauled: bool,
}

/// The rig of these nodes and runs; loads by vector sum.
pub fn rig(parts: Vec<Part>, nodes: Vec<Node>, runs: &[RunOf], pull: [f64; 3]) -> Scene {
    let mut solved_nodes: Vec<SolvedNode> = nodes
        .iter()
        .map(|n| SolvedNode {
            place_m: n.place_m,
            load_n: [0.0; 3],
            carries: Force::ZERO,
            included: None,
            side_angle: None,
            travel: [0.0; 3],
        })
        .collect();
    let mut graph_runs = Vec::new();
    let mut solved_runs = Vec::new();
    let mut passing = vec![[0.0; 3]; nodes.len()];
    for run in runs {
        let stops: Vec<Stop> = run
            .stops
            .iter()
            .map(|&(node, meets)| Stop { node, meets })
            .collect();
        let mut lengths = Vec::new();
        for w in stops.windows(2) {
            let (a, b) = (nodes[w[0].node].place_m, nodes[w[1].node].place_m);
            let d: [f64; 3] = core::array::from_fn(|k| b[k] - a[k]);
            let length = d.iter().map(|v| v * v).sum::<f64>().sqrt();
            for (stop, sign) in [(w[0], 1.0), (w[1], -1.0)] {
                for k in 0..3 {
                    let force = sign * run.tension_n * d[k] / length;
                    solved_nodes[stop.node].load_n[k] += force;
                    if stop.meets != Meets::Fast {
                        passing[stop.node][k] += force;
                    }
                }
            }
            lengths.push(length);
        }
        let whole: f64 = lengths.iter().sum();
        solved_runs.push(SolvedRun {
            tension_n: vec![run.tension_n; lengths.len()],
            length_m: lengths,
            slack: run.tension_n == 0.0,
        });
        graph_runs.push(GraphRun {
            name: run.name.into(),
            stops,
            parts: run
                .parts
                .iter()
                .map(|names| names.iter().map(|n| n.to_string()).collect())
                .collect(),
            holds: if run.hauled {
                Holds::Hauled { share: 1.0 }
            } else {
                Holds::Length(whole)
            },
            rest_m: whole,
            stiffness_n: 1e6,
        });
    }
    for (n, node) in solved_nodes.iter_mut().enumerate() {
        let of = |v: [f64; 3]| v.iter().map(|f| f * f).sum::<f64>().sqrt();
        let own = if nodes[n].fixed {
            node.load_n
        } else {
            passing[n]
        };
        node.carries = Force::new(of(own));
    }
    let size = pull.iter().map(|f| f * f).sum::<f64>().sqrt();
    Scene {
        plan: plan(parts),
        graph: Graph {
            nodes,
            runs: graph_runs,
            motion: Motion::HaulingIn,
        },
        solved: Solved {
            nodes: solved_nodes,
            runs: solved_runs,
            haul: Force::new(runs[0].tension_n),
            pull_n: pull,
            way: pull.map(|f| f / size),
            real_advantage: 1.0,
            ideal_advantage: 1.0,
            haul_per_metre: 1.0,
            residual: 0.0,
        },
    }
}

const FAST: Meets = Meets::Fast;
const OVER: Meets = Meets::Sheave(1.0);

/// Casualty at the origin, winch 20 m along x.
pub fn straight(tension_n: f64) -> Scene {
    rig(
        vec![
            shackle("bow-1", 1.3),
            line("winch-line", Material::Hmpe, 28.0, 9.0),
        ],
        vec![
            node("casualty.rear", NodeKind::Casualty, 0.0, 0.0),
            node("tug.winch", NodeKind::Winch, 20.0, 0.0),
        ],
        &[RunOf {
            name: "main",
            stops: &[(0, FAST), (1, FAST)],
            parts: &[&["bow-1", "winch-line"]],
            tension_n,
            hauled: true,
        }],
        [tension_n, 0.0, 0.0],
    )
}

/// The line from the casualty at (20, 0) to a block at the origin and on to the winch
/// at (0, 20); the block's strap leads out to a tree on the bisector.
pub fn redirect(tension_n: f64, material: Material, tonnes: f64, block_kg: f64) -> Scene {
    let rope = line("winch-line", material, 45.0, tonnes);
    bent([20.0, 0.0], [0.0, 20.0], tension_n, rope, block_kg)
}

/// The same with casualty and winch where they are told.
pub fn bent(casualty: [f64; 2], winch: [f64; 2], tension_n: f64, rope: Part, kg: f64) -> Scene {
    let unit = |p: [f64; 2]| p.map(|v| v / libm::hypot(p[0], p[1]));
    let (a, b) = (unit(casualty), unit(winch));
    let sum = [a[0] + b[0], a[1] + b[1]];
    let out = unit(sum).map(|v| -2.8 * v);
    rig(
        vec![
            shackle("bow-1", 1.3),
            shackle("bow-2", 1.3),
            rope,
            line("tree-strap", Material::PolyesterWebbing, 2.8, 40.0),
            block("block-1", kg),
        ],
        vec![
            node(
                "casualty.rear",
                NodeKind::Casualty,
                casualty[0],
                casualty[1],
            ),
            node("block-1", NodeKind::Block, 0.0, 0.0),
            node("tug.winch", NodeKind::Winch, winch[0], winch[1]),
            node("tree", NodeKind::Anchor, out[0], out[1]),
        ],
        &[
            RunOf {
                name: "main",
                stops: &[(0, FAST), (1, OVER), (2, FAST)],
                parts: &[&["bow-1", "winch-line"], &["winch-line"]],
                tension_n,
                hauled: true,
            },
            RunOf {
                name: "hanger",
                stops: &[(3, FAST), (1, FAST)],
                parts: &[&["tree-strap", "bow-2"]],
                tension_n: tension_n * libm::hypot(sum[0], sum[1]),
                hauled: false,
            },
        ],
        [-a[0] * tension_n, -a[1] * tension_n, 0.0],
    )
}

/// From a tree beside the winch round a block at the casualty and back.
pub fn double_line(tension_n: f64) -> Scene {
    let (ax, ay) = (20.0_f64, 1.0_f64);
    let pull = 2.0 * tension_n * ax / (ax * ax + ay * ay).sqrt();
    rig(
        vec![
            shackle("bow-1", 1.3),
            line("winch-line", Material::Hmpe, 45.0, 9.0),
            line("short-strap", Material::PolyesterWebbing, 1.0, 20.0),
            block("block-1", 4.0),
        ],
        vec![
            node("casualty.rear", NodeKind::Casualty, -1.0, 0.0),
            node("block-1", NodeKind::Block, 0.0, 0.0),
            node("tug.winch", NodeKind::Winch, ax, ay),
            node("tree", NodeKind::Anchor, ax, -ay),
        ],
        &[
            RunOf {
                name: "main",
                stops: &[(3, FAST), (1, OVER), (2, FAST)],
                parts: &[&["winch-line"], &["winch-line"]],
                tension_n,
                hauled: true,
            },
            RunOf {
                name: "casualty-strap",
                stops: &[(0, FAST), (1, FAST)],
                parts: &[&["bow-1", "short-strap"]],
                tension_n: pull,
                hauled: false,
            },
        ],
        [pull, 0.0, 0.0],
    )
}

/// Two fixed legs from the casualty's points to an apex, a single line to the winch.
pub fn bridle(tension_n: f64) -> Scene {
    let leg = Part::Bridle(Bridle {
        line: match line("legs", Material::PolyesterWebbing, 4.0, 12.0) {
            Part::Line(line) => line,
            _ => unreachable!("a line is a line"),
        },
        points: ["casualty.left".into(), "casualty.right".into()],
        span: Length::new(1.0),
        equalising: false,
    });
    let along = (4.0_f64 - 0.25).sqrt();
    let each = 0.5 * tension_n * 2.0 / along;
    rig(
        vec![
            leg,
            shackle("bow-1", 1.3),
            line("winch-line", Material::Hmpe, 28.0, 9.0),
        ],
        vec![
            node("casualty.left", NodeKind::Casualty, 0.0, 0.5),
            node("casualty.right", NodeKind::Casualty, 0.0, -0.5),
            node("legs", NodeKind::Apex, along, 0.0),
            node("tug.winch", NodeKind::Winch, 20.0, 0.0),
        ],
        &[
            RunOf {
                name: "main",
                stops: &[(2, FAST), (3, FAST)],
                parts: &[&["bow-1", "winch-line"]],
                tension_n,
                hauled: true,
            },
            RunOf {
                name: "left leg",
                stops: &[(0, FAST), (2, FAST)],
                parts: &[&["legs"]],
                tension_n: each,
                hauled: false,
            },
            RunOf {
                name: "right leg",
                stops: &[(1, FAST), (2, FAST)],
                parts: &[&["legs"]],
                tension_n: each,
                hauled: false,
            },
        ],
        [tension_n, 0.0, 0.0],
    )
}

/// Lowered on the main line, with a slack belay from the same point to a tree.
pub fn belayed(tension_n: f64) -> Scene {
    let mut scene = rig(
        vec![
            line("main-rope", Material::NylonBraid, 30.0, 9.0),
            line("belay-rope", Material::NylonBraid, 30.0, 9.0),
        ],
        vec![
            node("casualty.rear", NodeKind::Casualty, 0.0, 0.0),
            node("tree", NodeKind::Anchor, 20.0, 0.0),
            node("tree-2", NodeKind::Anchor, 20.0, 4.0),
        ],
        &[
            RunOf {
                name: "main",
                stops: &[(0, FAST), (1, FAST)],
                parts: &[&["main-rope"]],
                tension_n,
                hauled: true,
            },
            RunOf {
                name: "belay",
                stops: &[(0, FAST), (2, FAST)],
                parts: &[&["belay-rope"]],
                tension_n: 0.0,
                hauled: false,
            },
        ],
        [tension_n, 0.0, 0.0],
    );
    scene.solved.runs[1].slack = true;
    scene
}

/// An equalising bridle: one line from point to point that slides at the apex.
pub fn equalised(tension_n: f64) -> Scene {
    let mut scene = bridle(tension_n);
    let left = scene.graph.runs.remove(2);
    let under = scene.solved.runs.remove(2);
    let legs = &mut scene.graph.runs[1];
    legs.name = "legs".into();
    legs.stops[1].meets = Meets::Slides;
    legs.stops.push(left.stops[0]);
    legs.parts.push(left.parts[0].clone());
    let solved = &mut scene.solved.runs[1];
    solved.tension_n.push(under.tension_n[0]);
    solved.length_m.push(under.length_m[0]);
    scene
}

/// The scene with every place and force put through `turn`.
pub fn turned(scene: &Scene, turn: impl Fn([f64; 3]) -> [f64; 3]) -> Scene {
    let mut out = scene.clone();
    for node in &mut out.graph.nodes {
        node.place_m = turn(node.place_m);
    }
    for node in &mut out.solved.nodes {
        node.place_m = turn(node.place_m);
        node.load_n = turn(node.load_n);
    }
    out.solved.pull_n = turn(out.solved.pull_n);
    out.solved.way = turn(out.solved.way);
    out
}

/// About the upright through the origin, then moved.
pub fn rotated(scene: &Scene, angle: f64) -> Scene {
    let (sin, cos) = libm::sincos(angle);
    turned(scene, |[x, y, z]| [x * cos - y * sin, x * sin + y * cos, z])
}
