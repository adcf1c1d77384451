//! A block, ring or join thrown by the lines that still pull on it.
//!
//! What it answers: how fast and which way a node flies when what held it lets
//! go. The lines left on it pull it along the sum of their pulls (for a block,
//! the bisector of the bight). It is a point mass `M` on elastic lines; its
//! speed is at most both
//! - `sqrt(2 E/M)`, `E` what those lines give back until they hang slack, or until
//!   a line round it has snapped straight, and
//! - `v_end/cos a`, `v_end` the speed of the free end of the quickest line alone
//!   (`c e` for a straight law), `a` its angle from the way: a lighter body only
//!   follows the line's end.
//!
//! The lesser is exact for a line without mass and for a body without mass, and
//! an upper bound between them: up to 10 % above the chain of lumped masses (test
//! `bound_on_a_thrown_block_is_near_the_chain`). The whole run gives its energy,
//! past other sheaves too: these are taken without friction. Then free flight with
//! air drag, from the height of the node.
//!
//! Not modelled: the line's own sideways mass, which slows a light block, and a
//! block that turns or breaks up.

use super::filmed::ThrownAt;
use super::holding::freed_slack_m;
use super::pieces::{energy_j, energy_over_j};
use super::scene::{Pull, Scene, mirrored, unit};
use crate::letgo::LinePart;
use crate::letgo::assemble::free_end_speed;
use crate::letgo::bodies::{dot, plus, square, times};
use crate::letgo::film::MOST_FRAMES;
use crate::letgo::flight::AIR_DENSITY_KG_M3;
use crate::letgo::free_flight::watched;
use crate::letgo::side_setup::drag_area;
use crate::letgo::watches::slide;
use crate::letgo::{FreeFlight, SiteDraw};
use crate::units::{Angle, Duration, Mass, Speed};

/// Least mass taken for what is thrown, kg: a soft shackle.
const LEAST_KG: f64 = 0.2;
/// Sliding friction on the ground, as for a recoil.
pub(super) const FRICTION: f64 = 0.4;

/// A thrown node.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Throw {
    pub node: usize,
    pub mass: Mass,
    /// Along the pull of what is left, a unit vector.
    pub way: [f64; 3],
    pub pulls: Vec<Pull>,
    /// Shortening that the lines can make use of, m; without end where they
    /// hang slack first.
    pub room_m: f64,
    /// Its mirror image in the straight line, where it swings on its line.
    pub swings_to: Option<[f64; 3]>,
}

/// Launch of a thrown node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Launch {
    pub speed_m_s: f64,
    /// What the lines gave up, J.
    pub given_j: f64,
}

/// `node` with `mass` on it, thrown by the runs that still carry.
pub(super) fn throw(scene: &Scene, node: usize, mass: Mass, carries: &[bool]) -> Option<Throw> {
    let pulls: Vec<Pull> = scene
        .pulls_on(node)
        .into_iter()
        .filter(|p| carries[p.run] && p.tension_n > 0.0)
        .collect();
    let force = pulls
        .iter()
        .fold([0.0; 3], |sum, p| plus(sum, p.tension_n, p.way));
    // A line straight through throws nothing.
    let most: f64 = pulls.iter().map(|p| p.tension_n).fold(0.0, f64::max);
    if square(force).sqrt() <= 1e-3 * most || most <= 0.0 {
        return None;
    }
    let swings_to = match pulls.as_slice() {
        [a, b] => Some(mirrored(
            scene.place(node),
            scene.place(a.other),
            scene.place(b.other),
        )),
        _ => None,
    };
    Some(Throw {
        node,
        mass: mass.max(Mass::new(LEAST_KG)),
        way: unit(force),
        room_m: freed_slack_m(scene, node, carries).unwrap_or(f64::INFINITY),
        pulls,
        swings_to,
    })
}

impl Throw {
    /// The greatest speed at `share` of the tensions.
    pub fn launch(&self, scene: &Scene, share: f64) -> Launch {
        let mut runs: Vec<usize> = self.pulls.iter().map(|p| p.run).collect();
        runs.dedup();
        let parts: Vec<LinePart> = runs
            .iter()
            .flat_map(|r| scene.run_parts(*r, share))
            .collect();
        let given_j = if self.room_m.is_finite() {
            energy_over_j(&parts, self.room_m)
        } else {
            parts.iter().map(energy_j).sum()
        };
        Launch {
            speed_m_s: bounded_m_s(given_j, self.mass.get(), self.quickest_m_s(scene, share)),
            given_j,
        }
    }

