//! A recovery under everything that is not known: from a plan's text to the answer of
//! `steadypull chance`.
//!
//! Draws are made in blocks by number; a block is dealt out to the threads there are
//! and put together in order, and the question whether to stop is asked between blocks
//! alone. So the answer depends on the plan, the seed and the number of blocks, never
//! on threads or on how fast the machine is.

mod answered;
mod blocks;
mod drivers;
mod findings;
mod not_said;
mod redraw;
mod rigged;
mod words;
mod zone;

use std::sync::atomic::{AtomicBool, Ordering};

use steadypull_engine::study::StudyError;

use crate::AnswerError;
use crate::answer::{Chance, StoppedBy};
use crate::finite::non_finite;
use crate::plan_file::{ParsedPlan, PlanProblems, PlanText};
use crate::show::Units;
use blocks::Study;
pub use words::of_these as in_these;

/// Confidence of every interval.
const CONFIDENCE: f64 = 0.9;
/// Fewest draws before the error is looked at.
const LEAST_DRAWS: u64 = 256;

/// What is asked of a study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChanceOptions {
    /// Seed; the plan's own where there is none.
    pub seed: Option<u64>,
    /// How many draws are made.
    pub runs: ChanceRuns,
    /// Whether what drives the answer is worked out too: it takes several times as many
    /// draws.
    pub drivers: bool,
    /// Most threads used; as many as there are processors where there is none. The
    /// answer does not depend on it.
    pub threads: Option<usize>,
    /// The units of its sentences.
    pub units: Units,
}

/// How many draws are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ChanceRuns {
    /// So many, rounded up to whole blocks.
    Count(u64),
    /// Until the intervals are this narrow (half their width, a share), or so many
    /// draws were made.
    Until {
        /// The error asked for.
        error: f64,
        /// The most draws.
        most: u64,
    },
}

impl Default for ChanceOptions {
    fn default() -> Self {
        Self {
            seed: None,
            runs: ChanceRuns::Until {
                error: 0.02,
                most: 4096,
            },
            drivers: true,
            threads: None,
            units: Units::default(),
        }
    }
}

/// How far a study has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChanceProgress {
    /// Draws made.
    pub draws: u64,
    /// Most draws that may be made.
    pub most: u64,
    /// The greatest half width of the intervals looked at, if there are draws enough.
    pub error: Option<f64>,
}

/// Why no study could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChanceError {
    /// The plan file holds mistakes.
    #[error("the plan file holds mistakes")]
    Plan(PlanProblems),
    /// The rig of the plan cannot be studied.
    #[error("the rig of the plan cannot be studied: {0}")]
    NoRig(String),
    /// The options make no sense.
    #[error("{0}")]
    Options(String),
    /// It was interrupted before a single block was done.
    #[error("interrupted before the first draws were done: nothing to tell")]
    Interrupted,
    /// Nothing could be worked out.
    #[error("none of {draws} draws could be worked out: check the plan for extreme values")]
    AllFailed {
        /// Draws made.
        draws: u64,
    },
    /// The plan could not be worked out.
    #[error(transparent)]
    Answer(#[from] AnswerError),
    /// The study could not be set up.
    #[error(transparent)]
    Study(#[from] StudyError),
    /// More uncertain inputs than there are points for.
    #[error("the draws could not be made: {0}")]
    Sampler(#[from] steadypull_engine::chance::SamplerError),
}

/// Studies a plan. `watch` hears how far it is between blocks; raising
/// `stop` ends it after the block at hand.
pub fn chance<'t>(
    plan: impl Into<PlanText<'t>>,
    options: &ChanceOptions,
    watch: &mut dyn FnMut(ChanceProgress),
    stop: &AtomicBool,
) -> Result<Chance, ChanceError> {
    let parsed = ParsedPlan::new(plan).map_err(ChanceError::Plan)?;
    let plan = parsed.plan().map_err(ChanceError::Plan)?;
    let plan = &plan.said_in(options.units);
    let (most, error) = limits(options)?;
    let seed = options.seed.unwrap_or(plan.seed);
    let rig = rigged::choose(plan, options.threads)?;
    let mut study = Study::new((&parsed, plan), &rig, seed, options)?;
    let stopped = loop {
        if stop.load(Ordering::Relaxed) {
            break StoppedBy::Interrupt;
        }
        study.next_block();
        let errors = study.errors();
        watch(ChanceProgress {
            draws: study.draws(),
            most,
            error: errors.greatest(),
        });
        if error.is_some_and(|asked| {
            study.draws() >= LEAST_DRAWS.min(most)
                && errors.greatest().is_some_and(|reached| reached <= asked)
        }) {
            break StoppedBy::Error;
        }
        if study.draws() >= most {
            break match error {
                Some(_) => StoppedBy::MostDraws,
                None => StoppedBy::Count,
            };
        }
    };
    if study.draws() == 0 {
        return Err(ChanceError::Interrupted);
    }
    if study.totals().draws() == 0 {
        let draws = study.draws();
        return Err(ChanceError::AllFailed { draws });
    }
    let answer = answered::answer(plan, &rig, &study, stopped, error);
    let fields = non_finite(&answer);
    if fields.is_empty() {
        Ok(answer)
    } else {
        Err(AnswerError::NotFinite { fields }.into())
    }
}

/// The most draws, and the error asked for.
fn limits(options: &ChanceOptions) -> Result<(u64, Option<f64>), ChanceError> {
    const MOST: u64 = 10_000_000;
    let bad = |what: &str| Err(ChanceError::Options(what.into()));
    let (most, error) = match options.runs {
        ChanceRuns::Count(count) => (count, None),
        ChanceRuns::Until { error, most } => (most, Some(error)),
    };
    if most == 0 || most > MOST {
        return bad("the number of draws must be from 1 to 10 000 000");
    }
    if error.is_some_and(|e| !(e > 0.0 && e < 0.5)) {
        return bad("the error asked for must be above 0 % and under 50 %");
    }
    Ok((most, error))
}
