//! The parted line as a chain of lumped masses in three dimensions, one run or four
//! side by side.
//!
//! Node `i` carries half the mass of the segments beside it. A segment of rest
//! length `l` at strain `e` pulls its ends together with
//! `T(e) + η de/dt + b Z(e) Δv*`, never less than nothing:
//!
//! - `T` the unloading branch (tension only), N
//! - `η` physical damping, N·s; none by default
//! - `b Z Δv*` numerical viscosity: `Z = sqrt(μ dT/de)` the wave impedance, kg/s;
//!   `Δv*` the part of the axial speed difference across the segment that its
//!   neighbours do not share (a monotonised slope limiter after van Leer), m/s.
//!   A smooth wave feels next to none of it, a jump all of it. Without it a
//!   lumped chain throws its last node 1.47 times too fast (CV-ROD-14).
//!
//! Air: `½ρ d l (C_n |v_n| v_n + π C_t |v_t| v_t)` a segment, across and along, `v` its
//! velocity relative to the wind. Steps: leapfrog (velocities half a step behind
//! positions), with the step set each time from the fastest wave, so that slack flight
//! costs little. Every run has its own step and time.
//!
//! What a step does, and where: directions, tensions and air ([`super::stretch`]); the
//! step (`pace`); the kick, the ground, the drift and the books (`motion`); work mended
//! after the kick (`corner`). Grips and tethers are met one by one.
//!
//! Assumes no bending stiffness and that the line does not collide with itself.
//! Source: design note of this project; CV-ROD-01 to -14.

use super::bodies::Bodies;
use super::corner::Corner;
use super::damper::Grip;
use super::ground::Surface;
use super::lanes::{Four, PACK, Way, Ways, flat, get, set};
use super::segment_law::SegmentLaw;
use super::tether::TetherLine;

/// Drag of a long cylinder across the flow (Hoerner, from memory: 1.1 to 1.2).
pub(super) const DRAG_ACROSS: f64 = 1.2;
/// Skin friction along a line on its surface: assumed at the low end of rough
/// cylinders, so that it takes too little energy rather than too much.
pub(super) const DRAG_ALONG: f64 = 0.01;

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

/// Segments in lists of packs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Segments {
    pub rest_m: Vec<Four>,
    pub inv_rest: Vec<Four>,
    /// One over the segment's mass, 1/kg.
    pub inv_mass: Vec<Four>,
    /// Wave impedance at parting, kg/s.
    pub stiffest_kg_s: Vec<Four>,
    /// Half air density times diameter times rest length, kg/m.
    pub air_kg_m: Vec<Four>,
    /// How far the limiter spares it the viscosity, 0 to 1.
    pub limited: Vec<Four>,
    /// The unloading branch: strain where it goes slack, one over its width, tension
    /// and slope at parting, half of the exponent less 1.
    pub slack: Vec<Four>,
    pub inv_width: Vec<Four>,
    pub most_n: Vec<Four>,
    pub steepest_n: Vec<Four>,
    pub half_above_one: Vec<Four>,
    /// Energy over tension times strain, `1/(p + 1)`.
    pub work_share: Vec<Four>,
    /// Its far end less its near end, m, and how fast that changes, m/s.
    pub way: Ways,
    pub parting: Ways,
    /// Direction towards the free end.
    pub u: Ways,
    /// Strain less that at which it goes slack.
    pub beyond: Vec<Four>,
    /// Speed at which its ends part, m/s; one pack before the first segment.
    pub rate: Vec<Four>,
    /// Slope of the tension, N per unit strain; nothing at a corner or while slack.
    pub slope_n: Vec<Four>,
    /// Wave impedance, kg/s; nothing while slack.
    pub impedance: Vec<Four>,
    /// Elastic, viscous and damping tension and their sum, N.
    pub elastic_n: Vec<Four>,
    pub viscous_n: Vec<Four>,
    pub dashpot_n: Vec<Four>,
    pub pull_n: Vec<Four>,
    /// Whether any of the pack carries load or may in this step.
    pub pulling: Vec<bool>,
    /// Whether any of the pack may go slack or taut in this step.
    pub turning: Vec<bool>,
    /// Its pull on its near end, N; one pack before the first segment.
    pub drawn_n: Ways,
    /// Half the drag of the air on it, N; past the last segment that of the hardware;
    /// one pack before the first.
    pub air_n: Ways,
    /// Tension whose work has been done so far in this step, N.
    pub mean_n: Vec<Four>,
    /// Energy turned to heat so far, J.
    pub viscous_j: Vec<Four>,
    pub dashpot_j: Vec<Four>,
    /// The branch again, for what is worked out one by one.
    pub laws: Vec<SegmentLaw>,
}

