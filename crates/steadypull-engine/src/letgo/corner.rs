//! Makes the tension of a step do the work it should.
//!
//! The leapfrog pulls with the tension at the middle of a step, while the strain
//! swept in it depends on the speeds after it. Where viscosity changes the speeds
//! much within a step, or a segment goes slack or taut, that loses or creates
//! energy. So after the kick the tension is brought to its mean over the swept
//! strain by a pair of impulses on the ends of the segment, which keeps momentum:
//!
//! - within the branch, `T(e) + T'(e)((ė₊ dt₊ − ė₋ dt₋)/4)`, the tension at the
//!   middle of the sweep;
//! - at a corner (slack to taut or back), `(W(e₊) − W(e₋))/(e₊ − e₋)`, with `W` the
//!   stored energy per metre.
//!
//! Two passes; what is left over shows in the energy audit.

use super::bodies::{dot, minus, plus};
use super::chain::Chain;

const PASSES: usize = 2;

/// A segment that goes slack or taut in this step, and the run it belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    pub segment: usize,
    pub run: usize,
}

impl Chain {
    /// Corrects the kick of `dt_s` before a drift of `drift_s`.
    pub(super) fn mend_work(&mut self, dt_s: f64, drift_s: f64) {
        if !self.taut {
            return;
        }
        let s = &mut self.segments;
        s.mean_n.copy_from_slice(&s.elastic_n);
        for _ in 0..PASSES {
            self.owe_within(dt_s, drift_s);
            self.owe_at_corners(dt_s, drift_s);
            self.pay();
        }
    }

    #[inline(never)]
    fn owe_within(&mut self, dt_s: f64, drift_s: f64) {
        let n = self.tip();
        let b = &self.bodies;
        let (vx, vy, vz) = (&b.vx[..=n], &b.vy[..=n], &b.vz[..=n]);
        let s = &mut self.segments;
        let (ux, uy, uz, rate) = (&s.ux[..n], &s.uy[..n], &s.uz[..n], &s.rate[..n]);
        let (inv_rest, slope, elastic) = (&s.inv_rest[..n], &s.slope_n[..n], &s.elastic_n[..n]);
        let (mean, owed) = (&mut s.mean_n[..n], &mut s.owed_n_s[..n]);
        let before_s = self.step_s;
        for i in 0..n {
            let after = ux[i] * (vx[i + 1] - vx[i])
                + uy[i] * (vy[i + 1] - vy[i])
                + uz[i] * (vz[i + 1] - vz[i]);
            let off = 0.25 * inv_rest[i] * (after * drift_s - rate[i] * before_s);
            let wanted = (elastic[i] + slope[i] * off).max(0.0);
            owed[i] = (wanted - mean[i]) * dt_s;
            mean[i] = wanted;
        }
    }

    fn owe_at_corners(&mut self, dt_s: f64, drift_s: f64) {
        for &Corner { segment: i, run } in &self.corners {
            let (s, b) = (&mut self.segments, &self.bodies);
            let u = [s.ux[i], s.uy[i], s.uz[i]];
            let after = dot(u, minus(b.velocity(i + 1), b.velocity(i)));
            let from = s.strain[i] - 0.5 * s.rate[i] * self.step_s * s.inv_rest[i];
            let to = s.strain[i] + 0.5 * after * drift_s * s.inv_rest[i];
            let law = &self.runs[run].law;
            let swept = to - from;
            let wanted = if swept.abs() > 1e-9 {
                (law.energy_j_m(to) - law.energy_j_m(from)) / swept
            } else {
                law.pull(s.strain[i]).tension_n
            };
            // The pass within the branch has set the mean back to the first guess.
            s.owed_n_s[i] += (wanted - s.mean_n[i]) * dt_s;
            s.mean_n[i] = wanted;
        }
    }

    #[inline(never)]
    fn pay(&mut self) {
        let n = self.tip();
        let s = &self.segments;
        let (ux, uy, uz, owed) = (&s.ux[..n], &s.uy[..n], &s.uz[..n], &s.owed_n_s[..n]);
        let b = &mut self.bodies;
        let (vx, vy, vz) = (&mut b.vx[..=n], &mut b.vy[..=n], &mut b.vz[..=n]);
        let inv = &b.inv_mass[..=n];
        for i in 0..n {
            let (near, far) = (owed[i] * inv[i], owed[i] * inv[i + 1]);
            vx[i] += near * ux[i];
            vy[i] += near * uy[i];
            vz[i] += near * uz[i];
            vx[i + 1] -= far * ux[i];
            vy[i + 1] -= far * uy[i];
            vz[i + 1] -= far * uz[i];
        }
        let first = [owed[0] * ux[0], owed[0] * uy[0], owed[0] * uz[0]];
        vx[0] += first[0] * self.holder.inv_mass;
        let freed = if self.holder.inv_mass > 0.0 { 0.0 } else { 1.0 };
        let resisted = [freed * first[0], first[1], first[2]];
        self.holder.impulse = plus(self.holder.impulse, 1.0, resisted);
    }
}
