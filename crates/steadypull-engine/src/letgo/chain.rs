//! The parted line as a chain of lumped masses in three dimensions.
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
//! Air: `½ρ d l (C_n |v_n| v_n + π C_t |v_t| v_t)` a segment, across and along.
//! Steps: leapfrog (velocities half a step behind positions), with the step set
//! each time from the fastest wave, so that slack flight costs little.
//!
//! Assumes no bending stiffness and that the line does not collide with itself.
//! Source: design note of this project; CV-ROD-01 to -14.

use super::bodies::{Bodies, minus, square};
use super::corner::Corner;
use super::damper::Grip;
use super::ground::Surface;
use super::segment_law::SegmentLaw;
use super::tether::TetherLine;

/// Drag of a long cylinder across the flow (Hoerner, from memory: 1.1 to 1.2).
pub(super) const DRAG_ACROSS: f64 = 1.2;
/// Skin friction along a line on its surface: assumed at the low end of rough
/// cylinders, so that it takes too little energy rather than too much.
pub(super) const DRAG_ALONG: f64 = 0.01;

/// Share of the stability limit that is used.
const STEP_SHARE: f64 = 0.7;
/// Part of the way to going taut that a slack segment may close in one step.
const CLOSING_SHARE: f64 = 0.7;
/// Sweeps from a corner within which a segment's work is summed exactly.
const CORNER_MARGIN: f64 = 3.0;
/// Share of the contact radius that a step may close just before a pick-up.
const NEAR_PICK_UP: f64 = 0.003;
/// Longest step whatever the motion.
const LONGEST_STEP_S: f64 = 1e-3;

/// Segments of one line: `from..to` in the chain.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    pub from: usize,
    pub to: usize,
    pub law: SegmentLaw,
}

/// Segments in flat lists.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Segments {
    pub rest_m: Vec<f64>,
    pub inv_rest: Vec<f64>,
    /// One over the segment's mass, 1/kg.
    pub inv_mass: Vec<f64>,
    /// Half air density times diameter times rest length, kg/m.
    pub air_kg_m: Vec<f64>,
    /// How far the limiter spares it the viscosity, 0 to 1.
    pub limited: Vec<f64>,
    /// Direction towards the free end.
    pub ux: Vec<f64>,
    pub uy: Vec<f64>,
    pub uz: Vec<f64>,
    pub strain: Vec<f64>,
    /// Speed at which its ends part, m/s.
    pub rate: Vec<f64>,
    /// Slope of the tension, N per unit strain; nothing at a corner or while slack.
    pub slope_n: Vec<f64>,
    /// Tension whose work has been done so far in this step, N, and the impulse
    /// owed to bring it to the mean over the step, N·s.
    pub mean_n: Vec<f64>,
    pub owed_n_s: Vec<f64>,
    /// Elastic, viscous and damping tension, N.
    pub elastic_n: Vec<f64>,
    pub viscous_n: Vec<f64>,
    pub dashpot_n: Vec<f64>,
    /// Viscosity of the cell it is in, kg/s; nothing while slack.
    pub impedance: Vec<f64>,
    /// Energy turned to heat so far, J.
    pub viscous_j: Vec<f64>,
    pub dashpot_j: Vec<f64>,
}

/// Who holds the far end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Holder {
    /// One over its mass; 0 for a fixed end.
    pub inv_mass: f64,
    /// Impulse it has taken from the line, N·s.
    pub impulse: [f64; 3],
    /// Pull on it now, N.
    pub pull: [f64; 3],
}

