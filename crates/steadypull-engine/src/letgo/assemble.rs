//! From a setup to the chain at the moment the link lets go.

use super::bodies::Bodies;
use super::chain::{Chain, Holder, Kind, Lane};
use super::damper::Grip;
use super::ground::Surface;
use super::lanes::BLOCK;
use super::pace::{STEP_SHARE, wave_step_share};
use super::segment_law::SegmentLaw;
use super::setup::{HeldEnd, LinePart, Setup, StepChoice};
use super::stretch::SMALL_SWEEP;
use super::tether::TetherLine;
use super::tether_curve::TetherCurve;

/// Share of the line next to the free end that is launched off axis with it.
pub(super) const TAIL_SHARE: f64 = 0.05;

/// Segments over which the limiter fades in from a bare free end. With 32 the end
/// of a straight line alone is 0.8 % too fast, with 64 0.6 %, with 128 0.5 %; without
/// a limiter none, but heavy hardware then leaves 1 to 2 % too slow and a bare
/// stiffening line (p = 2, 64 segments) 1 %.
const GRADE_SEGMENTS: f64 = 128.0;
/// Hardware as heavy as this many segments resolves its own wave: it gets half of
/// the limiter at its segment, heavier more.
const HARDWARE_SEGMENTS: f64 = 6.0;

/// One segment before it is put into its lane.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Laid {
    rest_m: f64,
    line_kg_m: f64,
    air_kg_m: f64,
    law: SegmentLaw,
    /// Mass of the join at its end towards the free end, kg.
    joint_kg: f64,
}

impl Laid {
    fn kg(&self) -> f64 {
        self.rest_m * self.line_kg_m
    }
}

impl Kind {
    /// What the run of `setup` has in common with others.
    pub fn of(setup: &Setup) -> Self {
        let curved = |line: &LinePart| SegmentLaw::new(&line.unloading).above_one != 0.0;
        Self {
            segments: setup.segments,
            dampers: setup.dampers.len(),
            tethers: setup.tethers.len(),
            air: setup.air_kg_m3 > 0.0,
            ground: setup.ground.is_some(),
            rough: setup
                .ground
                .is_some_and(|ground| Surface::new(&ground).rough()),
            viscous: setup.viscosity > 0.0,
            dashpot: setup.dashpot_n_s > 0.0,
            by_wave: !matches!(setup.step, StepChoice::Fixed(_)),
            curved: setup.lines.iter().any(curved),
        }
    }
}

impl Chain {
    /// Lays the run of `setup`, which must have passed its check and be of this
    /// chain's kind, into lane `l`.
    pub fn lay(&mut self, l: usize, setup: &Setup, tethers_hold: bool) {
        self.park(l);
        let laid = lay_segments(setup);
        let hardware_kg = mass_at_tip(setup);
        let last_kg = laid[laid.len() - 1].kg();
        self.put_segments(
            l,
            &laid,
            hardware_kg / (hardware_kg + HARDWARE_SEGMENTS * last_kg),
        );
        let b = &mut self.bodies;
        lay_nodes(setup, &laid, b, l);
        let stiffest = laid
            .iter()
            .map(|segment| 0.25 * segment.law.steepest_n / segment.rest_m)
            .fold(f64::INFINITY, f64::min);
        let grips = hang_dampers(setup, &laid, b, l, stiffest);
        let tethers = tie_tethers(setup, &laid, b, l, tethers_hold);
        let holder = Holder {
            inv_mass: hold(setup, b, l),
            ..Holder::default()
        };
        set_speeds(setup, &laid, b, l);
        let stiffest_damping = laid
            .iter()
            .map(|segment| setup.dashpot_n_s / (segment.rest_m * segment.kg()))
            .fold(0.0, f64::max);
        self.lanes[l] = Lane {
            busy: true,
            grips,
            tethers,
            holder,
            gravity: gravity(setup),
            ground: setup.ground.as_ref().map(Surface::new),
            wind: setup.wind_m_s,
            hardware_air_kg_m: 0.5 * setup.air_kg_m3 * setup.hardware.drag_area.get(),
            viscosity: setup.viscosity,
            wave_share: wave_step_share(setup.viscosity),
            dashpot_n_s: setup.dashpot_n_s,
            tip_inertia: hardware_kg / (hardware_kg + last_kg),
            dashpot_step_s: if stiffest_damping > 0.0 {
                0.3 / stiffest_damping.max(1e-9)
            } else {
                f64::INFINITY
            },
            fixed_step_s: match setup.step {
                StepChoice::Fixed(step) => Some(step.get()),
                _ => None,
            },
            pace: match setup.step {
                StepChoice::Share(share) => share / STEP_SHARE,
                _ => 1.0,
            },
            end_s: setup.max_time.get(),
            ..Lane::default()
        };
        self.bound_grip_step(l);
        self.gather_common();
        let start = self.bodies.place(self.tip(), l);
        self.bounds.begin((l, self.w), start);
    }

