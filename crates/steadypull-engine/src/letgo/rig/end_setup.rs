//! The runs of a free end of line: its launch, its further way, its part of line alone.

use super::ends::FreeEndOf;
use super::pieces::stretch_m;
use super::scene::Scene;
use crate::letgo::assemble::free_end_speed;
use crate::letgo::injury::FIRST_CASUALTY;
use crate::letgo::planned_gear::{with_dampers, with_gear};
use crate::letgo::side_setup::{CASE_SEGMENTS, bumps, drag_area, time_to_tell};
use crate::letgo::sides::other;
use crate::letgo::{Ground, Hardware, HeldEnd, LinePart, Setup};
use crate::rig::{NodeKind, Side};
use crate::units::{Angle, Duration, Length, Mass, Speed};

/// Rest length of a segment of the chain, m, where a line is short.
const LEAST_SEGMENT_M: f64 = 0.25;
/// Longest launch, s.
const LONGEST_LAUNCH_S: f64 = 1.0;
/// Segments of a run that follows an end after its launch: such runs are ten times as long,
/// and a crack is told as a range in any case.
const FOLLOWED_SEGMENTS: usize = 16;

impl FreeEndOf {
    /// The run of its recoil.
    ///
    /// Dampers and tethers hang where the plan says on a single part of line from
    /// casualty to tug or winch; any other line is taken bare.
    pub fn setup(&self, scene: &Scene) -> Setup {
        self.setup_and_gear(scene).0
    }

    /// The same with the names of the dampers and of the tethers on it.
    pub fn setup_and_gear(&self, scene: &Scene) -> (Setup, Vec<String>, Vec<String>) {
        let hardware = Hardware {
            mass: self.hardware,
            drag_area: drag_area(self.hardware),
        };
        let mut setup = Setup::new(self.line_parts(self.tension_n, 1.0), hardware);
        let far = scene.place(self.far(scene));
        let rest = setup.taut_length().get();
        setup.free_height = Length::new(scene.terrain.height_m(self.from_m));
        let far_height = scene.terrain.height_m(far);
        let rise = far_height - setup.free_height.get();
        setup.held_height =
            Length::new((setup.free_height.get() + rise.clamp(-0.8 * rest, 0.8 * rest)).max(0.0));
        setup.ground = Some(Ground {
            slope: Angle::new(libm::atan(scene.terrain.rise_along(self.way(scene)))),
            roughness: bumps(&scene.plan.site),
            ..Ground::level(0.4)
        });
        setup.held = self.held(scene);
        setup.wind_m_s = wind_along(scene, self.way(scene));
        setup.gusts = scene.plan.site.gusts;
        setup.segments = segments(&setup, CASE_SEGMENTS);
        let (mut dampers, mut tethers) = (Vec::new(), Vec::new());
        if let Some(at) = self.on_main_line(scene) {
            (setup, dampers, tethers) = self.with_gear(scene, &setup, at);
        }
        setup.max_time = launch_time(&setup);
        setup.watched.far_body = super::struck::far_body(scene, self).map(|(_, body)| body);
        setup.watched.criteria = vec![FIRST_CASUALTY, scene.plan.policy.injury_energy];
        (setup, dampers, tethers)
    }

    /// The same after it has left at a `speed`: until what is slow enough to come later
    /// is not hazardous, or past a block that its line goes round until its own part of
    /// line has run out.
    pub fn followed(&self, scene: &Scene, speed: Speed) -> Setup {
        let mut setup = self.setup(scene);
        let tells = time_to_tell(&setup, scene.plan.policy.injury_energy);
        let launch = setup.max_time;
        setup.max_time = launch.max(if self.ends_there(scene) {
            tells
        } else {
            let way_m = self.to_stop_m(scene) + self.own_m;
            tells.min(launch + Duration::new(way_m / speed.get().max(0.1)))
        });
        setup.segments = segments(&setup, FOLLOWED_SEGMENTS);
        setup
    }

    /// The run of its own part of line alone, held at the stop, for the crack of a tail
    /// whose line goes on round that stop.
    pub fn held_at_stop(&self, scene: &Scene) -> Setup {
        let mut setup = self.setup(scene);
        setup.lines.drain(..setup.lines.len() - self.own);
        setup.held = HeldEnd::Fixed;
        setup.watched.far_body = None;
        let taut = setup.taut_length().get();
        let stop = scene.terrain.height_m(scene.place(self.towards(scene)));
        let rise = stop - setup.free_height.get();
        let rise = rise.clamp(-0.8 * taut, 0.8 * taut);
        setup.held_height = Length::new((setup.free_height.get() + rise).max(0.0));
        setup.segments = segments(&setup, FOLLOWED_SEGMENTS);
        setup.max_time = time_to_tell(&setup, scene.plan.policy.injury_energy);
        setup
    }

