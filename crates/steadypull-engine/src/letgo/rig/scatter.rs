//! Where things come down when what is not known is drawn at random.
//!
//! As for a straight rig: direction 5° each way (assumed), energy return over its
//! range, mass and tension 10 %, one stream of the seed an input. The ends with the
//! most energy are run again as coarse chains; the rest, and what is thrown, by
//! upper bounds and free flight.

use super::ends::{FreeEndOf, segments};
use super::partings::Partings;
use super::scene::Scene;
use super::throw::Throw;
use crate::chance::Column;
use crate::letgo::bodies::times;
use crate::letgo::draw::{DIRECTION_SPREAD_DEG, LOAD_SPREAD};
use crate::letgo::flight::AIR_DENSITY_KG_M3;
use crate::letgo::scatter::{SCATTER_S, SCATTER_SEGMENTS};
use crate::letgo::side_setup::drag_area;
use crate::letgo::{Setup, free_flight, run_all};
use crate::plan::Plan;
use crate::rig::{Graph, Solved};
use crate::units::{Angle, Duration, Mass};

/// First stream, past that of straight rigs.
const STREAM: u64 = 320;
/// Ends that are run again, and how often.
const COARSE_ENDS: usize = 24;
const COARSE_EACH: usize = 3;
/// Draws of what is only bounded.
const BOUNDED_EACH: usize = 24;
/// Least mass of a bare end in free flight, kg.
const LEAST_KG: f64 = 0.2;

/// What one thing that flies came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The node that is thrown, by its place in the graph; none for an end of line.
    pub node: Option<usize>,
    /// Landing points by run, m in plan.
    pub runs: Vec<Vec<(f64, f64)>>,
}

/// What the scatter runs gave.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RigScatter {
    /// One a thing that flies.
    pub groups: Vec<Group>,
    /// Runs that could not be finished.
    pub failed: u32,
}

impl RigScatter {
    /// Runs behind it.
    pub fn runs(&self) -> usize {
        self.groups.iter().map(|g| g.runs.len()).sum()
    }
}

struct Draws([Column; 5]);

impl Draws {
    fn new(seed: u64, count: usize) -> Self {
        Self(core::array::from_fn(|k| {
            Column::new(seed, STREAM + k as u64, count)
        }))
    }

    fn up(&self, i: usize) -> Angle {
        Angle::from_deg((DIRECTION_SPREAD_DEG * self.0[0].normal(i)).abs())
    }

    fn left(&self, i: usize) -> Angle {
        Angle::from_deg(DIRECTION_SPREAD_DEG * self.0[1].normal(i))
    }

    fn load(&self, i: usize) -> f64 {
        libm::exp(LOAD_SPREAD * self.0[2].normal(i))
    }

    fn back(&self, i: usize) -> f64 {
        self.0[3].level(i)
    }

    fn mass(&self, i: usize) -> f64 {
        libm::exp(LOAD_SPREAD * self.0[4].normal(i))
    }
}

/// Draws of all that could fly.
pub fn rig_scatter(plan: &Plan, graph: &Graph, solved: &Solved, partings: &Partings) -> RigScatter {
    let scene = Scene::new(plan, graph, solved);
    let again = partings.ends.len().min(COARSE_ENDS);
    let draws = Draws::new(plan.seed, again * COARSE_EACH);
    let coarse: Vec<Setup> = (0..again * COARSE_EACH)
        .map(|i| coarse_setup(&scene, &partings.ends[i % again], &draws, i))
        .collect();
    let coarse = run_all(&coarse);
    let wide = Draws::new(plan.seed, BOUNDED_EACH);
    let mut out = RigScatter::default();
    for (k, end) in partings.ends.iter().enumerate() {
        let mut runs: Vec<_> = partings.landings[k].iter().cloned().collect();
        if k < COARSE_ENDS {
            for i in (0..COARSE_EACH).map(|j| k + j * again) {
                match coarse[i].as_ref() {
                    Ok(outcome) => runs.push(end.landings(&scene, outcome)),
                    Err(_) => out.failed += 1,
                }
            }
        } else {
            runs.extend((0..BOUNDED_EACH).map(|i| bounded_end(&scene, end, &wide, i)));
        }
        out.groups.push(Group { node: None, runs });
    }
    for (t, share) in &partings.throws {
        let runs = (0..BOUNDED_EACH).map(|i| thrown(&scene, t, *share, &wide, i));
        out.groups.push(Group {
            node: Some(t.node),
            runs: runs.collect(),
        });
    }
    out
}

fn coarse_setup(scene: &Scene, end: &FreeEndOf, draws: &Draws, i: usize) -> Setup {
    let mut setup = end.setup(scene);
    setup.segments = segments(&setup, SCATTER_SEGMENTS);
    setup.max_time = setup.max_time.min(Duration::new(SCATTER_S));
    setup.elevation = draws.up(i);
    setup.azimuth = draws.left(i);
    setup.lines = end.line_parts(end.tension_n * draws.load(i), draws.back(i));
    setup.hardware.mass = setup.hardware.mass * draws.mass(i);
    setup
}

/// Free flight of an end at its greatest speed, as likely to either side.
fn bounded_end(scene: &Scene, end: &FreeEndOf, draws: &Draws, i: usize) -> Vec<(f64, f64)> {
    let speed = end.bound().0 * draws.load(i);
    let kg = (end.hardware.get() * draws.mass(i)).max(LEAST_KG);
    let drag = 0.5 * AIR_DENSITY_KG_M3 * drag_area(Mass::new(kg)).get() / kg;
    let (up, left) = (draws.up(i).get(), draws.left(i).get());
    let way = end.way(scene);
    let gravity = scene.terrain.gravity();
    // Along the flight, to its left, up.
    let along = gravity[0] * way[0] + gravity[1] * way[1];
    let aside = gravity[1] * way[0] - gravity[0] * way[1];
    let climb = libm::sin(up) + end.climb(scene) - scene.terrain.rise_along(way);
    let from = [0.0, 0.0, scene.terrain.height_m(end.from_m)];
    let lands = |left: f64| {
        let level = libm::cos(up);
        let way = [level * libm::cos(left), level * libm::sin(left), climb];
        free_flight(
            from,
            times(speed, way),
            drag,
            [along, aside, gravity[2]],
            0.4,
        )
    };
    [left, -left]
        .into_iter()
        .filter_map(lands)
        .map(|f| end.in_plan(scene, f.lands_m))
        .collect()
}

fn thrown(scene: &Scene, t: &Throw, share: f64, draws: &Draws, i: usize) -> Vec<(f64, f64)> {
    let drawn = Throw {
        mass: t.mass * draws.mass(i),
        ..t.clone()
    };
    let load = share * draws.load(i).min(scene.in_hand / share);
    let speed = drawn.launch(scene, load).speed_m_s;
    let (up, left) = (draws.up(i).get(), draws.left(i).get());
    let lands = |left: f64| drawn.flight(scene, speed, up, left);
    let landed = [left, -left].into_iter().filter_map(lands);
    let swings = t.swings_to.map(|p| (p[0], p[1]));
    landed.map(|f| f.lands_m).chain(swings).collect()
}
