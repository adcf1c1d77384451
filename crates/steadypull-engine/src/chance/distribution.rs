//! One uncertain input: what it may be, and how likely.
//!
//! A value is drawn by its quantile: level `p`, from a [`super::Sampler`], goes
//! through [`Distribution::quantile`], one level to one value, rising. Bounds are
//! met the same way, by a squeeze of the level and not by drawing again, so that
//! a bounded input keeps the evenness of the sample:
//!
//! ```text
//! x(p) = F⁻¹( F(low) + p (F(high) − F(low)) )
//! ```
//!
//! Shapes and moments are closed forms (Johnson, Kotz, Balakrishnan, Continuous
//! Univariate Distributions, 2nd ed., vol. 1 ch. 10, 13, 14, from memory; each is
//! tested against quadrature and scipy 1.17.1).

use thiserror::Error;

use super::log_normal::LogNormal;
use super::normal::{normal_cdf, normal_quantile};
use super::window::Window;

/// An uncertain input, in the unit of the quantity it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Distribution {
    /// Known.
    Fixed(f64),
    /// Anywhere between two bounds, none likelier than another.
    Uniform {
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
    },
    /// Between two bounds with one likeliest value.
    Triangular {
        /// Least value.
        low: f64,
        /// Likeliest value.
        likely: f64,
        /// Greatest value.
        high: f64,
    },
    /// Bell curve without bounds.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// Bell curve of the logarithm.
    LogNormal(LogNormal),
    /// The part of a bell curve between two bounds; see [`Distribution::within`].
    NormalWithin {
        /// Mean of the whole curve.
        mean: f64,
        /// Standard deviation of the whole curve.
        sd: f64,
        /// Least value; may be −∞.
        low: f64,
        /// Greatest value; may be ∞.
        high: f64,
    },
    /// The part of a log-normal between two bounds; see [`Distribution::within`].
    LogNormalWithin {
        /// The whole curve.
        whole: LogNormal,
        /// Least value, from nothing.
        low: f64,
        /// Greatest value; may be ∞.
        high: f64,
    },
}

/// Why a distribution cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DistributionError {
    /// A value is not a finite number.
    #[error("the {0} is not a finite number")]
    NotFinite(&'static str),
    /// Bounds the wrong way round, or equal.
    #[error(
        "the low value {low} must be below the high value {high}; give one value if it is known"
    )]
    Order {
        /// The low bound given.
        low: f64,
        /// The high bound given.
        high: f64,
    },
    /// The likeliest value is outside its bounds.
    #[error("the likely value {likely} must lie between {low} and {high}")]
    Likely {
        /// The likeliest value given.
        likely: f64,
        /// The low bound.
        low: f64,
        /// The high bound.
        high: f64,
    },
    /// A spread of nothing, or less.
    #[error("the {what} must be more than nothing, got {value}; give one value if it is known")]
    NotPositive {
        /// Which one.
        what: &'static str,
        /// What it was.
        value: f64,
    },
    /// The values reach past what the quantity can be.
    #[error("values from {least} to {greatest} reach outside what is possible, {low} to {high}")]
    Outside {
        /// Least value of the distribution.
        least: f64,
        /// Greatest value of the distribution.
        greatest: f64,
        /// Least possible.
        low: f64,
        /// Greatest possible.
        high: f64,
    },
    /// Next to nothing of a bell curve lies inside the bounds.
    #[error(
        "less than one in a million of the values lies between {low} and {high}; check the middle value and the spread"
    )]
    NothingWithin {
        /// Least possible.
        low: f64,
        /// Greatest possible.
        high: f64,
    },
}

/// Least share of a bell curve that must lie inside its bounds. A bound that cuts
/// off more is a slip of the pen, not knowledge of the quantity.
const LEAST_SHARE_WITHIN: f64 = 1e-6;