impl Segments {
    fn new(packs: usize) -> Self {
        let zero = || vec![Four::ZERO; packs + 1];
        Self {
            rest_m: zero(),
            inv_rest: zero(),
            inv_mass: zero(),
            stiffest_kg_s: zero(),
            air_kg_m: zero(),
            limited: zero(),
            slack: zero(),
            inv_width: zero(),
            most_n: zero(),
            steepest_n: zero(),
            half_above_one: zero(),
            work_share: zero(),
            way: Ways::new(packs),
            parting: Ways::new(packs),
            u: Ways::new(packs + 1),
            beyond: zero(),
            rate: vec![Four::ZERO; packs + 2],
            slope_n: zero(),
            impedance: zero(),
            elastic_n: zero(),
            viscous_n: zero(),
            dashpot_n: zero(),
            pull_n: zero(),
            pulling: vec![false; packs + 1],
            turning: vec![false; packs],
            drawn_n: Ways::new(packs + 2),
            air_n: Ways::new(packs + 2),
            mean_n: zero(),
            viscous_j: zero(),
            dashpot_j: zero(),
            laws: vec![SegmentLaw::NONE; packs * PACK],
        }
    }
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
        }
    }
}

/// Numbers that every kernel of a step needs, a lane each.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Timing {
    /// The step that led here, s.
    pub before: Four,
    /// Time over which the forces act, s.
    pub kick: Four,
    /// The step from here, s.
    pub drift: Four,
}

/// Numbers of the runs that stay as they are, a lane each.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Common {
    pub gravity: Way,
    pub wind: Way,
    pub viscosity: Four,
    pub dashpot: Four,
    /// One over the share of a wave's time through a segment that a step may take.
    pub per_wave: Four,
    pub friction: Four,
    /// Height of the highest crest of the ground, m.
    pub crest_m: Four,
}

/// `W` chains with all that acts on them.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain<const W: usize> {
    pub kind: Kind,
    /// Packs of segments; of nodes one more.
    pub packs: usize,
    pub bodies: Bodies<W>,
    pub segments: Segments,
    pub lanes: Vec<Lane>,
    pub corners: Vec<Corner>,
    /// Whether any segment of any run carries load within its branch.
    pub taut: bool,
    pub timing: Timing,
    pub common: Common,
    #[cfg(target_arch = "x86_64")]
    avx2: Option<super::wide::Avx2>,
}

impl<const W: usize> Chain<W> {
    /// Empty chains of a kind.
    pub fn new(kind: Kind) -> Self {
        let packs = (kind.segments * W).div_ceil(PACK);
        Self {
            kind,
            packs,
            bodies: Bodies::new(packs + 1, kind.dampers),
            segments: Segments::new(packs),
            lanes: vec![Lane::default(); W],
            corners: Vec::with_capacity(kind.segments * W),
            taut: true,
            timing: Timing::default(),
            common: Common::default(),
            #[cfg(target_arch = "x86_64")]
            avx2: super::wide::Avx2::detected(),
        }
    }

    /// Node at the free end; also the number of segments.
    pub fn tip(&self) -> usize {
        self.kind.segments
    }

    /// Bodies of run `l`: nodes from the held to the free end, then dampers.
    pub fn all_bodies(&self) -> impl Iterator<Item = usize> + use<W> {
        let dampers = self.bodies.dampers_from;
        (0..=self.tip()).chain(dampers..dampers + self.kind.dampers)
    }

    /// Rest length of segment `i` of run `l`, m.
    pub fn rest_m(&self, i: usize, l: usize) -> f64 {
        get(&self.segments.rest_m, flat::<W>(i, l))
    }

    /// A number of each run, as a pack.
    #[inline(always)]
    pub fn each(&self, of: impl Fn(&Lane) -> f64) -> Four {
        let mut pack = Four::ZERO;
        for (k, x) in pack.0.iter_mut().enumerate() {
            *x = of(&self.lanes[k % W]);
        }
        pack
    }

