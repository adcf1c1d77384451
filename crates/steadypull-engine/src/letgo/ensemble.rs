//! Many let-go runs: made one by one, handed over in the order of their numbers.
//!
//! Whoever asks keeps only what it needs of each outcome, so the memory taken does
//! not grow with the number of runs.

use core::ops::Range;

use super::{LetGoError, Outcome, Setup, run};

/// Works out the runs numbered `numbers`, each of the setup that `setup_of` gives,
/// and hands each outcome to `take` in the order of the numbers.
///
/// An outcome depends on its setup alone, not on the runs beside it.
pub fn run_each(
    numbers: Range<usize>,
    mut setup_of: impl FnMut(usize) -> Setup,
    mut take: impl FnMut(usize, Result<Outcome, LetGoError>),
) {
    for i in numbers {
        take(i, run(&setup_of(i)));
    }
}

/// Works out every one of `setups`, in their order.
pub fn run_all(setups: &[Setup]) -> Vec<Result<Outcome, LetGoError>> {
    let mut outcomes = Vec::with_capacity(setups.len());
    run_each(
        0..setups.len(),
        |i| setups[i].clone(),
        |_, outcome| outcomes.push(outcome),
    );
    outcomes
}