/// The chain with all that acts on it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    pub bodies: Bodies,
    pub segments: Segments,
    pub runs: Vec<Run>,
    pub grips: Vec<Grip>,
    pub tethers: Vec<TetherLine>,
    pub corners: Vec<Corner>,
    pub holder: Holder,
    pub gravity: [f64; 3],
    pub ground: Option<Surface>,
    /// Velocity of the air, m/s.
    pub wind: [f64; 3],
    /// The step, where it is not to be chosen by the wave.
    pub fixed_step_s: Option<f64>,
    /// Half air density times drag area of each body, kg/m.
    pub body_air_kg_m: Vec<(usize, f64)>,
    pub air: bool,
    pub viscosity: f64,
    pub dashpot_n_s: f64,
    /// Share of a segment's speed difference that the hardware's inertia carries on.
    pub tip_inertia: f64,
    /// Whether any segment carries load.
    pub taut: bool,
    /// Longest step the grips allow.
    pub grip_step_s: f64,
    pub time_s: f64,
    pub step_s: f64,
    pub steps: u64,
    /// Time over which forces have acted so far, half a step behind `time_s`.
    pub kicked_s: f64,
}

impl Chain {
    /// Node at the free end; also the number of segments.
    pub fn tip(&self) -> usize {
        self.segments.rest_m.len()
    }

    /// Moves on by one step, not past `end_s`.
    pub fn step(&mut self, end_s: f64) {
        self.bodies.fx.fill(0.0);
        self.bodies.fy.fill(0.0);
        self.bodies.fz.fill(0.0);
        let limits = self.stretch();
        self.viscosity_pull();
        self.spread();
        if self.air {
            self.air_drag();
        }
        for grip in self.grips.iter_mut().filter(|grip| grip.holds()) {
            grip.pull(&mut self.bodies, &self.segments.rest_m);
        }
        for tether in &mut self.tethers {
            tether.pull(&mut self.bodies, self.time_s, self.step_s);
        }
        let next_s = self.next_step_s(limits).min(end_s - self.time_s).max(1e-12);
        self.kick(0.5 * (self.step_s + next_s), next_s);
        self.bodies.drift(next_s);
        self.time_s += next_s;
        self.step_s = next_s;
        self.steps += 1;
        let tip = self.tip();
        for grip in &mut self.grips {
            grip.meet(&mut self.bodies, tip, self.time_s);
        }
    }

    /// Directions, rates and elastic tensions; gives the fastest wave and the
    /// quickest tightening, both 1/s.
    #[inline(never)]
    fn stretch(&mut self) -> (f64, f64) {
        let n = self.tip();
        let b = &self.bodies;
        let (x, y, z) = (&b.x[..=n], &b.y[..=n], &b.z[..=n]);
        let (vx, vy, vz) = (&b.vx[..=n], &b.vy[..=n], &b.vz[..=n]);
        let s = &mut self.segments;
        let (ux, uy, uz) = (&mut s.ux[..n], &mut s.uy[..n], &mut s.uz[..n]);
        let (rate, rest, inv_rest) = (&mut s.rate[..n], &s.rest_m[..n], &s.inv_rest[..n]);
        let (elastic, impedance, inv_mass) = (
            &mut s.elastic_n[..n],
            &mut s.impedance[..n],
            &s.inv_mass[..n],
        );
        let strains = &mut s.strain[..n];
        // Plain arithmetic first, so that it runs in lanes.
        for i in 0..n {
            let (dx, dy, dz) = (x[i + 1] - x[i], y[i + 1] - y[i], z[i + 1] - z[i]);
            let (wx, wy, wz) = (vx[i + 1] - vx[i], vy[i + 1] - vy[i], vz[i + 1] - vz[i]);
            let length = (dx * dx + dy * dy + dz * dz).sqrt();
            let inverse = 1.0 / length.max(1e-12);
            ux[i] = dx * inverse;
            uy[i] = dy * inverse;
            uz[i] = dz * inverse;
            rate[i] = ux[i] * wx + uy[i] * wy + uz[i] * wz;
            strains[i] = length * inv_rest[i] - 1.0;
            impedance[i] = wx.abs() + wy.abs() + wz.abs();
        }
        let (mut fastest, mut tightening) = (0.0_f64, 0.0_f64);
        let per_wave = 1.0 / wave_step_share(self.viscosity);
        let slope = &mut s.slope_n[..n];
        self.corners.clear();
        let half_step = 0.5 * self.step_s;
        for (k, run) in self.runs.iter().enumerate() {
            for i in run.from..run.to {
                let strain = strains[i];
                let pull = run.law.pull(strain);
                let sweep = half_step * (rate[i] * inv_rest[i]).abs();
                let beyond = strain - run.law.slack_strain();
                let z = pull.impedance_kg_s;
                elastic[i] = if beyond.abs() < sweep {
                    // Mean over the strain it sweeps in a step: at the corner where
                    // it goes slack the tension at one place would do false work.
                    run.law.energy_j_m(strain + sweep) / (2.0 * sweep)
                } else {
                    pull.tension_n
                };
                // The kick may yet carry it over the corner.
                if beyond.abs() < CORNER_MARGIN * sweep {
                    slope[i] = 0.0;
                    self.corners.push(Corner { segment: i, run: k });
                } else {
                    slope[i] = z * z * rest[i] * inv_mass[i];
                }
                if z > 0.0 {
                    fastest = fastest.max(z * inv_mass[i]);
                } else {
                    let room = CLOSING_SHARE * (run.law.slack_strain() - strain) * rest[i];
                    // Never finer than the step of the line as taut as it will be.
                    let enters = 2.0 * impedance[i] * self.step_s * inv_rest[i];
                    let entered = run.law.pull(run.law.slack_strain() + enters).impedance_kg_s;
                    let taut = entered * inv_mass[i] * per_wave;
                    tightening = tightening.max(impedance[i].min(taut * room) / room.max(1e-12));
                }
                impedance[i] = z;
            }
        }
        self.taut = fastest > 0.0 || !self.corners.is_empty();
        (fastest, tightening)
    }

