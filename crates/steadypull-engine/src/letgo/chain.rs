//! The parted line as a chain of lumped masses in three dimensions, one run or several
//! side by side.
//!
//! Node `i` carries half the mass of the segments beside it. A segment of rest
//! length `l` at strain `e` pulls its ends together with
//! `T(e) + η de/dt + b Z(e) Δv*`, never less than nothing:
//!
//! - `T` the unloading branch (tension only), N, made to do its exact work (`stretch`)
//! - `η` physical damping, N·s; none by default
//! - `b Z Δv*` numerical viscosity: `Z = sqrt(μ dT/de)` the wave impedance, kg/s;
//!   `Δv*` the part of the axial speed difference across the segment that its
//!   neighbours do not share (a monotonised slope limiter after van Leer), m/s.
//!   A smooth wave feels next to none of it, a jump all of it. Without it a
//!   lumped chain throws its last node 1.47 times too fast (CV-ROD-14).
//!
//! Steps: leapfrog (velocities half a step behind
//! positions), with the step set each time from the fastest wave, so that slack flight
//! costs little. Every run has its own step and time.
//!
//! What a step does, and where: directions and tensions (`stretch`); drag, in longer steps
//! (`air`); the step (`pace`); the kick, the ground, the drift and the books (`motion`).
//! Grips and tethers are met one by one.
//!
//! Assumes no bending stiffness and that the line does not collide with itself.
//! Source: design note of this project; CV-ROD-01 to -14.

use fearless_simd::{Level, Simd, SimdBase};

use super::bodies::{Bodies, minus};
use super::damper::Grip;
use super::extents::Bounds;
use super::ground::Surface;
use super::lanes::{BLOCK, Block, MOST_ABREAST, WayBlock};
use super::segment_law::SegmentLaw;
use super::segments::Segments;
use super::tether::TetherLine;

/// Steps in a round. What is not done in every step is done in the same steps of a round
/// for all runs, whichever run beside others.
pub(super) const ROUND: u64 = 8;

/// What the runs of a chain have in common: those that differ in it do not run
/// side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kind {
    pub segments: usize,
    pub dampers: usize,
    pub tethers: usize,
    pub air: bool,
    pub ground: bool,
    pub rough: bool,
    pub viscous: bool,
    pub dashpot: bool,
    pub by_wave: bool,
    /// Whether any branch has an exponent other than 1.
    pub curved: bool,
}

/// Who holds the far end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Holder {
    /// One over its mass; 0 for a fixed end.
    pub inv_mass: f64,
    /// Impulse it has taken from the line, N·s.
    pub impulse: [f64; 3],
    /// Pull on it now, N.
    pub pull: [f64; 3],
}

/// What one run has for itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Lane {
    /// Whether a run goes on in it.
    pub busy: bool,
    pub grips: Vec<Grip>,
    pub tethers: Vec<TetherLine>,
    pub holder: Holder,
    pub gravity: [f64; 3],
    pub ground: Option<Surface>,
    pub wind: [f64; 3],
    /// Half air density times drag area of the hardware, kg/m.
    pub hardware_air_kg_m: f64,
    pub viscosity: f64,
    /// Share of a wave's time through a segment that a step may take.
    pub wave_share: f64,
    pub dashpot_n_s: f64,
    /// Share of a segment's speed difference that the hardware's inertia carries on.
    pub tip_inertia: f64,
    /// What all chosen steps are multiplied by.
    pub pace: f64,
    /// Longest steps that grips and damping allow.
    pub grip_step_s: f64,
    pub dashpot_step_s: f64,
    /// The step, where it is not to be chosen by the wave.
    pub fixed_step_s: Option<f64>,
    pub end_s: f64,
    pub time_s: f64,
    pub step_s: f64,
    pub steps: u64,
    /// Time over which forces have acted so far, half a step behind `time_s`.
    pub kicked_s: f64,
    /// Whether the air acts in this step, and the time for which it has acted so far.
    pub air_due: bool,
    pub aired_s: f64,
}

impl Default for Lane {
    fn default() -> Self {
        Self {
            busy: false,
            grips: Vec::new(),
            tethers: Vec::new(),
            holder: Holder::default(),
            gravity: [0.0; 3],
            ground: None,
            wind: [0.0; 3],
            hardware_air_kg_m: 0.0,
            viscosity: 0.0,
            wave_share: 1.0,
            dashpot_n_s: 0.0,
            tip_inertia: 0.0,
            pace: 1.0,
            grip_step_s: f64::INFINITY,
            dashpot_step_s: f64::INFINITY,
            // An empty lane stands still: any step will do.
            fixed_step_s: Some(1e-6),
            end_s: f64::INFINITY,
            time_s: 0.0,
            step_s: 0.0,
            steps: 0,
            kicked_s: 0.0,
            air_due: false,
            aired_s: 0.0,
        }
    }
}

