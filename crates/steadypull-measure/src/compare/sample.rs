//! A set-up's pulls, in a few numbers.

use crate::problem::{Problem, finite};

/// Count, mean and spread of one set-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Pulls.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation (n − 1); none from one pull.
    pub deviation: Option<f64>,
}

impl Sample {
    /// Of at least one finite value.
    pub fn of(values: &[f64]) -> Result<Self, Problem> {
        finite("pulls of a set-up", values, 1)?;
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let squares: f64 = values.iter().map(|x| (x - mean) * (x - mean)).sum();
        Ok(Self {
            count: values.len(),
            mean,
            deviation: (values.len() > 1).then(|| (squares / (n - 1.0)).sqrt()),
        })
    }
}
