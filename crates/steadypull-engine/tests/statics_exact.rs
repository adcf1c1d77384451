//! Statics against closed forms.

mod rigs;

use rigs::{Rig, redirect, tackle};
use steadypull_engine::gear::block::{block_load, capstan_ratio, real_advantage};
use steadypull_engine::gear::bridle;
use steadypull_engine::rig::{Motion, NodeKind, StaticsError, solve};
use steadypull_engine::units::{Angle, Force, Length};

fn close(got: f64, wanted: f64, within: f64) {
    assert!(
        (got - wanted).abs() <= within * wanted.abs().max(1e-9),
        "{got} is not {wanted}"
    );
}

#[test]
fn closed_form_textbook_advantage_without_friction() {
    for parts in 1..=5 {
        let solved = tackle(parts, 0.9, Motion::Frictionless).solve();
        close(solved.real_advantage, parts as f64, 1e-9);
        close(solved.ideal_advantage, parts as f64, 1e-9);
        close(solved.haul_per_metre, parts as f64, 1e-9);
    }
}

#[test]
fn closed_form_real_advantage_is_the_geometric_series() {
    for efficiency in [0.9, 0.96, 1.0 / 1.09] {
        for parts in 1..=5 {
            let solved = tackle(parts, efficiency, Motion::HaulingIn).solve();
            close(
                solved.real_advantage,
                real_advantage(parts as u32, efficiency),
                1e-9,
            );
            close(solved.ideal_advantage, parts as f64, 1e-9);
        }
    }
}

#[test]
fn closed_form_paying_out_turns_the_friction_round() {
    // Each sheave helps the holder: the load side pulls 1/e harder.
    let solved = tackle(2, 0.9, Motion::PayingOut).solve();
    close(solved.real_advantage, 1.0 + 1.0 / 0.9, 1e-9);
}

#[test]
fn closed_form_redirect_block_carries_the_sum_of_its_two_parts() {
    let solved = redirect(1.0).solve();
    let block = &solved.nodes[3];
    let included = block.included.unwrap();
    close(
        block.carries.get(),
        block_load(Force::from_kn(1.0), included).get(),
        1e-9,
    );
    // The strap carries it, along the bisector.
    close(solved.runs[0].tension_n[0], block.carries.get(), 1e-9);
    close(
        solved.real_advantage,
        level_share(&solved.runs[1].length_m, &solved),
        1e-9,
    );
}

/// Level share of the pull of the part of line at the casualty of [`redirect`].
fn level_share(lengths: &[f64], solved: &steadypull_engine::rig::Solved) -> f64 {
    let rise = solved.nodes[3].place_m[2] - solved.nodes[0].place_m[2];
    (1.0 - (rise / lengths[0]) * (rise / lengths[0])).sqrt()
}

#[test]
fn closed_form_trunk_friction_is_the_capstan() {
    let rig = Rig::new(Motion::HaulingIn)
        .casualty([0.0, 0.0, 0.0])
        .winch([10.0, -10.0, 0.0])
        .anchor("trunk", [10.0, 0.0, 0.0])
        .hauled_round(&["casualty", "trunk", "winch"], 0.3);
    let solved = rig.solve();
    let [at_casualty, at_winch] = solved.runs[0].tension_n[..] else {
        panic!("two parts of line");
    };
    close(
        at_winch / at_casualty,
        capstan_ratio(0.3, Angle::from_deg(90.0)),
        1e-12,
    );
}

#[test]
fn closed_form_bridles_share_as_the_sine_rule_and_the_ellipse_say() {
    let (span, whole) = (Length::new(0.9), Length::new(2.4));
    for lean in [0.0, 10.0, 15.0] {
        let far = 1e6;
        let (sin, cos) = (Angle::from_deg(lean).sin(), Angle::from_deg(lean).cos());
        let base = |motion| {
            Rig::new(motion)
                .fixed("left", NodeKind::Casualty, [0.0, 0.45, 0.0])
                .fixed("right", NodeKind::Casualty, [0.0, -0.45, 0.0])
                .winch([far * cos, far * sin, 0.0])
                .block("apex", [1.0, 0.0, 0.0])
        };
        let pull = Force::from_kn(1.0);
        let fixed = base(Motion::Frictionless)
            .strap(&["left", "apex"], 1.2)
            .strap(&["right", "apex"], 1.2)
            .hauled(&["apex", "winch"], 1.0)
            .solve();
        let wanted = bridle::fixed(pull, span, whole, Angle::from_deg(lean)).unwrap();
        // A pull that leans left comes into line with the right leg.
        close(fixed.runs[1].tension_n[0], wanted.tension[0].get(), 1e-5);
        close(fixed.runs[0].tension_n[0], wanted.tension[1].get(), 1e-5);
        let sliding = base(Motion::Frictionless)
            .strap(&["left", "apex", "right"], 2.4)
            .hauled(&["apex", "winch"], 1.0)
            .solve();
        let wanted = bridle::equalising(pull, span, whole, Angle::from_deg(lean)).unwrap();
        close(sliding.runs[0].tension_n[0], wanted.tension[0].get(), 1e-5);
        close(sliding.runs[0].tension_n[1], wanted.tension[1].get(), 1e-5);
    }
}

