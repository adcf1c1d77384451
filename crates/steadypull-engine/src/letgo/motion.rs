//! The kick, the ground, the drift and the books; the second half of a step.

use super::chain::Chain;
use super::lanes::{Four, PACK, Way, pack_by_pack};

impl<const W: usize> Chain<W> {
    /// Changes velocities by the forces; the held end is left to its holder.
    #[inline(always)]
    pub(super) fn kick(&mut self) {
        let gravity = self.common.gravity;
        let dt = self.timing.kick;
        let pushed = self.kind.dampers + self.kind.tethers > 0;
        let n = self.packs + 1;
        let b = &mut self.bodies;
        // What was now is before; the new is written over what was before that.
        core::mem::swap(&mut b.velocity, &mut b.was);
        let (before, mut after) = (b.was.first(n), b.velocity.first_mut(n));
        let (inv, extra) = (&b.inv_mass[..n], b.pushed.first(n));
        let s = &mut self.segments;
        let (u, pulls) = (s.u.first(n), &s.pull_n[..n]);
        let mut drawn = s.drawn_n.first_mut(n + 1);
        for (p, pull) in pulls.iter().enumerate() {
            pack_by_pack();
            drawn.put(p + 1, u.at(p).times(*pull));
        }
        let (drawn, air) = (s.drawn_n.first(n + 1), s.air_n.first(n + 1));
        for (p, inv) in inv.iter().enumerate() {
            pack_by_pack();
            let pull = drawn.at(p + 1) - drawn.at(p + 1).last::<W>(drawn.at(p));
            let mut force = pull + (air.at(p + 1) + air.at(p + 1).last::<W>(air.at(p)));
            if pushed {
                force = force + extra.at(p);
            }
            after.put(p, kicked(before.at(p), force, *inv, dt, gravity));
        }
        for p in n..b.mass.len() {
            let at = |list: &super::lanes::Ways| Way {
                x: list.x[p],
                y: list.y[p],
                z: list.z[p],
            };
            let after = kicked(at(&b.was), at(&b.pushed), b.inv_mass[p], dt, gravity);
            (b.velocity.x[p], b.velocity.y[p], b.velocity.z[p]) = (after.x, after.y, after.z);
        }
        self.kick_holders();
    }

