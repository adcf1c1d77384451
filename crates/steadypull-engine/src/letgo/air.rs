//! The air: in steps of its own, each of a few steps of the chain.
//!
//! `½ρ d l (C_n |v_n| v_n + π C_t |v_t| v_t)` a segment, across and along, `v` its
//! velocity relative to the wind; on hardware `½ρ C_d A |v| v`.
//!
//! The air slows a line over hundredths of a second, while a wave crosses a segment in a
//! tenth of a millisecond or less: there the drag is reckoned in every second, fourth or
//! eighth step, and its whole impulse given then, centred on the time for which it stands
//! (an impulse method of multiple time steps, as r-RESPA: Tuckerman, Berne and Martyna,
//! J. Chem. Phys. 97 (1992), from memory). Its work and impulse are booked on each node,
//! exactly, from the velocities before and after. Every eighth step is for fine lines alone:
//! where a coarse, stiffening one comes tight, such an impulse upsets the accounts of its
//! segments.
//!
//! The steps in which it is due are those whose number two, four or eight divides, and runs begin
//! together with others only at the start of a [`ROUND`](super::chain::ROUND): so lanes
//! meet their air together.

use fearless_simd::{Simd, SimdBase, SimdFloat};

use super::chain::{Chain, Lane, Timing};
use super::lanes::{
    BLOCK, Block, Numbers, Way, WayBlock, Ways, all, following, load, preceding, store,
};

/// Drag of a long cylinder across the flow (Hoerner, from memory: 1.1 to 1.2).
pub(super) const DRAG_ACROSS: f64 = 1.2;
/// Skin friction along a line on its surface: assumed at the low end of rough
/// cylinders, so that it takes too little energy rather than too much.
const DRAG_ALONG: f64 = 0.01;
/// Longest time from one to the next, unless a step is longer: in every second or fourth
/// step, and in every eighth.
const LONGEST_S: [(u64, f64); 3] = [(8, 0.5e-3), (4, 1e-3), (2, 1e-3)];

impl Chain {
    /// Tells each lane whether its air is due in this step; whether that of any is.
    #[inline(always)]
    pub(super) fn air_due(&mut self) -> bool {
        let mut any = false;
        if self.kind.air {
            for lane in &mut self.lanes {
                lane.air_due = self.steps.is_multiple_of(lane.air_steps());
                any |= lane.air_due;
            }
        }
        any
    }

    /// Drag of the segments.
    #[inline(always)]
    pub(super) fn blow<S: Simd, const W: usize>(&mut self, simd: S) {
        let n = self.blocks;
        let wind = self.common.wind.at(simd, 0);
        let b = &self.bodies;
        let velocities = &b.velocity.blocks[..n + 1];
        let mut v = velocities[0].at(simd, 0);
        let s = &mut self.segments;
        let airs = &mut s.air_n.blocks[1..n + 1];
        for (p, (built, state)) in s.built[..n].iter().zip(&s.state[..n]).enumerate() {
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let (q, g) = following::<S>(p, h);
                let after = velocities[q].at(simd, g);
                let middle = v.plus(v.next::<W>(after));
                v = after;
                let in_air = middle.times(all(simd, 0.5)).minus(wind);
                let air_kg_m = load(simd, &built.air_kg_m, h);
                let air = half_drag(simd, in_air, state.u.at(simd, h), air_kg_m);
                airs[p].put(h, air);
            }
        }
    }

    /// Drag of hardware at the free ends.
    #[inline(always)]
    pub(super) fn drag_hardware<const W: usize>(&mut self) {
        for (l, lane) in self.lanes.iter().enumerate() {
            let e = self.kind.segments * W + l;
            let velocity = self.bodies.velocity.get(e);
            let drag = drag(lane.hardware_air_kg_m, velocity, lane.wind);
            self.segments.set_air(e, drag);
        }
    }
}

