//! What drives the answer: shares of groups of inputs in the spread of a result.

use steadypull_engine::chance::{REPLICATES, Sensitivity, Share};
use steadypull_engine::study::{Drawn, Group};

use super::CONFIDENCE;
use crate::answer::{Driver, Drivers};

/// Results whose drivers are told.
const RESULTS: [&str; 4] = [
    "whether the casualty moves",
    "greatest pull",
    "energy of what flies, if a part lets go",
    "how far things fly, if a part lets go",
];

/// Results of one draw; not a number where there is none.
pub(super) type Outputs = [f64; RESULTS.len()];

/// The results of a draw whose drivers are told.
pub(super) fn outputs(drawn: &Drawn) -> Outputs {
    if drawn.failed_pull {
        return [f64::NAN; RESULTS.len()];
    }
    let flown = drawn.if_one_goes.as_ref();
    [
        f64::from(u8::from(drawn.moves)),
        drawn.peak_n,
        flown.map_or(f64::NAN, |f| f.energy_j),
        flown.map_or(f64::NAN, |f| f.reach_m),
    ]
}

/// What the draws for the drivers came to.
pub(super) struct Effects {
    results: Vec<Sensitivity>,
    /// Draws and let-go runs of these that failed.
    pub failed: u64,
}

impl Effects {
    pub fn new(groups: usize) -> Self {
        Self {
            results: vec![Sensitivity::new(groups, REPLICATES); RESULTS.len()],
            failed: 0,
        }
    }

    /// Adds the results of A, B, and of A with each group from B.
    pub fn add(&mut self, run: u64, row: &[Outputs]) {
        for (k, result) in self.results.iter_mut().enumerate() {
            let answers: Vec<f64> = row.iter().map(|outputs| outputs[k]).collect();
            result.add(run, &answers);
        }
    }

    pub fn merge(&mut self, other: &Self) {
        for (mine, more) in self.results.iter_mut().zip(&other.results) {
            mine.merge(more);
        }
        self.failed += other.failed;
    }

    /// The groups by their share, the largest total first.
    pub fn drivers(&self, groups: &[Group]) -> Vec<Drivers> {
        let of = |(words, result): (&&str, &Sensitivity)| {
            let shares = result.shares(CONFIDENCE).unwrap_or_default();
            let mut drivers: Vec<Driver> = groups
                .iter()
                .zip(&shares)
                .map(|(g, s)| driver(g, s))
                .collect();
            drivers.sort_by(|a, b| b.total.total_cmp(&a.total));
            Drivers {
                result: (*words).into(),
                draws: result.groups(),
                drivers,
            }
        };
        RESULTS.iter().zip(&self.results).map(of).collect()
    }
}

fn driver(group: &Group, share: &Share) -> Driver {
    Driver {
        what: group.words.clone(),
        alone: share.first,
        alone_low: share.first_interval.low,
        alone_high: share.first_interval.high,
        total: share.total,
        total_low: share.total_interval.low,
        total_high: share.total_interval.high,
    }
}