    /// With the dampers and tethers planned; of a tail that is not the whole part of
    /// line the dampers that hang on it.
    fn with_gear(
        &self,
        scene: &Scene,
        bare: &Setup,
        at: Side,
    ) -> (Setup, Vec<String>, Vec<String>) {
        let pieces = scene.pieces[self.run][self.segment].iter();
        let whole_m: f64 = pieces
            .filter_map(|p| p.stretchy.as_ref())
            .map(|s| s.rest_m)
            .sum();
        if self.own_m < whole_m * (1.0 - 1e-9) {
            let whole = Length::new(whole_m);
            let (setup, dampers) = with_dampers(scene.plan, whole, bare, other(at));
            return (setup, dampers, Vec::new());
        }
        with_gear(scene.plan, bare, at, self.parted_point(scene))
    }

    /// Name of the point that the free end was made fast to.
    fn parted_point<'s>(&self, scene: &'s Scene) -> &'s str {
        let stops = &scene.graph.runs[self.run].stops;
        let stop = if self.to_last {
            stops.first()
        } else {
            stops.last()
        };
        stop.map_or("", |stop| scene.node(stop.node).name.as_str())
    }

    fn held(&self, scene: &Scene) -> HeldEnd {
        let mass = match scene.node(self.far(scene)).kind {
            NodeKind::Casualty => scene.plan.casualty.vehicle.mass,
            NodeKind::Tug | NodeKind::Winch => scene.plan.tug.vehicle.mass,
            _ => return HeldEnd::Fixed,
        };
        HeldEnd::Vehicle {
            mass,
            speed: crate::units::Speed::ZERO,
        }
    }

    /// The end of the main line at which it broke, if it is a single part of line
    /// between casualty and tug.
    pub fn on_main_line(&self, scene: &Scene) -> Option<Side> {
        let stops = &scene.graph.runs[self.run].stops;
        let [first, last] = stops.as_slice() else {
            return None;
        };
        let casualty_first = match (scene.node(first.node).kind, scene.node(last.node).kind) {
            (NodeKind::Casualty, NodeKind::Tug | NodeKind::Winch) => true,
            (NodeKind::Tug | NodeKind::Winch, NodeKind::Casualty) => false,
            _ => return None,
        };
        Some(if self.to_last == casualty_first {
            Side::Casualty
        } else {
            Side::Tug
        })
    }
}

/// The wind as seen along a level direction, m/s.
pub(super) fn wind_along(scene: &Scene, way: [f64; 2]) -> [f64; 3] {
    let [x, y] = scene.plan.site.air_m_s();
    [x * way[0] + y * way[1], y * way[0] - x * way[1], 0.0]
}

/// Time in which an end reaches its greatest speed: several passages of the wave and
/// swings of the hardware, with any dampers, on the line. What it does later on its line lies
/// within the rule distance, which is never under a line's length.
fn launch_time(setup: &Setup) -> Duration {
    let dampers: Mass = setup.dampers.iter().map(|d| d.mass).sum();
    let mass = (setup.hardware.mass + dampers).get();
    let of = |part: &LinePart| {
        let stretch = stretch_m(part);
        let passage = stretch / free_end_speed(part).max(1e-6);
        let swing_2 = mass * stretch / part.unloading.tension_max_n.max(1e-6);
        (passage, swing_2)
    };
    let sum = setup
        .lines
        .iter()
        .map(of)
        .fold((0.0, 0.0), |sum, t| (sum.0 + t.0, sum.1 + t.1));
    Duration::new((5.0 * sum.0 + 5.0 * sum.1.sqrt()).clamp(1e-3, LONGEST_LAUNCH_S))
}

/// Segments for a chain of this length: at least one a line, no shorter than need be.
pub(super) fn segments(setup: &Setup, most: usize) -> usize {
    let by_length = (setup.rest_length().get() / LEAST_SEGMENT_M) as usize;
    by_length.clamp(6, most).max(2 * setup.lines.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letgo::run;
    use crate::line::{Condition, Law, Material};
    use crate::units::Force;

    #[test]
    fn a_launch_is_over_when_its_run_ends() {
        for material in [Material::Hmpe, Material::NylonWebbing, Material::WireRope] {
            let law = Law::new(
                &material.curve().unwrap(),
                Force::from_tf(9.0),
                &Condition::default(),
                material,
            );
            for (tonnes, kg) in [(1.0, 0.0), (4.0, 1.5), (4.0, 40.0), (8.0, 200.0)] {
                let part = LinePart {
                    length: Length::new(20.0),
                    mass_per_length: material.mass_per_length(Force::from_tf(9.0)),
                    unloading: law.unloading(law.strain_at(Force::from_tf(tonnes).get())),
                    diameter: Length::new(0.02),
                    joint_mass: Mass::ZERO,
                };
                let hardware = Hardware {
                    mass: Mass::new(kg),
                    drag_area: drag_area(Mass::new(kg)),
                };
                let mut setup = Setup::new(vec![part], hardware);
                setup.gravity_m_s2 = 0.0;
                setup.ground = None;
                setup.segments = 16;
                setup.max_time = launch_time(&setup);
                let short = run(&setup).unwrap().launch.speed.get();
                setup.max_time = Duration::new(3.0 * setup.max_time.get());
                let long = run(&setup).unwrap().launch.speed.get();
                assert!(
                    (short / long - 1.0).abs() < 2e-3,
                    "{material:?} {kg}: {short} {long}"
                );
            }
        }
    }
}
