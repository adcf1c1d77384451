//! Nonlinear least squares, ordinary and robust.
//!
//! Levenberg and Marquardt's search as in MINPACK (Moré, Garbow, Hillstrom, ANL-80-74,
//! by the crate `levenberg-marquardt`). Huber's loss by reweighting: the weights of one
//! fit make the squares of the next cost what the loss says, until nothing moves.
//!
//! ```text
//! covariance = spread² (JᵀJ)⁻¹,   spread² = κ² Σψ(r)²/(n − p)/m²
//! κ = 1 + (p/n)(1 − m)/m,   m the share of residuals below the bend, ψ the bent residual
//! ```
//!
//! (Huber, Robust Statistics (1981), 7.6, from memory); with no bend this is the usual
//! residual variance. Checked against the certified sets of NIST StRD.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt, TerminationReason};
use nalgebra::{DMatrix, DVector, Dyn, Owned};

use super::jacobian::jacobian;
use super::loss::{Loss, cost, weight};
use super::problem::FitProblem;
use crate::problem::{Problem, finite};

/// Rounds of reweighting before a fit is given up.
const ROUNDS: usize = 500;
/// Rounds after which the bend stays where it is, so that the rest only goes down: a
/// median may otherwise hop between two readings for ever.
const BEND_HELD: usize = 12;
/// First rounds, that set out from the start.
const SET_OUT: usize = 4;
/// Gauss–Newton steps after a search at most.
const POLISH: usize = 12;
/// What stands for a residual that is no number, so that the search turns back.
const FAR_OFF: f64 = 1e100;

/// A model's residuals as a function of its parameters.
pub struct Residuals<'a> {
    /// How many there are: readings first, then tethers.
    pub count: usize,
    /// How many are readings. What follows them are tethers: residuals so weak that they
    /// only keep a parameter of which the readings say nothing from running off.
    pub readings: usize,
    /// Writes them for the given parameters; anything not finite means that these
    /// parameters will not do.
    pub write: &'a dyn Fn(&[f64], &mut [f64]),
}

impl Residuals<'_> {
    /// The residuals at `parameters`, with large values for those that are no number.
    pub(super) fn at(&self, parameters: &[f64], out: &mut [f64]) {
        (self.write)(parameters, out);
        for r in out {
            if r.is_nan() || r.abs() > FAR_OFF {
                *r = FAR_OFF;
            }
        }
    }
}

/// Where a fit settled.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// Least size of each, for steps.
    pub sizes: Vec<f64>,
    /// The residuals of the readings there, unweighted.
    pub residuals: Vec<f64>,
    /// Residual size beyond which the loss bends; infinite for squares.
    pub bend: f64,
    /// Cost: the sum of squares, or of Huber's losses.
    pub cost: f64,
    /// Standard deviation of one reading's noise, as the covariance has it.
    pub spread: f64,
    /// Share of residuals below the bend.
    pub share_straight: f64,
    /// Readings less parameters.
    pub freedom: f64,
    /// Degrees of freedom behind `spread`: as many, fewer where the loss bends.
    pub spread_freedom: f64,
    /// Covariance of the parameters, by rows.
    pub covariance: Vec<Vec<f64>>,
    /// Slopes of the residuals there, by readings.
    pub(super) slopes: DMatrix<f64>,
}

impl Fitted {
    /// Standard errors of the parameters.
    pub fn standard_errors(&self) -> Vec<f64> {
        (0..self.parameters.len())
            .map(|j| self.covariance[j][j].sqrt())
            .collect()
    }

    /// Takes the spread for another.
    pub(super) fn scatter_by(&mut self, spread: f64) {
        let by = spread * spread / (self.spread * self.spread).max(f64::MIN_POSITIVE);
        self.covariance.iter_mut().flatten().for_each(|c| *c *= by);
        self.spread = spread;
    }

    /// Standard deviation of the residuals.
    pub fn residual_deviation(&self) -> f64 {
        let squares: f64 = self.residuals.iter().map(|r| r * r).sum();
        (squares / self.freedom).sqrt()
    }
}

/// One weighted search, as the solver wants it.
struct Search<'a> {
    model: &'a Residuals<'a>,
    sizes: &'a [f64],
    weights: &'a [f64],
    at: DVector<f64>,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Search<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        self.at.copy_from(x);
    }

    fn params(&self) -> DVector<f64> {
        self.at.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let mut out = vec![0.0; self.model.count];
        self.model.at(self.at.as_slice(), &mut out);
        let weighted = out.iter().zip(self.weights).map(|(r, w)| r * w.sqrt());
        Some(DVector::from_iterator(self.model.count, weighted))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut slopes = jacobian(self.model, self.at.as_slice(), self.sizes);
        for (mut row, w) in slopes.row_iter_mut().zip(self.weights) {
            row *= w.sqrt();
        }
        Some(slopes)
    }
}

