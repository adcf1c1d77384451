//! Many let-go runs: worked out four side by side, handed over in the order of their
//! numbers.
//!
//! Runs are taken in blocks of [`BLOCK`]; within a block those of one kind (the same
//! number of segments, dampers and tethers) share the lanes, each with its own step
//! and time, and the next takes a lane as soon as it is free. Whoever asks keeps only
//! what it needs of each outcome, so the memory taken does not grow with the number of
//! runs. An outcome depends on its setup alone, to the bit: not on the runs beside it,
//! on the lanes, or on the instructions used.

use core::ops::Range;

use super::chain::Kind;
use super::run::{run_with, side_by_side};
use super::{LetGoError, Outcome, Setup};

/// Runs worked out before they are handed over.
const BLOCK: usize = 128;

/// How runs are worked out; what comes out is the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct How {
    /// Whether four runs go side by side, or one at a time.
    pub side_by_side: bool,
    /// Whether the widest instructions of the processor at hand are used, or only
    /// those that every one of its kind has.
    pub wide: bool,
}

impl Default for How {
    fn default() -> Self {
        Self {
            side_by_side: true,
            wide: true,
        }
    }
}

/// Works out the runs numbered `numbers`, each of the setup that `setup_of` gives,
/// and hands each outcome to `take` in the order of the numbers.
pub fn run_each(
    numbers: Range<usize>,
    setup_of: impl FnMut(usize) -> Setup,
    take: impl FnMut(usize, Result<Outcome, LetGoError>),
) {
    run_each_by(How::default(), numbers, setup_of, take);
}

/// [`run_each`] in a stated way, to compare their bits and their speed.
pub fn run_each_by(
    how: How,
    numbers: Range<usize>,
    mut setup_of: impl FnMut(usize) -> Setup,
    mut take: impl FnMut(usize, Result<Outcome, LetGoError>),
) {
    let mut from = numbers.start;
    while from < numbers.end {
        let to = numbers.end.min(from + BLOCK);
        let setups: Vec<Setup> = (from..to).map(&mut setup_of).collect();
        for (k, outcome) in block(how, &setups).into_iter().enumerate() {
            take(from + k, outcome);
        }
        from = to;
    }
}

/// Works out every one of `setups`, in their order.
pub fn run_all(setups: &[Setup]) -> Vec<Result<Outcome, LetGoError>> {
    let mut outcomes = Vec::with_capacity(setups.len());
    for part in setups.chunks(BLOCK) {
        outcomes.extend(block(How::default(), part));
    }
    outcomes
}

fn block(how: How, setups: &[Setup]) -> Vec<Result<Outcome, LetGoError>> {
    if !how.side_by_side {
        return setups.iter().map(|s| run_with(s, how.wide)).collect();
    }
    let mut outcomes: Vec<Option<Result<Outcome, LetGoError>>> = Vec::new();
    let mut kinds: Vec<(Kind, Vec<(usize, &Setup)>)> = Vec::new();
    for (k, setup) in setups.iter().enumerate() {
        outcomes.push(setup.check().err().map(Err));
        if outcomes[k].is_none() {
            let kind = Kind::of(setup);
            match kinds.iter_mut().find(|(other, _)| *other == kind) {
                Some((_, members)) => members.push((k, setup)),
                None => kinds.push((kind, vec![(k, setup)])),
            }
        }
    }
    for (kind, members) in kinds {
        let keep = |k: usize, outcome| outcomes[k] = Some(outcome);
        if members.len() > 1 {
            side_by_side::<4>(kind, &members, how.wide, keep);
        } else {
            side_by_side::<1>(kind, &members, how.wide, keep);
        }
    }
    outcomes.into_iter().flatten().collect()
}
