//! The kick, the ground, the drift and the books; the second half of a step.

use fearless_simd::{Simd, SimdBase};

use super::air::AirKick;
use super::bodies::{plus, times};
use super::chain::Chain;
use super::lanes::{BLOCK, all, any, load};

impl Chain {
    /// Changes velocities by the forces and places by the velocities.
    #[inline(always)]
    pub(super) fn move_on<S: Simd, const W: usize>(&mut self, simd: S, air: bool) {
        // What was now is before; the new is written over what was before that.
        core::mem::swap(&mut self.bodies.velocity, &mut self.bodies.was);
        let ground = self.kind.ground;
        match (ground, air) {
            (true, true) => self.kick::<S, W, false, true>(simd),
            (true, false) => self.kick::<S, W, false, false>(simd),
            (false, true) => self.kick::<S, W, true, true>(simd),
            (false, false) => self.kick::<S, W, true, false>(simd),
        }
        self.kick_dampers();
        self.kick_holders(!ground, air);
        if ground {
            self.meet_ground(simd);
            self.drift::<S, W>(simd, air);
        }
        if self.kind.dampers + self.kind.tethers > 0 {
            self.count_gear();
        }
        self.drift_dampers();
    }

    /// Changes the velocities of the nodes, with the air or without, and their places too
    /// if told to; the held end is left to its holder.
    #[inline(always)]
    fn kick<S: Simd, const W: usize, const DRIFT: bool, const AIR: bool>(&mut self, simd: S) {
        let n = self.blocks + 1;
        let dt = load(simd, &self.timing.kick, 0);
        let fall = self.common.gravity.at(simd, 0).times(dt);
        let drift = load(simd, &self.timing.drift, 0);
        let zero = all(simd, 0.0);
        let pushed = self.kind.dampers + self.kind.tethers > 0;
        let b = &mut self.bodies;
        let (was, after) = (&b.was.blocks[..n], &mut b.velocity.blocks[..n]);
        let place = &mut b.place.blocks[..n];
        let (inv_mass, extra) = (&b.inv_mass.blocks[..n], &b.pushed.blocks[..n]);
        let s = &self.segments;
        let pulls = &s.pull_n.blocks[1..n + 1];
        let mut ahead = s.pull_n.blocks[0].at(simd, BLOCK - S::f64s::LEN);
        let books = (&mut b.air_j, &mut b.outer);
        let mut air = AirKick::<S, W>::new(simd, n, &self.timing, &s.air_n, books);
        for p in 0..n {
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let pull = pulls[p].at(simd, h);
                let mut force = pull.minus(pull.last::<W>(ahead));
                ahead = pull;
                if pushed {
                    force = force.plus(extra[p].at(simd, h));
                }
                let inv = load(simd, &inv_mass[p], h);
                let before = was[p].at(simd, h);
                let pulled = force.times(inv * dt);
                // What has no mass does not fall.
                let mut gained = pulled.plus(fall.only(simd, inv.simd_gt(zero)));
                if AIR {
                    // Nothing of those for which it is not due.
                    gained = gained.plus(air.impulse(simd, p, h).times(inv));
                }
                let v = before.plus(gained);
                after[p].put(h, v);
                if DRIFT {
                    if AIR {
                        air.book(simd, (p, h), before.plus(v));
                    }
                    place[p].put(h, place[p].at(simd, h).plus(v.times(drift)));
                }
            }
        }
    }

    /// Moves all nodes on, and books what the air did before the ground.
    #[inline(always)]
    fn drift<S: Simd, const W: usize>(&mut self, simd: S, aired: bool) {
        let n = self.blocks + 1;
        let drift = load(simd, &self.timing.drift, 0);
        let b = &mut self.bodies;
        let (was, v) = (&b.was.blocks[..n], &b.velocity.blocks[..n]);
        let place = &mut b.place.blocks[..n];
        let books = (&mut b.air_j, &mut b.outer);
        let mut air = AirKick::<S, W>::new(simd, n, &self.timing, &self.segments.air_n, books);
        for p in 0..n {
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let v = v[p].at(simd, h);
                if aired {
                    air.book(simd, (p, h), was[p].at(simd, h).plus(v));
                }
                place[p].put(h, place[p].at(simd, h).plus(v.times(drift)));
            }
        }
    }

    /// The same of dampers, one by one.
    #[inline(always)]
    fn kick_dampers(&mut self) {
        let (w, from) = (self.w, self.bodies.dampers_from * self.w);
        let b = &mut self.bodies;
        for e in from..from + self.kind.dampers * w {
            let lane = &self.lanes[e % w];
            let dt = self.timing.kick[e % w];
            let inv = b.inv_mass.get(e);
            let fall = if inv > 0.0 { dt } else { 0.0 };
            let pushed = times(inv * dt, b.pushed.get(e));
            let gained = plus(pushed, fall, lane.gravity);
            b.velocity.set(e, plus(b.was.get(e), 1.0, gained));
        }
    }

    /// Moves the held ends with their holders; their places too if the others have
    /// moved on.
    #[inline(always)]
    fn kick_holders(&mut self, drifted: bool, air: bool) {
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            let mut pull = self.segments.pull_n.get(BLOCK + l);
            if !lane.grips.is_empty() || !lane.tethers.is_empty() {
                pull = plus(pull, 1.0, self.bodies.pushed.get(l));
            }
            let holder = &mut lane.holder;
            holder.pull = pull;
            let mut gained = holder.take(pull, self.timing.kick[l]);
            let air_s = self.timing.air_kicks[l] * self.timing.kick[l];
            if air && air_s > 0.0 {
                let drag = self.segments.air_n.get(BLOCK + l);
                gained += holder.take(drag, air_s);
                if drifted {
                    // Booked so far as if the held end had not moved in this step.
                    self.bodies.air_j.add(l, -0.5 * air_s * drag[0] * gained);
                }
            }
            self.bodies.velocity.add(l, [gained, 0.0, 0.0]);
            if drifted {
                let moved = gained * self.timing.drift[l];
                self.bodies.place.add(l, [moved, 0.0, 0.0]);
            }
        }
    }

    #[inline(always)]
    fn drift_dampers(&mut self) {
        let (w, from) = (self.w, self.bodies.dampers_from * self.w);
        let b = &mut self.bodies;
        for e in from..from + self.kind.dampers * w {
            let moved = plus(b.place.get(e), self.timing.drift[e % w], b.velocity.get(e));
            b.place.set(e, moved);
        }
    }

    #[inline(never)]
    fn count_gear(&mut self) {
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            if !lane.busy {
                continue;
            }
            let dt_s = self.timing.kick[l];
            for grip in lane.grips.iter_mut().filter(|grip| grip.holds()) {
                grip.count(&mut self.bodies, dt_s);
            }
            for tether in &mut lane.tethers {
                tether.count(dt_s);
            }
        }
    }

    #[inline(always)]
    fn meet_ground<S: Simd>(&mut self, simd: S) {
        if self.kind.rough {
            self.meet_bumps(simd);
            return;
        }
        let n = self.bodies.mass.blocks.len();
        let per_step = all(simd, 1.0) / load(simd, &self.timing.drift, 0);
        let friction = load(simd, &self.common.friction, 0);
        self.bodies.meet_plane(simd, n, per_step, friction);
    }

    #[inline(always)]
    fn meet_bumps<S: Simd>(&mut self, simd: S) {
        let n = self.bodies.mass.blocks.len();
        let w = self.w;
        let per_step = all(simd, 1.0) / load(simd, &self.timing.drift, 0);
        let crest = load(simd, &self.common.crest_m, 0);
        for p in 0..n {
            let b = &mut self.bodies;
            let (place, velocity) = (&b.place.blocks[p], &b.velocity.blocks[p]);
            let falls = |h| {
                let above = load(simd, &place.z, h) - crest;
                any::<S>((-above * per_step).simd_gt(load(simd, &velocity.z, h)))
            };
            // What ends the step above every crest touches nothing.
            if !(0..BLOCK).step_by(S::f64s::LEN).any(falls) {
                continue;
            }
            for e in p * BLOCK..(p + 1) * BLOCK {
                let l = e % w;
                if let Some(ground) = self.lanes[l].ground {
                    ground.meet_bump(&mut self.bodies, e, self.timing.drift[l]);
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
