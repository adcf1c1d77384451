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
use super::run::{Standing, Then, work_out};
use super::{LetGoError, Outcome, Setup};

/// Runs worked out before they are handed over.
const BLOCK: usize = 128;
/// Segments from which a run fills the instructions by itself: side by side such runs go
/// no faster, and lanes stand empty at the end.
const ALONE: usize = 32;

/// How runs are worked out; what comes out is the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct How {
    /// Whether as many runs go side by side as the instructions work on numbers (those of
    /// few segments), or one at a time.
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
    /// One number at a time, to be timed.
    #[cfg(feature = "scalar")]
    Scalar,
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
            #[cfg(feature = "scalar")]
            Self::Scalar => Level::fallback(),
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
        let outcomes = block(how, &setups, |_, _| Then::GoesOn);
        for (k, outcome) in outcomes.into_iter().flatten().enumerate() {
            take(from + k, outcome);
        }
        from = to;
    }
}

/// Works out every one of `setups`, in their order.
pub fn run_all(setups: &[Setup]) -> Vec<Result<Outcome, LetGoError>> {
    let mut outcomes = Vec::with_capacity(setups.len());
    for part in setups.chunks(BLOCK) {
        let done = block(How::default(), part, |_, _| Then::GoesOn);
        outcomes.extend(done.into_iter().flatten());
    }
    outcomes
}

/// Works out every one of a few `setups`, in their order, each looked at again and again
/// with its place among them; nothing as soon as none of them is wanted any more.
pub(super) fn run_watched(
    setups: &[Setup],
    look: impl FnMut(usize, &Standing) -> Then,
) -> Option<Vec<Result<Outcome, LetGoError>>> {
    block(How::default(), setups, look)
}

fn block(
    how: How,
    setups: &[Setup],
    mut look: impl FnMut(usize, &Standing) -> Then,
) -> Option<Vec<Result<Outcome, LetGoError>>> {
    let level = how.instructions.level();
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
        let abreast = how.side_by_side && members.len() > 1 && kind.segments < ALONE;
        if !work_out(kind, &members, (abreast, level), &mut look, keep) {
            return None;
        }
    }
    Some(outcomes.into_iter().flatten().collect())
}