    /// Viscous and damping tensions.
    #[inline(never)]
    fn viscosity_pull(&mut self) {
        let n = self.tip();
        let s = &mut self.segments;
        let (rate, impedance, elastic) = (&s.rate[..n], &s.impedance[..n], &s.elastic_n[..n]);
        let viscous = &mut s.viscous_n[..n];
        let b = self.viscosity;
        let limited = &s.limited[..n];
        let one = |i: usize, before: f64, after: f64| -> f64 {
            let own = rate[i];
            let unshared = own - limited[i] * shared(own, before, after);
            (b * impedance[i] * unshared).max(-elastic[i])
        };
        for i in 1..n.saturating_sub(1) {
            viscous[i] = one(i, rate[i - 1], rate[i + 1]);
        }
        // The held end mirrors the wave; at the free end nothing pulls but the
        // inertia of the hardware.
        let last = n - 1;
        let beyond = self.tip_inertia * rate[last];
        if n > 1 {
            viscous[0] = one(0, rate[0], rate[1]);
            viscous[last] = one(last, rate[last - 1], beyond);
        } else {
            viscous[0] = one(0, rate[0], beyond);
        }
        if self.dashpot_n_s > 0.0 {
            for i in 0..n {
                let taut = if impedance[i] > 0.0 {
                    self.dashpot_n_s
                } else {
                    0.0
                };
                let left = elastic[i] + viscous[i];
                s.dashpot_n[i] = (taut * rate[i] * s.inv_rest[i]).max(-left);
            }
        }
    }

    /// Tensions to forces on the nodes.
    #[inline(never)]
    fn spread(&mut self) {
        let n = self.tip();
        let s = &self.segments;
        let (ux, uy, uz) = (&s.ux[..n], &s.uy[..n], &s.uz[..n]);
        let (el, vi, da) = (&s.elastic_n[..n], &s.viscous_n[..n], &s.dashpot_n[..n]);
        let b = &mut self.bodies;
        let (fx, fy, fz) = (&mut b.fx[..=n], &mut b.fy[..=n], &mut b.fz[..=n]);
        for i in 0..n {
            let pull = el[i] + vi[i] + da[i];
            fx[i] += pull * ux[i];
            fy[i] += pull * uy[i];
            fz[i] += pull * uz[i];
            fx[i + 1] -= pull * ux[i];
            fy[i + 1] -= pull * uy[i];
            fz[i + 1] -= pull * uz[i];
        }
    }

