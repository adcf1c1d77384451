//! Directions, tensions and drag of the segments; the first half of a step.
//!
//! Tension and work: leapfrog pulls with the tension at a position, while a segment
//! sweeps half the step before it and half the step after it. On a straight branch and
//! in even steps that does exactly the work of the branch; on a curved one, where the
//! step changes, or where a segment goes slack or taut within a step, it gains or
//! loses a little. So each segment keeps an account `G` of the work that its elastic
//! tension has taken in, and what the law says is stored, `W(e)`, less that is paid
//! back with the next pulls:
//!
//! `T' = T + (W − G − ½ T a) a/(a² + σ²)`, `a = h ė l`
//!
//! - `a` the way by which its ends part in a step as things go, m. On a straight branch
//!   in even steps the bracket is nothing.
//! - `σ` [`SMALL_SWEEP`] of the way from slack to parting, m: what hardly moves is not
//!   pulled about. No fix exceeds half of `T` and [`MOST_FIX`] of the pull `Z ė l` of a
//!   wave that parts the ends as fast.
//! - What has just gone slack settles its account too, by a pull or a push of a few per
//!   cent of what a wave pulls, for a step or two.
//!
//! Momentum is kept, since every pull acts on both ends; nothing is booked as a loss to
//! make the sum come out: what is left on the accounts shows in the energy audit.
//!
//! The works of a kick depend on the speeds after it: they are booked at the head of the
//! next step, where these are at hand.

use fearless_simd::{Select, Simd, SimdBase, SimdFloat};

use super::chain::{Chain, Kind};
use super::lanes::{
    BLOCK, Block, Way, all, any, following, greater, last, lesser, load, next, only, preceding,
    store,
};
use super::pace::{CLOSING_SHARE, LONGEST_STEP_S};
use super::power::{powers, rough_inverse, rough_powers};
use super::segments::{Built, State};

/// Share of the way from slack to parting, swept in a step, that counts as small.
pub(super) const SMALL_SWEEP: f64 = 0.02;
/// Share of what the law says is stored that may be given back whatever the account says.
const LEAST_LEFT: f64 = 0.5;
/// Share of a wave's pull by which an account may be settled.
const MOST_FIX: f64 = 0.5;

/// What bounds the next step, per place of a pack, 1/s: the fastest wave and the quickest
/// tightening.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Hurry {
    pub wave: Block,
    pub tightening: Block,
}

/// Numbers of the runs in packs, the same for every segment.
#[derive(Clone, Copy)]
struct Shared<S: Simd> {
    simd: S,
    kind: Kind,
    dashpot: S::f64s,
    per_wave: S::f64s,
    /// The step that led here, s.
    before: S::f64s,
    /// Half the time over which the last forces acted, s.
    half_kick: S::f64s,
}

/// A pack of segments as it moves.
#[derive(Clone, Copy)]
struct Moving<S: Simd> {
    /// Speed at which the ends part, m/s.
    rate: S::f64s,
    /// Strain less that at which it goes slack.
    beyond: S::f64s,
    taut: S::mask64s,
    /// Sum of one over the masses of the ends, 1/kg.
    mu: S::f64s,
}

impl Chain {
    /// Books the works of the last kick; then directions, drag if the air is `due`, and
    /// tensions but for the viscous one. Short loops: in a long one each block waits for
    /// its own roots, and a processor does not look far enough ahead to begin another.
    #[inline(always)]
    pub(super) fn stretch<S: Simd, const W: usize>(&mut self, simd: S, due: bool) -> Hurry {
        let with = Shared {
            simd,
            kind: self.kind,
            dashpot: load(simd, &self.common.dashpot, 0),
            per_wave: load(simd, &self.common.per_wave, 0),
            before: load(simd, &self.timing.before, 0),
            half_kick: load(simd, &self.timing.kick, 0) * 0.5,
        };
        self.aim::<S, W>(&with);
        if due {
            self.blow::<S, W>(simd);
        }
        self.draw::<S, W>(&with)
    }