    /// Speed at which even the quickest line no longer pulls.
    fn quickest_m_s(&self, scene: &Scene, share: f64) -> f64 {
        let follow = |p: &Pull| {
            let ends = scene.line_parts(p.run, p.segment, share);
            followed_m_s(&ends, dot(p.way, self.way))
        };
        self.pulls.iter().map(follow).fold(0.0, f64::max)
    }

    /// Its flight to the ground at `speed_m_s`, turned up and to the left, in a draw of
    /// the wind.
    pub fn flight(
        &self,
        scene: &Scene,
        speed_m_s: f64,
        (up, left): (f64, f64),
        wind: &SiteDraw,
    ) -> Option<FreeFlight> {
        self.seen(scene, speed_m_s, (up, left), wind, &mut |_, _, _| {})
    }

    /// Its flight and its slide moment by moment in the middle draw, the height above the
    /// ground.
    pub fn states(&self, scene: &Scene, speed_m_s: f64) -> Vec<ThrownAt> {
        let mut states: Vec<ThrownAt> = Vec::new();
        // Heights and their rates are above the ground, which rises below it.
        let over_ground = |[x, y, z]: [f64; 3]| [x, y, z + scene.terrain.rise_along([x, y])];
        let mut see = |time_s: f64, place_m: [f64; 3], velocity: [f64; 3]| {
            // Its slide begins where and when it lands.
            if states.last().is_some_and(|last| time_s <= last.time.get()) {
                return;
            }
            states.push(ThrownAt {
                time: Duration::new(time_s),
                place_m,
                speed: Speed::new(square(over_ground(velocity)).sqrt()),
            });
        };
        let flight = self.seen(scene, speed_m_s, (0.0, 0.0), &SiteDraw::MIDDLE, &mut see);
        if let Some(flight) = flight {
            slide(&mut see, &flight, FRICTION, scene.terrain.gravity());
        }
        let every = states.len().div_ceil(MOST_FRAMES).max(1);
        let last = states.last().copied();
        let mut states: Vec<ThrownAt> = states.into_iter().step_by(every).collect();
        if states.last() != last.as_ref() {
            states.extend(last);
        }
        states
    }

    fn seen(
        &self,
        scene: &Scene,
        speed_m_s: f64,
        (up, left): (f64, f64),
        wind: &SiteDraw,
        see: &mut dyn FnMut(f64, [f64; 3], [f64; 3]),
    ) -> Option<FreeFlight> {
        let place = scene.place(self.node);
        let way = turned(self.way, up, left);
        let rise = scene.terrain.rise_along([way[0], way[1]]);
        let velocity = times(speed_m_s, [way[0], way[1], way[2] - rise]);
        let drag = 0.5 * AIR_DENSITY_KG_M3 * drag_area(self.mass).get() / self.mass.get();
        let from = [place[0], place[1], scene.terrain.height_m(place)];
        let [x, y] = scene.plan.site.air_m_s();
        let air = wind.blown([x, y, 0.0], &scene.plan.site.gusts);
        let gravity = scene.terrain.gravity();
        watched((from, velocity), (drag, air), gravity, FRICTION, see)
    }
}

/// Greatest speed of a block of `mass` at the bight of these lines, each part of
/// line `half_angle` from the bisector; for lines that hang slack before they have
/// snapped straight.
pub fn thrown_block_speed(lines: &[LinePart], mass: Mass, half_angle: Angle) -> Speed {
    let given_j = lines.iter().map(energy_j).sum();
    let quickest = followed_m_s(lines, half_angle.cos());
    Speed::new(bounded_m_s(given_j, mass.get(), quickest))
}

fn bounded_m_s(given_j: f64, kg: f64, quickest_m_s: f64) -> f64 {
    (2.0 * given_j / kg).sqrt().min(quickest_m_s)
}

/// Speed of a body at which it outruns the ends of lines at an angle to its way.
fn followed_m_s(ends: &[LinePart], cos: f64) -> f64 {
    let fastest = ends.iter().map(free_end_speed).fold(0.0, f64::max);
    if cos > 1e-6 { fastest / cos } else { 0.0 }
}

/// A direction turned to the left seen from above and then upwards, rad.
fn turned(way: [f64; 3], up: f64, left: f64) -> [f64; 3] {
    let flat = (way[0] * way[0] + way[1] * way[1]).sqrt();
    if flat < 1e-9 {
        return way;
    }
    let (sin, cos) = (libm::sin(left), libm::cos(left));
    let level = [
        (way[0] * cos - way[1] * sin) / flat,
        (way[0] * sin + way[1] * cos) / flat,
    ];
    let climb = libm::atan2(way[2], flat) + up;
    let along = libm::cos(climb);
    [level[0] * along, level[1] * along, libm::sin(climb)]
}