    #[inline(never)]
    fn air_drag(&mut self) {
        let n = self.tip();
        let s = &self.segments;
        let b = &mut self.bodies;
        b.air_x.fill(0.0);
        b.air_y.fill(0.0);
        b.air_z.fill(0.0);
        let (ux, uy, uz, air) = (&s.ux[..n], &s.uy[..n], &s.uz[..n], &s.air_kg_m[..n]);
        let (vx, vy, vz) = (&b.vx[..=n], &b.vy[..=n], &b.vz[..=n]);
        let (ax, ay, az) = (&mut b.air_x[..=n], &mut b.air_y[..=n], &mut b.air_z[..=n]);
        let wind = self.wind;
        for i in 0..n {
            let (wx, wy, wz) = (
                0.5 * (vx[i] + vx[i + 1]) - wind[0],
                0.5 * (vy[i] + vy[i + 1]) - wind[1],
                0.5 * (vz[i] + vz[i + 1]) - wind[2],
            );
            let along = wx * ux[i] + wy * uy[i] + wz * uz[i];
            let (nx, ny, nz) = (wx - along * ux[i], wy - along * uy[i], wz - along * uz[i]);
            let across = (nx * nx + ny * ny + nz * nz).sqrt();
            // Half to each end.
            let k = -0.5 * air[i];
            let kn = k * DRAG_ACROSS * across;
            let kt = k * core::f64::consts::PI * DRAG_ALONG * along.abs() * along;
            let (dx, dy, dz) = (
                kn * nx + kt * ux[i],
                kn * ny + kt * uy[i],
                kn * nz + kt * uz[i],
            );
            ax[i] += dx;
            ay[i] += dy;
            az[i] += dz;
            ax[i + 1] += dx;
            ay[i + 1] += dy;
            az[i + 1] += dz;
        }
        for &(i, k) in &self.body_air_kg_m {
            if b.mass[i] > 0.0 {
                let in_air = minus(b.velocity(i), wind);
                let k = -k * square(in_air).sqrt();
                b.air_x[i] += k * in_air[0];
                b.air_y[i] += k * in_air[1];
                b.air_z[i] += k * in_air[2];
            }
        }
        for i in 0..b.count() {
            b.fx[i] += b.air_x[i];
            b.fy[i] += b.air_y[i];
            b.fz[i] += b.air_z[i];
        }
    }

    fn next_step_s(&self, (fastest, tightening): (f64, f64)) -> f64 {
        if let Some(step) = self.fixed_step_s {
            return step;
        }
        let wave = wave_step_share(self.viscosity) / fastest.max(1e-9);
        let mut step = wave
            .min(1.0 / tightening.max(1e-9))
            .min(LONGEST_STEP_S)
            .min(self.grip_step_s);
        if self.dashpot_n_s > 0.0 {
            let stiffest = self
                .segments
                .inv_mass
                .iter()
                .zip(&self.segments.inv_rest)
                .map(|(m, l)| self.dashpot_n_s * l * m)
                .fold(0.0, f64::max);
            step = step.min(0.3 / stiffest.max(1e-9));
        }
        for tether in &self.tethers {
            // The held end does not move with the tether.
            let far = self.bodies.mass[tether.segment + 1];
            let near = match tether.segment {
                0 => far,
                i => self.bodies.mass[i],
            };
            step = step.min(tether.longest_step_s(near.min(far)));
        }
        let tip_speed = self.bodies.speed(self.tip());
        for grip in self.grips.iter().filter(|grip| grip.holds()) {
            let closing = tip_speed + self.bodies.speed(grip.body);
            let radius = grip.contact_radius_m.max(0.01);
            step = step.min(0.3 * radius / closing.max(1.0));
            if !self.tethers.is_empty() {
                // A pick-up changes speeds at once, half a step out of time with the
                // pull of a tether that is taut: it is met in small steps.
                let apart = minus(self.bodies.place(grip.body), self.bodies.place(self.tip()));
                let gap = square(apart).sqrt() - grip.contact_radius_m;
                step = step.min((0.5 * gap).max(NEAR_PICK_UP * radius) / closing.max(1.0));
            }
        }
        // Growing gently keeps the leapfrog close to its even-step accuracy; the
        // first steps, across the jump of the cut, are small.
        if self.steps > 0 {
            step.min(1.2 * self.step_s)
        } else {
            0.1 * step
        }
    }

