//! Numbers read off a cleaned channel, each with its interval or the reason it has none.
//!
//! | reading | how | doubts taken in |
//! |---|---|---|
//! | peak as filtered | top of a bent curve through the highest samples | noise, zero, calibration, steps of values |
//! | peak | the same and what the filter took off (`filter_loss.rs`) | the same and the correction |
//! | rise time | from 10 to 90 % of the peak | noise over slope at both, peak, the filter's own rise |
//! | impulse | trapezoids from taut to end | noise, ends, zero, calibration |
//! | duration | taut to end | of both events |
//! | energy in, back | `∫ F dx` to the greatest stretch and back | noise of both, zero, calibration of both, clocks |
//! | hysteresis share | `1 − back/in` | the same; what is common to both cancels |
//! | dynamic stiffness | straight line through load over stretch, 20 to 80 % of the peak | as energy |
//! | oscillation | a decaying wave on a slow curve by least squares | what is left over |
//!
//! Noise is taken as without memory before the filter; a reading is, to small errors, a
//! weighted sum of samples, so its noise is known exactly (`linear.rs`). A cell's own
//! hysteresis, creep, side load, heat and mass in motion are in none of these intervals.

mod budget;
mod corner;
mod filter_loss;
mod oscillation;
mod peak;
mod shape;
mod stretch;

pub use budget::{CONFIDENCE, Reading, Spread, Term};
pub use oscillation::{Oscillation, oscillation};
pub use peak::{Peak, peak};
pub use shape::{Shape, impulse_between, shape};
pub use stretch::{Stretch, StretchError, stretch};

/// Why nothing is told of a load that the recorder could not follow.
pub(crate) const CLIPPED: &str =
    "the recorder was at the end of its range: the true value is larger, by how much is not known";
