//! How long the next step of each run may be.
//!
//! - the fastest wave: leapfrog with lagged viscosity is stable while
//!   `ν² + 2 b ν < 1`, `ν = c dt/dx`; seven tenths of that
//! - a slack segment closes no more than seven tenths of the way to going taut
//! - grips, tethers and damping: a share of their own periods
//! - no more than a millisecond, and no more than a fifth longer than the last

use super::bodies::{minus, square};
use super::chain::Chain;
use super::lanes::{Block, MOST_ABREAST, again};
use super::stretch::Hurry;

/// Share of the stability limit that is used.
pub(super) const STEP_SHARE: f64 = 0.7;
/// Part of the way to going taut that a slack segment may close in one step.
pub(super) const CLOSING_SHARE: f64 = 0.7;
/// Share of the contact radius that a step may close just before a pick-up.
const NEAR_PICK_UP: f64 = 0.003;
/// Longest step whatever the motion.
pub(super) const LONGEST_STEP_S: f64 = 1e-3;

/// Step over the time a wave takes through a segment.
pub(super) fn wave_step_share(viscosity: f64) -> f64 {
    STEP_SHARE * ((viscosity * viscosity + 1.0).sqrt() - viscosity)
}

impl Chain {
    /// Sets the step of every run, and the time over which it is kicked.
    #[inline(always)]
    pub(super) fn choose_steps<const W: usize>(&mut self, hurry: &Hurry, pack: usize) {
        // Kick, drift and air of each run.
        let mut chosen = [(0.0, 0.0, 0.0); MOST_ABREAST];
        for (l, chosen) in chosen.iter_mut().enumerate().take(W) {
            let lane = &self.lanes[l];
            let free = match lane.fixed_step_s {
                Some(step) => step,
                None => self.free_step_s(l, self.greatest(hurry, l, pack)),
            };
            let next = free.min(lane.end_s - lane.time_s).max(1e-12);
            let over = 0.5 * (lane.step_s + next);
            let lane = &mut self.lanes[l];
            lane.kicked_s += over;
            *chosen = (over, next, lane.air_kicks(over));
            lane.step_s = next;
        }
        self.timing.kick = again(chosen.map(|(kick, _, _)| kick), W);
        self.timing.drift = again(chosen.map(|(_, drift, _)| drift), W);
        self.timing.air_kicks = again(chosen.map(|(_, _, air)| air), W);
    }

    #[inline(always)]
    fn free_step_s(&self, l: usize, (fastest, tightening): (f64, f64)) -> f64 {
        let lane = &self.lanes[l];
        let wave = lane.wave_share / fastest.max(1e-9);
        let mut step = wave
            .min(1.0 / tightening.max(1e-9))
            .min(LONGEST_STEP_S)
            .min(lane.grip_step_s)
            .min(lane.dashpot_step_s);
        if self.kind.dampers + self.kind.tethers > 0 {
            step = step.min(self.step_of_gear_s(l));
        }
        step *= lane.pace;
        // Growing gently keeps the leapfrog close to its even-step accuracy; the
        // first steps, across the jump of the cut, are small.
        if lane.steps > 0 {
            step.min(1.2 * lane.step_s)
        } else {
            0.1 * step
        }
    }

    #[inline(never)]
    fn step_of_gear_s(&self, l: usize) -> f64 {
        let (b, lane, tip) = (&self.bodies, &self.lanes[l], self.tip());
        let mut step = f64::INFINITY;
        for tether in &lane.tethers {
            // The held end does not move with the tether.
            let far = b.mass(tether.segment + 1, l);
            let near = match tether.segment {
                0 => far,
                i => b.mass(i, l),
            };
            step = step.min(tether.longest_step_s(near.min(far)));
        }
        let tip_speed = b.speed(tip, l);
        for grip in lane.grips.iter().filter(|grip| grip.holds()) {
            let closing = tip_speed + b.speed(grip.body, l);
            let radius = grip.contact_radius_m.max(0.01);
            step = step.min(0.3 * radius / closing.max(1.0));
            if !lane.tethers.is_empty() {
                // A pick-up changes speeds at once, half a step out of time with the
                // pull of a tether that is taut: it is met in small steps.
                let apart = minus(b.place(grip.body, l), b.place(tip, l));
                let gap = square(apart).sqrt() - grip.contact_radius_m;
                step = step.min((0.5 * gap).max(NEAR_PICK_UP * radius) / closing.max(1.0));
            }
        }
        step
    }

    /// What bounds run `l`: of one run alone the greatest of the whole pack.
    #[inline(always)]
    fn greatest(&self, hurry: &Hurry, l: usize, pack: usize) -> (f64, f64) {
        let of = |block: &Block| {
            let mut most = block[l];
            for k in (l..pack).step_by(self.w) {
                most = if block[k] > most { block[k] } else { most };
            }
            most
        };
        (of(&hurry.wave), of(&hurry.tightening))
    }
}
