//! Directions, tensions and drag of the segments; the first half of a step.

use super::chain::{Chain, DRAG_ACROSS, DRAG_ALONG};
use super::corner::CORNER_MARGIN;
use super::lanes::{Four, PACK, differences, flat, get, pack_by_pack, set};
use super::pace::{CLOSING_SHARE, LONGEST_STEP_S};

/// What bounds the next step, per pack place, 1/s: the fastest wave and the quickest
/// tightening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hurry {
    pub wave: Four,
    pub tightening: Four,
}

impl<const W: usize> Chain<W> {
    /// Directions, rates, elastic tensions and drag.
    #[inline(always)]
    pub(super) fn stretch(&mut self) -> Hurry {
        let (wind, per_wave) = (self.common.wind, self.common.per_wave);
        let half_step = self.timing.before * 0.5;
        let twice_step = self.timing.before * 2.0;
        let (air, curved, by_wave) = (self.kind.air, self.kind.curved, self.kind.by_wave);
        let waves = by_wave || self.kind.viscous;
        let n = self.packs;
        let (b, s) = (&self.bodies, &mut self.segments);
        differences::<W>(&b.place.x, &mut s.way.x);
        differences::<W>(&b.place.y, &mut s.way.y);
        differences::<W>(&b.place.z, &mut s.way.z);
        differences::<W>(&b.velocity.x, &mut s.parting.x);
        differences::<W>(&b.velocity.y, &mut s.parting.y);
        differences::<W>(&b.velocity.z, &mut s.parting.z);
        let (ways, partings, v) = (s.way.first(n), s.parting.first(n), b.velocity.first(n));
        let (rest, inv_rest, inv_mass) = (&s.rest_m[..n], &s.inv_rest[..n], &s.inv_mass[..n]);
        let (slack, inv_width) = (&s.slack[..n], &s.inv_width[..n]);
        let (most, steepest) = (&s.most_n[..n], &s.steepest_n[..n]);
        let (half_above_one, stiffest) = (&s.half_above_one[..n], &s.stiffest_kg_s[..n]);
        let (air_kg_m, work_share) = (&s.air_kg_m[..n], &s.work_share[..n]);
        let pulling = &mut s.pulling[..n];
        let (beyonds, rates) = (&mut s.beyond[..n], &mut s.rate[1..=n]);
        let (slopes, impedances) = (&mut s.slope_n[..n], &mut s.impedance[..n]);
        let (elastics, pulls) = (&mut s.elastic_n[..n], &mut s.pull_n[..n]);
        let (mut us, mut airs) = (s.u.first_mut(n), s.air_n.first_mut(n + 1));
        let turning = &mut s.turning[..n];
        let (zero, one) = (Four::ZERO, Four::all(1.0));
        let (mut wave, mut tightening) = (zero, zero);
        let mut taut = false;
        // One thing a loop: so the compiler makes whole packs of each.
        for p in 0..n {
            pack_by_pack();
            let way = ways.at(p);
            let length = way.dot(way).sqrt();
            let u = way.times(one.over(length.max(Four::all(1e-12))));
            us.put(p, u);
            rates[p] = u.dot(partings.at(p));
            beyonds[p] = length * inv_rest[p] - one - slack[p];
        }
        if air {
            for (p, air_kg_m) in air_kg_m.iter().enumerate() {
                pack_by_pack();
                let u = us.at(p);
                let moving = v.at(p) + partings.at(p).times(Four::all(0.5)) - wind;
                let along = moving.dot(u);
                let aside = moving - u.times(along);
                let k = *air_kg_m * -0.5;
                let k_aside = k * DRAG_ACROSS * aside.dot(aside).sqrt();
                let k_along = k * (core::f64::consts::PI * DRAG_ALONG) * along.abs() * along;
                airs.put(p + 1, aside.times(k_aside) + u.times(k_along));
            }
        }
        for p in 0..n {
            pack_by_pack();
            let (beyond, rate) = (beyonds[p], rates[p]);
            let pulls_now = beyond.any_more(zero);
            let (mut elastic, mut slope, mut impedance) = (zero, zero, zero);
            if pulls_now {
                taut = true;
                let share = beyond * inv_width[p];
                // The root of the bend gives the impedance without another root.
                let root = if curved {
                    share.power(half_above_one[p])
                } else {
                    one
                };
                let bend = root * root;
                elastic = Four::where_more(beyond, zero, most[p] * share * bend, zero);
                slope = Four::where_more(beyond, zero, steepest[p] * bend, zero);
                if waves {
                    impedance = Four::where_more(beyond, zero, stiffest[p] * root, zero);
                    wave = wave.max(impedance * inv_mass[p]);
                }
            }
            if by_wave {
                // A slack segment must not jump far past going taut.
                let parting = partings.at(p);
                let hurried = parting.x.abs() + parting.y.abs() + parting.z.abs();
                let room = Four::where_more(
                    beyond,
                    zero,
                    Four::all(f64::INFINITY),
                    -beyond * CLOSING_SHARE * rest[p],
                );
                // What closes so slowly does not bound the step: it is not reckoned.
                if (hurried * (LONGEST_STEP_S * 1.01)).any_more(room) {
                    // Never finer than the step of the line about as taut as it will be.
                    let entering = hurried * twice_step * inv_rest[p];
                    let root = if curved {
                        (entering * inv_width[p]).rough_power(half_above_one[p])
                    } else {
                        one
                    };
                    let as_taut = stiffest[p] * root * inv_mass[p] * per_wave;
                    let bound = hurried.min(as_taut * room).over(room.max(Four::all(1e-12)));
                    // Of a taut one the room is endless.
                    let bound = Four::where_more(beyond, zero, zero, bound);
                    tightening = tightening.max(bound);
                }
            }
            let sweep = half_step * (rate * inv_rest[p]).abs();
            let off = beyond.abs();
            let turns = (sweep * CORNER_MARGIN).any_more(off);
            if turns {
                slope = Four::where_more(sweep * CORNER_MARGIN, off, zero, slope);
                if sweep.any_more(off) {
                    taut = true;
                    // Mean over the strain it sweeps in a step: at the corner where it
                    // goes slack the tension at one place would do false work.
                    let reach = beyond + sweep;
                    let share = reach * inv_width[p];
                    let root = if curved {
                        share.power(half_above_one[p])
                    } else {
                        one
                    };
                    let work = most[p] * share * (root * root) * reach * work_share[p];
                    let mean = work.over((sweep * 2.0).max(Four::all(1e-300)));
                    elastic = Four::where_more(sweep, off, mean, elastic);
                }
            }
            turning[p] = turns;
            pulling[p] = pulls_now || turns;
            slopes[p] = slope;
            impedances[p] = impedance;
            elastics[p] = elastic;
            pulls[p] = elastic;
        }
        self.taut = taut;
        Hurry { wave, tightening }
    }

