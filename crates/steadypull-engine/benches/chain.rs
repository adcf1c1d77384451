//! Time of the recoil chain: one run, runs in lanes, two threads, and how the time
//! grows with runs, segments and steps.
//!
//! The reference case: 9 m, 0.35 kg/m, linear `EA` = 88 kN/0.18, let go at 18 %
//! strain, hardware of 1.3 kg, axial dashpot 10 N·s, 64 segments, 0.5 s in steps of
//! 5e-5 s, three dimensions, gravity and quadratic drag, no ground.

use divan::Bencher;
use steadypull_engine::letgo::{
    Ground, Hardware, How, Instructions, LinePart, Setup, StepChoice, run, run_each_by,
};
use steadypull_engine::line::Unloading;
use steadypull_engine::units::{Angle, Area, Duration, Length, LineMass, Mass};

fn main() {
    divan::main();
}

fn reference() -> Setup {
    let line = LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(0.35),
        unloading: Unloading {
            strain_max: 0.18,
            tension_max_n: 88e3,
            strain_slack: 0.0,
            exponent: 1.0,
        },
        diameter: Length::new(0.05),
        joint_mass: Mass::ZERO,
    };
    let hardware = Hardware {
        mass: Mass::new(1.3),
        drag_area: Area::new(0.004),
    };
    let mut setup = Setup::new(vec![line], hardware);
    setup.ground = None;
    setup.viscosity = 0.0;
    setup.dashpot_n_s = 10.0;
    setup.elevation = Angle::from_deg(3.0);
    setup.max_time = Duration::new(0.5);
    setup.step = StepChoice::Fixed(Duration::new(5e-5));
    setup
}

/// Run `i` of an ensemble at 1 %: like the reference, each run different.
fn drawn(i: usize) -> Setup {
    let share = |k: usize| (i * k % 101) as f64 / 101.0;
    let mut setup = reference();
    setup.dashpot_n_s = 0.0;
    setup.elevation = Angle::from_deg(1.0 + 10.0 * share(37));
    setup.azimuth = Angle::from_deg(10.0 * share(53) - 5.0);
    setup.hardware.mass = Mass::new(0.8 + share(71));
    setup.lines[0].unloading.tension_max_n *= 0.5 + 0.5 * share(29);
    setup.lines[0].unloading.strain_max *= 0.7 + 0.3 * share(29);
    setup.to_accuracy(0.01)
}

/// The same over ground, on a curved branch, at the scheme's whole viscosity.
fn drawn_in_full(i: usize) -> Setup {
    let mut setup = drawn(i);
    setup.ground = Some(Ground::level(0.4));
    setup.lines[0].unloading.exponent = 1.0 + 0.6 * (i * 43 % 101) as f64 / 101.0;
    setup.viscosity = 1.0;
    setup.segments = 16;
    setup
}

const fn how(side_by_side: bool, instructions: Instructions) -> How {
    How {
        side_by_side,
        instructions,
    }
}

#[divan::bench]
fn reference_run(bencher: Bencher) {
    let setup = reference();
    bencher.bench(|| run(divan::black_box(&setup)));
}

#[divan::bench(args = [16, 32, 64, 128, 256])]
fn by_segments(bencher: Bencher, segments: usize) {
    let mut setup = reference();
    // A step that is stable with the most segments.
    setup.step = StepChoice::Fixed(Duration::new(1e-5));
    setup.max_time = Duration::new(0.02);
    setup.segments = segments;
    bencher.bench(|| run(divan::black_box(&setup)));
}

#[divan::bench(args = [1000, 2000, 4000, 8000])]
fn by_steps(bencher: Bencher, steps: usize) {
    let mut setup = reference();
    setup.max_time = Duration::new(5e-5 * steps as f64);
    bencher.bench(|| run(divan::black_box(&setup)));
}

#[divan::bench(args = [16, 64, 256])]
fn different_runs(bencher: Bencher, runs: usize) {
    bencher.bench(|| ensemble(How::default(), 0..runs, drawn));
}

#[divan::bench]
fn different_runs_in_full_64(bencher: Bencher) {
    bencher.bench(|| ensemble(How::default(), 0..64, drawn_in_full));
}

/// Runs side by side and one at a time, in the widest instructions, in those of four
/// numbers and in plain ones.
#[divan::bench(args = [
    how(true, Instructions::Widest), how(true, Instructions::Four), how(true, Instructions::Plain),
    how(false, Instructions::Widest), how(false, Instructions::Four), how(false, Instructions::Plain),
])]
fn different_runs_64_by_way(bencher: Bencher, how: How) {
    bencher.bench(|| ensemble(how, 0..64, drawn));
}

#[divan::bench(args = [1, 2])]
fn different_runs_256_by_threads(bencher: Bencher, threads: usize) {
    bencher.bench(|| {
        let each = 256 / threads;
        std::thread::scope(|scope| {
            for k in 0..threads {
                scope.spawn(move || ensemble(How::default(), k * each..(k + 1) * each, drawn));
            }
        });
    });
}

fn ensemble(
    how: How,
    numbers: core::ops::Range<usize>,
    setup_of: impl FnMut(usize) -> Setup,
) -> f64 {
    let mut sum = 0.0;
    run_each_by(how, numbers, setup_of, |_, outcome| {
        sum += outcome.map_or(f64::NAN, |o| o.launch.speed.get());
    });
    sum
}