impl Distribution {
    /// The same with nothing outside `low` to `high` (infinite where there is no
    /// bound). A bell curve keeps its form between the bounds; a distribution that
    /// has bounds of its own must lie inside, since whoever gave them meant them.
    pub fn within(self, low: f64, high: f64) -> Result<Self, DistributionError> {
        self.check()?;
        let (least, greatest) = self.bounds();
        if least >= low && greatest <= high {
            return Ok(self);
        }
        let bounded = match self {
            Self::Normal { mean, sd } => Self::NormalWithin {
                mean,
                sd,
                low,
                high,
            },
            Self::LogNormal(whole) => Self::LogNormalWithin {
                whole,
                low: low.max(0.0),
                high,
            },
            _ => {
                return Err(DistributionError::Outside {
                    least,
                    greatest,
                    low,
                    high,
                });
            }
        };
        bounded.check()?;
        Ok(bounded)
    }

    /// Whether the numbers make a distribution.
    pub fn check(&self) -> Result<(), DistributionError> {
        match *self {
            Self::Fixed(value) => finite("value", value),
            Self::Uniform { low, high } => rising(low, high),
            Self::Triangular { low, likely, high } => {
                rising(low, high)?;
                finite("likely value", likely)?;
                if likely < low || likely > high {
                    return Err(DistributionError::Likely { likely, low, high });
                }
                Ok(())
            }
            Self::Normal { mean, sd } => {
                finite("mean", mean)?;
                positive("standard deviation", sd)
            }
            Self::LogNormal(whole) => {
                positive("median", whole.median)?;
                positive("spread", whole.spread)
            }
            Self::NormalWithin {
                mean,
                sd,
                low,
                high,
            } => {
                Self::Normal { mean, sd }.check()?;
                holds_enough(self.window(), low, high)
            }
            Self::LogNormalWithin { whole, low, high } => {
                Self::LogNormal(whole).check()?;
                holds_enough(self.window(), low, high)
            }
        }
    }

    /// Least and greatest value, infinite where there is no bound.
    pub fn bounds(&self) -> (f64, f64) {
        match *self {
            Self::Fixed(value) => (value, value),
            Self::Uniform { low, high }
            | Self::Triangular { low, high, .. }
            | Self::NormalWithin { low, high, .. }
            | Self::LogNormalWithin { low, high, .. } => (low, high),
            Self::Normal { .. } => (f64::NEG_INFINITY, f64::INFINITY),
            Self::LogNormal(_) => (0.0, f64::INFINITY),
        }
    }

    /// The value not passed with probability `p`; `p` outside 0 to 1 counts as the
    /// nearer end.
    pub fn quantile(&self, p: f64) -> f64 {
        let p = p.clamp(0.0, 1.0);
        match *self {
            Self::Fixed(value) => value,
            // Weighted so that both ends are met to the bit.
            Self::Uniform { low, high } => low * (1.0 - p) + high * p,
            Self::Triangular { low, likely, high } => triangular_quantile(low, likely, high, p),
            Self::Normal { mean, sd } => mean + sd * normal_quantile(p),
            Self::LogNormal(whole) => whole.quantile(p),
            Self::NormalWithin {
                mean,
                sd,
                low,
                high,
            } => (mean + sd * self.window().quantile(p)).clamp(low, high),
            Self::LogNormalWithin { whole, low, high } => {
                let z = self.window().quantile(p);
                (whole.median * libm::exp(whole.spread * z)).clamp(low, high)
            }
        }
    }

    /// Probability of a value at or below `x`.
    pub fn probability_below(&self, x: f64) -> f64 {
        let (low, high) = self.bounds();
        if x >= high {
            return 1.0;
        }
        if x < low {
            return 0.0;
        }
        match *self {
            Self::Fixed(_) => 1.0,
            Self::Uniform { low, high } => (x - low) / (high - low),
            Self::Triangular { low, likely, high } => triangular_below(low, likely, high, x),
            Self::Normal { mean, sd } => normal_cdf((x - mean) / sd),
            Self::LogNormal(whole) => whole.probability_below(x),
            Self::NormalWithin { mean, sd, .. } => self.window().share_below((x - mean) / sd),
            Self::LogNormalWithin { whole, .. } => {
                let z = libm::log(x / whole.median) / whole.spread;
                self.window().share_below(z)
            }
        }
    }

