//! Time of the recoil chain: one run, runs in lanes, threads, and how the time grows with
//! runs, segments and steps.
//!
//! With the feature `scalar` also by plain numbers, one at a time; how to keep the compiler
//! from making packs of them is in `validation/independent/speed/README.md`.

#[path = "../examples/shared/recoils.rs"]
mod recoils;

use divan::Bencher;
use recoils::{
    at_one_per_cent_on, fixed, over_ground, sum_of_speeds, within_one_per_cent as drawn,
};
use steadypull_engine::letgo::{How, Instructions, Setup, StepChoice, run};
use steadypull_engine::units::Duration;

fn main() {
    divan::main();
}

/// The reference case as the rivals run it.
fn reference() -> Setup {
    fixed(64, 0.5)
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
    bencher.bench(|| sum_of_speeds(How::default(), 0..runs, drawn));
}

#[divan::bench]
fn different_runs_in_full_64(bencher: Bencher) {
    bencher.bench(|| sum_of_speeds(How::default(), 0..64, over_ground));
}

/// Runs side by side and one at a time, in the widest instructions, in those of four
/// numbers, in plain ones, and in none.
#[divan::bench(args = ways())]
fn different_runs_64_by_way(bencher: Bencher, how: How) {
    bencher.bench(|| sum_of_speeds(how, 0..64, drawn));
}

/// The reference case by the same.
#[divan::bench(args = ways())]
fn reference_run_by_way(bencher: Bencher, how: How) {
    bencher.bench(|| sum_of_speeds(how, 0..1, |_| reference()));
}

fn ways() -> Vec<How> {
    let instructions = [
        Instructions::Widest,
        Instructions::Four,
        Instructions::Plain,
        #[cfg(feature = "scalar")]
        Instructions::Scalar,
    ];
    let both = instructions.map(|of| [how(true, of), how(false, of)]);
    both.concat()
}

/// The whole of what is asked of a laptop: 10 000 runs within 1 %.
#[divan::bench(args = [1, 2], sample_count = 5)]
fn ten_thousand_runs_by_threads(threads: usize) -> f64 {
    at_one_per_cent_on(threads, 10_000)
}
