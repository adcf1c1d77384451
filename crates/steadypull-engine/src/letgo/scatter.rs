//! Coarse runs over the cases with what the plan does not settle drawn at random, for
//! the zone: direction (5° each way, assumed), energy return, mass and tension.

use super::cases::Case;
use super::draw::{Draw, DrawnLines, INPUTS};
use super::flying::Meets;
use super::inside::broken_inside;
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

/// What the scatter runs gave.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scatter {
    /// The runs that could be finished.
    pub runs: Vec<ScatterRun>,
    /// Runs that could not.
    pub failed: u32,
    /// How each run met the vehicle that it flew to.
    pub met: Vec<ScatterMet>,
}

/// One scattered run.
#[derive(Debug, Clone, PartialEq)]
pub struct ScatterRun {
    /// Which of the things that fly it is a run of: those alike have the same number.
    pub thing: usize,
    /// Where things come down in plan (x from the casualty's recovery point towards the
    /// tug, y to the left), m.
    pub places_m: Vec<(f64, f64)>,
}

impl Scatter {
    /// Where things come down, run by run, for each of the things that fly.
    pub fn by_thing(&self) -> Vec<Vec<Vec<(f64, f64)>>> {
        let count = self.runs.iter().map(|r| r.thing + 1).max().unwrap_or(0);
        let mut things = vec![Vec::new(); count];
        for run in &self.runs {
            things[run.thing].push(run.places_m.clone());
        }
        things
    }
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

/// The distinct things that a scatter lets fly: each at an end of its line or lines
/// once, and the two tails of each line that parts inside.
struct Things<'c> {
    ends: Vec<&'c Case>,
    inside: Vec<&'c Case>,
}

impl<'c> Things<'c> {
    fn of(cases: &'c [Case]) -> Self {
        let (inside, at_ends): (Vec<&Case>, Vec<&Case>) = cases.iter().partition(|c| c.cut.inside);
        let mut ends: Vec<&Case> = Vec::new();
        for case in at_ends {
            let known = |d: &&Case| d.at == case.at && d.hardware == case.hardware;
            if !ends.iter().any(known) {
                ends.push(case);
            }
        }
        Self { ends, inside }
    }

    /// The case of run `i` of `count` of each sort, its number, and its draw.
    fn run(&self, i: usize, count: usize) -> Option<(&'c Case, usize, usize)> {
        let (list, from) = if i < count {
            (&self.ends, 0)
        } else {
            (&self.inside, self.ends.len())
        };
        let draw = i % count;
        let thing = draw.checked_rem(list.len())?;
        Some((list[thing], from + thing, draw))
    }
}

/// Runs of a scatter of `count` draws: each draw is one of a line that parts at an end
/// and one of a line that parts inside, where the draw says.
pub fn scatter_runs(count: usize) -> usize {
    2 * count
}

/// Of the [`scatter_runs`] of `count` draws, for the zone, those whose numbers lie in
/// `which`: the parts of a scatter, put together in order, are the whole.
pub fn scatter(
    plan: &Plan,
    path: &LoadPath,
    cases: &[Case],
    count: usize,
    which: core::ops::Range<usize>,
) -> Scatter {
    let things = Things::of(cases);
    let column = |k| Column::new(plan.seed, SCATTER_STREAM + k, count);
    let columns: [Column; INPUTS] = core::array::from_fn(|k| column(k as u64));
    let mut out = Scatter::default();
    let runs: Vec<(&Case, usize, Setup)> = which
        .filter_map(|i| {
            let (case, thing, draw) = things.run(i, count)?;
            let setup = scattered(plan, path, case, &Draw::of(&columns, draw))?;
            Some((case, thing, setup))
        })
        .collect();
    run_each(
        0..runs.len(),
        |k| runs[k].2.clone(),
        |k, outcome| match outcome {
            Ok(outcome) => {
                let (case, thing, _) = &runs[k];
                out.runs.push(ScatterRun {
                    thing: *thing,
                    places_m: in_plan(case.at, &outcome),
                });
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

/// The run of `case` in `draw`; none where hardly any line is left on its side.
fn scattered(plan: &Plan, path: &LoadPath, case: &Case, draw: &Draw) -> Option<Setup> {
    let (cut, mut setup) = if case.cut.inside {
        broken_inside(plan, path, &case.cut, draw.along, case.tension)?
    } else {
        (case.cut, case.setup.clone())
    };
    setup.segments = SCATTER_SEGMENTS;
    setup.max_time = Duration::new(SCATTER_S);
    let lines = DrawnLines::of(path, &cut);
    draw.put_on(&mut setup, &lines, case.tension);
    Some(setup)
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