/// How far a search goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// To the last digits of the parameters.
    Last,
    /// Until the cost is good to nine digits: for the many fits behind an interval.
    Enough,
}

/// One search with the given weights: where it ended.
fn search(
    model: &Residuals,
    start: &[f64],
    sizes: &[f64],
    weights: &[f64],
    care: Care,
) -> Result<Vec<f64>, FitProblem> {
    let search = Search {
        model,
        sizes,
        weights,
        at: DVector::from_column_slice(start),
    };
    let (search, report) = LevenbergMarquardt::new()
        .with_tol(match care {
            Care::Last => 1e-14,
            Care::Enough => 1e-9,
        })
        .with_patience(match care {
            Care::Last => 400,
            Care::Enough => 40,
        })
        .minimize(search);
    // At the end of the digits the solver says that it can find nothing better; along a
    // kink of the model (a set that gives way) it creeps until its patience ends. Both leave
    // it at the best it found.
    let settled = report.termination.was_successful()
        || matches!(
            report.termination,
            TerminationReason::NoImprovementPossible(_) | TerminationReason::LostPatience
        );
    if !settled || !report.objective_function.is_finite() {
        return Err(FitProblem::NotSettled);
    }
    Ok(match care {
        Care::Last => polished(&search),
        Care::Enough => search.at.as_slice().to_vec(),
    })
}

/// The last digits: the search stops where the cost no longer falls in a double, which
/// leaves the parameters half of theirs; plain Gauss–Newton steps go on while they
/// shrink.
fn polished(search: &Search) -> Vec<f64> {
    let mut at = search.at.clone();
    let mut before = f64::INFINITY;
    for _ in 0..POLISH {
        let here = Search {
            at: at.clone(),
            ..*search
        };
        let (Some(slopes), Some(residuals)) = (here.jacobian(), here.residuals()) else {
            break;
        };
        let Some(step) = step(slopes, &residuals) else {
            break;
        };
        let sizes = at.iter().zip(search.sizes).map(|(b, s)| b.abs().max(*s));
        let size = step
            .iter()
            .zip(sizes)
            .map(|(d, s)| d.abs() / s)
            .fold(0.0, f64::max);
        // Not below: no number, or steps that no longer shrink.
        if size >= before.min(1e-3) || size.is_nan() {
            break;
        }
        at -= step;
        before = size;
        if size < 1e-11 {
            break;
        }
    }
    at.as_slice().to_vec()
}

/// The Gauss–Newton step, columns at unit length; none where it is not determined.
fn step(mut slopes: DMatrix<f64>, residuals: &DVector<f64>) -> Option<DVector<f64>> {
    let lengths: Vec<f64> = slopes.column_iter().map(|c| c.norm()).collect();
    for (mut column, length) in slopes.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let qr = slopes.qr();
    let turned = qr.q().transpose() * residuals;
    let mut step = qr.r().solve_upper_triangular(&turned)?;
    for (d, length) in step.iter_mut().zip(&lengths) {
        *d /= *length;
    }
    step.iter().all(|d| d.is_finite()).then_some(step)
}

/// Searches, reweighting until nothing moves: parameters, residuals and the bend.
/// `bend_of` tells the bend of residuals; a constant one is held.
pub(super) fn settle(
    model: &Residuals,
    start: &[f64],
    sizes: &[f64],
    care: Care,
    bend_of: impl Fn(&[f64]) -> f64,
) -> Result<(Vec<f64>, Vec<f64>, f64), FitProblem> {
    let mut at = start.to_vec();
    let mut residuals = vec![0.0; model.count];
    model.at(&at, &mut residuals);
    if residuals.iter().all(|r| *r >= FAR_OFF) {
        return Err(FitProblem::NoStart);
    }
    let mut weights = vec![1.0; model.count];
    let mut bend = bend_of(&residuals);
    reweigh(&mut weights, &residuals, bend);
    let mut before = f64::INFINITY;
    for round in 0..ROUNDS {
        // Wild readings may drive the first rounds to where the model is flat; so these
        // all set out from the start, with better weights each time.
        let from = if round < SET_OUT { start } else { &at };
        let next = search(model, from, sizes, &weights, care)?;
        let moved = at.iter().zip(&next).zip(sizes);
        let moved = moved
            .map(|((a, b), size)| (a - b).abs() / b.abs().max(*size))
            .fold(0.0, f64::max);
        at = next;
        model.at(&at, &mut residuals);
        if round < BEND_HELD {
            bend = bend_of(&residuals);
        }
        let now = cost(&residuals, bend);
        let still = match care {
            // Reweighting may close in by a few percent a round: what is left is under a
            // thousandth of a standard error.
            Care::Last => moved < 1e-6 || (before - now).abs() < 1e-14 * now,
            Care::Enough => (before - now).abs() < 1e-8 * now,
        };
        if bend.is_infinite() || still {
            return Ok((at, residuals, bend));
        }
        before = now;
        reweigh(&mut weights, &residuals, bend);
    }
    Err(FitProblem::NotSettled)
}

