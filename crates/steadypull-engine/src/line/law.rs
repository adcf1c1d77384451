//! The path law of one line: loading along its table, unloading below it.
//!
//! - Loading past the greatest strain seen follows the table `T(e)`.
//! - Below the greatest strain `e_max`, both ways:
//!   `T_max ((e − e_r)/(e_max − e_r))^p`, with `e_r = r e_max` (the set) and `p`
//!   chosen so that the energy given back is `rho` times the energy taken.
//! - No compression. The law follows the path, never the sign of the strain
//!   rate, so it cannot chatter and creates no energy.
//!
//! Strains are dimensionless, tensions newtons, energies joules per metre of
//! rest length. Source: design note of this project; closed forms CV-UNL-01.

use super::{Condition, Curve, CurveError, Material};
use crate::units::{Force, Length};

/// The path law of one line in its present condition.
#[derive(Debug, Clone, PartialEq)]
pub struct Law {
    curve: Curve,
    scale_n: f64,
    breaking_n: f64,
}

/// The branch followed below the greatest strain seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unloading {
    /// Greatest strain seen.
    pub strain_max: f64,
    /// Tension there, N.
    pub tension_max_n: f64,
    /// Strain at which the line hangs slack.
    pub strain_slack: f64,
    /// Exponent of the branch.
    pub exponent: f64,
}

impl Law {
    /// The law of a line with this curve, new strength and condition.
    ///
    /// A wet or worn line keeps its tension scale and loses stretch, so it is
    /// stiffer at every load, and parts at its reduced strength.
    pub fn new(curve: &Curve, mbs: Force, condition: &Condition, material: Material) -> Self {
        Self {
            curve: curve.with_strain_scaled(condition.stretch_factor(material)),
            scale_n: mbs.get(),
            breaking_n: mbs.get() * condition.strength_factor(material),
        }
    }

    /// A straight, lossless line of stiffness `ea` (N per unit strain) parting at `mbs`.
    pub fn linear_elastic(ea: Force, mbs: Force) -> Result<Self, CurveError> {
        Ok(Self {
            curve: Curve::linear(mbs / ea, 1.0, 0.0)?,
            scale_n: mbs.get(),
            breaking_n: mbs.get(),
        })
    }

    /// Lines joined end to end as one line of their summed rest length.
    ///
    /// At each tension the strains add in proportion to length; energy return
    /// and set are averaged by the energy each line holds at the strength of
    /// the weakest.
    pub fn in_series(lines: &[(Self, Length)]) -> Result<Self, CurveError> {
        if let [(law, _)] = lines {
            return Ok(law.clone());
        }
        let total: f64 = lines.iter().map(|(_, l)| l.get()).sum();
        let weakest = lines
            .iter()
            .map(|(law, _)| law.breaking_n)
            .fold(f64::INFINITY, f64::min);
        if lines.is_empty() || !weakest.is_finite() {
            return Err(CurveError::TooFewPoints(0));
        }
        const POINTS: u32 = 48;
        let points: Vec<(f64, f64)> = (0..=POINTS)
            .map(|i| {
                let share = f64::from(i) / f64::from(POINTS);
                let strain: f64 = lines
                    .iter()
                    .map(|(law, l)| law.strain_at(share * weakest) * l.get() / total)
                    .sum();
                (strain, share)
            })
            .collect();
        let held: Vec<f64> = lines
            .iter()
            .map(|(law, l)| law.energy(law.strain_at(weakest)) * l.get())
            .collect();
        let sum: f64 = held.iter().sum();
        let average = |of: fn(&Curve) -> f64| -> f64 {
            lines
                .iter()
                .zip(&held)
                .map(|((law, _), e)| of(&law.curve) * e / sum)
                .sum()
        };
        let mut curve = Curve::new(
            &points,
            average(|c| c.energy_return).min(1.0),
            average(|c| c.set_fraction),
        )?;
        curve.rate = lines.iter().find_map(|(law, _)| law.curve.rate);
        Ok(Self {
            curve,
            scale_n: weakest,
            breaking_n: weakest,
        })
    }

