//! Recoils that are timed: the reference case, and many like it.

use steadypull_engine::letgo::{Hardware, LinePart, Setup, run_each};
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

/// Sum of the greatest speeds of `runs` runs.
pub fn sum_of_speeds(runs: usize, of: impl FnMut(usize) -> Setup) -> f64 {
    let mut sum = 0.0;
    run_each(0..runs, of, |_, outcome| {
        sum += outcome.map_or(f64::NAN, |o| o.launch.speed.get());
    });
    sum
}

/// The same of many like the reference case, each as fine as 1 % asks.
pub fn at_one_per_cent(runs: usize) -> f64 {
    sum_of_speeds(runs, |i| like_reference(i).to_accuracy(0.01))
}