    fn kick(&mut self, dt_s: f64, drift_s: f64) {
        let slips: Vec<[f64; 3]> = self
            .grips
            .iter()
            .map(|g| g.slip_velocity(&self.bodies))
            .collect();
        self.bodies.remember();
        self.kick_holder(dt_s);
        self.kicked_s += dt_s;
        self.bodies.kick(dt_s, self.gravity);
        self.mend_work(dt_s, drift_s);
        if let Some(ground) = &self.ground {
            ground.meet(&mut self.bodies, drift_s);
        }
        self.count_heat(dt_s);
        if self.air {
            self.bodies.count_air(dt_s);
        }
        for (grip, before) in self.grips.iter_mut().zip(slips) {
            if grip.holds() {
                let after = grip.slip_velocity(&self.bodies);
                grip.count_work(before, after, dt_s);
            }
        }
        for tether in &mut self.tethers {
            tether.count(dt_s);
        }
    }

    fn kick_holder(&mut self, dt_s: f64) {
        let b = &mut self.bodies;
        let pull = [b.fx[0], b.fy[0], b.fz[0]];
        self.holder.pull = pull;
        // What the holder resists; a rolling vehicle resists nothing along x.
        let resisted = if self.holder.inv_mass > 0.0 {
            [0.0, pull[1], pull[2]]
        } else {
            pull
        };
        for (sum, part) in self.holder.impulse.iter_mut().zip(resisted) {
            *sum += part * dt_s;
        }
        b.vx[0] += pull[0] * self.holder.inv_mass * dt_s;
    }

    /// Work of viscosity and damping, from the rates before and after the kick.
    #[inline(never)]
    fn count_heat(&mut self, dt_s: f64) {
        let n = self.tip();
        let b = &self.bodies;
        let (vx, vy, vz) = (&b.vx[..=n], &b.vy[..=n], &b.vz[..=n]);
        let s = &mut self.segments;
        let (ux, uy, uz, rate) = (&s.ux[..n], &s.uy[..n], &s.uz[..n], &s.rate[..n]);
        let (vi, vi_j) = (&s.viscous_n[..n], &mut s.viscous_j[..n]);
        let (da, da_j) = (&s.dashpot_n[..n], &mut s.dashpot_j[..n]);
        let half = 0.5 * dt_s;
        for i in 0..n {
            let after = ux[i] * (vx[i + 1] - vx[i])
                + uy[i] * (vy[i + 1] - vy[i])
                + uz[i] * (vz[i + 1] - vz[i]);
            let parted = half * (rate[i] + after);
            vi_j[i] += vi[i] * parted;
            da_j[i] += da[i] * parted;
        }
    }
}

/// Step over the time a wave takes through a segment: leapfrog with lagged
/// viscosity is stable while `ν² + 2 b ν < 1`, `ν = c dt/dx`.
pub(super) fn wave_step_share(viscosity: f64) -> f64 {
    STEP_SHARE * ((viscosity * viscosity + 1.0).sqrt() - viscosity)
}

/// The part of a segment's rate that its neighbours share (monotonised central
/// limiter, van Leer, J. Comput. Phys. 23 (1977)); nothing where the sign turns.
#[inline(always)]
fn shared(own: f64, before: f64, after: f64) -> f64 {
    let sign = 1.0_f64.copysign(own);
    let (a, b, c) = (sign * before, sign * after, sign * own);
    let least = (2.0 * a).min(2.0 * b).min(0.5 * (a + b)).min(c);
    sign * least.max(0.0)
}
