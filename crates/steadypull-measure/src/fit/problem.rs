//! Why a fit gave no answer.

use thiserror::Error;

use crate::problem::Problem;
use steadypull_engine::line::CurveError;

/// Why a fit gave no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FitProblem {
    /// What it was given cannot be used.
    #[error(transparent)]
    Given(#[from] Problem),
    /// The model cannot be worked out at the start values.
    #[error("the model gives no number at its start values; start it nearer the data")]
    NoStart,
    /// The search did not settle.
    #[error("the fit did not settle; the data may not hold what the model asks of them")]
    NotSettled,
    /// The data say nothing at all of a parameter, or of a mix of some.
    #[error("the data cannot tell the parameters apart; fix one of them")]
    Singular,
    /// The curve found is not one that a line can have.
    #[error("the curve found is none that a line can have: {0}")]
    Curve(#[from] CurveError),
}
