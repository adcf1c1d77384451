//! Laws that statics must keep for any rig.

mod rigs;

use proptest::prelude::*;
use rigs::{Rig, double_with_redirect, redirect, tackle, zigzag};
use steadypull_engine::rig::{Holds, Motion, NodeKind, Solved, StaticsError, solve};
use steadypull_engine::units::Force;

/// Numbers that a random rig is made of.
#[derive(Debug, Clone)]
struct Dice {
    redirects: Vec<(f64, f64, f64, f64)>,
    moving: bool,
    bridle: Option<bool>,
    efficiency: f64,
    heights: (f64, f64),
    winch: (f64, f64),
}

fn dice() -> impl Strategy<Value = Dice> {
    let redirect = (8.0..30.0, -12.0..12.0, 0.2..1.5, 0.4..2.5);
    (
        prop::collection::vec(redirect, 0..4),
        any::<bool>(),
        prop::option::of(any::<bool>()),
        0.85..1.0,
        (0.3..1.2, 0.3..1.2),
        (10.0..35.0, -20.0..20.0),
    )
        .prop_map(
            |(redirects, moving, bridle, efficiency, heights, winch)| Dice {
                redirects,
                moving,
                bridle,
                efficiency,
                heights,
                winch,
            },
        )
}

/// A rig from the dice, every place sent through `frame`.
fn rig(dice: &Dice, motion: Motion, frame: impl Fn([f64; 3]) -> [f64; 3]) -> Rig {
    let low = dice.heights.0;
    let mut rig = Rig::new(motion);
    let start = match dice.bridle {
        None => {
            rig = rig.casualty(frame([0.0, 0.0, low]));
            "casualty"
        }
        Some(_) => {
            rig = rig
                .fixed("left", NodeKind::Casualty, frame([0.0, 0.45, low]))
                .fixed("right", NodeKind::Casualty, frame([0.0, -0.45, low]))
                .block("apex", frame([1.0, 0.0, low]));
            "apex"
        }
    };
    rig = match dice.bridle {
        None => rig,
        Some(true) => rig.strap(&["left", "apex", "right"], 2.4),
        Some(false) => rig
            .strap(&["left", "apex"], 1.2)
            .strap(&["right", "apex"], 1.25),
    };
    rig = rig.winch(frame([dice.winch.0, dice.winch.1, dice.heights.1]));
    let mut way = vec![start.to_string()];
    if dice.moving {
        rig = rig
            .block("moving", frame([2.5, 0.0, low]))
            .strap(&[start, "moving"], 0.8)
            .anchor("dead-end", frame([25.0, 3.0, 0.6]));
        way = vec!["dead-end".into(), "moving".into()];
    }
    for (k, (x, y, z, strap)) in dice.redirects.iter().enumerate() {
        let (tree, block) = (format!("tree-{k}"), format!("block-{k}"));
        rig = rig
            .anchor(&tree, frame([*x, *y, *z]))
            .block(&block, frame([x - 0.3, *y, *z]))
            .strap(&[&tree, &block], *strap);
        way.push(block);
    }
    way.push("winch".into());
    let way: Vec<&str> = way.iter().map(String::as_str).collect();
    rig.hauled(&way, dice.efficiency)
}

/// Whether without friction any hanger carries less than a hundredth of the haul.
fn hardly_bent(dice: &Dice) -> bool {
    let free = solve(
        &rig(dice, Motion::Frictionless, same).0,
        Force::from_kn(1.0),
    );
    free.is_ok_and(|s| s.runs.iter().any(|run| run.tension_n[0] < 10.0))
}

fn same(frame: [f64; 3]) -> [f64; 3] {
    frame
}

