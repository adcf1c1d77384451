//! Coarse runs over the cases with what the plan does not settle drawn at random, for
//! the zone: direction (5° each way, assumed), energy return, mass and tension.

use super::cases::Case;
use super::draw::{Draw, DrawnLines, INPUTS};
use super::flying::Meets;
use super::{Outcome, Setup, Thing, run_each};
use crate::chance::Column;
use crate::plan::Plan;
use crate::rig::{LoadPath, Side};
use crate::units::{Duration, Mass};

/// Segments of a scatter run: a few per cent in speed, less than its spreads.
pub(super) const SCATTER_SEGMENTS: usize = 12;
/// Longest scatter run; what still moves then has its free flight counted.
pub(super) const SCATTER_S: f64 = 1.0;
/// First stream of the scatter, past all others.
const SCATTER_STREAM: u64 = 300;

/// What the scatter runs gave: for each run, where things come down in plan
/// (x from the casualty's recovery point towards the tug, y to the left), m.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scatter {
    /// Landing points by run.
    pub runs: Vec<Vec<(f64, f64)>>,
    /// Runs that could not be finished.
    pub failed: u32,
    /// How each run met the vehicle that it flew to.
    pub met: Vec<ScatterMet>,
}

/// How the free end of a scattered run met the vehicle that it flew to.
#[derive(Debug, Clone, PartialEq)]
pub struct ScatterMet {
    /// The link that let go.
    pub link: String,
    /// The vehicle.
    pub vehicle: Side,
    /// Mass of its hardware.
    pub hardware: Mass,
    /// What it met, on its line or, where it missed there, off it.
    pub meets: Meets,
}

/// Of `count` coarse runs over the distinct cases, for the zone, those whose numbers
/// lie in `which`: the parts of a scatter, put together in order, are the whole.
pub fn scatter(
    plan: &Plan,
    path: &LoadPath,
    cases: &[Case],
    count: usize,
    which: core::ops::Range<usize>,
) -> Scatter {
    let mut distinct: Vec<&Case> = Vec::new();
    for case in cases {
        // A line that parts inside reaches no further than one that parts at its end.
        let known = |d: &&Case| d.at == case.at && d.hardware == case.hardware;
        if !case.cut.inside && !distinct.iter().any(known) {
            distinct.push(case);
        }
    }
    let mut out = Scatter::default();
    if distinct.is_empty() {
        return out;
    }
    let column = |k| Column::new(plan.seed, SCATTER_STREAM + k, count);
    let columns: [Column; INPUTS] = core::array::from_fn(|k| column(k as u64));
    let case_of = |i: usize| distinct[i % distinct.len()];
    run_each(
        which,
        |i| scattered(path, case_of(i), &columns, i),
        |i, outcome| match outcome {
            Ok(outcome) => {
                let case = case_of(i);
                out.runs.push(in_plan(case.at, &outcome));
                out.met.extend(met(case, &outcome));
            }
            Err(_) => out.failed += 1,
        },
    );
    out
}

/// The harder strike of the free end on its line and of hardware off it.
fn met(case: &Case, outcome: &Outcome) -> Option<ScatterMet> {
    let ends = outcome
        .flown
        .iter()
        .filter(|f| matches!(f.thing, Thing::FreeEnd | Thing::OffTheLine));
    let struck_j = |meets: &Meets| match meets {
        Meets::Strikes(strike) => strike.energy.get(),
        Meets::Passes(_) => -1.0,
        Meets::StopsShort => -2.0,
    };
    let meets = ends
        .map(|f| f.meets)
        .max_by(|a, b| struck_j(a).total_cmp(&struck_j(b)))?;
    Some(ScatterMet {
        link: case.link.clone(),
        vehicle: case.cut.flies_to,
        hardware: case.hardware,
        meets,
    })
}

fn scattered(path: &LoadPath, case: &Case, columns: &[Column; INPUTS], i: usize) -> Setup {
    let mut setup = case.setup.clone();
    setup.segments = SCATTER_SEGMENTS;
    setup.max_time = Duration::new(SCATTER_S);
    let lines = DrawnLines::of(path, &case.cut);
    Draw::of(columns, i).put_on(&mut setup, &lines, case.tension);
    setup
}

/// Where things are or come down, in the plan's frame: the free end's path, where
/// it and the dampers rest, and where hardware that came off the line at its
/// greatest speed first touches the ground. How far such hardware skips and
/// slides after that is reported with the case, not drawn: with friction alone
/// it comes to hundreds of metres along the line of pull, and no zone would say
/// it better than words.
pub(super) fn in_plan(at: Side, outcome: &Outcome) -> Vec<(f64, f64)> {
    let far = outcome.far_point.get();
    let path = outcome
        .path
        .iter()
        .chain([&outcome.end])
        .map(|p| (p.place_m[0], p.place_m[1]));
    let dampers = outcome.dampers.iter().map(|d| (d.rests_m[0], d.rests_m[1]));
    let free = outcome.free_flight.iter().map(|flight| flight.lands_m);
    path.chain(dampers)
        .chain(free)
        .map(|(x, y)| {
            if at == Side::Casualty {
                (x, y)
            } else {
                (far - x, -y)
            }
        })
        .collect()
}