fn reweigh(weights: &mut [f64], residuals: &[f64], bend: f64) {
    for (w, r) in weights.iter_mut().zip(residuals) {
        *w = weight(*r, bend);
    }
}

/// Fits a model from `start`. `sizes` are the least sizes that the parameters are
/// thought of, for steps (0.01 of the start will do; 1 for logarithms).
pub fn least_squares(
    model: &Residuals,
    start: &[f64],
    sizes: &[f64],
    loss: Loss,
) -> Result<Fitted, FitProblem> {
    finite("start values", start, 1)?;
    finite("parameter sizes", sizes, start.len())?;
    if model.readings <= start.len() {
        return Err(FitProblem::Given(Problem::TooFew {
            what: "readings for so many parameters",
            least: start.len() + 1,
            got: model.readings,
        }));
    }
    let bend_of = |r: &[f64]| loss.bend(&r[..model.readings]);
    let (parameters, mut residuals, bend) = settle(model, start, sizes, Care::Last, bend_of)?;
    let slopes = jacobian(model, &parameters, sizes);
    let cost = cost(&residuals, bend);
    residuals.truncate(model.readings);
    let mut fitted = fitted(parameters, sizes, residuals, (bend, cost), slopes)?;
    fitted.spread_freedom *= loss.share_of_freedom();
    Ok(fitted)
}

fn fitted(
    parameters: Vec<f64>,
    sizes: &[f64],
    residuals: Vec<f64>,
    (bend, cost): (f64, f64),
    slopes: DMatrix<f64>,
) -> Result<Fitted, FitProblem> {
    let freedom = residuals.len() as f64 - parameters.len() as f64;
    let Spread { variance, straight } = spread(&residuals, parameters.len(), bend);
    let covariance = covariance(&slopes, variance)?;
    Ok(Fitted {
        cost,
        spread: variance.sqrt(),
        share_straight: straight,
        freedom,
        spread_freedom: freedom,
        sizes: sizes.to_vec(),
        parameters,
        residuals,
        bend,
        covariance,
        slopes,
    })
}

/// How residuals scatter.
pub(super) struct Spread {
    /// Variance of one.
    pub variance: f64,
    /// Share of them below the bend.
    straight: f64,
}

/// The scatter of residuals about a fit of so many parameters.
pub(super) fn spread(residuals: &[f64], parameters: usize, bend: f64) -> Spread {
    let (n, p) = (residuals.len() as f64, parameters as f64);
    let straight = residuals.iter().filter(|r| r.abs() <= bend).count() as f64 / n;
    let bent: f64 = residuals
        .iter()
        .map(|r| r.clamp(-bend, bend))
        .map(|r| r * r)
        .sum();
    let kappa = 1.0 + p / n * (1.0 - straight) / straight;
    Spread {
        variance: kappa * kappa * bent / (n - p) / (straight * straight),
        straight,
    }
}

/// variance × (JᵀJ)⁻¹, by the singular values of J with its columns at unit length.
fn covariance(slopes: &DMatrix<f64>, variance: f64) -> Result<Vec<Vec<f64>>, FitProblem> {
    let p = slopes.ncols();
    let lengths: Vec<f64> = slopes.column_iter().map(|c| c.norm()).collect();
    if lengths.iter().any(|l| *l <= 0.0 || !l.is_finite()) {
        return Err(FitProblem::Singular);
    }
    let mut scaled = slopes.clone();
    for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let svd = scaled.svd(false, true);
    let least = svd.singular_values.min();
    let (Some(v), true) = (svd.v_t, least > 1e-13 * svd.singular_values.max()) else {
        return Err(FitProblem::Singular);
    };
    let entry = |i: usize, j: usize| {
        let sum: f64 = (0..p)
            .map(|k| v[(k, i)] * v[(k, j)] / (svd.singular_values[k] * svd.singular_values[k]))
            .sum();
        variance * sum / (lengths[i] * lengths[j])
    };
    Ok((0..p)
        .map(|i| (0..p).map(|j| entry(i, j)).collect())
        .collect())
}
