//! Where things come down when what is not known is drawn at random.
//!
//! As for a straight rig ([`Draw`]), one stream of the seed an input. The ends with the
//! most energy are run again as coarse chains; the rest, and what is thrown, by
//! upper bounds and free flight.

use super::end_setup::{segments, wind_along};
use super::ends::FreeEndOf;
use super::partings::Partings;
use super::scene::Scene;
use super::throw::Throw;
use crate::chance::Column;
use crate::letgo::bodies::times;
use crate::letgo::draw::{Draw, INPUTS};
use crate::letgo::flight::AIR_DENSITY_KG_M3;
use crate::letgo::scatter::{SCATTER_S, SCATTER_SEGMENTS};
use crate::letgo::side_setup::drag_area;
use crate::letgo::{Setup, free_flight_in_wind, run_all};
use crate::plan::Plan;
use crate::rig::{Graph, Solved};
use crate::units::{Duration, Mass};

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

/// `count` draws, one column an input.
fn draws(seed: u64, count: usize) -> Vec<Draw> {
    let columns: [Column; INPUTS] =
        core::array::from_fn(|k| Column::new(seed, STREAM + k as u64, count));
    (0..count).map(|i| Draw::of(&columns, i)).collect()
}

/// Draws of all that could fly.
pub fn rig_scatter(plan: &Plan, graph: &Graph, solved: &Solved, partings: &Partings) -> RigScatter {
    let scene = Scene::new(plan, graph, solved);
    let (tails, at_ends): (Vec<usize>, Vec<usize>) =
        (0..partings.ends.len()).partition(|k| partings.ends[*k].inside.is_some());
    let wide = draws(plan.seed, BOUNDED_EACH);
    let mut out = RigScatter::default();
    for list in [at_ends, tails] {
        end_groups(&scene, partings, &list, &wide, &mut out);
    }
    for (t, share) in &partings.throws {
        let runs = wide.iter().map(|draw| thrown(&scene, t, *share, draw));
        out.groups.push(Group {
            node: Some(t.node),
            runs: runs.collect(),
        });
    }
    out
}

/// One group an end of `list`: the first [`COARSE_ENDS`] run again, the rest bounded.
fn end_groups(
    scene: &Scene,
    partings: &Partings,
    list: &[usize],
    wide: &[Draw],
    out: &mut RigScatter,
) {
    let again = list.len().min(COARSE_ENDS);
    let near = draws(scene.plan.seed, again * COARSE_EACH);
    let ends: Vec<FreeEndOf> = near
        .iter()
        .enumerate()
        .map(|(i, draw)| drawn_end(scene, &partings.ends[list[i % again]], draw))
        .collect();
    let coarse: Vec<Setup> = ends
        .iter()
        .zip(&near)
        .map(|(end, draw)| coarse_setup(scene, end, draw))
        .collect();
    let coarse = run_all(&coarse);
    for (k, at) in list.iter().enumerate() {
        let mut runs: Vec<_> = partings.landings[*at].iter().cloned().collect();
        if k < COARSE_ENDS {
            for i in (0..COARSE_EACH).map(|j| k + j * again) {
                match coarse[i].as_ref() {
                    Ok(outcome) => runs.push(ends[i].landings(scene, outcome)),
                    Err(_) => out.failed += 1,
                }
            }
        } else {
            let end = |draw| drawn_end(scene, &partings.ends[*at], draw);
            runs.extend(wide.iter().map(|draw| bounded_end(scene, &end(draw), draw)));
        }
        out.groups.push(Group { node: None, runs });
    }
}

/// An end in a draw: a tail where its line parts, as likely anywhere along it.
fn drawn_end(scene: &Scene, end: &FreeEndOf, draw: &Draw) -> FreeEndOf {
    let there = end.broken_at(scene, draw.along);
    there.unwrap_or_else(|| end.clone())
}

fn coarse_setup(scene: &Scene, end: &FreeEndOf, draw: &Draw) -> Setup {
    let mut setup = end.setup(scene);
    setup.segments = segments(&setup, SCATTER_SEGMENTS);
    setup.max_time = setup.max_time.min(Duration::new(SCATTER_S));
    setup.elevation = draw.elevation;
    setup.azimuth = draw.azimuth;
    setup.lines = end.line_parts(end.tension_n * draw.load, draw.back);
    setup.hardware.mass = setup.hardware.mass * draw.mass;
    draw.site.put_on(&mut setup);
    setup
}

/// Free flight of an end at its greatest speed, as likely to either side.
fn bounded_end(scene: &Scene, end: &FreeEndOf, draw: &Draw) -> Vec<(f64, f64)> {
    let speed = end.bound().0 * draw.load;
    let kg = (end.hardware.get() * draw.mass).max(LEAST_KG);
    let drag = 0.5 * AIR_DENSITY_KG_M3 * drag_area(Mass::new(kg)).get() / kg;
    let (up, left) = (draw.elevation.get(), draw.azimuth.get());
    let way = end.way(scene);
    let gravity = scene.terrain.gravity();
    // Along the flight, to its left, up.
    let along = gravity[0] * way[0] + gravity[1] * way[1];
    let aside = gravity[1] * way[0] - gravity[0] * way[1];
    let air = draw
        .site
        .blown(wind_along(scene, way), &scene.plan.site.gusts);
    let climb = libm::sin(up) + end.climb(scene) - scene.terrain.rise_along(way);
    let from = [0.0, 0.0, scene.terrain.height_m(end.from_m)];
    let lands = |left: f64| {
        let level = libm::cos(up);
        let way = [level * libm::cos(left), level * libm::sin(left), climb];
        let gravity = [along, aside, gravity[2]];
        free_flight_in_wind(from, times(speed, way), drag, air, gravity, 0.4)
    };
    [left, -left]
        .into_iter()
        .filter_map(lands)
        .map(|f| end.in_plan(scene, f.lands_m))
        .collect()
}

fn thrown(scene: &Scene, t: &Throw, share: f64, draw: &Draw) -> Vec<(f64, f64)> {
    let drawn = Throw {
        mass: t.mass * draw.mass,
        ..t.clone()
    };
    let load = share * draw.load.min(scene.in_hand / share);
    let speed = drawn.launch(scene, load).speed_m_s;
    let (up, left) = (draw.elevation.get(), draw.azimuth.get());
    let lands = |left: f64| drawn.flight(scene, speed, (up, left), &draw.site);
    let landed = [left, -left].into_iter().filter_map(lands);
    let swings = t.swings_to.map(|p| (p[0], p[1]));
    landed.map(|f| f.lands_m).chain(swings).collect()
}
