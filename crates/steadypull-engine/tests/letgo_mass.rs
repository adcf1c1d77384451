//! More damper mass at the hardware never makes it leave faster: over an ensemble, the
//! same draws for every mass.
//!
//! Arriving is another matter, in air. What leaves lighter leaves faster and is slowed
//! more on the way, so with light hardware a light damper can raise the arrival speed by
//! some 2 % while it lowers the speed of leaving (0.4 kg of hardware and 0.5 kg of damper
//! at 6.4 t: 115.2 to 111.7 m/s on leaving, 108.3 to 110.0 on arrival; the same at 32,
//! 64 and 128 segments), and more on a long line (22 m at half its strength, 0.3 kg of
//! hardware, 0.24 and 0.5 kg of damper: 86.3 to 85.8 on leaving, 77.6 to 84.1 on arrival
//! at 256 segments). Light is what is little beside its line: with 1.7 kg at 21 m of
//! 0.55 kg/m no damper, 0.6 and 2 kg arrive at 91.3, 92.5 and 91.5 m/s (256 segments), at
//! 12 m each kilogram slows. Without air the arrival, too, never gets faster.

mod letgo_rig;

use letgo_rig::{damper, hardware, part, strap, thrown};
use proptest::prelude::*;
use steadypull_engine::letgo::{LinePart, Setup, run, run_each};
use steadypull_engine::line::{Condition, Law, Material};
use steadypull_engine::units::{Duration, Force, Length};

const MASSES_KG: [f64; 7] = [0.0, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
const DRAWS: usize = 32;
/// What a step in time or a change of segment may move a speed by.
const NOISE: f64 = 5e-4;
/// Hardware and damper under this share of their line's mass are light.
const LIGHT: f64 = 0.25;

fn share(draw: usize, k: usize) -> f64 {
    (draw * k % 101) as f64 / 101.0
}

fn hardware_kg(draw: usize) -> f64 {
    0.3 + 5.0 * share(draw, 53)
}

fn drawn(draw: usize, kg: f64, air_kg_m3: f64) -> Setup {
    let mut setup = thrown(
        strap(0.5 + 8.5 * share(draw, 37), hardware_kg(draw)),
        10.0 * share(draw, 71),
        10.0 * share(draw, 29) - 5.0,
    );
    setup.segments = 32;
    setup.max_time = Duration::new(1.0);
    setup.air_kg_m3 = air_kg_m3;
    if kg > 0.0 {
        setup.dampers = vec![damper(kg, 0.0)];
    }
    setup
}

/// Speeds on leaving and on arrival by draw and mass; nothing where it does not arrive.
fn speeds(air_kg_m3: f64) -> Vec<[(f64, f64); MASSES_KG.len()]> {
    let masses = MASSES_KG.len();
    let mut all = vec![[(0.0, 0.0); MASSES_KG.len()]; DRAWS];
    run_each(
        0..DRAWS * masses,
        |n| drawn(n / masses, MASSES_KG[n % masses], air_kg_m3),
        |n, outcome| {
            let outcome = outcome.unwrap();
            let arrival = outcome.arrival.map_or(0.0, |a| a.speed.get());
            all[n / masses][n % masses] = (outcome.launch.speed.get(), arrival);
        },
    );
    all
}

#[test]
fn more_mass_at_the_hardware_never_leaves_faster() {
    let mut rises = 0;
    for (draw, by_mass) in speeds(1.225).iter().enumerate() {
        for (k, pair) in by_mass.windows(2).enumerate() {
            let ((left, arrived), (leaves, arrives)) = (pair[0], pair[1]);
            assert!(leaves <= left * (1.0 + NOISE), "draw {draw}: {by_mass:?}");
            if arrives > arrived * (1.0 + NOISE) {
                rises += 1;
                // Only what is light, and by little.
                assert!(
                    arrives < 1.03 * arrived && hardware_kg(draw) < 1.0 && MASSES_KG[k + 1] < 2.0,
                    "draw {draw}: {by_mass:?}"
                );
            }
        }
    }
    assert!(rises > 0, "the exception told above must be met");
}

#[test]
fn without_air_more_mass_never_arrives_faster() {
    for (draw, by_mass) in speeds(0.0).iter().enumerate() {
        for pair in by_mass.windows(2) {
            assert!(
                pair[1].1 <= pair[0].1 * (1.0 + NOISE),
                "draw {draw}: {by_mass:?}"
            );
        }
    }
}

/// Any line, load, direction and hardware.
fn any_line() -> impl Strategy<Value = Setup> {
    let material = prop_oneof![
        Just(Material::NylonWebbing),
        Just(Material::NylonBraid),
        Just(Material::PolyesterWebbing)
    ];
    let line = (material, 5.0..25.0, 0.05..0.9, 0.3..6.0);
    (line, 0.0..10.0, -5.0..5.0).prop_map(|((material, metres, share, kg), up, left)| {
        let curve = material.curve().expect("the preset is a curve");
        let mbs = Force::from_tf(9.0);
        let law = Law::new(&curve, mbs, &Condition::default(), material);
        let unloading = law.unloading(law.strain_at(share * mbs.get()));
        let line = LinePart {
            length: Length::new(metres),
            ..part(unloading, material.mass_per_length(mbs).get())
        };
        let mut setup = thrown(Setup::new(vec![line], hardware(kg)), up, left);
        setup.segments = 32;
        setup.max_time = Duration::new(1.0);
        setup
    })
}

/// Speeds on leaving and on arrival, with so much damper at the hardware.
fn with_damper(setup: &Setup, kg: f64, air_kg_m3: f64) -> (f64, f64) {
    let mut setup = setup.clone();
    setup.air_kg_m3 = air_kg_m3;
    if kg > 0.0 {
        setup.dampers = vec![damper(kg, 0.0)];
    }
    let outcome = run(&setup).expect("a sound run");
    let arrival = outcome.arrival.map_or(0.0, |a| a.speed.get());
    (outcome.launch.speed.get(), arrival)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn more_mass_at_the_hardware_of_any_line_never_leaves_faster(
        setup in any_line(), less in 0.0..10.0, times in 1.2..4.0,
    ) {
        let more = (less + 0.2) * times;
        let (left, arrived) = with_damper(&setup, less, 1.225);
        let (leaves, arrives) = with_damper(&setup, more, 1.225);
        prop_assert!(leaves <= left * (1.0 + NOISE), "{} kg {}, {} kg {}", less, left, more, leaves);
        // In air it may arrive faster, but never faster than the lighter left, and what
        // is not light beside its line by next to nothing.
        let line_kg = setup.lines[0].mass_per_length.get() * setup.rest_length().get();
        let light = setup.hardware.mass.get() + less < LIGHT * line_kg;
        let most = if light { left } else { left.min(1.01 * arrived) };
        prop_assert!(
            arrives <= most * (1.0 + NOISE),
            "{} m, {} kg: {} kg {}, {} kg {}",
            setup.rest_length().get(), setup.hardware.mass.get(), less, arrived, more, arrives
        );
        let (_, arrived) = with_damper(&setup, less, 0.0);
        let (_, arrives) = with_damper(&setup, more, 0.0);
        prop_assert!(arrives <= arrived * (1.0 + NOISE), "no air: {} after {}", arrives, arrived);
    }
}