    /// Books the last kick; directions and lengths.
    #[inline(always)]
    fn aim<S: Simd, const W: usize>(&mut self, with: &Shared<S>) {
        let (simd, n) = (with.simd, self.blocks);
        let b = &self.bodies;
        let (places, velocities) = (&b.place.blocks[..n + 1], &b.velocity.blocks[..n + 1]);
        let (mut x, mut v) = (places[0].at(simd, 0), velocities[0].at(simd, 0));
        let s = &mut self.segments;
        let rates = &mut s.rate.blocks[1..n + 1];
        let (built, state) = (&s.built[..n], &mut s.state[..n]);
        for p in 0..n {
            let (built, state) = (&built[p], &mut state[p]);
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let (q, g) = following::<S>(p, h);
                let (x_after, v_after) = (places[q].at(simd, g), velocities[q].at(simd, g));
                let way = x.next::<W>(x_after).minus(x);
                let parting = v.next::<W>(v_after).minus(v);
                (x, v) = (x_after, v_after);
                settle(with, state, h, load(simd, &rates[p], h), parting);
                let square = greater::<S>(way.dot(way), all(simd, 1e-24));
                let length = square.sqrt();
                // Root and division go on at the same time: one does not wait for the other.
                let inverse = length * (all(simd, 1.0) / square);
                let u = way.times(inverse);
                let strain = length * load(simd, &built.inv_rest, h);
                let beyond = strain - load(simd, &built.slack_ratio, h);
                state.u.put(h, u);
                store::<S>(way.dot(parting) * inverse, &mut rates[p], h);
                store::<S>(beyond, &mut state.beyond, h);
                if with.kind.by_wave {
                    let hurried = parting.x.abs() + parting.y.abs() + parting.z.abs();
                    store::<S>(hurried, &mut state.hurried_m_s, h);
                }
            }
        }
    }

    /// Tensions but for the viscous one, and what pulls on both ends.
    #[inline(always)]
    fn draw<S: Simd, const W: usize>(&mut self, with: &Shared<S>) -> Hurry {
        let (simd, n) = (with.simd, self.blocks);
        let zero = all(simd, 0.0);
        let b = &self.bodies;
        let inv_mass = &b.inv_mass.blocks[..n + 1];
        let mut inv = load(simd, &inv_mass[0], 0);
        let s = &mut self.segments;
        let rates = &s.rate.blocks[1..n + 1];
        let pulls = &mut s.pull_n.blocks[1..n + 1];
        let (built, state) = (&s.built[..n], &mut s.state[..n]);
        s.pulling.clear();
        let (mut wave, mut tightening) = (zero, zero);
        for p in 0..n {
            let (built, state) = (&built[p], &mut state[p]);
            let mut pulling = false;
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let beyond = load(simd, &state.beyond, h);
                let (q, g) = following::<S>(p, h);
                let inv_after = load(simd, &inv_mass[q], g);
                let mu = inv + next::<S, W>(inv, inv_after);
                inv = inv_after;
                let moving = Moving {
                    rate: load(simd, &rates[p], h),
                    beyond,
                    taut: beyond.simd_gt(zero),
                    mu,
                };
                let (pull, its_wave) = tension(with, built, state, h, &moving);
                if with.kind.viscous {
                    pulling = pulling || any::<S>(moving.taut);
                }
                if with.kind.by_wave {
                    wave = greater::<S>(wave, its_wave);
                    let hurried = load(simd, &state.hurried_m_s, h);
                    let bound = closing(with, built, h, &moving, hurried);
                    tightening = greater::<S>(tightening, bound);
                }
                pulls[p].put(h, state.u.at(simd, h).times(pull));
            }
            if pulling {
                s.pulling.push(p);
            }
        }
        let mut hurry = Hurry::default();
        store::<S>(wave, &mut hurry.wave, 0);
        store::<S>(tightening, &mut hurry.tightening, 0);
        hurry
    }

    /// Adds the viscous tensions.
    #[inline(always)]
    pub(super) fn add_viscosity<S: Simd, const W: usize>(&mut self, simd: S) {
        let (tip, n) = (self.kind.segments, self.blocks);
        for (l, lane) in self.lanes.iter().enumerate() {
            // The held end mirrors the wave; at the free end nothing pulls but the
            // inertia of the hardware.
            let rate = &mut self.segments.rate;
            rate.set(BLOCK + l - W, rate.get(BLOCK + l));
            let end = BLOCK + tip * W + l;
            rate.set(end, lane.tip_inertia * rate.get(end - W));
        }
        let viscosity = load(simd, &self.common.viscosity, 0);
        let s = &mut self.segments;
        let rates = &s.rate.blocks[..n + 2];
        let pulls = &mut s.pull_n.blocks[1..n + 1];
        let (built, state) = (&s.built[..n], &mut s.state[..n]);
        for &p in &s.pulling {
            let (built, state) = (&built[p], &mut state[p]);
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let own = load(simd, &rates[p + 1], h);
                let ((o, f), (q, g)) = (preceding::<S>(p + 1, h), following::<S>(p + 1, h));
                let before = last::<S, W>(load(simd, &rates[o], f), own);
                let after = next::<S, W>(own, load(simd, &rates[q], g));
                let shared = shared(simd, own, before, after);
                let unshared = own - load(simd, &built.limited, h) * shared;
                let wanted = viscosity * load(simd, &state.impedance, h) * unshared;
                let so_far = load(simd, &state.elastic_n, h) + load(simd, &state.dashpot_n, h);
                let viscous = greater::<S>(wanted, -greater::<S>(so_far, all(simd, 0.0)));
                store::<S>(viscous, &mut state.viscous_n, h);
                let pull = state.u.at(simd, h).times(viscous);
                pulls[p].put(h, pulls[p].at(simd, h).plus(pull));
            }
        }
    }
}

