//! How often something happened: counts, by repeat.

use super::interval::{Interval, share_over_repeats};

/// Counts of one yes-or-no question over the runs of a study.
///
/// Whole numbers, so any order and any split into shards give the same result.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    hits: Vec<u64>,
    runs: Vec<u64>,
}

impl Tally {
    /// Nothing counted yet; `replicates` as the sampler has.
    pub fn new(replicates: usize) -> Self {
        Self {
            hits: vec![0; replicates.max(1)],
            runs: vec![0; replicates.max(1)],
        }
    }

    /// Counts run number `run` of the study.
    pub fn add(&mut self, run: u64, happened: bool) {
        let repeat = (run % self.runs.len() as u64) as usize;
        self.runs[repeat] += 1;
        self.hits[repeat] += u64::from(happened);
    }

    /// Counts all that another shard of the same study counted.
    pub fn merge(&mut self, other: &Self) {
        for (ours, theirs) in self.hits.iter_mut().zip(&other.hits) {
            *ours += theirs;
        }
        for (ours, theirs) in self.runs.iter_mut().zip(&other.runs) {
            *ours += theirs;
        }
    }

    /// Runs in which it happened.
    pub fn hits(&self) -> u64 {
        self.hits.iter().sum()
    }

    /// Runs counted.
    pub fn runs(&self) -> u64 {
        self.runs.iter().sum()
    }

    /// Share of runs in which it happened; not a number before the first run.
    pub fn share(&self) -> f64 {
        self.hits() as f64 / self.runs() as f64
    }

    /// Interval that holds the probability with the stated confidence.
    pub fn interval(&self, confidence: f64) -> Interval {
        share_over_repeats(&self.hits, &self.runs, confidence)
    }
}

#[cfg(test)]
mod tests {
    use super::super::interval::wilson;
    use super::*;

    #[test]
    fn shards_add_up_and_few_hits_fall_back_on_the_pooled_interval() {
        let mut whole = Tally::new(16);
        let (mut first, mut second) = (whole.clone(), whole.clone());
        for run in 0..1600 {
            let happened = run % 7 == 0;
            whole.add(run, happened);
            if run < 333 { &mut first } else { &mut second }.add(run, happened);
        }
        second.merge(&first);
        assert_eq!(whole, second);
        assert_eq!((whole.hits(), whole.runs()), (229, 1600));
        assert!(whole.interval(0.9).contains(1.0 / 7.0));
        let mut rare = Tally::new(16);
        (0..1600).for_each(|run| rare.add(run, run == 17));
        assert_eq!(rare.interval(0.9), wilson(1, 1600, 0.9));
    }
}
