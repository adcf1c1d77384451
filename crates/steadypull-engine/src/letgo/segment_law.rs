//! The unloading branch of a line as the inner loops want it.
//!
//! What it answers: tension, slope and stored energy of a segment at a strain.
//! Between the slack strain `e_s` and the greatest strain `e_m` the branch is
//! `T = T_m s^p`, `s = (e − e_s)/(e_m − e_s)`; below `e_s` there is no tension, above
//! `e_m` the power goes on. Its slope is `p T_m s^(p−1)/(e_m − e_s)`, its energy
//! `T (e − e_s)/(p + 1)`: one power a segment gives all three. The energy is the exact
//! integral of the tension, so an energy audit judges the law that is really simulated.
//!
//! - `T` tension, N; `e` strain; energy in J per metre of rest length
//!
//! Range: `p ≥ 1` (less would start with an endless stiffness).
//! Source: design note of this project; closed form CV-UNL-01.

use super::power::power;
use crate::line::Unloading;

/// The unloading branch of one line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SegmentLaw {
    /// Strain at which it goes slack.
    pub slack_strain: f64,
    /// One over the width of the branch.
    pub inv_width: f64,
    /// Tension at the moment of parting, N.
    pub most_n: f64,
    /// Steepest slope, N per unit strain.
    pub steepest_n: f64,
    /// Exponent less 1; 0 for a straight branch.
    pub above_one: f64,
    /// Strain at the moment of parting.
    pub max_strain: f64,
}

impl SegmentLaw {
    /// A line that never pulls.
    pub const NONE: Self = Self {
        slack_strain: 1e30,
        inv_width: 0.0,
        most_n: 0.0,
        steepest_n: 0.0,
        above_one: 0.0,
        max_strain: 0.0,
    };

    /// The law of `unloading`.
    pub fn new(unloading: &Unloading) -> Self {
        let inv_width = 1.0 / (unloading.strain_max - unloading.strain_slack);
        Self {
            slack_strain: unloading.strain_slack,
            inv_width,
            most_n: unloading.tension_max_n,
            steepest_n: unloading.exponent * unloading.tension_max_n * inv_width,
            above_one: unloading.exponent - 1.0,
            max_strain: unloading.strain_max,
        }
    }

    /// Tension at `beyond` more than the slack strain, N.
    pub fn tension_beyond_n(&self, beyond: f64) -> f64 {
        if beyond > 0.0 {
            let share = beyond * self.inv_width;
            let bend = if self.above_one == 0.0 {
                1.0
            } else {
                power(share, self.above_one)
            };
            self.most_n * share * bend
        } else {
            0.0
        }
    }

    /// Energy stored at `beyond` more than the slack strain, J per metre of rest length.
    pub fn energy_beyond_j_m(&self, beyond: f64) -> f64 {
        if beyond > 0.0 {
            self.tension_beyond_n(beyond) * beyond / (self.above_one + 2.0)
        } else {
            0.0
        }
    }

    /// Energy stored at `strain`, J per metre of rest length.
    pub fn energy_j_m(&self, strain: f64) -> f64 {
        self.energy_beyond_j_m(strain - self.slack_strain)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn branch(exponent: f64) -> Unloading {
        Unloading {
            strain_max: 0.18,
            tension_max_n: 88e3,
            strain_slack: 0.018,
            exponent,
        }
    }

    #[test]
    fn closed_form_law_follows_the_branch() {
        for p in [1.0, 1.5, 2.0, 3.0] {
            let law = SegmentLaw::new(&branch(p));
            for strain in [0.01, 0.02, 0.07, 0.123, 0.18] {
                let exact = branch(p).tension(strain);
                assert!((law.tension_beyond_n(strain - 0.018) - exact).abs() < 1e-10 * 88e3);
            }
            let whole = 88e3 * 0.162 / (p + 1.0);
            let error = law.energy_j_m(0.18) / whole - 1.0;
            assert!(error.abs() < 1e-12, "CV-UNL-01: {error}");
        }
    }

    #[test]
    fn energy_is_the_integral_of_the_tension_even_past_parting() {
        let law = SegmentLaw::new(&branch(1.6));
        let h = 1e-6;
        for strain in [0.03, 0.1, 0.179, 0.2] {
            let slope = (law.energy_j_m(strain + h) - law.energy_j_m(strain - h)) / (2.0 * h);
            let tension = law.tension_beyond_n(strain - 0.018);
            assert!((slope - tension).abs() < 1e-6 * tension);
        }
    }
}
