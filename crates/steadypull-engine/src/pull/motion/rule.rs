//! One step of the fifth-order rule of Dormand and Prince.

use super::{MAXWELL_N, Motion, State};

impl Motion<'_> {
    /// The state a step of `h` on, by the fifth-order rule of Dormand and Prince; its
    /// first stage is known from the step before.
    pub(super) fn stepped(&self, h: f64) -> State {
        // A line without a rate effect has nothing but its ends that moves.
        if self.path.law().curve().rate.is_some() {
            self.stepped_of::<{ MAXWELL_N + 1 }>(h)
        } else {
            self.stepped_of::<MAXWELL_N>(h)
        }
    }

    /// The same where the rates depend on the first `MOVING` quantities; the others are
    /// sums alone.
    #[inline(always)]
    fn stepped_of<const MOVING: usize>(&self, h: f64) -> State {
        let y = &self.state;
        let k1 = &self.now.rates;
        let rates = |y: State| self.now_at(&y).rates;
        let k2 = rates(along::<1, MOVING>(y, h, [k1], STAGE_2));
        let k3 = rates(along::<2, MOVING>(y, h, [k1, &k2], STAGE_3));
        let k4 = rates(along::<3, MOVING>(y, h, [k1, &k2, &k3], STAGE_4));
        let k5 = rates(along::<4, MOVING>(y, h, [k1, &k2, &k3, &k4], STAGE_5));
        let k6 = rates(along::<5, MOVING>(y, h, [k1, &k2, &k3, &k4, &k5], STAGE_6));
        along::<5, 8>(y, h, [k1, &k3, &k4, &k5, &k6], STEP)
    }
}

/// `y + h Σ weight × rates` of the first `PARTS` quantities.
#[inline(always)]
fn along<const N: usize, const PARTS: usize>(
    y: &State,
    h: f64,
    rates: [&State; N],
    weights: [f64; N],
) -> State {
    let mut out = *y;
    for i in 0..PARTS {
        let mut sum = 0.0;
        for (k, weight) in rates.iter().zip(weights) {
            sum += weight * k[i];
        }
        out[i] += h * sum;
    }
    out
}

/// Weights of Dormand and Prince, J. Comput. Appl. Math. 6 (1980) 19–26, from memory
/// (they reproduce the published order, see the tests). The step leaves out stage 2.
const STAGE_2: [f64; 1] = [1.0 / 5.0];
const STAGE_3: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
const STAGE_4: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
const STAGE_5: [f64; 4] = [
    19_372.0 / 6561.0,
    -25_360.0 / 2187.0,
    64_448.0 / 6561.0,
    -212.0 / 729.0,
];
const STAGE_6: [f64; 5] = [
    9017.0 / 3168.0,
    -355.0 / 33.0,
    46_732.0 / 5247.0,
    49.0 / 176.0,
    -5103.0 / 18_656.0,
];
const STEP: [f64; 5] = [
    35.0 / 384.0,
    500.0 / 1113.0,
    125.0 / 192.0,
    -2187.0 / 6784.0,
    11.0 / 84.0,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The rule is of fifth order on plain integrals: Σ b cᵏ = 1/(k + 1) for k to 4,
    /// and Σ b a c = 1/6.
    #[test]
    fn closed_form_order_conditions() {
        let c = [
            0.0,
            STAGE_2.iter().sum::<f64>(),
            STAGE_3.iter().sum(),
            STAGE_4.iter().sum(),
            STAGE_5.iter().sum(),
            STAGE_6.iter().sum(),
        ];
        let b = [STEP[0], 0.0, STEP[1], STEP[2], STEP[3], STEP[4]];
        for k in 0..5 {
            let sum: f64 = b.iter().zip(c).map(|(b, c)| b * c.powi(k)).sum();
            assert!((sum - 1.0 / f64::from(k + 1)).abs() < 1e-14, "{k}");
        }
        let inner = |a: &[f64]| a.iter().zip(c).map(|(a, c)| a * c).sum::<f64>();
        let stages: [&[f64]; 6] = [&[], &STAGE_2, &STAGE_3, &STAGE_4, &STAGE_5, &STAGE_6];
        let sum: f64 = b.iter().zip(stages).map(|(b, a)| b * inner(a)).sum();
        assert!((sum - 1.0 / 6.0).abs() < 1e-14);
    }
}
