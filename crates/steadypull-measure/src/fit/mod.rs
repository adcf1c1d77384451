//! The planner's line model fitted to pulls, with intervals, residuals and a word on
//! whether the data can tell its parameters apart.
//!
//! - [`fit_line`]: the front door, from [`PullRecord`]s to a [`LineFit`] that a plan
//!   can use.
//! - [`least_squares`]: the fit of any model, ordinary or robust; [`profile`] its
//!   intervals.
//! - [`check_residuals`], [`Separation`]: whether to believe them.

mod bias;
mod jacobian;
mod least_squares;
mod line;
mod line_model;
mod loss;
mod problem;
mod profile;
mod residual_check;
mod separation;
mod settled;
mod stretch_noise;
mod weighing;

pub use least_squares::{Fitted, Residuals, least_squares};
pub use line::{Estimate, LineFit, MadeOf, Memory, Rules, fit_line};
pub use line_model::{LineModel, Parameter, PullRecord, RateTerm, Term};
pub use loss::Loss;
pub use problem::FitProblem;
pub use profile::profile;
pub use residual_check::{ResidualCheck, check_residuals};
pub use separation::{Separation, Told};
pub use stretch_noise::StretchNoise;