    #[inline(always)]
    fn kick_holders(&mut self) {
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            let dt = self.timing.kick.0[l];
            let s = &self.segments;
            let (u, air) = (s.u.get(l), s.air_n.get(l + PACK));
            let tension = s.pull_n[0].0[l];
            let mut pull = [0, 1, 2].map(|k| tension * u[k] + air[k]);
            if !lane.grips.is_empty() || !lane.tethers.is_empty() {
                let extra = self.bodies.pushed.get(l);
                pull = [0, 1, 2].map(|k| pull[k] + extra[k]);
            }
            let holder = &mut lane.holder;
            holder.pull = pull;
            self.bodies.velocity.x[0].0[l] += holder.take(pull, dt);
        }
    }

    /// Ground, books and drift.
    #[inline(always)]
    pub(super) fn finish(&mut self) {
        if self.kind.ground {
            self.meet_ground();
        }
        if self.taut && (self.kind.viscous || self.kind.dashpot) {
            self.count_heat();
        }
        if self.kind.dampers + self.kind.tethers > 0 {
            self.count_gear();
        }
        self.count_air_and_drift();
    }

    /// Work of viscosity and damping, from the rates before and after the kick.
    #[inline(always)]
    fn count_heat(&mut self) {
        let half = self.timing.kick * 0.5;
        let n = self.packs;
        let v = self.bodies.velocity.first(n + 1);
        let s = &mut self.segments;
        let (u, rate) = (s.u.first(n), &s.rate[1..=n]);
        let pulling = &s.pulling[..n];
        let (vi, vi_j) = (&s.viscous_n[..n], &mut s.viscous_j[..n]);
        let (da, da_j) = (&s.dashpot_n[..n], &mut s.dashpot_j[..n]);
        for p in 0..n {
            pack_by_pack();
            if !pulling[p] {
                continue;
            }
            let here = v.at(p);
            let after = u.at(p).dot(here.next::<W>(v.at(p + 1)) - here);
            let parted = half * (rate[p] + after);
            if self.kind.viscous {
                vi_j[p] = vi_j[p] + vi[p] * parted;
            }
            if self.kind.dashpot {
                da_j[p] = da_j[p] + da[p] * parted;
            }
        }
    }

    /// Work and impulse of the air on line and hardware; then all moves on.
    #[inline(always)]
    fn count_air_and_drift(&mut self) {
        let (dt, drift) = (self.timing.kick, self.timing.drift);
        let half = dt * 0.5;
        let n = self.packs + 1;
        let b = &mut self.bodies;
        let air_there = self.kind.air;
        let (v, was, mut place) = (b.velocity.first(n), b.was.first(n), b.place.first_mut(n));
        let air = self.segments.air_n.first(n + 1);
        let (air_j, mut outer) = (&mut b.air_j[..n], b.outer.first_mut(n));
        for (p, air_j) in air_j.iter_mut().enumerate() {
            pack_by_pack();
            let after = v.at(p);
            if air_there {
                let force = air.at(p + 1) + air.at(p + 1).last::<W>(air.at(p));
                // The mean of the speeds before and after makes the work exact.
                *air_j = *air_j - half * force.dot(was.at(p) + after);
                outer.put(p, outer.at(p) + force.times(dt));
            }
            place.put(p, place.at(p) + after.times(drift));
        }
        for p in n..b.mass.len() {
            b.place.x[p] = b.place.x[p] + b.velocity.x[p] * drift;
            b.place.y[p] = b.place.y[p] + b.velocity.y[p] * drift;
            b.place.z[p] = b.place.z[p] + b.velocity.z[p] * drift;
        }
    }

    #[inline(never)]
    fn count_gear(&mut self) {
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            if !lane.busy {
                continue;
            }
            let dt_s = self.timing.kick.0[l];
            for grip in lane.grips.iter_mut().filter(|grip| grip.holds()) {
                grip.count(&mut self.bodies, dt_s);
            }
            for tether in &mut lane.tethers {
                tether.count(dt_s);
            }
        }
    }

    #[inline(always)]
    fn meet_ground(&mut self) {
        let rough = self.kind.rough;
        let per_step = Four::all(1.0).over(self.timing.drift);
        let (friction, crest) = (self.common.friction, self.common.crest_m);
        let n = self.bodies.mass.len();
        for p in 0..n {
            pack_by_pack();
            let b = &mut self.bodies;
            let (z, vz) = (b.place.z[p], b.velocity.z[p]);
            if rough {
                // What ends the step above every crest touches nothing.
                if !((crest - z) * per_step).any_more(vz) {
                    continue;
                }
                for e in p * PACK..(p + 1) * PACK {
                    let l = e % W;
                    if let Some(ground) = self.lanes[l].ground {
                        ground.meet_bump(&mut self.bodies, e, self.timing.drift.0[l]);
                    }
                }
            } else {
                let least = -(z.max(Four::ZERO) * per_step);
                if least.any_more(vz) {
                    self.bodies.meet_plane(p, least, friction);
                }
            }
        }
    }
}

impl super::chain::Holder {
    /// Takes `pull` over `dt_s`; gives the speed along x that it adds.
    #[inline(always)]
    pub(super) fn take(&mut self, pull: [f64; 3], dt_s: f64) -> f64 {
        // What the holder resists; a rolling vehicle resists nothing along x.
        let along = if self.inv_mass > 0.0 { 0.0 } else { pull[0] };
        self.impulse[0] += along * dt_s;
        self.impulse[1] += pull[1] * dt_s;
        self.impulse[2] += pull[2] * dt_s;
        pull[0] * self.inv_mass * dt_s
    }
}

/// Velocity after a force over `dt`; what has no mass does not fall.
#[inline(always)]
fn kicked(before: Way, force: Way, inv_mass: Four, dt: Four, gravity: Way) -> Way {
    let fall = Four::where_more(inv_mass, Four::ZERO, dt, Four::ZERO);
    before + force.times(inv_mass * dt) + gravity.times(fall)
}
