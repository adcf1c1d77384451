//! From the number of a point to the numbers that are set.

use steadypull_engine::chance::{Joined, Sampler};

use super::StudyError;
use crate::plan_file::{Points, StudyInput, Varied};

/// The grid of the lists, and the draws at each of its points.
#[derive(Debug)]
pub(super) struct Grid {
    runs: u64,
    nodes: u64,
    sampler: Option<Sampler>,
    /// Drawn inputs that are drawn together, by their places among those drawn.
    joined: Vec<Joined>,
}

impl Grid {
    pub fn new(
        inputs: &[StudyInput],
        points: Points,
        seed: u64,
        runs: u64,
        joined: Vec<Joined>,
    ) -> Result<Self, StudyError> {
        let sizes = inputs.iter().map(|input| size(&input.varied));
        let nodes = sizes.fold(1u64, u64::saturating_mul);
        let drawn = inputs.iter().filter(|one| super::is_drawn(one)).count();
        let sampler = match (drawn, points) {
            (0, _) => None,
            (_, Points::Sobol) => Some(Sampler::sobol(seed, drawn, 1)?),
            (_, Points::LatinHypercube) => Some(Sampler::latin_hypercube(seed, drawn, 1, runs)?),
            (_, Points::Random) => Some(Sampler::plain(seed, drawn)),
        };
        Ok(Self {
            runs,
            nodes,
            sampler,
            joined,
        })
    }

    pub fn points(&self) -> u64 {
        self.nodes.saturating_mul(self.runs)
    }

    pub fn runs(&self) -> u64 {
        self.runs
    }

    /// The numbers of point `i`, in the order of the inputs.
    pub fn set(&self, inputs: &[StudyInput], i: u64) -> Vec<(String, f64)> {
        let (mut node, draw) = (i / self.runs, i % self.runs);
        let mut levels = self.levels(draw);
        // From the last, which changes quickest, to the first.
        let mut set: Vec<(String, f64)> = Vec::with_capacity(inputs.len());
        for input in inputs.iter().rev() {
            let value = match &input.varied {
                Varied::Listed(values) => {
                    let count = values.len() as u64;
                    let value = values[(node % count) as usize];
                    node /= count;
                    value
                }
                // As many levels as there are drawn inputs.
                Varied::Drawn(distribution) => distribution.quantile(levels.pop().unwrap_or(0.5)),
            };
            set.push((input.variable.key.clone(), value));
        }
        set.reverse();
        set
    }
}

impl Grid {
    /// The levels of all drawn inputs in a draw.
    fn levels(&self, draw: u64) -> Vec<f64> {
        let level = |sampler: &Sampler| {
            let inputs = 0..sampler.inputs();
            inputs.map(|j| sampler.level(draw, j)).collect()
        };
        let mut levels: Vec<f64> = self.sampler.as_ref().map(level).unwrap_or_default();
        for set in &self.joined {
            set.join(&mut levels);
        }
        levels
    }
}

fn size(varied: &Varied) -> u64 {
    match varied {
        Varied::Listed(values) => values.len() as u64,
        Varied::Drawn(_) => 1,
    }
}

#[cfg(test)]
#[path = "points_tests.rs"]
mod tests;
