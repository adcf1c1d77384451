//! The run of one side of a break: the lines left on it, where it flies, over what ground.

use super::sides::{self, Cut, is_line};
use super::{Hardware, HeldEnd, LinePart, Roughness, Setup};
use crate::plan::{Line, Plan, Site};
use crate::rig::{LoadPath, Side};
use crate::units::{Area, Duration, Energy, Force, Length, Mass};

/// Drag area of hardware by mass: a chunky fragment, coefficient 0.9 on the
/// face of a steel lump of that mass (CV-INJ-10; density 7850 kg/m³).
const DRAG_PER_FACE: f64 = 0.9;
/// Segments of a case: hardware speed is within 1 % of 64 segments, at a quarter
/// of the work (test `cases_are_converged`).
pub(super) const CASE_SEGMENTS: usize = 32;
/// Least segments of a case that takes part of the path.
const LEAST_SEGMENTS: usize = 8;
/// Longest run of a line that parts inside, s.
const INSIDE_S: f64 = 0.7;
/// Shortest side of a break that is run, m: what a run takes.
pub(super) const SHORTEST_M: f64 = 0.05;

/// The bare run of one side of a break; none if hardly any line is left on it.
pub(super) fn bare_setup(
    plan: &Plan,
    path: &LoadPath,
    cut: &Cut,
    hardware: Mass,
    tension: Force,
) -> Option<Setup> {
    let (far, near) = (cut.flies_to, cut.parted_from());
    let joints = joint_masses(path, cut);
    let mut lines = Vec::new();
    // Line between the vehicle it parted from and the break.
    let mut offset = Length::ZERO;
    for (k, (line, (law, length))) in path.lines.iter().zip(path.line_laws()).enumerate() {
        let unloading = law
            .with_energy_return(return_range(line).1)
            .unloading(law.strain_at(tension.get()));
        let share = cut.share_of(k);
        offset = offset + length * ((1.0 - share) * (1.0 + unloading.strain_max));
        if share * length.get() < SHORTEST_M {
            continue;
        }
        lines.push(LinePart {
            length: length * share,
            mass_per_length: line.mass_per_length,
            unloading,
            diameter: line.material.diameter(line.mass_per_length),
            joint_mass: joints[k],
        });
    }
    if lines.is_empty() {
        return None;
    }
    // Lines run from the far vehicle to the free end.
    if far == Side::Tug {
        lines.reverse();
    }
    if let Some(last) = lines.last_mut() {
        last.joint_mass = Mass::ZERO;
    }
    let mut setup = Setup::new(
        lines,
        Hardware {
            mass: hardware,
            drag_area: drag_area(hardware),
        },
    );
    let far_mass = match far {
        Side::Tug => plan.tug.vehicle.mass,
        _ => plan.casualty.vehicle.mass,
    };
    setup.held = HeldEnd::Vehicle {
        mass: far_mass,
        speed: crate::units::Speed::ZERO,
    };
    let taut = setup.taut_length();
    let (from, to) = (height(plan, near), height(plan, far));
    setup.held_height = to;
    setup.free_height = from + (to - from) * (offset / (offset + taut));
    setup.break_offset = offset;
    setup.max_time = time_to_tell(&setup, plan.policy.injury_energy);
    if cut.inside {
        // A bare tail over a short way.
        setup.max_time = setup.max_time.min(Duration::new(INSIDE_S));
    }
    setup.segments = segments(path, &setup);
    lay_site(plan, &mut setup, far);
    setup.watched.far_body = Some(sides::body(plan, path, far));
    setup.watched.criteria = vec![super::injury::FIRST_CASUALTY, plan.policy.injury_energy];
    Some(setup)
}

/// As fine as a case of the whole path, so that a shorter side costs less.
fn segments(path: &LoadPath, setup: &Setup) -> usize {
    let share = setup.rest_length() / path.line_length();
    let wanted = libm::ceil(CASE_SEGMENTS as f64 * share) as usize;
    wanted
        .clamp(LEAST_SEGMENTS, CASE_SEGMENTS)
        .max(setup.lines.len())
}

/// How long a run must last: what is slow enough to come later is not hazardous.
///
/// Hardware at the injury energy takes this long over the line's length; a bare
/// line end is taken as a kilogram. Between 1 and 3 s.
pub(super) fn time_to_tell(setup: &Setup, injury: Energy) -> Duration {
    let mass = setup.hardware.mass.max(Mass::new(1.0));
    let slowest = (2.0 * injury.get() / mass.get()).sqrt();
    Duration::new((setup.taut_length().get() / slowest).clamp(1.0, 3.0))
}

