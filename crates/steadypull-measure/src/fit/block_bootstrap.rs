//! Intervals by a bootstrap of blocks of residuals, for readings that err together.
//!
//! The residuals of each pull, in blocks of neighbours drawn at random places, are put
//! on the fitted readings and the model fitted anew; the interval is between quantiles of
//! what comes out. Source: H. R. Künsch, Ann. Stat. 17 (1989) 1217–1241, from memory.
//! Residuals of a fit are a little smaller than the noise: they are raised by
//! √(n/(n − p)). With few blocks a pull it is narrower than its word.

use steadypull_engine::chance::{Interval, quantile};

use super::least_squares::{Care, Fitted, Residuals, settle};
use super::problem::FitProblem;
use crate::draws::Draws;
use crate::problem::in_range;

/// New residuals for one pull, block by block.
fn drawn(residuals: &[f64], block: usize, draws: &mut Draws, out: &mut Vec<f64>) {
    let n = residuals.len();
    let block = block.min(n);
    let end = out.len() + n;
    while out.len() < end {
        let from = draws.below(n - block + 1);
        let take = block.min(end - out.len());
        out.extend_from_slice(&residuals[from..from + take]);
    }
}

/// Intervals of all parameters at `confidence`.
///
/// `pulls` are the readings of each pull in order (they sum to the model's readings),
/// `block` the length of a block, `refits` how many times (at least 100). A residual of the
/// model must be fitted less read.
pub fn block_bootstrap(
    model: &Residuals,
    fitted: &Fitted,
    pulls: &[usize],
    block: usize,
    confidence: f64,
    refits: usize,
    seed: u64,
) -> Result<Vec<Interval>, FitProblem> {
    in_range("the confidence", confidence, 0.5, 0.999)?;
    in_range("refits", refits as f64, 100.0, 1e6)?;
    in_range("block length", block as f64, 1.0, 1e6)?;
    crate::problem::equal("readings of all pulls", pulls.iter().sum(), model.readings)?;
    let raise = (model.readings as f64 / fitted.freedom).sqrt();
    let mean = fitted.residuals.iter().sum::<f64>() / model.readings as f64;
    let centred: Vec<f64> = fitted
        .residuals
        .iter()
        .map(|r| raise * (r - mean))
        .collect();
    let mut stream = Draws::new(seed, 3);
    let mut found = vec![Vec::new(); fitted.parameters.len()];
    for _ in 0..refits {
        let mut noise = Vec::with_capacity(model.readings);
        let mut from = 0;
        for n in pulls {
            drawn(&centred[from..from + n], block, &mut stream, &mut noise);
            from += n;
        }
        // Read anew = fitted − noise; so the residual is that of the record, plus the noise
        // and less the residual it had.
        let write = |at: &[f64], out: &mut [f64]| {
            model.at(at, out);
            for (r, (had, noise)) in out.iter_mut().zip(fitted.residuals.iter().zip(&noise)) {
                *r += noise - had;
            }
        };
        let again = Residuals {
            count: model.count,
            readings: model.readings,
            write: &write,
        };
        let (at, ..) = settle(
            &again,
            &fitted.parameters,
            &fitted.sizes,
            Care::Enough,
            |_| fitted.bend,
        )?;
        for (values, value) in found.iter_mut().zip(at) {
            values.push(value);
        }
    }
    let tail = 0.5 - 0.5 * confidence;
    Ok(found
        .into_iter()
        .map(|mut values| {
            values.sort_by(f64::total_cmp);
            Interval {
                low: quantile(&values, tail),
                high: quantile(&values, 1.0 - tail),
            }
        })
        .collect())
}