    /// The same law with another energy return (an uncertain input).
    pub fn with_energy_return(&self, energy_return: f64) -> Self {
        let mut law = self.clone();
        law.curve.energy_return = energy_return.clamp(0.01, 1.0);
        law
    }

    /// The same law with its stiffness multiplied by `factor`.
    pub fn with_stiffness_scaled(&self, factor: f64) -> Self {
        Self {
            curve: self.curve.clone(),
            scale_n: self.scale_n * factor,
            breaking_n: self.breaking_n,
        }
    }

    /// The normalised curve in its present condition.
    pub fn curve(&self) -> &Curve {
        &self.curve
    }

    /// Tension at which the line parts, N.
    pub fn breaking_n(&self) -> f64 {
        self.breaking_n
    }

    /// Tension on first loading to `strain`, N.
    pub fn tension(&self, strain: f64) -> f64 {
        self.scale_n * self.curve.share_at(strain)
    }

    /// The cubic piece of first loading that holds `strain`: its ends, and the
    /// tension's coefficients of powers of (strain − its start), N.
    pub(crate) fn piece_at(&self, strain: f64) -> Option<(f64, f64, [f64; 4])> {
        let (from, to, cubic) = self.curve.piece_at(strain)?;
        Some((from, to, cubic.map(|c| c * self.scale_n)))
    }

    /// Slope of the first loading, N per unit strain.
    pub fn slope(&self, strain: f64) -> f64 {
        self.scale_n * self.curve.slope_at(strain)
    }

    /// Energy taken on first loading to `strain`, J per metre of rest length.
    pub fn energy(&self, strain: f64) -> f64 {
        self.scale_n * self.curve.energy_at(strain)
    }

    /// Strain of first loading at `tension_n`.
    pub fn strain_at(&self, tension_n: f64) -> f64 {
        self.curve.strain_for_share(tension_n / self.scale_n)
    }

    /// The branch followed after a greatest strain of `strain_max`.
    pub fn unloading(&self, strain_max: f64) -> Unloading {
        let tension_max_n = self.tension(strain_max);
        if strain_max <= 0.0 || tension_max_n <= 0.0 {
            return Unloading {
                strain_max: 0.0,
                tension_max_n: 0.0,
                strain_slack: 0.0,
                exponent: 1.0,
            };
        }
        let back = self.curve.energy_return * self.energy(strain_max);
        // An exponent under 1 would start with an endless stiffness: the set
        // gives way first, so that the energy given back stays exact.
        let widest = 2.0 * back / tension_max_n;
        let strain_slack = (self.curve.set_fraction * strain_max)
            .min(strain_max - widest)
            .max(0.0);
        let exponent = tension_max_n * (strain_max - strain_slack) / back - 1.0;
        Unloading {
            strain_max,
            tension_max_n,
            strain_slack,
            exponent,
        }
    }
}

impl Unloading {
    /// Tension at `strain`, N; nothing while slack.
    pub fn tension(&self, strain: f64) -> f64 {
        let u = self.share(strain);
        if u <= 0.0 {
            0.0
        } else {
            self.tension_max_n * libm::pow(u, self.exponent)
        }
    }

    /// The same as [`Self::tension`] but for the last bits, at half the cost: for
    /// inner loops.
    pub(crate) fn tension_in_a_loop(&self, strain: f64) -> f64 {
        let u = self.share(strain);
        if u <= 0.0 {
            0.0
        } else {
            self.tension_max_n * libm::exp(self.exponent * libm::log(u))
        }
    }

    /// Greatest slope, at the top, N per unit strain: the exponent is never under 1.
    pub(crate) fn slope_max(&self) -> f64 {
        self.tension_max_n * self.exponent / (self.strain_max - self.strain_slack).max(1e-9)
    }

    /// Energy still to be given back at `strain`, J per metre of rest length.
    pub fn energy(&self, strain: f64) -> f64 {
        let u = self.share(strain);
        if u <= 0.0 {
            return 0.0;
        }
        let width = self.strain_max - self.strain_slack;
        self.tension_max_n * width / (self.exponent + 1.0) * libm::pow(u, self.exponent + 1.0)
    }

    fn share(&self, strain: f64) -> f64 {
        let width = self.strain_max - self.strain_slack;
        if width <= 0.0 {
            0.0
        } else {
            ((strain - self.strain_slack) / width).min(1.0)
        }
    }
}