/// Numbers that every kernel of a step needs, one a run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Timing {
    /// The step that led here, s.
    pub before: Block,
    /// Time over which the forces act, s.
    pub kick: Block,
    /// The step from here, s.
    pub drift: Block,
    /// The kicks for which the air acts at once; nothing where it is not due.
    pub air_kicks: Block,
}

/// Numbers of the runs that stay as they are, one a run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Common {
    pub gravity: WayBlock,
    pub wind: WayBlock,
    pub viscosity: Block,
    pub dashpot: Block,
    /// One over the share of a wave's time through a segment that a step may take.
    pub per_wave: Block,
    pub friction: Block,
    /// Height of the highest crest of the ground, m.
    pub crest_m: Block,
}

/// Chains with all that acts on them, one or a few side by side.
#[derive(Debug, Clone)]
pub(super) struct Chain {
    pub kind: Kind,
    /// Runs side by side: a power of two, at most the numbers of a pack.
    pub w: usize,
    /// Blocks of segments; of nodes one more.
    pub blocks: usize,
    pub bodies: Bodies,
    pub segments: Segments,
    pub lanes: Vec<Lane>,
    pub timing: Timing,
    pub common: Common,
    pub bounds: Bounds,
    /// Steps of all.
    pub steps: u64,
    /// The instructions that the steps are made of.
    level: Level,
}

/// Runs that go side by side with the instructions of `level`: no more than a pack has
/// places, so that a pack holds the same runs everywhere.
fn abreast(level: Level) -> usize {
    fearless_simd::dispatch!(level, simd => len_of(simd)).min(MOST_ABREAST)
}

#[inline(always)]
fn len_of<S: Simd>(_: S) -> usize {
    <S::f64s as SimdBase<S>>::LEN
}

impl Chain {
    /// Empty chains of a kind, one or as many side by side as go with `level`.
    pub fn new(kind: Kind, side_by_side: bool, level: Level) -> Self {
        let w = if side_by_side { abreast(level) } else { 1 };
        let blocks = (kind.segments * w).div_ceil(BLOCK);
        Self {
            kind,
            w,
            blocks,
            bodies: Bodies::new(w, blocks + 1, kind.dampers),
            segments: Segments::new(blocks),
            lanes: vec![Lane::default(); w],
            timing: Timing::default(),
            common: Common::default(),
            bounds: Bounds::default(),
            steps: 0,
            level,
        }
    }

    /// Node at the free end; also the number of segments.
    #[inline(always)]
    pub fn tip(&self) -> usize {
        self.kind.segments
    }

    /// Place of number `i` of run `l` in the lists.
    #[inline(always)]
    pub fn at(&self, i: usize, l: usize) -> usize {
        i * self.w + l
    }

    /// Bodies of run `l`: nodes from the held to the free end, then dampers.
    pub fn all_bodies(&self) -> impl Iterator<Item = usize> + use<> {
        let dampers = self.bodies.dampers_from;
        (0..=self.tip()).chain(dampers..dampers + self.kind.dampers)
    }

    /// Rest length of segment `i` of run `l`, m.
    pub fn rest_m(&self, i: usize, l: usize) -> f64 {
        let e = self.at(i, l);
        self.segments.built[e / BLOCK].rest_m[e % BLOCK]
    }

    /// One over the mass of segment `i` of run `l`, 1/kg.
    pub fn line_inv_kg(&self, i: usize, l: usize) -> f64 {
        let e = self.at(i, l);
        self.segments.built[e / BLOCK].inv_mass[e % BLOCK]
    }

    /// Whether a run may be laid now: at the start of a round.
    pub fn may_begin(&self) -> bool {
        self.steps.is_multiple_of(ROUND)
    }

    /// A number of each run, again and again.
    #[inline(always)]
    pub fn each(&self, of: impl Fn(&Lane) -> f64) -> Block {
        Block(core::array::from_fn(|k| of(&self.lanes[k & (self.w - 1)])))
    }

