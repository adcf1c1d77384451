//! A chain chosen for an accuracy keeps it, and the convergence check says so.

mod letgo_rig;

use letgo_rig::{hardware, part};
use steadypull_engine::letgo::{LetGoError, Setup, StepChoice, converge, run, run_each};
use steadypull_engine::line::Unloading;
use steadypull_engine::units::{Angle, Duration, Length, LineMass, Mass};

/// A 9 m line let go at 18 % strain, alone or with a stiff second one of 4 m.
fn recoil(kg: f64, exponent: f64, lines: usize) -> Setup {
    let branch = Unloading {
        strain_max: 0.18,
        tension_max_n: 88e3,
        strain_slack: 0.0,
        exponent,
    };
    let mut setup = Setup::new(vec![part(branch, 0.35)], hardware(kg));
    if lines == 2 {
        let mut second = setup.lines[0];
        second.length = Length::new(4.0);
        second.unloading.strain_max = 0.05;
        second.mass_per_length = LineMass::new(0.2);
        second.joint_mass = Mass::new(0.5);
        setup.lines.push(second);
    }
    setup.elevation = Angle::from_deg(3.0);
    setup.max_time = Duration::new(0.12);
    setup
}

fn speed(setup: &Setup) -> f64 {
    run(setup).unwrap().launch.speed.get()
}

#[test]
fn one_per_cent_is_kept_by_hardware() {
    for lines in [1, 2] {
        for exponent in [1.0, 1.6] {
            for kg in [0.8, 1.3, 1.55, 1.8, 2.3, 3.0, 4.0, 12.0] {
                let setup = recoil(kg, exponent, lines);
                let mut fine = setup.clone();
                fine.segments = 384;
                fine.viscosity = 0.25;
                let chosen = setup.to_accuracy(0.01);
                let error = speed(&chosen) / speed(&fine) - 1.0;
                assert!(
                    error.abs() < 0.01,
                    "{lines} lines, exponent {exponent}, {kg} kg, {} segments: {error}",
                    chosen.segments
                );
            }
        }
    }
}

#[test]
fn the_books_of_chains_at_one_per_cent_close() {
    let mut worst: Vec<f64> = Vec::new();
    let drawn = |i: usize| {
        let share = |k: usize| (i * k % 101) as f64 / 101.0;
        let mut setup = recoil(0.5 + 5.0 * share(71), 1.0 + 1.6 * share(43), 1 + i % 2);
        setup.elevation = Angle::from_deg(1.0 + 10.0 * share(37));
        setup.azimuth = Angle::from_deg(10.0 * share(53) - 5.0);
        setup.max_time = Duration::new(2.0);
        setup.to_accuracy(0.01)
    };
    run_each(0..96, drawn, |i, outcome| {
        let outcome = outcome.unwrap();
        let end = outcome.energy.error_j / outcome.energy.put_in_j;
        assert!(end.abs() < 5e-4, "{i}: {:?}", outcome.energy);
        assert!(outcome.momentum.error_share < 1e-9, "{i}");
        worst.push(outcome.energy.worst_error_share);
    });
    worst.sort_by(f64::total_cmp);
    // Half of a per mille in the middle, the per mille that is asked in nine of ten.
    assert!(
        worst[48] < 5e-4 && worst[86] < 1e-3 && worst[95] < 3e-3,
        "{worst:?}"
    );
}

#[test]
fn a_bare_end_keeps_the_closed_form() {
    // c e of the line: sqrt(EA/μ) e with EA = 88 kN/0.18.
    let exact = (88e3_f64 / 0.18 / 0.35).sqrt() * 0.18;
    let setup = recoil(0.0, 1.0, 1).in_empty_space().to_accuracy(0.01);
    assert_eq!(setup.viscosity, 1.0);
    let first_wave = Setup {
        max_time: Duration::new(9.0 * 0.18 / exact),
        ..setup
    };
    let error = speed(&first_wave) / exact - 1.0;
    assert!(error.abs() < 0.01, "{error}");
}

#[test]
fn finer_is_asked_for_where_it_is_needed() {
    let segments =
        |kg, exponent, lines, share| recoil(kg, exponent, lines).to_accuracy(share).segments;
    assert_eq!(segments(1.3, 1.0, 1, 0.01), 16);
    assert_eq!(segments(1.3, 1.6, 1, 0.01), 24);
    assert_eq!(segments(2.3, 1.0, 1, 0.01), 20);
    assert_eq!(segments(1.3, 1.6, 2, 0.01), 36);
    assert_eq!(segments(1.3, 1.0, 1, 0.005), 32);
    assert!(segments(1.3, 1.0, 1, f64::MIN_POSITIVE) <= 256);
}

#[test]
fn the_check_tells_how_far_the_numbers_have_settled() {
    let setup = recoil(1.3, 1.6, 1);
    let check = converge(&setup).unwrap();
    let [once, twice, four] = check.by_segments;
    assert_eq!(
        (once.segments, twice.segments, four.segments),
        (64, 128, 256)
    );
    assert!(check.speed_error() < 0.01, "{check:?}");
    assert!(check.speed_change_by_step().abs() < 5e-4, "{check:?}");
    // First order: the second doubling changes about half as much as the first.
    let (a, b) = (
        twice.speed.get() - once.speed.get(),
        four.speed.get() - twice.speed.get(),
    );
    assert!(b / a > 0.3 && b / a < 0.75, "{a} then {b}");
    let coarse = Setup {
        segments: 8,
        viscosity: 1.0,
        ..setup
    };
    assert!(converge(&coarse).unwrap().speed_error() > 0.03);
}

#[test]
fn a_check_that_would_be_too_fine_is_refused() {
    let mut setup = recoil(1.3, 1.0, 1);
    setup.segments = 600;
    assert!(matches!(
        converge(&setup),
        Err(LetGoError::OutOfRange { .. })
    ));
    setup.segments = 16;
    setup.step = StepChoice::Share(2.0);
    assert!(run(&setup).unwrap_err().to_string().contains("stable step"));
}