/// A line on its path: its law and the greatest strain it has seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    law: Law,
    unloading: Unloading,
}

impl Path {
    /// A line that has seen `strain_seen` and not recovered.
    pub fn new(law: Law, strain_seen: f64) -> Self {
        let unloading = law.unloading(strain_seen);
        Self { law, unloading }
    }

    /// Tension at `strain`, N.
    pub fn tension(&self, strain: f64) -> f64 {
        if strain > self.unloading.strain_max {
            self.law.tension(strain)
        } else {
            self.unloading.tension(strain)
        }
    }

    /// The branch followed below the greatest strain seen.
    pub(crate) fn unloading(&self) -> &Unloading {
        &self.unloading
    }

    /// Energy that would come back from `strain`, J per metre.
    pub fn recoverable(&self, strain: f64) -> f64 {
        if strain > self.unloading.strain_max {
            self.law.curve.energy_return * self.law.energy(strain)
        } else {
            self.unloading.energy(strain)
        }
    }

    /// Remembers `strain` if it is the greatest so far.
    pub fn remember(&mut self, strain: f64) {
        if strain > self.unloading.strain_max {
            self.unloading = self.law.unloading(strain);
        }
    }

    /// Greatest strain seen.
    pub fn strain_max(&self) -> f64 {
        self.unloading.strain_max
    }

    /// Strain at which it hangs slack now.
    pub fn strain_slack(&self) -> f64 {
        self.unloading.strain_slack
    }

    /// The law it follows.
    pub fn law(&self) -> &Law {
        &self.law
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nylon() -> Law {
        let curve = Material::NylonWebbing.curve().unwrap();
        Law::new(
            &curve,
            Force::from_tf(9.0),
            &Condition::default(),
            Material::NylonWebbing,
        )
    }

    #[test]
    fn closed_form_energy_given_back() {
        let law = nylon();
        for strain in [0.02, 0.09, 0.18] {
            let branch = law.unloading(strain);
            let ratio = branch.energy(strain) / law.energy(strain);
            assert!((ratio - 0.7).abs() < 1e-12, "{ratio}");
            assert!((branch.tension(strain) - law.tension(strain)).abs() < 1e-6);
            for share in [1e-6, 0.3, 0.9, 1.0] {
                let (exact, quick) = (
                    branch.tension(share * strain),
                    branch.tension_in_a_loop(share * strain),
                );
                assert!((quick - exact).abs() <= 1e-14 * exact);
            }
        }
    }

    #[test]
    fn lossless_line_unloads_as_it_loaded() {
        let law = Law::linear_elastic(Force::new(450e3), Force::new(90e3)).unwrap();
        let branch = law.unloading(0.1);
        assert!((branch.exponent - 1.0).abs() < 1e-9);
        assert!((branch.tension(0.05) - law.tension(0.05)).abs() < 1e-6);
    }

    #[test]
    fn two_equal_halves_are_one_line() {
        let law = nylon();
        let half = Length::new(4.5);
        let pair = Law::in_series(&[(law.clone(), half), (law.clone(), half)]).unwrap();
        assert!((pair.tension(0.1) - law.tension(0.1)).abs() < 1e-6 * law.tension(0.1));
        assert!((pair.energy(0.1) - law.energy(0.1)).abs() < 1e-6 * law.energy(0.1));
    }

    #[test]
    fn wet_and_worn_stretch_less_and_part_sooner() {
        let curve = Material::NylonWebbing.curve().unwrap();
        let mbs = Force::from_tf(9.0);
        let with = |wet, wear| {
            let condition = Condition {
                wet,
                wear,
                ..Condition::default()
            };
            Law::new(&curve, mbs, &condition, Material::NylonWebbing)
        };
        let (new, wet, worn) = (with(false, 0.0), with(true, 0.0), with(false, 1.0));
        let half = 0.5 * mbs.get();
        assert!(wet.strain_at(half) < new.strain_at(half));
        assert!(worn.strain_at(half) < 0.05, "TF-03");
        assert!(wet.breaking_n() < new.breaking_n() && worn.breaking_n() < wet.breaking_n());
    }
}
