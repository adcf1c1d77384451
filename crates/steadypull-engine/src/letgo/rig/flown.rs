//! The ends of line that fly, run in time: breaks at the ends of lines, and tails of
//! lines that part inside, each where it leaves with the most energy.
//!
//! First its launch alone, which settles speed, energy and where it lands. Then it is
//! followed along its line, for the stretch of its way over each injury criterion and
//! the crack of its tail. An end whose line goes on round a block is followed until it is
//! its own length past the block; its crack comes when its own part of line has run out
//! there, and is that of its own part alone, held at the block.

use super::draft::Draft;
use super::ends::FreeEndOf;
use super::scene::Scene;
use crate::letgo::flying::Stretch;
use crate::letgo::inside::{tried, worst};
use crate::letgo::{BreakPlace, Crack, Outcome, Setup, Thing, run_all};

/// Most ends of a sort that are run in time.
const FINE_RUNS: usize = 24;

/// An end of line with what its runs gave.
pub(super) struct FlownEnd {
    /// As it flies; a tail at the worst place.
    pub end: FreeEndOf,
    /// Of a tail, as it was found.
    found: Option<FreeEndOf>,
    /// Places along the line that were tried.
    pub places: Vec<BreakPlace>,
    /// Its run; none where there are more ends than are run, or where it failed.
    pub outcome: Option<Outcome>,
    /// Stretches of its way on its line over each injury criterion, along the run.
    pub over: Vec<Stretch>,
    /// The crack of its tail, in the coordinates of the run.
    pub crack: Option<Crack>,
}

impl FlownEnd {
    /// Whether `end` flies alike.
    pub fn is(&self, end: &FreeEndOf) -> bool {
        self.found.as_ref().unwrap_or(&self.end).twin(end)
    }
}

/// Runs the breaks at the ends of lines, the most energetic first, and the tails; says
/// how many runs failed.
pub(super) fn flown(
    scene: &Scene,
    mut ends: Vec<FreeEndOf>,
    tails: Vec<FreeEndOf>,
) -> (Vec<FlownEnd>, u32) {
    sort(&mut ends);
    let mut at_ends: Vec<FlownEnd> = ends.into_iter().map(not_run).collect();
    let mut inside = at_worst(scene, tails);
    let mut failed = 0;
    for ends in [&mut at_ends, &mut inside] {
        let count = ends.len().min(FINE_RUNS);
        run_them(scene, &mut ends[..count]);
        follow_on(scene, &mut ends[..count]);
        failed += ends[..count].iter().filter(|e| e.outcome.is_none()).count();
    }
    at_ends.append(&mut inside);
    (at_ends, failed as u32)
}

/// The same of those ends and tails alone that fly when the part of `draft` lets go, each
/// run only for its launch.
pub(super) fn flown_of(
    scene: &Scene,
    mut ends: Vec<FreeEndOf>,
    tails: Vec<FreeEndOf>,
    draft: &Draft,
) -> Vec<FlownEnd> {
    sort(&mut ends);
    let of = |own: &[FreeEndOf], end: &FreeEndOf| own.iter().any(|o| end.twin(o));
    let ends = ends.into_iter().enumerate();
    let (fine, bounded): (Vec<_>, Vec<_>) = ends
        .filter(|(_, end)| of(&draft.ends, end))
        .partition(|(k, _)| *k < FINE_RUNS);
    let mut at_ends: Vec<FlownEnd> = fine.into_iter().map(|(_, end)| not_run(end)).collect();
    run_them(scene, &mut at_ends);
    at_ends.extend(bounded.into_iter().map(|(_, end)| not_run(end)));
    let parts = |tail: &FreeEndOf| {
        let mut places = tail.places().into_iter();
        places.any(|along| tail.broken_at(scene, along).is_some())
    };
    let tails = tails.into_iter().filter(parts).take(FINE_RUNS);
    let mut inside = at_worst(scene, tails.filter(|t| of(&draft.tails, t)).collect());
    run_them(scene, &mut inside);
    at_ends.append(&mut inside);
    at_ends
}

/// The most energetic first.
fn sort(ends: &mut [FreeEndOf]) {
    ends.sort_by(|a, b| b.bound().1.total_cmp(&a.bound().1));
}

fn not_run(end: FreeEndOf) -> FlownEnd {
    FlownEnd {
        end,
        found: None,
        places: Vec::new(),
        outcome: None,
        over: Vec::new(),
        crack: None,
    }
}

/// Each tail at the place of its line where it leaves with the most energy; none of a
/// line that is not said to part in this piece of it.
fn at_worst(scene: &Scene, tails: Vec<FreeEndOf>) -> Vec<FlownEnd> {
    let moved = |tail: FreeEndOf| {
        let places = tail.places().into_iter();
        let at: Vec<(f64, FreeEndOf)> = places
            .filter_map(|along| Some((along, tail.broken_at(scene, along)?)))
            .collect();
        let runs: Vec<(f64, Setup)> = at.iter().map(|(p, t)| (*p, t.setup(scene))).collect();
        let places = tried(&runs);
        // The middle first: of places alike it is told.
        let mut order = places.clone();
        order.rotate_left(places.len() / 2);
        let along = worst(&order, |p| p.launch_energy)?;
        let (_, end) = at.into_iter().find(|(p, _)| *p == along)?;
        Some(FlownEnd {
            found: Some(tail),
            places,
            ..not_run(end)
        })
    };
    tails.into_iter().filter_map(moved).collect()
}

fn run_them(scene: &Scene, ends: &mut [FlownEnd]) {
    let setups: Vec<Setup> = ends.iter().map(|e| e.end.setup(scene)).collect();
    for (flown, outcome) in ends.iter_mut().zip(run_all(&setups)) {
        flown.outcome = outcome.ok();
    }
}

/// Follows each end that was run further along its line, and to the crack of its tail.
pub(super) fn follow_on(scene: &Scene, ends: &mut [FlownEnd]) {
    let on = |e: &FlownEnd| Some(e.end.followed(scene, e.outcome.as_ref()?.launch.speed));
    let at_stop = |e: &FlownEnd| {
        let goes_on = e.outcome.is_some() && !e.end.ends_there(scene);
        goes_on.then(|| e.end.held_at_stop(scene))
    };
    let followed = run_some(ends.iter().map(on));
    let held = run_some(ends.iter().map(at_stop));
    for ((flown, followed), held) in ends.iter_mut().zip(followed).zip(held) {
        let Some((setup, followed)) = followed else {
            continue;
        };
        let on_line = followed.flown.iter().find(|f| f.thing == Thing::FreeEnd);
        flown.over = on_line.map_or(Vec::new(), |f| f.over.clone());
        let whip = match flown.end.ends_there(scene) {
            true => followed.whip,
            false => held.and_then(|(_, held)| held.whip),
        };
        // All the line gives its energy, past a block too.
        flown.crack = whip.and_then(|whip| Crack::of(&whip, followed.stored, &setup.lines));
    }
}

/// Runs those that there are; none in place of one that failed.
fn run_some(setups: impl Iterator<Item = Option<Setup>>) -> Vec<Option<(Setup, Outcome)>> {
    let setups: Vec<Option<Setup>> = setups.collect();
    let there: Vec<Setup> = setups.iter().flatten().cloned().collect();
    let mut outcomes = run_all(&there).into_iter();
    let one = |setup: Option<Setup>| Some((setup?, outcomes.next()?.ok()?));
    setups.into_iter().map(one).collect()
}
