//! The path law of the line and the break-out term, cheap to evaluate near a state.
//!
//! A step asks for the tension half a dozen times within a few percent of where it
//! began. So what is costly is worked out once a step, at an anchor, and carried from
//! there by short series, exact to the rounding within their reach and left for the
//! full law outside it:
//!
//! ```text
//! loading   the cubic piece of the curve that the strain lies in
//! below     u^p = u₀^p (1 + δ)^p = u₀^p Σ C(p, k) δᵏ      |δ| ≤ 0.1
//! break-out exp(−x/d) = exp(−x₀/d) Σ (−ε)ᵏ/k!           |ε| ≤ 0.1
//! ```
//!
//! Twelve terms each: the first one left out is below 1e-13 of the value for exponents up to 6 (a line
//! that gives back a quarter of what it takes); higher ones use the full law.

use crate::line::{Law, Unloading};

/// How far from its anchor a series reaches.
const REACH: f64 = 0.1;
/// Greatest exponent for which the binomial series is good to rounding.
const EXPONENT_MOST: f64 = 6.0;
/// Terms of a series.
const TERMS: usize = 12;

/// The cubic piece of first loading in use.
#[derive(Debug, Clone, Copy)]
pub(super) struct Loading {
    from: f64,
    to: f64,
    /// Coefficients of powers of `strain − from`, N.
    cubic: [f64; 4],
}

impl Loading {
    /// No piece yet.
    pub(super) const NONE: Self = Self {
        from: 0.0,
        to: 0.0,
        cubic: [0.0; 4],
    };

    /// Goes to the piece that holds `strain`.
    pub(super) fn anchor(&mut self, law: &Law, strain: f64) {
        let inside = self.from <= strain && strain < self.to;
        if !inside && let Some((from, to, cubic)) = law.piece_at(strain) {
            *self = Self { from, to, cubic };
        }
    }

    /// Tension, N.
    pub(super) fn tension(&self, law: &Law, strain: f64) -> f64 {
        if self.from <= strain && strain < self.to {
            let s = strain - self.from;
            let [a, b, c, d] = self.cubic;
            a + s * (b + s * (c + s * d))
        } else {
            law.tension(strain)
        }
    }
}

/// The branch below the greatest strain seen, about an anchor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Below {
    branch: Unloading,
    per_width: f64,
    binomial: [f64; TERMS],
    /// Share of the branch at the anchor, one over it, and the tension there.
    share: f64,
    per_share: f64,
    tension_n: f64,
}

impl Below {
    pub(super) fn new(branch: &Unloading) -> Self {
        let width = branch.strain_max - branch.strain_slack;
        let mut binomial = [1.0; TERMS];
        for k in 1..TERMS {
            let n = k as f64;
            binomial[k] = binomial[k - 1] * (branch.exponent - n + 1.0) / n;
        }
        let mut below = Self {
            branch: *branch,
            per_width: if width > 0.0 { 1.0 / width } else { 0.0 },
            binomial,
            share: 0.0,
            per_share: 0.0,
            tension_n: 0.0,
        };
        below.place(1.0, branch.tension_max_n);
        below
    }

    /// Moves the anchor to `strain`.
    pub(super) fn anchor(&mut self, strain: f64) {
        let tension = self.tension(strain);
        self.place(self.share_at(strain), tension);
    }

    fn place(&mut self, share: f64, tension_n: f64) {
        let near = share > 1e-3 && self.branch.exponent <= EXPONENT_MOST;
        self.share = share;
        // Out of reach of everything where the series is no good.
        self.per_share = if near { 1.0 / share } else { f64::INFINITY };
        self.tension_n = tension_n;
    }

    /// Tension, N.
    #[inline]
    pub(super) fn tension(&self, strain: f64) -> f64 {
        let share = self.share_at(strain);
        if share <= 0.0 {
            return 0.0;
        }
        let away = (share - self.share) * self.per_share;
        // Not a number, where both are nothing and endless, is out of reach too.
        if away.abs() <= REACH {
            self.tension_n * series(&self.binomial, away)
        } else {
            self.branch.tension_in_a_loop(strain)
        }
    }

    fn share_at(&self, strain: f64) -> f64 {
        ((strain - self.branch.strain_slack) * self.per_width).min(1.0)
    }
}

/// exp(−x/d) about an anchor.
#[derive(Debug, Clone, Copy)]
pub(super) struct DyingAway {
    per_length: f64,
    at: f64,
    value: f64,
}

impl DyingAway {
    /// Over the distance `length_m`, anchored at no movement.
    pub(super) fn new(length_m: f64) -> Self {
        Self {
            per_length: 1.0 / length_m,
            at: 0.0,
            value: 1.0,
        }
    }

    /// Moves the anchor to `x`.
    pub(super) fn anchor(&mut self, x: f64) {
        self.value = self.share(x);
        self.at = x;
    }

    /// Share left at `x`.
    pub(super) fn share(&self, x: f64) -> f64 {
        let away = (self.at - x) * self.per_length;
        if away.abs() <= REACH {
            self.value * series(&INVERSE_FACTORIALS, away)
        } else {
            libm::exp(-x * self.per_length)
        }
    }
}

/// Σ c xᵏ, by halves so that the processor need not wait for one sum after another.
#[inline(always)]
fn series(c: &[f64; TERMS], x: f64) -> f64 {
    let x2 = x * x;
    let four = |k: usize| (c[k] + c[k + 1] * x) + (c[k + 2] + c[k + 3] * x) * x2;
    let x4 = x2 * x2;
    four(0) + (four(4) + four(8) * x4) * x4
}

/// 1/k!
const INVERSE_FACTORIALS: [f64; TERMS] = [
    1.0,
    1.0,
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Condition, Material};
    use crate::units::Force;

    fn law(energy_return: f64) -> Law {
        let material = Material::NylonWebbing;
        let curve = material.curve().unwrap();
        let condition = Condition::default();
        Law::new(&curve, Force::from_tf(9.0), &condition, material)
            .with_energy_return(energy_return)
    }

    #[test]
    fn walks_along_the_law_without_drift() {
        for energy_return in [0.2, 0.4, 0.7, 1.0] {
            let law = law(energy_return);
            let branch = law.unloading(0.15);
            let mut below = Below::new(&branch);
            let mut loading = Loading::NONE;
            for i in 0..400 {
                let strain = 0.15 * (1.0 - f64::from(i) / 399.0);
                for near in [strain, 0.99 * strain, 1.02 * strain] {
                    let (got, want) = (below.tension(near), branch.tension(near));
                    assert!((got - want).abs() <= 2e-12 * want, "{near} {got} {want}");
                    let (got, want) = (loading.tension(&law, near), law.tension(near));
                    assert!((got - want).abs() <= 1e-9, "{near} {got} {want}");
                }
                below.anchor(strain);
                loading.anchor(&law, strain);
            }
        }
    }

    #[test]
    fn dies_away_without_drift() {
        let mut away = DyingAway::new(0.3);
        for i in 0..200 {
            let x = 0.01 * f64::from(i);
            let want = libm::exp(-(x + 0.02) / 0.3);
            assert!((away.share(x + 0.02) - want).abs() < 1e-13 * want);
            away.anchor(x);
        }
    }

    #[test]
    fn a_line_that_has_seen_nothing_carries_nothing() {
        let below = Below::new(&law(0.7).unloading(0.0));
        assert_eq!(below.tension(0.0), 0.0);
        assert_eq!(below.tension(-0.1), 0.0);
    }
}
