//! The part of the standard normal between two bounds.
//!
//! With Φ the probability below and φ the density, bounds a < b and
//! Z = Φ(b) − Φ(a):
//!
//! ```text
//! z(p)     = Φ⁻¹(Φ(a) + p Z)
//! mean     = (φ(a) − φ(b))/Z
//! variance = 1 + (a φ(a) − b φ(b))/Z − mean²
//! ```
//!
//! Above the middle the same is worked out from the other tail, where doubles
//! have their digits: far bounds such as 8 to 9 stay exact.

use super::normal::{normal_cdf, normal_density, normal_quantile};

/// Bounds in standard deviations from the mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    low: f64,
    high: f64,
}

impl Window {
    pub(super) fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Share of the whole curve inside.
    pub(super) fn share(self) -> f64 {
        between(self.low, self.high)
    }

    /// Value below which a share `p` of the inside lies.
    pub(super) fn quantile(self, p: f64) -> f64 {
        let z = if self.low > 0.0 {
            let top = normal_cdf(-self.low);
            -normal_quantile(top - p * self.share())
        } else {
            normal_quantile(normal_cdf(self.low) + p * self.share())
        };
        z.clamp(self.low, self.high)
    }

    /// Share of the inside that lies at or below `z`.
    pub(super) fn share_below(self, z: f64) -> f64 {
        let z = z.clamp(self.low, self.high);
        between(self.low, z) / self.share()
    }

    /// Mean of the inside.
    pub(super) fn mean(self) -> f64 {
        (normal_density(self.low) - normal_density(self.high)) / self.share()
    }

    /// Variance of the inside.
    pub(super) fn variance(self) -> f64 {
        let edge = |z: f64| {
            if z.is_finite() {
                z * normal_density(z)
            } else {
                0.0
            }
        };
        let mean = self.mean();
        (1.0 + (edge(self.low) - edge(self.high)) / self.share() - mean * mean).max(0.0)
    }

    /// Share inside once both bounds move down by `by`, over the share inside:
    /// the factor of a bounded log-normal's moments.
    pub(super) fn shifted_share(self, by: f64) -> f64 {
        between(self.low - by, self.high - by) / self.share()
    }
}

/// Share of the standard normal between two values, from the tail that keeps digits.
fn between(low: f64, high: f64) -> f64 {
    if low > 0.0 {
        normal_cdf(-low) - normal_cdf(-high)
    } else {
        normal_cdf(high) - normal_cdf(low)
    }
}
