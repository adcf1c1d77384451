//! The line fitted to pulls: values with intervals, residuals, a curve for the plan.
//!
//! Noise of the force is one size for all readings and found by the fit; that of the stretch and what a
//! whole pull shares are as told with the pulls, and weighed ([`super::weighing`]).
//!
//! Limits: what lies beyond the greatest load read is straight on; one line, one condition. An
//! estimate: it certifies nothing.

use steadypull_engine::chance::Interval;
use steadypull_engine::line::{Curve, Law};
use steadypull_engine::units::Force;

use super::bias::bias;
use super::least_squares::{Fitted, Residuals, least_squares};
use super::line_model::{LineModel, Parameter, PullRecord, Task, as_tested};
use super::loss::Loss;
use super::problem::FitProblem;
use super::profile::profile;
use super::residual_check::{ResidualCheck, check_residuals};
use super::separation::Separation;
use super::settled::{Settled, settled};
use super::weighing::Weighed;

/// Weight of the tether that keeps a parameter of which the pulls say nothing near its
/// start: with noise of 1 % of the greatest force it knows a logarithm to ± 100, which is
/// to say nothing.
const TETHER: f64 = 1e-4;
/// Degrees of freedom behind an interval at least: the noise of the force is never known worse than that,
/// since it is no less than nothing and no more than all that is left.
const FREEDOM_LEAST: f64 = 4.0;
/// An end of an interval that is so many times the value, or such a part of it, is none.
const OPEN_BEYOND: f64 = 1e3;

/// Whether the noise of a reading remembers that of the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Memory {
    /// Each reading errs on its own.
    None,
    /// Each keeps a share of the error before it, found from the residuals.
    Found,
}

/// How a fit is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// What a residual costs.
    pub loss: Loss,
    /// Memory of the noise.
    pub memory: Memory,
    /// How often intervals hold the true value.
    pub confidence: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            loss: Loss::Squares,
            memory: Memory::None,
            confidence: 0.95,
        }
    }
}

/// One fitted parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Which.
    pub parameter: Parameter,
    /// Its best value: that of least squares less `bias`.
    pub value: f64,
    /// What least squares is off by on average, to second order.
    pub bias: f64,
    /// Its interval; an end that the data leave open is the end of what is possible.
    pub interval: Interval,
    /// Whether the data leave an end open that is not a natural limit: all energy given
    /// back, no set, no rate effect.
    pub open: bool,
    /// Change of the value for one of the number that is fitted, at the best one.
    pub slope: f64,
}

/// Shares of a parameter's variance, 1 in all.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeOf {
    /// From the noise of the force.
    pub force: f64,
    /// From that of the stretch.
    pub stretch: f64,
    /// Pull by pull, from each doubt that it shares, the zero of its force last.
    pub shared: Vec<Vec<f64>>,
}

/// A line fitted to pulls.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFit {
    /// The parameters.
    pub estimates: Vec<Estimate>,
    /// What the scatter of each is made of.
    pub made_of: Vec<MadeOf>,
    /// Covariance of the parameters' values, by rows, to first order.
    pub covariance: Vec<Vec<f64>>,
    /// The extension curve, for a plan.
    pub curve: Curve,
    /// The breaking strength that it is scaled by.
    pub breaking: Force,
    /// Share of it up to which there is data; above, the curve goes straight on.
    pub share_read: f64,
    /// Noise of one reading of force.
    pub noise: Force,
    /// What the noise of the stretch makes of the force, root of the mean square over all readings.
    pub noise_by_stretch: Force,
    /// Whether the readings lie nearer to the line than the noise of their stretch alone, as told,
    /// would have them.
    pub too_near: bool,
    /// Best numbers of the doubts that each pull shares, the zero of its force last, in standard
    /// uncertainties.
    pub shared: Vec<Vec<f64>>,
    /// Share of a reading's noise that the next one keeps.
    pub memory: f64,
    /// Fitted less read force, pull by pull, N.
    pub residuals_n: Vec<Vec<f64>>,
    /// What they look like, freed of the memory.
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
    rules: &Rules,
) -> Result<LineFit, FitProblem> {
    let task = Task::new(*model, pulls)?;
    let start = task.start()?;
    let settled = settled(&task, &start, rules)?;
    let write = |inner: &[f64], out: &mut [f64]| tethered(&task, &start, &settled, inner, out);
    let residuals = residuals(&task, &write);
    let mut fitted = least_squares(&residuals, &settled.at, &vec![1.0; start.len()], rules.loss)?;
    let freedom = settled.freedom(fitted.spread_freedom, rules.memory, task.readings());
    // Readings that lie nearer to the line than their doubts would have them make no fit surer.
    let too_near = settled.at_floor && fitted.spread < settled.noise;
    if too_near {
        fitted.scatter_by(settled.noise);
    }
    let made_of = made_of(&task, &settled, &fitted);
    let best = unbiased(&task, &residuals, &fitted);
    let estimates = task
        .parameters
        .iter()
        .zip(&made_of)
        .enumerate()
        .map(|(which, (parameter, made_of))| {
            // The rest of its variance is as told and not found.
            fitted.spread_freedom = FREEDOM_LEAST.max(freedom / (made_of.force * made_of.force));
            let inner = profile(&residuals, &fitted, which, rules.confidence)?;
            Ok(estimate(
                *parameter,
                fitted.parameters[which],
                best[which],
                &inner,
            ))
        })
        .collect::<Result<Vec<_>, FitProblem>>()?;
    let freed = by_pull(&fitted.residuals, 1.0, &task.counts());
    let slices: Vec<&[f64]> = freed.iter().map(Vec::as_slice).collect();
    let raw = settled.raw(&task, &best, Weighed::straighten_moved);
    Ok(LineFit {
        residual_check: check_residuals(&slices)?,
        separation: Separation::of(&fitted, estimates.iter().position(|e| e.open)),
        curve: task.curve(&best)?,
        breaking: model.breaking,
        share_read: task.share_read(),
        noise: Force::new(
            fitted.spread * task.unit_n() / (1.0 - settled.memory * settled.memory).sqrt(),
        ),
        noise_by_stretch: Force::new(settled.by_stretch_n()),
        too_near,
        shared: settled
            .weighed
            .iter()
            .map(|pull| pull.shared.clone())
            .collect(),
        memory: settled.memory,
        residuals_n: by_pull(&raw, task.unit_n(), &task.counts()),
        made_of,
        covariance: of_values(&fitted.covariance, &estimates),
        estimates,
    })
}

