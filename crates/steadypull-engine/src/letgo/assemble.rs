//! From a setup to the chain at the moment the link lets go.

use super::bodies::Bodies;
use super::chain::{Chain, Holder, Run, Segments};
use super::damper::Grip;
use super::ground::Surface;
use super::segment_law::SegmentLaw;
use super::setup::{HeldEnd, LinePart, Setup, StepChoice};
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

/// The chain of `setup`, which must have passed its check.
pub(super) fn assemble(setup: &Setup, tethers_hold: bool) -> Chain {
    let counts = share_out(setup);
    let (mut segments, runs) = lay_segments(setup, &counts);
    let mut bodies = Bodies::new(setup.segments + 1 + setup.dampers.len());
    let last_kg = 1.0 / segments.inv_mass[setup.segments - 1];
    lay_nodes(setup, &segments, &runs, &mut bodies);
    let hardware_kg = mass_at_tip(setup);
    grade_limiter(
        &mut segments,
        hardware_kg / (hardware_kg + HARDWARE_SEGMENTS * last_kg),
    );
    let stiffest = runs
        .iter()
        .map(|run| 0.25 * run.law.steepest_n() * segments.inv_rest[run.from])
        .fold(f64::INFINITY, f64::min);
    let grips = hang_dampers(setup, &segments, &mut bodies, stiffest);
    let tethers = tie_tethers(setup, &segments, &mut bodies, tethers_hold);
    let holder = Holder {
        inv_mass: hold(setup, &mut bodies),
        impulse: [0.0; 3],
        pull: [0.0; 3],
    };
    set_speeds(setup, &runs, &segments, &mut bodies);
    let mut body_air_kg_m = vec![(
        setup.segments,
        0.5 * setup.air_kg_m3 * setup.hardware.drag_area.get(),
    )];
    for (grip, damper) in grips.iter().zip(&setup.dampers) {
        body_air_kg_m.push((grip.body, 0.5 * setup.air_kg_m3 * damper.drag_area.get()));
    }
    let mut chain = Chain {
        bodies,
        segments,
        runs,
        grips,
        tethers,
        corners: Vec::with_capacity(setup.segments),
        holder,
        gravity: gravity(setup),
        ground: setup.ground.as_ref().map(Surface::new),
        wind: setup.wind_m_s,
        fixed_step_s: match setup.step {
            StepChoice::ByWave => None,
            StepChoice::Fixed(step) => Some(step.get()),
        },
        body_air_kg_m,
        air: setup.air_kg_m3 > 0.0,
        viscosity: setup.viscosity,
        dashpot_n_s: setup.dashpot_n_s,
        tip_inertia: hardware_kg / (hardware_kg + last_kg),
        taut: true,
        grip_step_s: f64::INFINITY,
        time_s: 0.0,
        step_s: 0.0,
        steps: 0,
        kicked_s: 0.0,
    };
    bound_grip_step(&mut chain);
    chain
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

/// Full viscosity at a bare free end, less and less of it away from the end:
/// there the jump of the cut has become a slope that the limiter can carry.
fn grade_limiter(s: &mut Segments, at_tip: f64) {
    let n = s.rest_m.len();
    s.limited = (0..n)
        .map(|i| at_tip + (1.0 - at_tip) * ((n - 1 - i) as f64 / GRADE_SEGMENTS).min(1.0))
        .collect();
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

fn lay_segments(setup: &Setup, counts: &[usize]) -> (Segments, Vec<Run>) {
    let n = setup.segments;
    let zero = || vec![0.0; n];
    let mut s = Segments {
        ux: zero(),
        uy: zero(),
        uz: zero(),
        slope_n: zero(),
        mean_n: zero(),
        owed_n_s: zero(),
        strain: zero(),
        rate: zero(),
        elastic_n: zero(),
        viscous_n: zero(),
        dashpot_n: zero(),
        impedance: zero(),
        viscous_j: zero(),
        dashpot_j: zero(),
        ..Segments::default()
    };
    let mut runs = Vec::with_capacity(counts.len());
    let mut from = 0;
    for (line, &count) in setup.lines.iter().zip(counts) {
        let rest = line.length.get() / count as f64;
        for _ in 0..count {
            s.rest_m.push(rest);
            s.inv_rest.push(1.0 / rest);
            s.inv_mass.push(1.0 / (rest * line.mass_per_length.get()));
            s.air_kg_m
                .push(0.5 * setup.air_kg_m3 * line.diameter.get() * rest);
        }
        let law = SegmentLaw::new(&line.unloading, line.mass_per_length.get());
        runs.push(Run {
            from,
            to: from + count,
            law,
        });
        from += count;
    }
    (s, runs)
}

fn lay_nodes(setup: &Setup, s: &Segments, runs: &[Run], b: &mut Bodies) {
    let n = setup.segments;
    let mut mass = vec![0.0; n + 1];
    let mut arc = vec![0.0; n + 1];
    for run in runs {
        for i in run.from..run.to {
            let half = 0.5 / s.inv_mass[i];
            mass[i] += half;
            mass[i + 1] += half;
            arc[i + 1] = arc[i] + s.rest_m[i] * (1.0 + run.law.max_strain());
        }
    }
    for (line, run) in setup.lines.iter().zip(runs) {
        if run.to < n {
            mass[run.to] += line.joint_mass.get();
        }
    }
    mass[n] += setup.hardware.mass.get();
    let (free_z, held_z) = (setup.free_height.get(), setup.held_height.get());
    let rise = held_z - free_z;
    let reach = (arc[n] * arc[n] - rise * rise).max(0.0).sqrt();
    for i in 0..=n {
        b.set_mass(i, mass[i]);
        let left = 1.0 - arc[i] / arc[n];
        b.x[i] = setup.break_offset.get() + reach * left;
        b.z[i] = free_z + rise * left;
    }
}

/// Segment and share of it at a rest length from the free end.
fn on_line(s: &Segments, from_free_end_m: f64) -> (usize, f64) {
    let mut left = from_free_end_m;
    for i in (0..s.rest_m.len()).rev() {
        if left <= s.rest_m[i] || i == 0 {
            return (i, (1.0 - left / s.rest_m[i]).clamp(0.0, 1.0));
        }
        left -= s.rest_m[i];
    }
    (0, 0.0)
}

fn hang_dampers(setup: &Setup, s: &Segments, b: &mut Bodies, stiffest: f64) -> Vec<Grip> {
    let hang = |(k, damper): (usize, &super::setup::DamperOnLine)| {
        let body = setup.segments + 1 + k;
        let (segment, share) = on_line(s, damper.from_free_end.get());
        b.set_mass(body, damper.mass.get());
        let between = |list: &[f64]| list[segment] + share * (list[segment + 1] - list[segment]);
        (b.x[body], b.y[body], b.z[body]) = (between(&b.x), between(&b.y), between(&b.z));
        Grip::new(
            body,
            segment,
            share,
            damper.slips_at.get(),
            damper.contact_radius.get(),
            stiffest,
        )
    };
    setup.dampers.iter().enumerate().map(hang).collect()
}

fn bound_grip_step(chain: &mut Chain) {
    let b = &chain.bodies;
    let lightest = b.mass[1..=chain.segments.rest_m.len()]
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min);
    for grip in &mut chain.grips {
        let step = grip.longest_step_s(b.mass[grip.body], lightest);
        chain.grip_step_s = chain.grip_step_s.min(step);
    }
}

fn tie_tethers(setup: &Setup, s: &Segments, b: &mut Bodies, hold: bool) -> Vec<TetherLine> {
    let tie = |tether: &super::setup::TetherToLine| {
        let (segment, share) = on_line(s, tether.from_free_end.get());
        let half = 0.5 * tether.mass.get();
        for (i, part) in [(segment, 1.0 - share), (segment + 1, share)] {
            let mass = b.mass[i] + half * part;
            b.set_mass(i, mass);
        }
        let anchor = tether
            .anchor_m
            .unwrap_or([0.0, 0.0, setup.free_height.get()]);
        TetherLine::new(
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
fn hold(setup: &Setup, b: &mut Bodies) -> f64 {
    b.inv_mass[0] = 0.0;
    match setup.held {
        HeldEnd::Fixed => {
            b.mass[0] = 0.0;
            0.0
        }
        HeldEnd::Vehicle { mass, .. } => {
            b.mass[0] += mass.get();
            1.0 / b.mass[0]
        }
    }
}

fn set_speeds(setup: &Setup, runs: &[Run], s: &Segments, b: &mut Bodies) {
    let n = setup.segments;
    let held = match setup.held {
        HeldEnd::Fixed => 0.0,
        HeldEnd::Vehicle { speed, .. } => speed.get(),
    };
    let parted = setup.parted_speed.get();
    let (start, span) = (b.x[n], b.x[0] - b.x[n]);
    for i in 0..b.count() {
        b.vx[i] = parted + (held - parted) * (b.x[i] - start) / span;
    }
    let throw = likely_speed(setup, runs, s);
    let (up, left) = (setup.elevation.get(), setup.azimuth.get());
    let tail = (0.5 + n as f64 * TAIL_SHARE) as usize;
    for i in n - tail.min(n - 1)..=n {
        b.vy[i] = throw * libm::cos(up) * libm::sin(left);
        b.vz[i] = throw * libm::sin(up);
    }
}

/// Launch speed to expect: that of a light line throwing the hardware and a
/// third of its own mass, but no more than the free end of a line alone.
fn likely_speed(setup: &Setup, runs: &[Run], s: &Segments) -> f64 {
    let stored: f64 = runs
        .iter()
        .map(|run| {
            run.law.energy_j_m(run.law.max_strain())
                * s.rest_m[run.from]
                * (run.to - run.from) as f64
        })
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