    /// Viscous and damping tensions.
    #[inline(always)]
    pub(super) fn damp(&mut self) {
        let tip = self.kind.segments;
        for l in 0..W {
            let s = &mut self.segments;
            // The held end mirrors the wave; at the free end nothing pulls but the
            // inertia of the hardware.
            let (first, last) = (PACK + flat::<W>(0, l), PACK + flat::<W>(tip - 1, l));
            let (at_held, at_tip) = (get(&s.rate, first), get(&s.rate, last));
            set(&mut s.rate, first - W, at_held);
            set(&mut s.rate, last + W, self.lanes[l].tip_inertia * at_tip);
        }
        let (b, dashpot) = (self.common.viscosity, self.common.dashpot);
        let viscous = self.kind.viscous;
        let n = self.packs;
        let s = &mut self.segments;
        let rate = &s.rate[..n + 2];
        let (impedance, beyond) = (&s.impedance[..n], &s.beyond[..n]);
        let elastic = &s.elastic_n[..n];
        let (limited, inv_rest) = (&s.limited[..n], &s.inv_rest[..n]);
        let (out_v, out_d) = (&mut s.viscous_n[..n], &mut s.dashpot_n[..n]);
        let pull = &mut s.pull_n[..n];
        let zero = Four::ZERO;
        for p in 0..n {
            pack_by_pack();
            if !s.pulling[p] {
                // What does not pull has nothing to damp.
                out_v[p] = zero;
                out_d[p] = zero;
                continue;
            }
            let own = rate[p + 1];
            let mut sum = elastic[p];
            if viscous {
                let before = own.last::<W>(rate[p]);
                let after = own.next::<W>(rate[p + 2]);
                let unshared = own - limited[p] * shared(own, before, after);
                let viscous_n = (b * impedance[p] * unshared).max(-sum);
                out_v[p] = viscous_n;
                sum = sum + viscous_n;
            }
            if self.kind.dashpot {
                let taut = Four::where_more(beyond[p], zero, dashpot, zero);
                let dashpot_n = (taut * own * inv_rest[p]).max(-sum);
                out_d[p] = dashpot_n;
                sum = sum + dashpot_n;
            }
            pull[p] = sum;
        }
    }
}

/// The part of a segment's rate that its neighbours share (monotonised central
/// limiter, van Leer, J. Comput. Phys. 23 (1977)); nothing where the sign turns.
#[inline(always)]
fn shared(own: Four, before: Four, after: Four) -> Four {
    let sign = Four::all(1.0).with_sign(own);
    let (a, b, c) = (sign * before, sign * after, sign * own);
    let least = (a * 2.0).min(b * 2.0).min((a + b) * 0.5).min(c);
    sign * least.max(Four::ZERO)
}
