//! Intervals by profile likelihood.
//!
//! One parameter is held off its best value and the others fitted anew; the interval
//! ends where the cost has risen by `t² m spread²`, t Student's at the confidence with the
//! spread's own degrees of freedom (`loss.rs`), m the
//! share of residuals below the bend (1 for squares, where this is the likelihood-ratio
//! interval with its F limit: Bates, Watts, Nonlinear Regression Analysis (1988), 6.1,
//! from memory). It follows the curve of the cost, so it need not be even about the
//! best value, and it does not end where the data do not end it. It assumes that
//! readings err apart from one another; where [`super::check_residuals`] says they do
//! not, the model must first be freed of the noise's memory ([`super::Memory`]).

use steadypull_engine::chance::{Interval, student_quantile};

use super::least_squares::{Care, Fitted, Residuals, settle};
use super::loss::cost;
use super::problem::FitProblem;
use crate::problem::{Problem, in_range};

/// Standard errors off the best value at which a side counts as open, and sizes of the
/// parameter.
const OPEN_ERRORS: f64 = 12.0;
const OPEN_SIZES: f64 = 40.0;
/// Root of the rise that stands for values with which the model cannot be worked out.
const BARRED: f64 = 1e6;

/// A fit whose parameter `which` is walked off its best value.
struct Walk<'a> {
    model: &'a Residuals<'a>,
    fitted: &'a Fitted,
    which: usize,
}

impl Walk<'_> {
    /// Root of the rise in cost, in units of the noise, with the parameter at `value`;
    /// `others` start the fit of the rest and come back where it settled.
    fn rise(&self, value: f64, others: &mut Vec<f64>) -> Result<f64, FitProblem> {
        let fitted = self.fitted;
        let whole = |others: &[f64]| {
            let mut all = others.to_vec();
            all.insert(self.which, value);
            all
        };
        let mut residuals = vec![0.0; self.model.count];
        if others.is_empty() {
            self.model.at(&[value], &mut residuals);
        } else {
            let write = |others: &[f64], out: &mut [f64]| self.model.at(&whole(others), out);
            let rest = Residuals {
                count: self.model.count,
                readings: self.model.readings,
                write: &write,
            };
            let mut sizes = fitted.sizes.clone();
            sizes.remove(self.which);
            let settled = settle(&rest, others, &sizes, Care::Enough, |_| fitted.bend);
            if settled == Err(FitProblem::NoStart) {
                return Ok(BARRED);
            }
            (*others, residuals, _) = settled?;
        }
        let rise = (cost(&residuals, fitted.bend) - fitted.cost).max(0.0);
        Ok((rise / fitted.share_straight).sqrt() / fitted.spread)
    }

    /// The end on the side of `sign`, where the root of the rise is `t`.
    fn end(&self, sign: f64, t: f64) -> Result<f64, FitProblem> {
        let best = self.fitted.parameters[self.which];
        let error = self.fitted.covariance[self.which][self.which].sqrt();
        let size = self.fitted.sizes[self.which].max(0.5 * best.abs());
        let open = (OPEN_ERRORS * error).min(OPEN_SIZES * size);
        let mut others = self.fitted.parameters.clone();
        others.remove(self.which);
        // (distance off the best value, root of the rise there), inside and outside.
        let mut low = (0.0, 0.0);
        let mut high = (t * error.min(size), 0.0);
        loop {
            high.1 = self.rise(best + sign * high.0, &mut others)?;
            if high.1 >= t {
                break;
            }
            if high.0 > open {
                return Ok(sign * f64::INFINITY);
            }
            low = high;
            high.0 *= 1.5;
        }
        self.closed_in(sign, t, low, high, &mut others)
    }

    /// The end between two distances: the secant, since the root of the rise is nearly
    /// straight, and the middle where that does not halve the gap.
    fn closed_in(
        &self,
        sign: f64,
        t: f64,
        mut low: (f64, f64),
        mut high: (f64, f64),
        others: &mut Vec<f64>,
    ) -> Result<f64, FitProblem> {
        let best = self.fitted.parameters[self.which];
        for round in 0..80 {
            let share = (t - low.1) / (high.1 - low.1);
            let share = if round % 3 == 2 { 0.5 } else { share };
            let at = low.0 + share * (high.0 - low.0);
            let root = self.rise(best + sign * at, others)?;
            if (root - t).abs() < 1e-4 * t || high.0 - low.0 < 1e-12 * high.0 {
                return Ok(best + sign * at);
            }
            if root < t {
                low = (at, root);
            } else {
                high = (at, root);
            }
        }
        Ok(best + sign * high.0)
    }
}

/// The interval of parameter `which` at `confidence`; an end is infinite where the
/// data leave that side open.
pub fn profile(
    model: &Residuals,
    fitted: &Fitted,
    which: usize,
    confidence: f64,
) -> Result<Interval, FitProblem> {
    in_range("the confidence", confidence, 0.5, 0.999)?;
    if which >= fitted.parameters.len() {
        return Err(FitProblem::Given(Problem::Degenerate(
            "there is no such parameter in the fit",
        )));
    }
    if fitted.spread <= 0.0 {
        let value = fitted.parameters[which];
        return Ok(Interval {
            low: value,
            high: value,
        });
    }
    let t = student_quantile(fitted.spread_freedom, 0.5 + 0.5 * confidence);
    let walk = Walk {
        model,
        fitted,
        which,
    };
    Ok(Interval {
        low: walk.end(-1.0, t)?,
        high: walk.end(1.0, t)?,
    })
}
