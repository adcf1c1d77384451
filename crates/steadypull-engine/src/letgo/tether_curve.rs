//! What a tether pulls at a stretch, and what it keeps of the work.
//!
//! - loading: `T = MBS (x/x_b)^p`, `x` the stretch, `x_b = e_b l` that at which it
//!   parts; work of loading `W = T x/(p + 1)`
//! - unloading from the greatest stretch `x_m` so far, and loading again up to it:
//!   `T_m (x/x_m)^q`, with `q = (p + 1)/ρ − 1` so that it gives back the share `ρ`
//!   of the work; the rest, `(1 − ρ) W(x_m)`, is heat
//!
//! Range: `p ≥ 1`. Assumes no set: it goes slack at its own length. The curve goes
//! on past `x_b` for a tether that is asked what it would have to hold.

use super::setup::TetherToLine;

/// Curve of one tether.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TetherCurve {
    pub mbs_n: f64,
    /// Stretch at which it parts, m.
    pub parts_at_m: f64,
    /// `MBS/x_b`, N/m.
    secant_n_m: f64,
    exponent: f64,
    energy_return: f64,
    unloading: f64,
}

impl TetherCurve {
    /// The curve of `tether`.
    pub fn new(tether: &TetherToLine) -> Self {
        let parts_at_m = tether.strain_at_break * tether.length.get();
        Self {
            mbs_n: tether.mbs.get(),
            parts_at_m,
            secant_n_m: tether.mbs.get() / parts_at_m,
            exponent: tether.exponent,
            energy_return: tether.energy_return,
            unloading: (tether.exponent + 1.0) / tether.energy_return - 1.0,
        }
    }

    /// Pull at stretch `x` when it has been stretched to `most`, N.
    pub fn pull_n(&self, x: f64, most: f64) -> f64 {
        if x <= 0.0 {
            0.0
        } else if x >= most || self.energy_return >= 1.0 {
            self.loading_n(x)
        } else {
            self.loading_n(most) * libm::pow(x / most, self.unloading)
        }
    }

    /// Work of loading to stretch `x`, J.
    pub fn work_j(&self, x: f64) -> f64 {
        if x > 0.0 {
            self.loading_n(x) * x / (self.exponent + 1.0)
        } else {
            0.0
        }
    }

    /// Work that it has taken up, kept and lost, at stretch `x` after `most`, J.
    pub fn taken_j(&self, x: f64, most: f64) -> f64 {
        if x >= most || self.energy_return >= 1.0 {
            self.work_j(x)
        } else {
            let back = self.pull_n(x, most) * x.max(0.0) / (self.unloading + 1.0);
            back + self.lost_j(most)
        }
    }

    /// Heat of hysteresis once it has been stretched to `most`, J.
    pub fn lost_j(&self, most: f64) -> f64 {
        (1.0 - self.energy_return) * self.work_j(most)
    }

    /// Steepest that it may be before it has been stretched half as far again as `most`, N/m.
    pub fn steepest_n_m(&self, most: f64) -> f64 {
        let reach = self.parts_at_m.max(1.5 * most);
        let steepest = if self.energy_return >= 1.0 {
            self.exponent
        } else {
            self.exponent.max(self.unloading)
        };
        if self.exponent == 1.0 {
            steepest * self.secant_n_m
        } else {
            steepest * self.loading_n(reach) / reach
        }
    }

    fn loading_n(&self, x: f64) -> f64 {
        if self.exponent == 1.0 {
            self.secant_n_m * x
        } else {
            self.mbs_n * libm::pow(x / self.parts_at_m, self.exponent)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Force, Length, Mass};

    fn curve(exponent: f64, energy_return: f64) -> TetherCurve {
        TetherCurve::new(&TetherToLine {
            exponent,
            energy_return,
            ..TetherToLine::new(Length::new(2.0), Force::new(40e3), 0.2, Mass::ZERO)
        })
    }

    #[test]
    fn closed_form_work_and_what_comes_back() {
        for (p, back) in [(1.0, 1.0), (1.0, 0.6), (1.7, 0.6), (3.0, 0.9)] {
            let c = curve(p, back);
            assert!((c.pull_n(0.4, 0.0) - 40e3).abs() < 1e-9);
            assert!((c.work_j(0.4) - 40e3 * 0.4 / (p + 1.0)).abs() < 1e-8);
            // The area under the way back, by the midpoint rule.
            let n = 20_000;
            let h = 0.3 / f64::from(n);
            let area: f64 = (0..n)
                .map(|i| c.pull_n((f64::from(i) + 0.5) * h, 0.3) * h)
                .sum();
            assert!(
                (area / (back * c.work_j(0.3)) - 1.0).abs() < 1e-5,
                "{p} {back}"
            );
            // No jump where loading and unloading meet, and none where it goes slack.
            assert!((c.taken_j(0.3 - 1e-9, 0.3) - c.work_j(0.3)).abs() < 1e-3);
            assert!((c.taken_j(0.0, 0.3) - c.lost_j(0.3)).abs() < 1e-9);
        }
    }
}
