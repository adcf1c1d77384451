//! The same runs give the same bits one by one and side by side, with wide
//! instructions and without, and on any number of threads.

mod letgo_motley;
mod letgo_rig;

use std::path::Path;

use letgo_motley::{RUNS, digest, hash, motley};
use steadypull_engine::letgo::{How, Instructions, Outcome, Setup, run, run_all, run_each_by};
use steadypull_engine::units::Mass;

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
    let expected = digest();
    for side_by_side in [false, true] {
        for instructions in [
            Instructions::Plain,
            Instructions::Four,
            Instructions::Widest,
        ] {
            let how = How {
                side_by_side,
                instructions,
            };
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

/// The same digits on every machine, and in the browser: `cargo xtask wasm` compares
/// with the same record.
#[test]
fn the_digits_are_those_on_record() {
    let record = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/letgo_motley/digest.txt");
    let got = format!("{:016x}", digest());
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&record, format!("{got}\n")).expect("the folder can be written");
    }
    let expected = std::fs::read_to_string(&record).unwrap_or_default();
    assert_eq!(
        got,
        expected.trim(),
        "BLESS=1 renews it where numbers are meant to change"
    );
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
        if setup.viscosity > 0.0 {
            assert!(energy.worst_error_share < 0.005, "{i}: {energy:?}");
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