/// Books the works of the last kick, over the mean of the speeds before and after it:
/// that makes them exact.
#[inline(always)]
fn settle<S: Simd>(
    with: &Shared<S>,
    state: &mut State,
    h: usize,
    before: S::f64s,
    parting: Way<S>,
) {
    let (simd, half) = (with.simd, with.half_kick);
    let swept = half * (before + state.u.at(simd, h).dot(parting));
    let add = |list: &mut Block, x: S::f64s| {
        store::<S>(load(simd, list, h) + x, list, h);
    };
    add(&mut state.given_j, load(simd, &state.elastic_n, h) * swept);
    if with.kind.viscous {
        add(
            &mut state.viscous_j,
            load(simd, &state.viscous_n, h) * swept,
        );
        store::<S>(all(simd, 0.0), &mut state.viscous_n, h);
    }
    if with.kind.dashpot {
        add(
            &mut state.dashpot_j,
            load(simd, &state.dashpot_n, h) * swept,
        );
    }
}

/// Elastic tension and damping together, N, and the wave's share of a segment in a
/// second.
#[inline(always)]
fn tension<S: Simd>(
    with: &Shared<S>,
    built: &Built,
    state: &mut State,
    h: usize,
    moving: &Moving<S>,
) -> (S::f64s, S::f64s) {
    let (simd, taut) = (with.simd, moving.taut);
    let zero = all(simd, 0.0);
    let given = load(simd, &state.given_j, h);
    let inv_width = load(simd, &built.inv_width, h);
    let stiffest = load(simd, &built.stiffest_kg_s, h);
    let mut stiff = stiffest;
    let share = moving.beyond * inv_width;
    let mut pull = only(simd, taut, load(simd, &built.most_n, h) * share);
    if with.kind.curved && any::<S>(taut) {
        // The root of the bend gives the impedance without another root.
        let root = powers(simd, share, load(simd, &built.half_above_one, h));
        pull *= root * root;
        stiff *= root;
    }
    let swept = with.before * moving.rate;
    let stored = pull * moving.beyond * load(simd, &built.store_m, h);
    let gap = stored - given - pull * (swept * 0.5);
    let fix = gap * swept * rough_inverse(simd, swept * swept + load(simd, &built.small_m2, h));
    let most = (pull + stiffest * moving.rate.abs()) * MOST_FIX;
    let elastic = pull + lesser::<S>(greater::<S>(fix, -most), most);
    // What stands taut pulls even where the account has fallen behind the law.
    let left = greater::<S>(given, stored * LEAST_LEFT);
    let elastic = within_account(with, moving, left, elastic);
    store::<S>(elastic, &mut state.elastic_n, h);
    let mut wave = zero;
    if with.kind.by_wave || with.kind.viscous {
        let impedance = only(simd, taut, stiff);
        store::<S>(impedance, &mut state.impedance, h);
        wave = impedance * load(simd, &built.inv_mass, h);
        if with.kind.by_wave && with.kind.curved {
            // What is barely taut and stretches fast will soon be far stiffer.
            let entering = greater::<S>(swept, zero) * load(simd, &built.inv_rest, h) * 2.0;
            let soon = share + entering * inv_width;
            let hasty = taut & soon.simd_gt(share * 2.0);
            if any::<S>(hasty) {
                let root = rough_powers(simd, soon, load(simd, &built.half_above_one, h));
                let as_stiff = stiffest * root * load(simd, &built.inv_mass, h);
                wave = greater::<S>(wave, only(simd, hasty, as_stiff));
            }
        }
    }
    if !with.kind.dashpot {
        return (elastic, wave);
    }
    let wanted = only(simd, taut, with.dashpot) * moving.rate * load(simd, &built.inv_rest, h);
    let dashpot = greater::<S>(wanted, -greater::<S>(elastic, zero));
    store::<S>(dashpot, &mut state.dashpot_n, h);
    (elastic + dashpot, wave)
}

