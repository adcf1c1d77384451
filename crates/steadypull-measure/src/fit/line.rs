//! The line fitted to pulls: values with intervals, residuals, a curve for the plan.
//!
//! Limits: the stretch is taken as exact (noise in it flattens the curve and widens the
//! loop), all noise in force as one size; what lies beyond the greatest load read is
//! straight on; one line, one condition. An estimate: it certifies nothing.

use steadypull_engine::chance::Interval;
use steadypull_engine::line::{Curve, Law};
use steadypull_engine::units::Force;

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
/// Fits made to find the memory of the noise.
const MEMORY_ROUNDS: usize = 12;
/// Greatest memory: beyond it the noise is a drift, which no fit can part from the line.
const MEMORY_MOST: f64 = 0.98;

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
    let (memory, start) = settled_memory(&task, start, rules)?;
    let write = |inner: &[f64], out: &mut [f64]| tethered(&task, &start, memory, inner, out);
    let residuals = residuals(&task, &write);
    let mut fitted = least_squares(&residuals, &start, &vec![1.0; start.len()], rules.loss)?;
    if rules.memory == Memory::Found {
        fitted.spread_freedom = with_memory_found(fitted.spread_freedom, memory, task.readings());
    }
    let estimates = task
        .parameters
        .iter()
        .enumerate()
        .map(|(which, parameter)| {
            let inner = profile(&residuals, &fitted, which, rules.confidence)?;
            Ok(estimate(*parameter, fitted.parameters[which], &inner))
        })
        .collect::<Result<Vec<_>, FitProblem>>()?;
    let freed = by_pull(&fitted.residuals, 1.0, &task.counts());
    let slices: Vec<&[f64]> = freed.iter().map(Vec::as_slice).collect();
    let raw = raw_residuals(&task, &fitted.parameters);
    Ok(LineFit {
        residual_check: check_residuals(&slices)?,
        separation: Separation::of(&fitted, estimates.iter().position(|e| e.open)),
        curve: task.curve(&fitted.parameters)?,
        breaking: model.breaking,
        share_read: task.share_read(),
        noise: Force::new(fitted.spread * task.unit_n() / (1.0 - memory * memory).sqrt()),
        memory,
        residuals_n: by_pull(&raw, task.unit_n(), &task.counts()),
        estimates,
    })
}

type Write<'a> = dyn Fn(&[f64], &mut [f64]) + 'a;

fn residuals<'a>(task: &Task, write: &'a Write<'a>) -> Residuals<'a> {
    Residuals {
        count: task.readings() + task.parameters.len(),
        readings: task.readings(),
        write,
    }
}

/// The readings' residuals, then the tethers.
fn tethered(task: &Task, start: &[f64], memory: f64, inner: &[f64], out: &mut [f64]) {
    let (readings, tethers) = out.split_at_mut(task.readings());
    task.write(inner, memory, readings);
    for (r, (at, from)) in tethers.iter_mut().zip(inner.iter().zip(start)) {
        *r = TETHER * (at - from);
    }
}

fn raw_residuals(task: &Task, inner: &[f64]) -> Vec<f64> {
    let mut raw = vec![0.0; task.readings()];
    task.write(inner, 0.0, &mut raw);
    raw
}

/// The memory of the noise, by fits and the correlation of their residuals in turn
/// (D. Cochrane, G. H. Orcutt, J. Am. Stat. Assoc. 44 (1949) 32–61, from memory), with
/// where the last fit stood.
fn settled_memory(
    task: &Task,
    mut at: Vec<f64>,
    rules: &Rules,
) -> Result<(f64, Vec<f64>), FitProblem> {
    let (mut memory, start) = (0.0, at.clone());
    if rules.memory == Memory::None {
        return Ok((memory, at));
    }
    for _ in 0..MEMORY_ROUNDS {
        let write = |inner: &[f64], out: &mut [f64]| tethered(task, &start, memory, inner, out);
        let model = residuals(task, &write);
        at = least_squares(&model, &at, &vec![1.0; at.len()], rules.loss)?.parameters;
        let next = kept(
            &by_pull(&raw_residuals(task, &at), 1.0, &task.counts()),
            at.len(),
        );
        let moved = (next - memory).abs();
        memory = next;
        if moved < 1e-3 {
            break;
        }
    }
    Ok((memory, at))
}

/// Share of its noise that the next reading keeps, pull by pull, 0 to [`MEMORY_MOST`].
///
/// The correlation of fitted residuals is too low by about `(p (1 + φ) + 2 φ)/n`: M. G.
/// Kendall's bias (Biometrika 41 (1954) 403–404, from memory) for a mean, p = 1, taken to
/// p parameters; it is put back.
fn kept(pulls: &[Vec<f64>], parameters: usize) -> f64 {
    let pairs = pulls.iter().flat_map(|p| p.windows(2));
    let (cross, square) = pairs.fold((0.0, 0.0), |(c, s), w| (c + w[0] * w[1], s + w[0] * w[0]));
    let (n, p) = (
        pulls.iter().map(Vec::len).sum::<usize>() as f64,
        parameters as f64,
    );
    let seen = cross / f64::max(square, f64::MIN_POSITIVE);
    ((seen + p / n) / (1.0 - (p + 2.0) / n).max(0.1)).clamp(0.0, MEMORY_MOST)
}

/// Degrees of freedom behind a spread that hangs on a memory found.
///
/// A parameter hangs on what is slow, and the variance of that grows with the memory by
/// `(1 + φ)/(1 − φ)`, whose logarithm has the slope `2/(1 − φ²)`. The memory found has the
/// variance `(1 − φ²)/n` (M. S. Bartlett, J. R. Stat. Soc. Suppl. 8 (1946) 27, from memory). So the
/// logarithm of the variance scatters by `2/ν + 4/(n (1 − φ²))` instead of `2/ν`, which is that of
/// fewer degrees of freedom (Satterthwaite's match).
fn with_memory_found(freedom: f64, memory: f64, readings: usize) -> f64 {
    let of_memory = 2.0 / (readings as f64 * (1.0 - memory * memory));
    1.0 / (1.0 / freedom + of_memory)
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
