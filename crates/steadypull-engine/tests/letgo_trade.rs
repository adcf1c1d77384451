//! The let-go against facts of the trade (order and direction, common practice).
//!
//! Inputs taken where the facts leave them free: 9 m, 9 t nylon webbing strap,
//! 0.55 kg/m, 1.5 kg of hardware at the parted end, both recovery points at 0.6 m,
//! grips that slip at 300 N, dampers of 0.1 m2 drag area.

mod letgo_rig;

use letgo_rig::{damper, strap};
use steadypull_engine::letgo::{DamperOnLine, HeldEnd, Outcome, TetherToLine, run};
use steadypull_engine::units::{Duration, Force, Length, Mass, Speed};

fn recoil(tonnes: f64, kg: f64, dampers: Vec<DamperOnLine>) -> Outcome {
    let mut setup = strap(tonnes, kg);
    setup.dampers = dampers;
    setup.max_time = Duration::new(2.0);
    run(&setup).unwrap()
}

fn arrival_j(tonnes: f64, dampers: Vec<DamperOnLine>) -> f64 {
    recoil(tonnes, 1.5, dampers)
        .arrival
        .map_or(0.0, |a| 0.5 * 1.5 * a.speed.get() * a.speed.get())
}

fn one_light() -> Vec<DamperOnLine> {
    vec![damper(0.5, 4.5)]
}
fn one_heavy() -> Vec<DamperOnLine> {
    vec![damper(5.0, 4.5)]
}
fn two_heavy() -> Vec<DamperOnLine> {
    vec![damper(5.0, 4.5), damper(5.0, 0.1)]
}

/// The order none, light in the middle, heavy holds at every load. Whether two
/// heavy ones beat one in the middle depends, in this model, on whether flying
/// hardware runs squarely into the one in the middle: near 2 to 3 t one that is hit
/// leaves the hardware as slow as two do. So the last step of TF-07 is not
/// asserted here.
#[test]
fn tf_07_order_of_dampers() {
    for tonnes in [1.5, 2.0, 3.0, 4.0, 9.0] {
        let [none, light, one, two] =
            [vec![], one_light(), one_heavy(), two_heavy()].map(|d| arrival_j(tonnes, d));
        assert!(
            none > light && light > one && light > two,
            "TF-07 at {tonnes} t: {none} {light} {one} {two}"
        );
        assert!(
            light > 0.7 * none,
            "one light damper hardly slows it: {light} of {none} J"
        );
        assert!(
            two < 0.3 * none,
            "two heavy ones slow it: {two} of {none} J"
        );
    }
}

/// With 5 kg hard against the hardware and 5 kg in the middle the hardware stops
/// short only where little is stored; the claim fails from about 1 t (0.6 kJ) up.
#[test]
fn tf_07_stops_short_only_at_low_load() {
    assert!(recoil(0.5, 1.5, two_heavy()).arrival.is_none());
    assert!(recoil(0.5, 1.5, vec![]).arrival.is_some());
    let at_two = recoil(2.0, 1.5, two_heavy()).arrival.unwrap();
    assert!(at_two.speed.get() > 5.0, "no claim that it stops at 2 t");
    let at_nine = recoil(9.0, 1.5, two_heavy()).arrival.unwrap();
    assert!(
        at_nine.speed.get() > 30.0,
        "at full load it arrives at tens of metres a second"
    );
}

#[test]
fn tf_06_short_tether_is_torn() {
    let mut setup = strap(9.0, 0.0);
    setup.max_time = Duration::new(0.2);
    setup.held = HeldEnd::Vehicle {
        mass: Mass::new(2500.0),
        speed: Speed::new(3.0),
    };
    setup.tethers = vec![TetherToLine {
        from_free_end: Length::new(0.2),
        ..TetherToLine::new(Length::new(0.9), Force::from_tf(9.0), 0.18, Mass::new(0.5))
    }];
    let tether = run(&setup).unwrap().tethers[0];
    assert!(tether.parted_at.is_some(), "TF-06");
    assert!(tether.held_moved.unwrap().get() < 0.2, "TF-06");
    assert!(tether.asked > tether.capacity, "TF-06");
}

#[test]
fn tf_09_hardware_arrives_far_above_the_criterion() {
    for kg in [1.0, 1.5, 3.0, 5.0] {
        for tonnes in [4.0, 9.0] {
            let energy = recoil(tonnes, kg, vec![]).arrival.unwrap().energy.get();
            assert!(
                energy > 10.0 * 79.0,
                "TF-09: {kg} kg at {tonnes} t arrives with {energy} J"
            );
        }
    }
}
