//! The same runs give the same bits one by one and side by side, with wide
//! instructions and without, and on any number of threads.

mod letgo_rig;

use letgo_rig::{damper, strap, thrown};
use steadypull_engine::letgo::{
    Ground, HeldEnd, How, LinePart, Outcome, Roughness, Setup, StepChoice, TetherToLine, run,
    run_all, run_each_by,
};
use steadypull_engine::units::{Angle, Area, Duration, Force, Length, LineMass, Mass, Speed};

const RUNS: usize = 96;

/// A second, stiffer line at the free end, with a join of `joint_kg`.
fn second(setup: &mut Setup, joint_kg: f64) {
    let first = setup.lines[0];
    setup.lines[0].joint_mass = Mass::new(joint_kg);
    let mut line: LinePart = first;
    line.length = Length::new(4.0);
    line.mass_per_length = LineMass::new(0.2);
    line.unloading.strain_max *= 0.4;
    line.unloading.strain_slack *= 0.4;
    setup.lines.push(line);
}

/// Run `i` of a motley ensemble: every part of a setup comes up, by remainders that
/// have no common divisor.
fn motley(i: usize) -> Setup {
    let share = |k: usize| (i * k % 97) as f64 / 97.0;
    let mut setup = thrown(
        strap(1.0 + 8.0 * share(31), [0.0, 0.6, 1.5, 6.0][i % 4]),
        8.0 * share(13),
        6.0 * share(41) - 3.0,
    );
    setup.segments = if i % 5 < 3 { 16 } else { 13 };
    setup.max_time = Duration::new(0.15 + 0.2 * share(23));
    setup.lines[0].unloading.exponent = if i.is_multiple_of(7) {
        1.0
    } else {
        1.0 + share(17)
    };
    if i % 3 == 1 {
        second(&mut setup, 0.4 * share(11));
    }
    if i % 4 == 1 {
        setup.dampers = vec![damper(1.0 + 5.0 * share(19), 3.0 * share(29))];
        setup.dampers[0].drag_area = Area::new(0.2 * share(5));
    }
    if i % 6 == 2 {
        setup.tethers = vec![TetherToLine {
            anchor_m: (i % 12 == 2).then_some([-0.5, 0.4, 0.2]),
            exponent: 1.0 + share(7),
            energy_return: 0.6 + 0.4 * share(3),
            ..TetherToLine::new(
                Length::new(1.0 + share(37)),
                Force::from_tf(1.0 + 8.0 * share(43)),
                0.2,
                Mass::new(0.4),
            )
        }];
    }
    setup.wind_m_s = [10.0 * share(47) - 5.0, 8.0 * share(53) - 4.0, 0.0];
    setup.ground = (i % 11 != 3).then(|| Ground {
        slope: Angle::from_deg(10.0 * share(59) - 5.0),
        cross_slope: Angle::from_deg(10.0 * share(61) - 5.0),
        roughness: Roughness {
            height: Length::new(if i.is_multiple_of(2) {
                0.1 * share(67)
            } else {
                0.0
            }),
            spacing: Length::new(0.8),
            phase: [share(71), share(73)],
        },
        ..Ground::level(0.4)
    });
    if i % 5 == 1 {
        setup.held = HeldEnd::Vehicle {
            mass: Mass::new(2000.0),
            speed: Speed::new(1.0),
        };
    }
    setup.viscosity = [1.0, 0.25, 0.0][i % 8 / 3];
    setup.dashpot_n_s = if i % 9 == 4 { 10.0 } else { 0.0 };
    if i % 10 == 7 {
        setup.step = StepChoice::Fixed(Duration::new(5e-5));
    }
    setup
}

/// Every digit of an outcome, hashed (FNV-1a).
fn hash(outcomes: impl Iterator<Item = String>) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for byte in outcomes.flat_map(String::into_bytes) {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    hash
}

fn outcomes(how: How) -> Vec<Outcome> {
    let mut out = Vec::with_capacity(RUNS);
    run_each_by(how, 0..RUNS, motley, |i, outcome| {
        assert_eq!(i, out.len());
        out.push(outcome.unwrap());
    });
    out
}

#[test]
fn lanes_instructions_and_threads_do_not_change_a_bit() {
    let alone: Vec<Outcome> = (0..RUNS).map(|i| run(&motley(i)).unwrap()).collect();
    let digits = |list: &[Outcome]| hash(list.iter().map(|o| format!("{o:?}")));
    let expected = digits(&alone);
    for side_by_side in [false, true] {
        for wide in [false, true] {
            let how = How { side_by_side, wide };
            let got = outcomes(how);
            for (i, (a, b)) in alone.iter().zip(&got).enumerate() {
                assert_eq!(a, b, "{how:?}, run {i}");
            }
            assert_eq!(digits(&got), expected, "{how:?}");
        }
    }
    // Dealt out to two threads in halves that do not fall on the lanes.
    let part = |from: usize, to: usize| {
        let setups: Vec<Setup> = (from..to).map(motley).collect();
        run_all(&setups)
            .into_iter()
            .map(Result::unwrap)
            .collect::<Vec<_>>()
    };
    let threaded: Vec<Outcome> = std::thread::scope(|scope| {
        let first = scope.spawn(|| part(0, 37));
        let second = scope.spawn(|| part(37, RUNS));
        let mut all = first.join().unwrap();
        all.extend(second.join().unwrap());
        all
    });
    assert_eq!(digits(&threaded), expected, "two threads");
}

#[test]
fn books_close_over_a_motley_ensemble() {
    for (i, outcome) in outcomes(How::default()).iter().enumerate() {
        let setup = motley(i);
        assert!(
            outcome.momentum.error_share < 1e-8,
            "{i}: {:?}",
            outcome.momentum
        );
        // Coarse chains: the 0.1 % of the default resolution has its own tests.
        let energy = &outcome.energy;
        if setup.viscosity == 1.0 {
            assert!(energy.worst_error_share < 0.01, "{i}: {energy:?}");
        }
    }
}

#[test]
fn a_bad_setup_among_good_ones_is_told_in_its_place() {
    let mut setups: Vec<Setup> = (0..6).map(motley).collect();
    setups[3].hardware.mass = Mass::new(-1.0);
    let outcomes = run_all(&setups);
    for (i, outcome) in outcomes.iter().enumerate() {
        assert_eq!(outcome.is_err(), i == 3);
    }
}