/// Force on every node that moves, force and moment of the whole scene.
fn out_of_balance(solved: &Solved, rig: &Rig) -> (f64, f64, f64) {
    let (mut at_node, mut force, mut moment) = (0.0_f64, [0.0; 3], [0.0; 3]);
    for (node, described) in solved.nodes.iter().zip(&rig.0.nodes) {
        let (p, f) = (node.place_m, node.load_n);
        if !described.fixed {
            at_node = at_node.max(f.iter().map(|v| v * v).sum::<f64>().sqrt());
        }
        let turn = [
            p[1] * f[2] - p[2] * f[1],
            p[2] * f[0] - p[0] * f[2],
            p[0] * f[1] - p[1] * f[0],
        ];
        for i in 0..3 {
            force[i] += f[i];
            moment[i] += turn[i];
        }
    }
    let size = |v: [f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
    (at_node, size(force), size(moment))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn forces_and_moments_balance_and_nothing_pushes(dice in dice()) {
        let rig = rig(&dice, Motion::HaulingIn, same);
        // A rig drawn up or pulled to nothing says so; all others balance.
        let Ok(solved) = solve(&rig.0, Force::from_kn(1.0)) else { return Ok(()) };
        let (node, force, moment) = out_of_balance(&solved, &rig);
        prop_assert!(node < 1e-4, "node {node} N of 1000");
        prop_assert!(force < 1e-4, "force {force}");
        // Sheaves are points here: what friction takes acts at the block and is in
        // balance with its strap, so moments close as well.
        prop_assert!(moment < 1e-2, "moment {moment}");
        for run in &solved.runs {
            prop_assert!(run.tension_n.iter().all(|t| *t >= 0.0));
        }
        for (run, described) in solved.runs.iter().zip(&rig.0.runs) {
            if let Holds::Length(rest) = described.holds {
                let length: f64 = run.length_m.iter().sum();
                prop_assert!(length <= rest + 1e-6);
                prop_assert!(run.slack || (length - rest).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn real_advantage_never_passes_the_ideal(dice in dice()) {
        let rig = rig(&dice, Motion::HaulingIn, same);
        let Ok(solved) = solve(&rig.0, Force::from_kn(1.0)) else { return Ok(()) };
        // Friction also swings a block on its strap and so the line at the
        // casualty; the advantage is along the pull, level.
        prop_assert!(solved.real_advantage <= solved.ideal_advantage * (1.0 + 1e-9),
            "{} over {}", solved.real_advantage, solved.ideal_advantage);
    }

    #[test]
    fn virtual_work_gives_the_ideal_advantage(dice in dice()) {
        let rig = rig(&dice, Motion::Frictionless, same);
        let Ok(solved) = solve(&rig.0, Force::from_kn(1.0)) else { return Ok(()) };
        let ratio = solved.haul_per_metre / solved.ideal_advantage;
        prop_assert!((ratio - 1.0).abs() < 1e-6, "{ratio}");
        prop_assert!((solved.real_advantage / solved.ideal_advantage - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_turned_or_mirrored_scene_changes_nothing_but_the_frame(
        dice in dice(), turn in -3.1..3.1_f64, mirror in any::<bool>(), off in (-50.0..50.0, -50.0..50.0),
    ) {
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let frame = |[x, y, z]: [f64; 3]| {
            let y = if mirror { -y } else { y };
            [off.0 + x * cos - y * sin, off.1 + x * sin + y * cos, z]
        };
        let here = solve(&rig(&dice, Motion::HaulingIn, same).0, Force::from_kn(1.0));
        let there = solve(&rig(&dice, Motion::HaulingIn, frame).0, Force::from_kn(1.0));
        let (Ok(here), Ok(there)) = (here, there) else { return Ok(()) };
        // A block that the line runs straight past may lie slack, or be dragged along
        // until its hanger holds it: the reader refuses such a rig.
        prop_assume!(!hardly_bent(&dice));
        prop_assert!((here.real_advantage - there.real_advantage).abs() < 1e-6);
        prop_assert!((here.haul_per_metre - there.haul_per_metre).abs() < 1e-6);
        for (a, b) in here.runs.iter().zip(&there.runs) {
            for (s, t) in a.tension_n.iter().zip(&b.tension_n) {
                prop_assert!((s - t).abs() < 1e-3, "{s} and {t} N of 1000");
            }
        }
        for (a, b) in here.nodes.iter().zip(&there.nodes) {
            let moved = frame(a.place_m);
            for (wanted, got) in moved.iter().zip(b.place_m) {
                prop_assert!((wanted - got).abs() < 1e-5);
            }
        }
    }

    #[test]
    fn a_rig_is_solved_or_has_no_room_or_bears_on_nothing(dice in dice()) {
        let found = solve(&rig(&dice, Motion::HaulingIn, same).0, Force::from_kn(1.0));
        let no_room = matches!(
            found,
            Err(StaticsError::DrawnUp(..) | StaticsError::Unheld(_))
        );
        prop_assert!(found.is_ok() || no_room || hardly_bent(&dice), "{:?}", found.err());
    }
}

#[test]
fn friction_to_nothing_goes_to_the_textbook() {
    for parts in 1..=5 {
        let near = tackle(parts, 1.0 - 1e-9, Motion::HaulingIn).solve();
        assert!((near.real_advantage - parts as f64).abs() < 1e-6);
    }
    let (rough, smooth) = (redirect(0.9).solve(), redirect(1.0).solve());
    assert!(rough.real_advantage < smooth.real_advantage);
}

#[test]
fn the_moving_block_comes_along_and_the_redirect_stays_near() {
    let solved = double_with_redirect(0.96).solve();
    let travel = |node: usize| solved.nodes[node].travel;
    let along: f64 = (0..3).map(|i| travel(4)[i] * solved.way[i]).sum();
    assert!((along - 1.0).abs() < 0.02, "{along}");
    let redirect: f64 = travel(5).iter().map(|v| v * v).sum::<f64>().sqrt();
    assert!(redirect < 0.2, "{redirect}");
}

#[test]
fn shares_do_not_depend_on_the_haul() {
    let rig = double_with_redirect(0.9);
    let small = solve(&rig.0, Force::new(1.0)).unwrap();
    let large = solve(&rig.0, Force::from_kn(40.0)).unwrap();
    assert_eq!(
        small.scaled(40e3).pull_n.map(f64::round),
        large.pull_n.map(f64::round)
    );
    assert!((small.real_advantage - large.real_advantage).abs() < 1e-12);
}

#[test]
fn a_rig_of_fifty_parts() {
    let solved = zigzag(24, 0.97).solve();
    assert!((solved.real_advantage / solved.ideal_advantage - 0.97_f64.powi(24)).abs() < 0.01);
    assert!((solved.haul_per_metre / solved.ideal_advantage - 1.0).abs() < 0.05);
}

#[test]
fn a_redirect_that_the_line_runs_straight_past_hangs_slack() {
    // The first block could slide along the straight line: nothing settles where.
    let dice = Dice {
        redirects: vec![
            (25.531, -8.143, 0.411, 1.160),
            (24.793, -8.713, 0.552, 2.375),
            (17.250, -7.954, 0.646, 2.075),
        ],
        moving: true,
        bridle: Some(false),
        efficiency: 0.85,
        heights: (0.589, 0.3),
        winch: (26.401, -10.611),
    };
    let solved = rig(&dice, Motion::Frictionless, same).solve();
    let slack: Vec<bool> = solved.runs.iter().map(|r| r.slack).collect();
    assert_eq!(slack, [false, false, false, false, true, false, false]);
    assert!((solved.haul_per_metre / solved.ideal_advantage - 1.0).abs() < 1e-9);
}
