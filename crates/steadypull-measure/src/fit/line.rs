//! The line fitted to pulls: values with intervals, residuals, a curve for the plan.
//!
//! Limits: the stretch is taken as exact (noise in it flattens the curve and widens the
//! loop), all noise in force as one size; what lies beyond the greatest load read is
//! straight on; one line, one condition. An estimate: it certifies nothing.

use steadypull_engine::chance::Interval;
use steadypull_engine::line::{Curve, Law};
use steadypull_engine::units::Force;

use super::block_bootstrap::block_bootstrap;
use super::least_squares::{Residuals, least_squares};
use super::line_model::{LineModel, Parameter, PullRecord, Task, as_tested};
use super::loss::Loss;
use super::problem::FitProblem;
use super::profile::profile;
use super::residual_check::{ResidualCheck, check_residuals};
use super::separation::Separation;

/// Weight of the tether that keeps a parameter of which the pulls say nothing near its
/// start: with noise of 1 % of the greatest force it knows a logarithm to ± 100, which is
/// to say nothing.
const TETHER: f64 = 1e-4;

/// How the intervals are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Intervals {
    /// By profile likelihood: readings err apart from one another.
    Profile {
        /// How often they hold the true value.
        confidence: f64,
    },
    /// By blocks of residuals drawn anew: neighbouring readings may err together.
    Blocks {
        /// How often they hold the true value.
        confidence: f64,
        /// Readings in a block: several times what the noise remembers.
        block: usize,
        /// Fits made.
        refits: usize,
        /// Of the draws.
        seed: u64,
    },
}

/// One fitted parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Which.
    pub parameter: Parameter,
    /// Its best value.
    pub value: f64,
    /// Its interval; an end that the data leave open is the end of what is possible.
    pub interval: Interval,
    /// Whether the data leave an end open that is not a natural limit: all energy given
    /// back, no set, no rate effect.
    pub open: bool,
}

/// A line fitted to pulls.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFit {
    /// The parameters.
    pub estimates: Vec<Estimate>,
    /// The extension curve, for a plan.
    pub curve: Curve,
    /// The breaking strength that it is scaled by.
    pub breaking: Force,
    /// Share of it up to which there is data; above, the curve goes straight on.
    pub share_read: f64,
    /// Noise of one reading of force.
    pub noise: Force,
    /// Fitted less read force, pull by pull, N.
    pub residuals_n: Vec<Vec<f64>>,
    /// What they look like.
    pub residual_check: ResidualCheck,
    /// Whether the parameters are told apart.
    pub separation: Separation,
}

impl LineFit {
    /// The law of the line as it was tested.
    pub fn law(&self) -> Law {
        as_tested(&self.curve, self.breaking)
    }
}

/// Fits the line model to pulls.
pub fn fit_line(
    model: &LineModel,
    pulls: &[PullRecord],
    loss: Loss,
    intervals: Intervals,
) -> Result<LineFit, FitProblem> {
    let task = Task::new(*model, pulls)?;
    let start = task.start()?;
    let write = |inner: &[f64], out: &mut [f64]| {
        let (readings, tethers) = out.split_at_mut(task.readings());
        task.write(inner, readings);
        for (r, (at, from)) in tethers.iter_mut().zip(inner.iter().zip(&start)) {
            *r = TETHER * (at - from);
        }
    };
    let residuals = Residuals {
        count: task.readings() + start.len(),
        readings: task.readings(),
        write: &write,
    };
    let sizes = vec![1.0; start.len()];
    let fitted = least_squares(&residuals, &start, &sizes, loss)?;
    let counts = task.counts();
    let inner = match intervals {
        Intervals::Profile { confidence } => (0..start.len())
            .map(|which| profile(&residuals, &fitted, which, confidence))
            .collect::<Result<Vec<_>, _>>()?,
        Intervals::Blocks {
            confidence,
            block,
            refits,
            seed,
        } => block_bootstrap(
            &residuals, &fitted, &counts, block, confidence, refits, seed,
        )?,
    };
    let estimates: Vec<Estimate> = task
        .parameters
        .iter()
        .zip(fitted.parameters.iter().zip(&inner))
        .map(|(parameter, (best, inner))| estimate(*parameter, *best, inner))
        .collect();
    let residuals_n = by_pull(&fitted.residuals, task.unit_n(), &counts);
    let slices: Vec<&[f64]> = residuals_n.iter().map(Vec::as_slice).collect();
    Ok(LineFit {
        residual_check: check_residuals(&slices)?,
        separation: Separation::of(&fitted, estimates.iter().position(|e| e.open)),
        curve: task.curve(&fitted.parameters)?,
        breaking: model.breaking,
        share_read: task.share_read(),
        noise: Force::new(fitted.spread * task.unit_n()),
        estimates,
        residuals_n,
    })
}

fn estimate(parameter: Parameter, best: f64, inner: &Interval) -> Estimate {
    let open = (inner.low.is_infinite(), inner.high.is_infinite());
    let limit = parameter.natural_limits();
    Estimate {
        parameter,
        value: parameter.value(best),
        interval: Interval {
            low: parameter.value(inner.low),
            high: parameter.value(inner.high),
        },
        open: open.0 && !limit.0 || open.1 && !limit.1,
    }
}

fn by_pull(residuals: &[f64], unit_n: f64, counts: &[usize]) -> Vec<Vec<f64>> {
    let mut rest = residuals;
    counts
        .iter()
        .map(|n| {
            let (pull, after) = rest.split_at(*n);
            rest = after;
            pull.iter().map(|r| r * unit_n).collect()
        })
        .collect()
}