    fn put_segments(&mut self, l: usize, laid: &[Laid], at_tip: f64) {
        let (w, s) = (self.w, &mut self.segments);
        let n = laid.len();
        for (i, segment) in laid.iter().enumerate() {
            let e = i * w + l;
            let law = segment.law;
            // Full viscosity at a bare free end, less and less of it away from the
            // end: there the jump of the cut has become a slope that the limiter can
            // carry.
            let from_tip = ((n - 1 - i) as f64 / GRADE_SEGMENTS).min(1.0);
            let stored_j = law.energy_j_m(law.max_strain) * segment.rest_m;
            let small_m = SMALL_SWEEP * segment.rest_m / law.inv_width;
            let (built, state) = (&mut s.built[e / BLOCK], &mut s.state[e / BLOCK]);
            for (list, x) in [
                (&mut built.rest_m, segment.rest_m),
                (&mut built.inv_rest, 1.0 / segment.rest_m),
                (&mut built.inv_mass, 1.0 / segment.kg()),
                (
                    &mut built.stiffest_kg_s,
                    (law.steepest_n * segment.line_kg_m).sqrt(),
                ),
                (&mut built.air_kg_m, segment.air_kg_m),
                (&mut built.limited, at_tip + (1.0 - at_tip) * from_tip),
                (&mut built.slack_ratio, 1.0 + law.slack_strain),
                (&mut built.inv_width, law.inv_width),
                (&mut built.most_n, law.most_n),
                (&mut built.half_above_one, 0.5 * law.above_one),
                (&mut built.store_m, segment.rest_m / (law.above_one + 2.0)),
                (&mut built.small_m2, small_m * small_m),
                (&mut state.given_j, stored_j),
            ] {
                list[e % BLOCK] = x;
            }
            s.laws[e] = law;
        }
    }

    fn bound_grip_step(&mut self, l: usize) {
        let b = &self.bodies;
        let lightest = (1..=self.kind.segments)
            .map(|i| b.mass(i, l))
            .fold(f64::INFINITY, f64::min);
        let lane = &mut self.lanes[l];
        for grip in &mut lane.grips {
            let step = grip.longest_step_s(b.mass(grip.body, l), lightest);
            lane.grip_step_s = lane.grip_step_s.min(step);
        }
    }
}

/// Gravity as it leans against sloping ground, m/s².
fn gravity(setup: &Setup) -> [f64; 3] {
    let (along, across) = setup.ground.map_or((0.0, 0.0), |ground| {
        (ground.slope.get(), ground.cross_slope.get())
    });
    let g = setup.gravity_m_s2;
    let into = g * libm::cos(along);
    [
        -g * libm::sin(along),
        -into * libm::sin(across),
        -into * libm::cos(across),
    ]
}

/// Hardware with the dampers hard against it, kg.
fn mass_at_tip(setup: &Setup) -> f64 {
    let against = setup
        .dampers
        .iter()
        .filter(|d| d.from_free_end <= d.contact_radius);
    setup.hardware.mass.get() + against.map(|d| d.mass.get()).sum::<f64>()
}

