//! Many let-go runs: worked out side by side, handed over in the order of their
//! numbers.
//!
//! Runs are taken in blocks of [`BLOCK`]; within a block those of one kind (the same
//! number of segments, dampers and tethers) share the lanes, each with its own step
//! and time, and the next takes a lane as soon as it is free. Whoever asks keeps only
//! what it needs of each outcome, so the memory taken does not grow with the number of
//! runs. An outcome depends on its setup alone, to the bit: not on the runs beside it,
//! on the lanes, or on the instructions used.

use core::ops::Range;

use fearless_simd::Level;

use super::chain::Kind;
use super::run::{run_with, work_out};
use super::{LetGoError, Outcome, Setup};

/// Runs worked out before they are handed over.
const BLOCK: usize = 128;

/// How runs are worked out; what comes out is the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct How {
    /// Whether as many runs go side by side as the instructions work on numbers, or one
    /// at a time.
    pub side_by_side: bool,
    /// The instructions used.
    pub instructions: Instructions,
}

/// The instructions of which a step is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instructions {
    /// The widest that the processor at hand has.
    Widest,
    /// At most four numbers at a time (AVX2).
    Four,
    /// Those that every processor of its kind has.
    Plain,
}

impl Instructions {
    fn level(self) -> Level {
        match self {
            Self::Widest => Level::new(),
            #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
            Self::Four => Level::new()
                .as_avx2()
                .map_or(Level::baseline(), Level::Avx2),
            #[cfg(not(any(target_arch = "x86", target_arch = "x86_64")))]
            Self::Four => Level::new(),
            Self::Plain => Level::baseline(),
        }
    }
}

impl Default for How {
    fn default() -> Self {
        Self {
            side_by_side: true,
            instructions: Instructions::Widest,
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
    let level = how.instructions.level();
    if !how.side_by_side {
        return setups.iter().map(|s| run_with(s, level)).collect();
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
        work_out(kind, &members, (members.len() > 1, level), keep);
    }
    outcomes.into_iter().flatten().collect()
}