    /// The value passed and not passed equally often.
    pub fn median(&self) -> f64 {
        self.quantile(0.5)
    }

    /// Mean.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Fixed(value) => value,
            Self::Uniform { low, high } => 0.5 * low + 0.5 * high,
            Self::Triangular { low, likely, high } => (low + likely + high) / 3.0,
            Self::Normal { mean, .. } => mean,
            Self::LogNormal(whole) => whole.mean(),
            Self::NormalWithin { mean, sd, .. } => mean + sd * self.window().mean(),
            Self::LogNormalWithin { whole, .. } => {
                whole.mean() * self.window().shifted_share(whole.spread)
            }
        }
    }

    /// Standard deviation.
    pub fn sd(&self) -> f64 {
        match *self {
            Self::Fixed(_) => 0.0,
            Self::Uniform { low, high } => (high - low) / 12f64.sqrt(),
            Self::Triangular { low, likely, high } => {
                let (a, b) = (likely - low, high - likely);
                ((a * a + a * b + b * b) / 18.0).sqrt()
            }
            Self::Normal { sd, .. } => sd,
            Self::LogNormal(whole) => whole.sd(),
            Self::NormalWithin { sd, .. } => sd * self.window().variance().sqrt(),
            Self::LogNormalWithin { whole, .. } => {
                let s2 = whole.spread * whole.spread;
                let first = self.window().shifted_share(whole.spread);
                let second = self.window().shifted_share(2.0 * whole.spread);
                let square = libm::exp(s2) * second - first * first;
                whole.mean() * square.max(0.0).sqrt()
            }
        }
    }

    /// The bounds in standard deviations from the middle of the bell curve.
    fn window(&self) -> Window {
        match *self {
            Self::NormalWithin {
                mean,
                sd,
                low,
                high,
            } => Window::new((low - mean) / sd, (high - mean) / sd),
            Self::LogNormalWithin { whole, low, high } => {
                let z = |x: f64| libm::log(x / whole.median) / whole.spread;
                Window::new(z(low), z(high))
            }
            _ => Window::new(f64::NEG_INFINITY, f64::INFINITY),
        }
    }
}

fn triangular_quantile(low: f64, likely: f64, high: f64, p: f64) -> f64 {
    let width = high - low;
    let rise = likely - low;
    if p * width < rise {
        low + (p * width * rise).sqrt()
    } else {
        high - ((1.0 - p) * width * (high - likely)).sqrt()
    }
}

fn triangular_below(low: f64, likely: f64, high: f64, x: f64) -> f64 {
    let width = high - low;
    if x < likely {
        (x - low) * (x - low) / (width * (likely - low))
    } else {
        1.0 - (high - x) * (high - x) / (width * (high - likely))
    }
}

fn finite(what: &'static str, value: f64) -> Result<(), DistributionError> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(DistributionError::NotFinite(what))
    }
}

fn positive(what: &'static str, value: f64) -> Result<(), DistributionError> {
    finite(what, value)?;
    if value > 0.0 {
        Ok(())
    } else {
        Err(DistributionError::NotPositive { what, value })
    }
}

fn rising(low: f64, high: f64) -> Result<(), DistributionError> {
    finite("low value", low)?;
    finite("high value", high)?;
    if low < high {
        Ok(())
    } else {
        Err(DistributionError::Order { low, high })
    }
}

fn holds_enough(window: Window, low: f64, high: f64) -> Result<(), DistributionError> {
    if low.is_nan() {
        return Err(DistributionError::NotFinite("low bound"));
    }
    if high.is_nan() {
        return Err(DistributionError::NotFinite("high bound"));
    }
    if low >= high {
        return Err(DistributionError::Order { low, high });
    }
    if window.share() < LEAST_SHARE_WITHIN {
        return Err(DistributionError::NothingWithin { low, high });
    }
    Ok(())
}

#[cfg(test)]
#[path = "distribution_tests.rs"]
mod tests;
