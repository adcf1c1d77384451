//! Where each run of a study takes its inputs: a level in (0, 1) for run `i` and
//! input `j`.
//!
//! A study is made of `R` independent repeats of one even set of points, dealt out
//! in turn: run `i` belongs to repeat `i mod R` and is its point `⌊i/R⌋`. The
//! scatter between repeats tells the sampling error (see [`super::interval`]).
//! Every level depends on the seed, the run and the input alone; an input more, a
//! thread more or a study cut in shards changes no other.
//!
//! | points | may go on without end | error falls as (smooth answer) |
//! |---|---|---|
//! | Sobol, scrambled | yes; best at R × a power of two | faster than 1/√n, up to n^−1.5 |
//! | Latin hypercube | no, the count is fixed | 1/√n, less what single inputs explain |
//! | plain random | yes | 1/√n |

use thiserror::Error;

use super::sampling::Column;
use super::sobol::{MOST_INPUTS, Sobol};
use super::stream::{Use, hash, key, unit};

/// Repeats that give an honest interval at little cost: Student's t with 15
/// degrees of freedom is 7 % wider at 90 % than with none missing.
pub const REPLICATES: usize = 16;

/// The levels of a study's inputs.
#[derive(Debug, Clone)]
pub struct Sampler {
    inputs: usize,
    replicates: usize,
    points: Points,
}

#[derive(Debug, Clone)]
enum Points {
    /// Directions, and a key for each repeat and input.
    Sobol(Sobol, Vec<u64>),
    /// A column for each repeat and input.
    LatinHypercube(Vec<Column>),
    /// A key for each input.
    Plain(Vec<u64>),
}

/// Why a sampler cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SamplerError {
    /// More inputs than there are directions for.
    #[error("Sobol points reach to {most} uncertain inputs, got {inputs}; use a Latin hypercube")]
    TooManyInputs {
        /// Inputs asked for.
        inputs: usize,
        /// Inputs there are directions for.
        most: usize,
    },
    /// No repeats.
    #[error("a study needs at least one repeat")]
    NoReplicates,
    /// A Latin hypercube whose runs do not part evenly over its repeats.
    #[error("{runs} runs do not part evenly over {replicates} repeats")]
    Uneven {
        /// Runs asked for.
        runs: u64,
        /// Repeats asked for.
        replicates: usize,
    },
}

impl Sampler {
    /// Scrambled Sobol points in `replicates` repeats, see [`REPLICATES`].
    pub fn sobol(seed: u64, inputs: usize, replicates: usize) -> Result<Self, SamplerError> {
        if replicates == 0 {
            return Err(SamplerError::NoReplicates);
        }
        if inputs > MOST_INPUTS {
            return Err(SamplerError::TooManyInputs {
                inputs,
                most: MOST_INPUTS,
            });
        }
        let keys = (0..replicates)
            .flat_map(|r| (0..inputs).map(move |j| key(seed, Use::Scramble, j, r)))
            .collect();
        Ok(Self {
            inputs,
            replicates,
            points: Points::Sobol(Sobol::new(inputs), keys),
        })
    }

    /// A Latin hypercube of `runs` runs in all, in `replicates` repeats.
    ///
    /// Holds 8 bytes a run and input; run numbers go up to `runs`.
    pub fn latin_hypercube(
        seed: u64,
        inputs: usize,
        replicates: usize,
        runs: u64,
    ) -> Result<Self, SamplerError> {
        if replicates == 0 {
            return Err(SamplerError::NoReplicates);
        }
        if runs == 0 || !runs.is_multiple_of(replicates as u64) {
            return Err(SamplerError::Uneven { runs, replicates });
        }
        let each = (runs / replicates as u64) as usize;
        let stream = |r: usize, j: usize| (r as u64) << 32 | j as u64;
        let columns = (0..replicates)
            .flat_map(|r| (0..inputs).map(move |j| Column::new(seed, stream(r, j), each)))
            .collect();
        Ok(Self {
            inputs,
            replicates,
            points: Points::LatinHypercube(columns),
        })
    }

    /// Plain independent random values: each run is a repeat of its own, so the
    /// intervals for plain samples hold.
    pub fn plain(seed: u64, inputs: usize) -> Self {
        Self {
            inputs,
            replicates: 1,
            points: Points::Plain((0..inputs).map(|j| key(seed, Use::Plain, j, 0)).collect()),
        }
    }

    /// Level of `input` in run `i`, strictly inside (0, 1).
    ///
    /// `input` is below [`Self::inputs`]; past the count of a Latin hypercube runs
    /// begin again.
    pub fn level(&self, i: u64, input: usize) -> f64 {
        let (replicate, point) = (self.replicate(i), i / self.replicates as u64);
        let place = replicate * self.inputs + input;
        match &self.points {
            Points::Sobol(sobol, keys) => sobol.level(point, input, keys[place]),
            Points::LatinHypercube(columns) => {
                let column = &columns[place];
                column.level((point % column.len() as u64) as usize)
            }
            Points::Plain(keys) => unit(hash(keys[input], i)),
        }
    }

    /// Number of inputs.
    pub fn inputs(&self) -> usize {
        self.inputs
    }

    /// Number of independent repeats; one means plain random runs.
    pub fn replicates(&self) -> usize {
        self.replicates
    }

    /// The repeat that run `i` belongs to.
    pub fn replicate(&self, i: u64) -> usize {
        (i % self.replicates as u64) as usize
    }
}

#[cfg(test)]
#[path = "sampler_tests.rs"]
mod tests;