    /// Gathers what stays as it is, after a lane has changed hands.
    pub fn gather_common(&mut self) {
        let way = |of: &dyn Fn(&Lane) -> [f64; 3]| Way {
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
        #[cfg(target_arch = "x86_64")]
        if let Some(avx2) = self.avx2 {
            return avx2.step(self);
        }
        self.one_step();
    }

    /// Chooses the instructions of the steps: the widest there are, or those that every
    /// processor of its kind has.
    pub fn choose_instructions(&mut self, wide: bool) {
        #[cfg(target_arch = "x86_64")]
        {
            self.avx2 = super::wide::Avx2::detected().filter(|_| wide);
        }
        #[cfg(not(target_arch = "x86_64"))]
        let _ = wide;
    }

    #[inline(always)]
    pub(super) fn one_step(&mut self) {
        self.timing.before = self.each(|lane| lane.step_s);
        let hurry = self.stretch();
        if self.taut && (self.kind.viscous || self.kind.dashpot) {
            self.damp();
        }
        self.meet_by_one();
        self.choose_steps(hurry);
        self.kick();
        self.mend_work();
        self.finish();
        for lane in &mut self.lanes {
            lane.time_s += lane.step_s;
            lane.steps += 1;
        }
        if self.kind.dampers > 0 {
            self.pick_up();
        }
    }

    /// Grips, tethers and the air on hardware and dampers.
    #[inline(always)]
    fn meet_by_one(&mut self) {
        let tip = self.kind.segments;
        if self.kind.air {
            for (l, lane) in self.lanes.iter().enumerate() {
                let e = flat::<W>(tip, l);
                let drag = drag(
                    lane.hardware_air_kg_m,
                    self.bodies.velocity.get(e),
                    lane.wind,
                );
                self.segments.air_n.set(e + PACK, drag);
            }
        }
        if self.kind.dampers + self.kind.tethers > 0 {
            self.grips_and_tethers();
        }
    }

    #[inline(never)]
    fn grips_and_tethers(&mut self) {
        let b = &mut self.bodies;
        for list in [&mut b.pushed.x, &mut b.pushed.y, &mut b.pushed.z] {
            list.fill(Four::ZERO);
        }
        for lane in self.lanes.iter_mut().filter(|lane| lane.busy) {
            for grip in lane.grips.iter_mut().filter(|grip| grip.holds()) {
                grip.pull(b, &self.segments.rest_m, self.kind.segments, lane.wind);
            }
            for tether in &mut lane.tethers {
                tether.pull(b, lane.time_s, lane.step_s);
            }
        }
    }

    #[inline(never)]
    fn pick_up(&mut self) {
        for lane in self.lanes.iter_mut().filter(|lane| lane.busy) {
            for grip in &mut lane.grips {
                grip.meet(&mut self.bodies, self.kind.segments, lane.time_s);
            }
        }
    }

    /// Empties lane `l`: nothing in it moves or pulls.
    pub fn park(&mut self, l: usize) {
        self.lanes[l] = Lane::default();
        self.bodies.clear(l);
        let s = &mut self.segments;
        let nothing = [
            &mut s.most_n,
            &mut s.steepest_n,
            &mut s.air_kg_m,
            &mut s.half_above_one,
            &mut s.work_share,
            &mut s.viscous_j,
            &mut s.dashpot_j,
            &mut s.viscous_n,
            &mut s.dashpot_n,
            &mut s.stiffest_kg_s,
            &mut s.inv_mass,
            &mut s.limited,
            &mut s.inv_width,
        ];
        for list in nothing {
            for e in (l..list.len() * PACK).step_by(W) {
                set(list, e, 0.0);
            }
        }
        for e in (l..s.rest_m.len() * PACK).step_by(W) {
            set(&mut s.rest_m, e, 1.0);
            set(&mut s.inv_rest, e, 1.0);
            // Further from taut than any strain there is.
            set(&mut s.slack, e, 1e30);
            s.air_n.set(e + PACK, [0.0; 3]);
        }
        self.gather_common();
    }
}

/// Quadratic drag on a body, N.
#[inline(always)]
pub(super) fn drag(air_kg_m: f64, velocity: [f64; 3], wind: [f64; 3]) -> [f64; 3] {
    let in_air = super::bodies::minus(velocity, wind);
    super::bodies::times(-air_kg_m * super::bodies::square(in_air).sqrt(), in_air)
}