type Write<'a> = dyn Fn(&[f64], &mut [f64]) + 'a;

pub(super) fn residuals<'a>(task: &Task, write: &'a Write<'a>) -> Residuals<'a> {
    Residuals {
        count: task.readings() + task.parameters.len(),
        readings: task.readings(),
        write,
    }
}

/// The readings' residuals, then the tethers.
pub(super) fn tethered(
    task: &Task,
    start: &[f64],
    settled: &Settled,
    inner: &[f64],
    out: &mut [f64],
) {
    let (readings, tethers) = out.split_at_mut(task.readings());
    task.write(inner, &settled.weighed, settled.memory, readings);
    for (r, (at, from)) in tethers.iter_mut().zip(inner.iter().zip(start)) {
        *r = TETHER * (at - from);
    }
}

/// The fitted numbers less what they, and the values of them, are off by on average.
fn unbiased(task: &Task, residuals: &Residuals, fitted: &Fitted) -> Vec<f64> {
    let numbers = || task.parameters.iter().zip(&fitted.parameters);
    let bent: Vec<f64> = numbers().map(|(of, inner)| of.bend(*inner)).collect();
    let off = bias(residuals, fitted, &bent);
    let pairs = fitted.parameters.iter().zip(off);
    pairs.map(|(number, off)| number - off).collect()
}

/// The covariance of the fitted numbers as that of the values.
fn of_values(inner: &[Vec<f64>], estimates: &[Estimate]) -> Vec<Vec<f64>> {
    let row = |(row, of): (&Vec<f64>, &Estimate)| {
        let pairs = row.iter().zip(estimates);
        pairs.map(|(c, with)| c * of.slope * with.slope).collect()
    };
    inner.iter().zip(estimates).map(row).collect()
}

/// Shares of the variances. The numbers fitted are `G` times the readings, `G = (JᵀJ)⁻¹JᵀW`, J the slopes
/// of what is freed by `W`; so each part of the readings' covariance has its own in theirs.
fn made_of(task: &Task, settled: &Settled, fitted: &Fitted) -> Vec<MadeOf> {
    let square = fitted.spread * fitted.spread;
    let of = |which: usize| {
        let row = &fitted.covariance[which];
        let readings = 0..task.readings();
        let counts: Vec<f64> = readings
            .map(|i| {
                let parts = row
                    .iter()
                    .enumerate()
                    .map(|(k, c)| c * fitted.slopes[(i, k)]);
                parts.sum::<f64>() / square
            })
            .collect();
        settled.made_of(&by_pull(&counts, 1.0, &task.counts()), task.unit_n())
    };
    (0..fitted.parameters.len()).map(of).collect()
}

/// Of the number that least squares found, the best one and the interval's ends.
fn estimate(parameter: Parameter, found: f64, best: f64, inner: &Interval) -> Estimate {
    let value = parameter.value(best);
    let (low, high) = (parameter.value(inner.low), parameter.value(inner.high));
    let (least, most) = parameter.limits();
    let open = (
        low <= least || low < value / OPEN_BEYOND,
        high >= most || most.is_infinite() && high > value * OPEN_BEYOND,
    );
    let limit = parameter.natural_limits();
    Estimate {
        parameter,
        value,
        bias: parameter.value(found) - value,
        interval: Interval {
            low: if open.0 { least } else { low },
            high: if open.1 { most } else { high },
        },
        open: open.0 && !limit.0 || open.1 && !limit.1,
        slope: parameter.slope(best),
    }
}

/// Values of all readings pull by pull, times `unit_n`.
pub(super) fn by_pull(residuals: &[f64], unit_n: f64, counts: &[usize]) -> Vec<Vec<f64>> {
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