/// The tension, but no more than gives back in this step what is `left`, J.
///
/// An impulse `J` on both ends, the sum of one over whose masses is `μ`, changes the
/// speed `ė l` at which they part by `−μ J` and so gives back `J (μ J/2 − ė l)`. What goes
/// slack within a step, or comes taut and bounces within one, would give more.
#[inline(always)]
fn within_account<S: Simd>(
    with: &Shared<S>,
    moving: &Moving<S>,
    left: S::f64s,
    tension: S::f64s,
) -> S::f64s {
    let (simd, rate, mu) = (with.simd, moving.rate, moving.mu);
    let zero = all(simd, 0.0);
    let impulse = tension * with.before;
    let left = greater::<S>(left, zero);
    let over = (impulse * (mu * impulse * 0.5 - rate)).simd_gt(left) & moving.taut;
    if !any::<S>(over) {
        return tension;
    }
    let most = (rate + (rate * rate + mu * left * 2.0).sqrt()) / (mu * with.before);
    over.select(greater::<S>(most, zero), tension)
}

/// How soon what is slack may be taut, 1/s: it must not jump far past that.
#[inline(always)]
fn closing<S: Simd>(
    with: &Shared<S>,
    built: &Built,
    h: usize,
    moving: &Moving<S>,
    hurried: S::f64s,
) -> S::f64s {
    let simd = with.simd;
    let room = -moving.beyond * CLOSING_SHARE * load(simd, &built.rest_m, h);
    let room = moving.taut.select(all(simd, f64::INFINITY), room);
    // What closes so slowly does not bound the step: it is not reckoned.
    if !any::<S>((hurried * (LONGEST_STEP_S * 1.01)).simd_gt(room)) {
        return all(simd, 0.0);
    }
    // Never finer than the step of the line about as taut as it will be.
    let mut stiff = load(simd, &built.stiffest_kg_s, h);
    if with.kind.curved {
        let entering = hurried * (with.before * 2.0) * load(simd, &built.inv_rest, h);
        let share = entering * load(simd, &built.inv_width, h);
        stiff *= rough_powers(simd, share, load(simd, &built.half_above_one, h));
    }
    let as_taut = stiff * load(simd, &built.inv_mass, h) * with.per_wave;
    let bound = lesser::<S>(hurried, as_taut * room) / greater::<S>(room, all(simd, 1e-12));
    // Of a taut one the room is endless.
    moving.taut.select(all(simd, 0.0), bound)
}

/// The part of a segment's rate that its neighbours share (monotonised central
/// limiter, van Leer, J. Comput. Phys. 23 (1977)); nothing where the sign turns.
#[inline(always)]
fn shared<S: Simd>(simd: S, own: S::f64s, before: S::f64s, after: S::f64s) -> S::f64s {
    let sign = all(simd, 1.0).copysign(own);
    let (a, b, c) = (sign * before, sign * after, sign * own);
    let least = lesser::<S>(a * 2.0, b * 2.0);
    let least = lesser::<S>(least, (a + b) * 0.5);
    let least = lesser::<S>(least, c);
    sign * greater::<S>(least, all(simd, 0.0))
}