    /// Gathers what stays as it is, after a lane has changed hands.
    pub fn gather_common(&mut self) {
        let way = |of: &dyn Fn(&Lane) -> [f64; 3]| WayBlock {
            x: self.each(|lane| of(lane)[0]),
            y: self.each(|lane| of(lane)[1]),
            z: self.each(|lane| of(lane)[2]),
        };
        let ground =
            |of: &dyn Fn(&Surface) -> f64| self.each(|lane| lane.ground.as_ref().map_or(0.0, of));
        self.common = Common {
            gravity: way(&|lane| lane.gravity),
            wind: way(&|lane| lane.wind),
            viscosity: self.each(|lane| lane.viscosity),
            dashpot: self.each(|lane| lane.dashpot_n_s),
            per_wave: self.each(|lane| 1.0 / lane.wave_share),
            friction: ground(&|ground| ground.friction),
            crest_m: ground(&|ground| ground.crest_m()),
        };
    }

    /// Moves every run on by one step of its own, not past its end.
    pub fn step(&mut self) {
        #[cfg(feature = "scalar")]
        if let Level::Fallback(simd) = self.level {
            return self.a_step::<_, 2>(simd);
        }
        // Each way is compiled by itself: three are enough.
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        if let Some(simd) = self.level.as_avx512() {
            simd.vectorize(
                #[inline(always)]
                || self.a_step::<_, 4>(simd),
            );
        } else if let Some(simd) = self.level.as_avx2() {
            simd.vectorize(
                #[inline(always)]
                || self.a_step::<_, 4>(simd),
            );
        } else if let Some(simd) = self.level.as_sse2() {
            simd.vectorize(
                #[inline(always)]
                || self.a_step::<_, 2>(simd),
            );
        }
        #[cfg(not(any(target_arch = "x86", target_arch = "x86_64")))]
        fearless_simd::dispatch!(self.level, simd => self.a_step::<_, 2>(simd));
    }

    /// A step of runs alone or as many as go side by side.
    #[inline(always)]
    fn a_step<S: Simd, const ABREAST: usize>(&mut self, simd: S) {
        if self.w == 1 {
            self.one_step::<S, 1>(simd);
        } else {
            debug_assert_eq!(self.w, ABREAST, "as `abreast` says");
            self.one_step::<S, ABREAST>(simd);
        }
    }

    #[inline(always)]
    fn one_step<S: Simd, const W: usize>(&mut self, simd: S) {
        self.timing.before = self.timing.drift;
        let air = self.air_due();
        let hurry = self.stretch::<S, W>(simd, air);
        if self.kind.viscous {
            self.add_viscosity::<S, W>(simd);
        }
        if air {
            self.drag_hardware::<W>();
        }
        if self.kind.dampers + self.kind.tethers > 0 {
            self.grips_and_tethers();
        }
        self.choose_steps::<W>(&hurry, len_of(simd));
        self.move_on::<S, W>(simd, air);
        self.steps += 1;
        for lane in &mut self.lanes {
            lane.time_s += lane.step_s;
            lane.steps += 1;
        }
        self.note_extents(simd);
        if self.kind.dampers > 0 {
            self.pick_up();
        }
    }

    #[inline(never)]
    fn grips_and_tethers(&mut self) {
        let b = &mut self.bodies;
        b.pushed.clear();
        for lane in self.lanes.iter_mut().filter(|lane| lane.busy) {
            for grip in lane.grips.iter_mut().filter(|grip| grip.holds()) {
                grip.pull(b, &self.segments.built, self.kind.segments, lane.wind);
            }
            for tether in &mut lane.tethers {
                tether.pull(b, lane.time_s, lane.step_s);
            }
        }
    }

    #[inline(never)]
    fn pick_up(&mut self) {
        let (tip, b) = (self.kind.segments, &mut self.bodies);
        for (l, lane) in self.lanes.iter_mut().enumerate() {
            let before = b.velocity(tip, l);
            for grip in &mut lane.grips {
                grip.meet(b, tip, lane.time_s);
            }
            let jump = minus(b.velocity(tip, l), before);
            if jump != [0.0; 3] {
                let last = (tip - 1) * self.w + l;
                self.segments.jumped(last, self.timing.kick[l], jump);
            }
        }
    }

    /// Empties lane `l`: nothing in it moves or pulls.
    pub fn park(&mut self, l: usize) {
        self.lanes[l] = Lane::default();
        let timing = &mut self.timing;
        for list in [&mut timing.drift, &mut timing.kick, &mut timing.air_kicks] {
            for k in (l..BLOCK).step_by(self.w) {
                list[k] = 0.0;
            }
        }
        self.bodies.clear(l);
        let (w, s) = (self.w, &mut self.segments);
        for e in (l..s.laws.len()).step_by(w) {
            s.laws[e] = SegmentLaw::NONE;
            s.set_air(e, [0.0; 3]);
        }
        for (built, state) in s.built.iter_mut().zip(&mut s.state) {
            for k in (l..BLOCK).step_by(w) {
                built.clear(k);
                state.clear(k);
            }
        }
        self.gather_common();
    }
}