/// Segments of each line: by length, at least one each.
fn share_out(setup: &Setup) -> Vec<usize> {
    let total = setup.rest_length().get();
    let free = setup.segments - setup.lines.len();
    let exact: Vec<f64> = setup
        .lines
        .iter()
        .map(|line| free as f64 * line.length.get() / total)
        .collect();
    let mut counts: Vec<usize> = exact.iter().map(|e| 1 + *e as usize).collect();
    while counts.iter().sum::<usize>() < setup.segments {
        let owed = |i: &usize| exact[*i] - (counts[*i] - 1) as f64;
        let next = (0..counts.len())
            .max_by(|a, b| owed(a).total_cmp(&owed(b)))
            .unwrap_or(0);
        counts[next] += 1;
    }
    counts
}

fn lay_segments(setup: &Setup) -> Vec<Laid> {
    let mut laid = Vec::with_capacity(setup.segments);
    for (line, &count) in setup.lines.iter().zip(&share_out(setup)) {
        let rest_m = line.length.get() / count as f64;
        let one = Laid {
            rest_m,
            line_kg_m: line.mass_per_length.get(),
            air_kg_m: 0.5 * setup.air_kg_m3 * line.diameter.get() * rest_m,
            law: SegmentLaw::new(&line.unloading),
            joint_kg: 0.0,
        };
        laid.extend(core::iter::repeat_n(one, count));
        if let Some(last) = laid.last_mut() {
            last.joint_kg = line.joint_mass.get();
        }
    }
    // At the free end itself is the hardware.
    if let Some(last) = laid.last_mut() {
        last.joint_kg = 0.0;
    }
    laid
}

fn lay_nodes(setup: &Setup, laid: &[Laid], b: &mut Bodies, l: usize) {
    let n = laid.len();
    let mut mass = vec![0.0; n + 1];
    let mut arc = vec![0.0; n + 1];
    for (i, segment) in laid.iter().enumerate() {
        let half = 0.5 * segment.kg();
        mass[i] += half;
        mass[i + 1] += half + segment.joint_kg;
        arc[i + 1] = arc[i] + segment.rest_m * (1.0 + segment.law.max_strain);
    }
    mass[n] += setup.hardware.mass.get();
    let (free_z, held_z) = (setup.free_height.get(), setup.held_height.get());
    let rise = held_z - free_z;
    let reach = (arc[n] * arc[n] - rise * rise).max(0.0).sqrt();
    for i in 0..=n {
        b.set_mass(i, l, mass[i]);
        let left = 1.0 - arc[i] / arc[n];
        let place = [
            setup.break_offset.get() + reach * left,
            0.0,
            free_z + rise * left,
        ];
        b.place.set(b.at(i, l), place);
    }
}

/// Segment and share of it at a rest length from the free end.
fn on_line(laid: &[Laid], from_free_end_m: f64) -> (usize, f64) {
    let mut left = from_free_end_m;
    for (i, segment) in laid.iter().enumerate().rev() {
        if left <= segment.rest_m || i == 0 {
            return (i, (1.0 - left / segment.rest_m).clamp(0.0, 1.0));
        }
        left -= segment.rest_m;
    }
    (0, 0.0)
}

fn hang_dampers(
    setup: &Setup,
    laid: &[Laid],
    b: &mut Bodies,
    l: usize,
    stiffest: f64,
) -> Vec<Grip> {
    let hang = |(k, damper): (usize, &super::setup::DamperOnLine)| {
        let body = b.dampers_from + k;
        let (segment, share) = on_line(laid, damper.from_free_end.get());
        b.set_mass(body, l, damper.mass.get());
        let (near, far) = (b.place(segment, l), b.place(segment + 1, l));
        let place = [0, 1, 2].map(|k| near[k] + share * (far[k] - near[k]));
        b.place.set(b.at(body, l), place);
        Grip::new(
            (l, body),
            0.5 * setup.air_kg_m3 * damper.drag_area.get(),
            (segment, share),
            damper.slips_at.get(),
            damper.contact_radius.get(),
            stiffest,
        )
    };
    setup.dampers.iter().enumerate().map(hang).collect()
}

