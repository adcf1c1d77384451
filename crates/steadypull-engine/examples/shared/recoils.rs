//! Recoils that are timed: the reference case, and many like it.
#![allow(dead_code)] // Each target uses its own part of this.

use core::ops::Range;

use steadypull_engine::letgo::{Ground, Hardware, How, LinePart, Setup, StepChoice, run_each_by};
use steadypull_engine::line::Unloading;
use steadypull_engine::units::{Angle, Area, Duration, Length, LineMass, Mass};

/// The reference case of the speed comparison, the step by the wave.
pub fn reference(segments: usize) -> Setup {
    let line = LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(0.35),
        unloading: Unloading {
            strain_max: 0.18,
            tension_max_n: 88e3,
            strain_slack: 0.0,
            exponent: 1.0,
        },
        diameter: Length::new(0.03),
        joint_mass: Mass::ZERO,
    };
    let hardware = Hardware {
        mass: Mass::new(1.3),
        drag_area: Area::new(0.004),
    };
    let mut setup = Setup::new(vec![line], hardware);
    setup.ground = None;
    setup.segments = segments;
    setup.dashpot_n_s = 10.0;
    setup.max_time = Duration::new(0.5);
    setup
}

/// Run `i` of many like the reference case, each different.
pub fn like_reference(i: usize) -> Setup {
    let share = |k: usize| (i * k % 101) as f64 / 101.0;
    let mut setup = reference(16);
    setup.elevation = Angle::from_deg(1.0 + 10.0 * share(37));
    setup.azimuth = Angle::from_deg(10.0 * share(53) - 5.0);
    setup.hardware.mass = Mass::new(0.8 + share(71));
    let branch = &mut setup.lines[0].unloading;
    branch.tension_max_n *= 0.5 + 0.5 * share(29);
    branch.strain_max *= 0.7 + 0.3 * share(29);
    setup
}

/// The reference case in the steps of the rivals, with their damping alone.
pub fn fixed(segments: usize, time_s: f64) -> Setup {
    let mut setup = reference(segments);
    setup.viscosity = 0.0;
    setup.step = StepChoice::Fixed(Duration::new(5e-5));
    setup.max_time = Duration::new(time_s);
    setup
}

/// Run `i` of many, as fine as 1 % asks.
pub fn within_one_per_cent(i: usize) -> Setup {
    like_reference(i).to_accuracy(0.01)
}

/// Run `i` of many at 16 segments, over ground, on a curved branch.
pub fn over_ground(i: usize) -> Setup {
    let mut setup = like_reference(i);
    setup.ground = Some(Ground::level(0.4));
    setup.lines[0].unloading.exponent = 1.0 + 0.6 * (i * 43 % 101) as f64 / 101.0;
    setup
}

/// Sum of the greatest speeds of some runs.
pub fn sum_of_speeds(how: How, numbers: Range<usize>, of: impl FnMut(usize) -> Setup) -> f64 {
    let mut sum = 0.0;
    run_each_by(how, numbers, of, |_, outcome| {
        sum += outcome.map_or(f64::NAN, |o| o.launch.speed.get());
    });
    sum
}

/// The same of many, each as fine as 1 % asks.
pub fn at_one_per_cent(runs: usize) -> f64 {
    sum_of_speeds(How::default(), 0..runs, within_one_per_cent)
}

/// The same dealt out to threads in equal parts.
pub fn at_one_per_cent_on(threads: usize, runs: usize) -> f64 {
    let part = |k: usize| k * runs / threads..(k + 1) * runs / threads;
    let sum = |k: usize| sum_of_speeds(How::default(), part(k), within_one_per_cent);
    std::thread::scope(|scope| {
        let all: Vec<_> = (0..threads).map(|k| scope.spawn(move || sum(k))).collect();
        all.into_iter()
            .map(|one| one.join().unwrap_or(f64::NAN))
            .sum()
    })
}
