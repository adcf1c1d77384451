//! Set-ups and the order they are pulled in.
//!
//! Each block holds each set-up once, in an order drawn anew: what drifts over the day
//! (ground, line, driver) falls on all set-ups alike. Randomised complete blocks: R. A.
//! Fisher, The Design of Experiments (1935), from memory.

use crate::draws::Draws;
use crate::problem::{Problem, in_range};

/// Something that is varied, with its levels.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// What.
    pub name: String,
    /// Its levels, two at least.
    pub levels: Vec<String>,
}

/// One level of each factor, by its place in the list.
pub type SetUp = Vec<usize>;

/// One pull of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Block, from 1.
    pub block: usize,
    /// Level of each factor, by its place.
    pub setup: SetUp,
}

/// All set-ups: each level of each factor with each of the others.
pub(super) fn setups(factors: &[Factor]) -> Result<Vec<SetUp>, Problem> {
    if factors.is_empty() {
        return Err(Problem::TooFew {
            what: "factors to vary",
            least: 1,
            got: 0,
        });
    }
    let mut all: Vec<SetUp> = vec![Vec::new()];
    for factor in factors {
        in_range("levels of a factor", factor.levels.len() as f64, 2.0, 20.0)?;
        all = all
            .iter()
            .flat_map(|setup| {
                (0..factor.levels.len()).map(move |level| {
                    let mut longer = setup.clone();
                    longer.push(level);
                    longer
                })
            })
            .collect();
        in_range("set-ups", all.len() as f64, 2.0, 200.0)?;
    }
    Ok(all)
}

/// Blocks of all set-ups, each in an order of its own.
pub(super) fn blocks(setups: &[SetUp], count: usize, seed: u64) -> Vec<Run> {
    (1..=count)
        .flat_map(|block| {
            let mut order = setups.to_vec();
            Draws::new(seed, 100 + block as u64).shuffle(&mut order);
            order.into_iter().map(move |setup| Run { block, setup })
        })
        .collect()
}
