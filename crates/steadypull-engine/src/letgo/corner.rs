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
//! Two passes; what is left over shows in the energy audit. Steps of one length
//! without viscosity need it at the corners alone: there the leapfrog neither loses
//! nor creates energy.

use super::chain::Chain;
use super::lanes::{Four, PACK, Way, flat, get, pack_by_pack};

const PASSES: usize = 2;
/// Sweeps from a corner within which a segment's work is summed exactly.
pub(super) const CORNER_MARGIN: f64 = 3.0;

/// A segment that goes slack or taut in this step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Corner {
    /// Its number in the lists of packs.
    pub at: usize,
    /// Tension whose work has been done so far in this step, N.
    pub mean_n: f64,
    /// Strain from which it comes, counted from slack.
    from: f64,
    /// Impulse owed, N·s.
    owed_n_s: f64,
}

impl<const W: usize> Chain<W> {
    /// Corrects the kick before the drift.
    #[inline(always)]
    pub(super) fn mend_work(&mut self) {
        let within = self.taut && (self.kind.viscous || self.kind.by_wave);
        self.find_corners();
        if !within && self.corners.is_empty() {
            return;
        }
        if within {
            let n = self.packs;
            let s = &mut self.segments;
            s.mean_n[..n].copy_from_slice(&s.elastic_n[..n]);
        }
        for _ in 0..PASSES {
            self.owe_at_corners();
            if within {
                self.mend_within();
            }
            self.pay_at_corners();
        }
    }

    /// One pass over what pulls: each node is paid as soon as both segments beside it
    /// are reckoned, from the speeds before the pass.
    #[inline(always)]
    fn mend_within(&mut self) {
        let t = self.timing;
        let n = self.packs + 1;
        let b = &mut self.bodies;
        let (mut v, inv) = (b.velocity.first_mut(n), &b.inv_mass[..n]);
        let s = &mut self.segments;
        let (us, rate) = (s.u.first(n), &s.rate[1..=n]);
        let (inv_rest, slope, elastic) = (&s.inv_rest[..n], &s.slope_n[..n], &s.elastic_n[..n]);
        let (mean, pulling) = (&mut s.mean_n[..n], &s.pulling[..n]);
        let mut last = Way::default();
        let mut at_held = Way::default();
        let mut paid = false;
        for p in 0..n {
            pack_by_pack();
            if !pulling[p] {
                if paid {
                    // The far end of the last segment before.
                    let pull = Way::default();
                    v.put(p, v.at(p) + (pull - pull.last::<W>(last)).times(inv[p]));
                    (last, paid) = (pull, false);
                }
                continue;
            }
            let here = v.at(p);
            let u = us.at(p);
            let after = u.dot(here.next::<W>(v.at(p + 1)) - here);
            let off = inv_rest[p] * 0.25 * (after * t.drift - rate[p] * t.before);
            let wanted = (elastic[p] + slope[p] * off).max(Four::ZERO);
            let pull = u.times((wanted - mean[p]) * t.kick);
            mean[p] = wanted;
            v.put(p, here + (pull - pull.last::<W>(last)).times(inv[p]));
            (last, paid) = (pull, true);
            if p == 0 {
                at_held = pull;
            }
        }
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            let impulse = [at_held.x.0[l], at_held.y.0[l], at_held.z.0[l]];
            self.bodies.velocity.x[0].0[l] += lane.holder.take(impulse, 1.0);
        }
    }

    /// Lists the segments that go slack or taut in this step, as the kick has it: of
    /// those that might have, few do.
    #[inline(always)]
    fn find_corners(&mut self) {
        self.corners.clear();
        let t = self.timing;
        let n = self.packs;
        let v = self.bodies.velocity.first(n + 1);
        let s = &self.segments;
        let (us, rate) = (s.u.first(n), &s.rate[1..=n]);
        for (p, rate) in rate.iter().enumerate() {
            pack_by_pack();
            if !s.turning[p] {
                continue;
            }
            let here = v.at(p);
            let after = us.at(p).dot(here.next::<W>(v.at(p + 1)) - here);
            let half_rest = s.inv_rest[p] * 0.5;
            let (beyond, elastic) = (s.beyond[p], s.elastic_n[p]);
            let swept = half_rest * *rate * t.before;
            let (from, to) = (beyond - swept, beyond + half_rest * after * t.drift);
            // What is slack all the while has nothing to mend.
            let pulls = from.max(to).max(elastic);
            if !pulls.any_more(Four::ZERO) {
                continue;
            }
            let off = beyond.abs();
            let reach = swept.abs() * CORNER_MARGIN;
            for k in 0..PACK {
                if pulls.0[k] > 0.0 && off.0[k] < reach.0[k] {
                    self.corners.push(Corner {
                        at: p * PACK + k,
                        mean_n: elastic.0[k],
                        from: from.0[k],
                        owed_n_s: 0.0,
                    });
                }
            }
        }
    }

    #[inline(always)]
    fn owe_at_corners(&mut self) {
        let (s, v, t) = (&self.segments, &self.bodies.velocity, &self.timing);
        for corner in &mut self.corners {
            let e = corner.at;
            let l = e % W;
            let (u, near, far) = (s.u.get(e), v.get(e), v.get(e + W));
            let after =
                u[0] * (far[0] - near[0]) + u[1] * (far[1] - near[1]) + u[2] * (far[2] - near[2]);
            let swept = 0.5 * after * t.drift.0[l] * get(&s.inv_rest, e);
            let to = get(&s.beyond, e) + swept;
            let wanted = if corner.from <= 0.0 && to <= 0.0 {
                0.0
            } else {
                s.laws[e].mean_between_n(corner.from, to)
            };
            corner.owed_n_s = (wanted - corner.mean_n) * t.kick.0[l];
            corner.mean_n = wanted;
        }
    }

    #[inline(always)]
    fn pay_at_corners(&mut self) {
        for corner in &self.corners {
            if corner.owed_n_s == 0.0 {
                continue;
            }
            let e = corner.at;
            let l = e % W;
            let b = &mut self.bodies;
            let pull = self.segments.u.get(e).map(|k| corner.owed_n_s * k);
            for (node, way) in [(e, 1.0), (e + W, -1.0)] {
                let by = way * get(&b.inv_mass, node);
                b.velocity
                    .add(node, [by * pull[0], by * pull[1], by * pull[2]]);
            }
            if e == flat::<W>(0, l) {
                b.velocity.x[0].0[l] += self.lanes[l].holder.take(pull, 1.0);
            }
        }
    }
}