#[test]
fn a_leg_past_the_pull_hangs_slack() {
    let solved = Rig::new(Motion::Frictionless)
        .fixed("left", NodeKind::Casualty, [0.0, 0.45, 0.0])
        .fixed("right", NodeKind::Casualty, [0.0, -0.45, 0.0])
        .winch([10.0, 12.0, 0.0])
        .block("apex", [1.0, 0.0, 0.0])
        .strap(&["left", "apex"], 1.2)
        .strap(&["right", "apex"], 1.2)
        .hauled(&["apex", "winch"], 1.0)
        .solve();
    assert!(solved.runs[0].slack && !solved.runs[1].slack);
    assert_eq!(solved.runs[0].tension_n[0], 0.0);
    close(solved.runs[1].tension_n[0], 1000.0, 1e-9);
}

#[test]
fn closed_form_three_legs_share_by_stretch() {
    // Three legs alike to points in a row, pulled square: the middle one is the
    // shorter way and stretches most. Two-bar-and-a-middle truss:
    // T_mid / T_side = 1 / cos^2(a), exact for small stretch.
    let (reach, half): (f64, f64) = (3.0, 1.5);
    let side = (reach * reach + half * half).sqrt();
    let rig = Rig::new(Motion::Frictionless)
        .fixed("a", NodeKind::Casualty, [0.0, half, 0.0])
        .fixed("b", NodeKind::Casualty, [0.0, 0.0, 0.0])
        .fixed("c", NodeKind::Casualty, [0.0, -half, 0.0])
        .winch([500.0, 0.0, 0.0])
        .block("apex", [3.0, 0.0, 0.0])
        .strap(&["a", "apex"], side)
        .strap(&["b", "apex"], reach)
        .strap(&["c", "apex"], side)
        .hauled(&["apex", "winch"], 1.0);
    let solved = solve(&rig.0, Force::new(10.0)).unwrap();
    let cos = reach / side;
    let (mid, outer) = (solved.runs[1].tension_n[0], solved.runs[0].tension_n[0]);
    close(mid / outer, 1.0 / (cos * cos), 1e-4);
    close(mid + 2.0 * outer * cos, 10.0, 1e-6);
}

#[test]
fn unsolvable_rigs_say_why() {
    let haul = Force::from_kn(1.0);
    let short = Rig::new(Motion::HaulingIn)
        .casualty([0.0; 3])
        .winch([10.0, 0.0, 0.0])
        .anchor("tree", [5.0, 9.0, 0.0])
        .block("tied", [1.0, 0.0, 0.0])
        .strap(&["casualty", "tied"], 1.0)
        .strap(&["tree", "tied"], 2.0)
        .hauled(&["tied", "winch"], 1.0);
    assert!(matches!(
        solve(&short.0, haul),
        Err(StaticsError::TooShort { .. })
    ));
    let drawn = Rig::new(Motion::HaulingIn)
        .casualty([0.0; 3])
        .winch([10.0, 0.0, 0.0])
        .block("loose", [5.0, 1.0, 0.0])
        .hauled(&["casualty", "winch"], 1.0)
        .hauled(&["loose", "winch"], 1.0);
    assert!(matches!(
        solve(&drawn.0, haul),
        Err(StaticsError::DrawnUp(..))
    ));
    let none = Rig::new(Motion::HaulingIn)
        .casualty([0.0; 3])
        .anchor("tree", [9.0, 0.0, 0.0])
        .strap(&["casualty", "tree"], 9.0);
    assert_eq!(solve(&none.0, haul), Err(StaticsError::NoHaul));
    let odd = Rig::new(Motion::HaulingIn)
        .casualty([f64::NAN, 0.0, 0.0])
        .winch([1.0, 0.0, 0.0])
        .hauled(&["casualty", "winch"], 1.0);
    assert!(matches!(
        solve(&odd.0, haul),
        Err(StaticsError::NotANumber(_))
    ));
    let elsewhere = Rig::new(Motion::HaulingIn)
        .casualty([0.0; 3])
        .winch([10.0, 0.0, 0.0])
        .anchor("tree", [5.0, 9.0, 0.0])
        .hauled(&["tree", "winch"], 1.0);
    assert_eq!(solve(&elsewhere.0, haul), Err(StaticsError::NoPull));
}
