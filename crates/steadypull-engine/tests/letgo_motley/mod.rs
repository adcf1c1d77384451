//! An ensemble in which every part of a setup comes up, and a hash of all its digits:
//! equal wherever it is worked out.
#![allow(dead_code)] // Each target uses its own part of this.

use super::letgo_rig::{damper, strap, thrown};
use steadypull_engine::letgo::{
    Ground, HeldEnd, LinePart, Roughness, Setup, StepChoice, TetherToLine, run,
};
use steadypull_engine::units::{Angle, Area, Duration, Force, Length, LineMass, Mass, Speed};

/// Runs of the ensemble.
pub const RUNS: usize = 96;

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
pub fn motley(i: usize) -> Setup {
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

/// Every digit of the outcomes as they are written out, hashed (FNV-1a).
pub fn hash(outcomes: impl Iterator<Item = String>) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for byte in outcomes.flat_map(String::into_bytes) {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    hash
}

/// Every digit of all the runs, worked out alone.
pub fn digest() -> u64 {
    let written = |i| run(&motley(i)).map_or_else(|e| e.to_string(), |o| format!("{o:?}"));
    hash((0..RUNS).map(written))
}