/// Energy return of a line, least and most: its material's range, or its own
/// value where the plan gives another than the preset. What lets go is worked
/// out at the most, since no measurement stands behind the middle.
pub(crate) fn return_range(line: &Line) -> (f64, f64) {
    let (low, taken, high) = line.material.preset().energy_return;
    let own = line.curve.energy_return;
    if own == taken {
        (low, high)
    } else {
        (own, own)
    }
}

/// Mass of the join at the end of each line that is towards the break, by the
/// lines of the path from the casualty.
fn joint_masses(path: &LoadPath, cut: &Cut) -> Vec<Mass> {
    // Joins follow the lines from the casualty on.
    let mut after = vec![Mass::ZERO; path.lines.len()];
    let mut passed = 0;
    for link in &path.links {
        if is_line(link.kind) {
            passed += 1;
        } else if passed > 0 && passed < path.lines.len() {
            after[passed - 1] = after[passed - 1] + link.mass;
        }
    }
    match cut.flies_to {
        // The break is on the casualty's side: the join before each line.
        Side::Tug => (0..after.len())
            .map(|k| k.checked_sub(1).map_or(Mass::ZERO, |j| after[j]))
            .collect(),
        _ => after,
    }
}

pub(super) fn drag_area(mass: Mass) -> Area {
    let face = libm::cbrt(mass.get() / 7850.0);
    Area::new(DRAG_PER_FACE * face * face)
}

fn height(plan: &Plan, side: Side) -> Length {
    let vehicle = if side == Side::Tug {
        &plan.tug.vehicle
    } else {
        &plan.casualty.vehicle
    };
    let sunk = if side == Side::Casualty {
        plan.casualty.sunk.map_or(Length::ZERO, |s| s.depth)
    } else {
        Length::ZERO
    };
    let above = vehicle
        .recovery_points
        .first()
        .map_or(Length::new(0.6), |p| p.height);
    // A sunk vehicle's points are nearer to the ground, never under it.
    (above - sunk).max(Length::new(0.1))
}

/// Air and ground between the vehicles as seen along a flight to `to`.
fn lay_site(plan: &Plan, setup: &mut Setup, to: Side) {
    let site = &plan.site;
    let turn = if to == Side::Tug { 1.0 } else { -1.0 };
    let [along, left] = site.air_m_s();
    setup.wind_m_s = [turn * along, turn * left, 0.0];
    setup.gusts = site.gusts;
    if let Some(ground) = &mut setup.ground {
        ground.slope = site.slope_along * turn;
        ground.cross_slope = site.slope_across * turn;
        ground.roughness = bumps(site);
    }
}

/// The bumps of a site.
pub(super) fn bumps(site: &Site) -> Roughness {
    if site.bumps.get() > 0.0 {
        Roughness {
            height: site.bumps,
            spacing: site.bump_spacing,
            phase: [0.0; 2],
        }
    } else {
        Roughness::EVEN
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letgo::run;
    use crate::line::{Law, Material};
    use crate::units::Force;

    #[test]
    fn cases_are_converged() {
        let curve = Material::NylonWebbing.curve().unwrap();
        let law = Law::new(
            &curve,
            Force::from_tf(9.0),
            &Default::default(),
            Material::NylonWebbing,
        );
        for (tonnes, kg) in [(1.0, 1.5), (4.0, 2.0), (9.0, 0.5)] {
            let part = LinePart {
                length: Length::new(9.0),
                mass_per_length: crate::units::LineMass::new(0.55),
                unloading: law.unloading(law.strain_at(Force::from_tf(tonnes).get())),
                diameter: Length::new(0.03),
                joint_mass: Mass::ZERO,
            };
            let speed = |segments| {
                let hardware = Hardware {
                    mass: Mass::new(kg),
                    drag_area: drag_area(Mass::new(kg)),
                };
                let mut setup = Setup::new(vec![part], hardware);
                setup.segments = segments;
                setup.max_time = Duration::new(0.1);
                run(&setup).unwrap().launch.speed.get()
            };
            let ratio = speed(CASE_SEGMENTS) / speed(64);
            assert!((ratio - 1.0).abs() < 0.01, "{tonnes} t, {kg} kg: {ratio}");
        }
    }
}
