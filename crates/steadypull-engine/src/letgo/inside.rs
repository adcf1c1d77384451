//! A break inside a line: tried at several places along it, told at the worst.
//!
//! What it answers: where along a line a break throws its tail at a vehicle with the
//! most energy. On a bare line it hardly matters: the end of either tail leaves with
//! the same speed wherever the break is. Dampers make the difference: a tail that brings
//! one along arrives with the damper's energy too.
//!
//! A run of each place settles which is the worst: a coarse one where the tail is bare (a
//! few per cent in speed, the same for all places), as fine as any other case where dampers
//! hang on it, whose energy a coarse run misses. The worst is then run finely.

use super::planned_gear::with_dampers;
use super::scatter::SCATTER_SEGMENTS;
use super::side_setup::bare_setup;
use super::sides::Cut;
use super::{Outcome, Setup, run_all};
use crate::plan::Plan;
use crate::rig::LoadPath;
use crate::units::{Energy, Force, Mass, Speed};

/// A place along a line where a break inside it was tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakPlace {
    /// Share of the line from its end that comes first in its path or run.
    pub along: f64,
    /// Greatest speed of the tail's end.
    pub launch_speed: Speed,
    /// Greatest energy of its last half metre, with any damper that it has picked up,
    /// as it leaves.
    pub launch_energy: Energy,
    /// The same as it passes the far recovery point; nothing if it does not get there.
    pub arriving: Energy,
}

/// Tries a break at each place, the runs with what the plan hangs on the line.
pub(super) fn tried(places: &[(f64, Setup)]) -> Vec<BreakPlace> {
    let runs: Vec<Setup> = places.iter().map(|(_, setup)| coarser(setup)).collect();
    let outcomes = run_all(&runs).into_iter();
    let place = |(outcome, (along, _)): (Result<Outcome, _>, &(f64, Setup))| {
        // One that cannot be run is looked at no further; the fine run tells why.
        outcome.ok().map(|outcome: Outcome| BreakPlace {
            along: *along,
            launch_speed: outcome.launch.speed,
            launch_energy: outcome.launch_energy,
            arriving: outcome.arrival.map_or(Energy::ZERO, |a| a.energy),
        })
    };
    outcomes.zip(places).filter_map(place).collect()
}

/// The place of the most energy by `of`; of places alike the first.
pub(super) fn worst(places: &[BreakPlace], of: fn(&BreakPlace) -> Energy) -> Option<f64> {
    let more = |worst: Option<&BreakPlace>, now: &BreakPlace| {
        worst.is_none_or(|worst| of(now) > of(worst) * (1.0 + ALIKE))
    };
    let mut found: Option<&BreakPlace> = None;
    for place in places {
        if more(found, place) {
            found = Some(place);
        }
    }
    found.map(|place| place.along)
}

/// The side of a break inside its line that `cut` is, at another place along the line,
/// and its run with the dampers planned; none where hardly any line is left on it.
pub(super) fn broken_inside(
    plan: &Plan,
    path: &LoadPath,
    cut: &Cut,
    along: f64,
    tension: Force,
) -> Option<(Cut, Setup)> {
    let cut = Cut { along, ..*cut };
    let bare = bare_setup(plan, path, &cut, Mass::ZERO, tension)?;
    let (setup, _) = with_dampers(plan, path.line_length(), &bare, cut.flies_to);
    Some((cut, setup))
}

/// Share by which energies must differ to count as unlike: less is the coarse runs' own.
const ALIKE: f64 = 0.02;

/// As coarse as will do.
fn coarser(setup: &Setup) -> Setup {
    if !setup.dampers.is_empty() {
        return setup.clone();
    }
    Setup {
        segments: setup.segments.min(SCATTER_SEGMENTS),
        ..setup.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(along: f64, joules: f64) -> BreakPlace {
        BreakPlace {
            along,
            launch_speed: Speed::ZERO,
            launch_energy: Energy::ZERO,
            arriving: Energy::new(joules),
        }
    }

    #[test]
    fn the_worst_is_clearly_worse_or_the_first() {
        let arriving = |p: &BreakPlace| p.arriving;
        let flat = [place(0.5, 100.0), place(0.1, 101.0), place(0.9, 99.0)];
        assert_eq!(worst(&flat, arriving), Some(0.5));
        let peaked = [place(0.5, 100.0), place(0.1, 40.0), place(0.9, 120.0)];
        assert_eq!(worst(&peaked, arriving), Some(0.9));
        assert_eq!(worst(&[], arriving), None);
    }
}