fn tie_tethers(
    setup: &Setup,
    laid: &[Laid],
    b: &mut Bodies,
    l: usize,
    hold: bool,
) -> Vec<TetherLine> {
    let tie = |tether: &super::setup::TetherToLine| {
        let (segment, share) = on_line(laid, tether.from_free_end.get());
        let half = 0.5 * tether.mass.get();
        for (i, part) in [(segment, 1.0 - share), (segment + 1, share)] {
            let mass = b.mass(i, l) + half * part;
            b.set_mass(i, l, mass);
        }
        let anchor = tether
            .anchor_m
            .unwrap_or([0.0, 0.0, setup.free_height.get()]);
        TetherLine::new(
            l,
            (segment, share),
            anchor,
            tether.length.get(),
            TetherCurve::new(tether),
            !hold,
        )
    };
    setup.tethers.iter().map(tie).collect()
}

/// Hands body 0 to its holder; gives one over the holder's mass.
fn hold(setup: &Setup, b: &mut Bodies, l: usize) -> f64 {
    let e = b.at(0, l);
    b.inv_mass.set(e, 0.0);
    match setup.held {
        HeldEnd::Fixed => {
            b.mass.set(e, 0.0);
            0.0
        }
        HeldEnd::Vehicle { mass, .. } => {
            let whole = b.mass(0, l) + mass.get();
            b.mass.set(e, whole);
            1.0 / whole
        }
    }
}

fn set_speeds(setup: &Setup, laid: &[Laid], b: &mut Bodies, l: usize) {
    let n = setup.segments;
    let held = match setup.held {
        HeldEnd::Fixed => 0.0,
        HeldEnd::Vehicle { speed, .. } => speed.get(),
    };
    let parted = setup.parted_speed.get();
    let (start, far) = (b.place(n, l)[0], b.place(0, l)[0]);
    let dampers = b.dampers_from..b.dampers_from + setup.dampers.len();
    for i in (0..=n).chain(dampers) {
        let along = (b.place(i, l)[0] - start) / (far - start);
        let speed = parted + (held - parted) * along;
        b.velocity.set(b.at(i, l), [speed, 0.0, 0.0]);
    }
    let throw = likely_speed(setup, laid);
    let (up, left) = (setup.elevation.get(), setup.azimuth.get());
    let aside = throw * libm::cos(up) * libm::sin(left);
    let tail = (0.5 + n as f64 * TAIL_SHARE) as usize;
    for i in n - tail.min(n - 1)..=n {
        let along = b.velocity(i, l)[0];
        b.velocity
            .set(b.at(i, l), [along, aside, throw * libm::sin(up)]);
    }
}

/// Launch speed to expect: that of a light line throwing the hardware and a
/// third of its own mass, but no more than the free end of a line alone.
fn likely_speed(setup: &Setup, laid: &[Laid]) -> f64 {
    let stored: f64 = laid
        .iter()
        .map(|segment| segment.law.energy_j_m(segment.law.max_strain) * segment.rest_m)
        .sum();
    let line_kg: f64 = setup
        .lines
        .iter()
        .map(|line| line.length.get() * line.mass_per_length.get())
        .sum();
    let thrown = (2.0 * stored / (setup.hardware.mass.get() + line_kg / 3.0)).sqrt();
    setup
        .lines
        .last()
        .map_or(thrown, |line| thrown.min(free_end_speed(line)))
}

/// Speed of the free end of a line alone: `sqrt(p T w/μ) 2/(p + 1)` with `w` the
/// strain from slack to parting (simple waves, CV-ROD-13).
pub fn free_end_speed(line: &LinePart) -> f64 {
    let branch = &line.unloading;
    let p = branch.exponent;
    let width = branch.strain_max - branch.strain_slack;
    (p * branch.tension_max_n * width / line.mass_per_length.get()).sqrt() * 2.0 / (p + 1.0)
}