/// What the air does to the nodes in a step in which it is due.
pub(super) struct AirKick<'a, S: Simd, const W: usize> {
    /// Of segments; a block in front.
    drags: &'a [WayBlock],
    /// The time for which it acts at once, s; nothing where it is not due.
    over_s: S::f64s,
    lost_j: &'a mut [Block],
    given_n_s: &'a mut [WayBlock],
}

impl<'a, S: Simd, const W: usize> AirKick<'a, S, W> {
    /// Of `n` blocks of nodes; its work and impulse go into `books`.
    #[inline(always)]
    pub fn new(
        simd: S,
        n: usize,
        timing: &Timing,
        air_n: &'a Ways,
        books: (&'a mut Numbers, &'a mut Ways),
    ) -> Self {
        let kick = load(simd, &timing.kick, 0);
        Self {
            drags: &air_n.blocks[..n + 1],
            over_s: load(simd, &timing.air_kicks, 0) * kick,
            lost_j: &mut books.0.blocks[..n],
            given_n_s: &mut books.1.blocks[..n],
        }
    }

    /// Impulse on a pack of nodes.
    #[inline(always)]
    pub fn impulse(&self, simd: S, p: usize, h: usize) -> Way<S> {
        let (o, f) = preceding::<S>(p + 1, h);
        let (before, here) = (self.drags[o].at(simd, f), self.drags[p + 1].at(simd, h));
        here.plus(here.last::<W>(before)).times(self.over_s)
    }

    /// Books a pack's work, from the sum of the velocities before and after all that
    /// acted in the step: that makes it exact.
    #[inline(always)]
    pub fn book(&mut self, simd: S, (p, h): (usize, usize), twice_mean: Way<S>) {
        let impulse = self.impulse(simd, p, h);
        let lost = load(simd, &self.lost_j[p], h) - impulse.dot(twice_mean) * 0.5;
        store::<S>(lost, &mut self.lost_j[p], h);
        let given = self.given_n_s[p].at(simd, h).plus(impulse);
        self.given_n_s[p].put(h, given);
    }
}

impl Lane {
    /// Steps from one look at the air to the next, at the pace of the last step.
    #[inline(always)]
    fn air_steps(&self) -> u64 {
        let fits = |(steps, longest_s): &&(u64, f64)| *steps as f64 * self.step_s <= *longest_s;
        LONGEST_S.iter().find(fits).map_or(1, |(steps, _)| *steps)
    }

    /// The time for which the air acts at once in a step that is kicked for `kick_s`, in
    /// kicks: half of it before this step and half after, less what has been given.
    #[inline(always)]
    pub(super) fn air_kicks(&mut self, kick_s: f64) -> f64 {
        if !self.air_due {
            return 0.0;
        }
        let ahead = 0.5 * (self.air_steps() - 1) as f64;
        let until = self.kicked_s + ahead * kick_s;
        if until <= self.aired_s {
            return 0.0;
        }
        let kicks = (until - self.aired_s) / kick_s;
        self.aired_s = until;
        kicks
    }
}

/// Quadratic drag on a body, N.
#[inline(always)]
pub(super) fn drag(air_kg_m: f64, velocity: [f64; 3], wind: [f64; 3]) -> [f64; 3] {
    let in_air = super::bodies::minus(velocity, wind);
    super::bodies::times(-air_kg_m * super::bodies::square(in_air).sqrt(), in_air)
}

/// Half the drag of a segment that moves through the air, N: across and along.
#[inline(always)]
fn half_drag<S: Simd>(simd: S, in_air: Way<S>, u: Way<S>, air_kg_m: S::f64s) -> Way<S> {
    let along = in_air.dot(u);
    let aside = in_air.minus(u.times(along));
    let k = air_kg_m * all(simd, -0.5);
    let k_aside = k * DRAG_ACROSS * aside.dot(aside).sqrt();
    let k_along = k * (core::f64::consts::PI * DRAG_ALONG) * along.abs() * along;
    aside.times(k_aside).plus(u.times(k_along))
}
