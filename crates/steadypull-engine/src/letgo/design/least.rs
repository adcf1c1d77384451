//! The least damper mass that keeps a wish, and where it hangs.
//!
//! For each number of dampers, all of one mass, every choice of places on a grid is tried
//! at the greatest mass over the same draws. Where one keeps the wish, the step of a grid
//! of masses from which on one does is halved in; then places move by half a step and
//! single dampers get lighter by half a kilogram for as long as the wish is kept. What is
//! found is checked on fresh draws and with more segments, with what finer ones could add
//! (see [`fineness`](super::fineness)); where it fails there, its dampers get heavier, in
//! strides that are halved back, until it does not. Nothing is claimed between the steps
//! of the grids, nor of dampers of very unlike mass, which are only reached from like ones.
//!
//! Where the greatest mass does not keep the wish anywhere, every second lighter one is
//! tried too, and the set-up that comes closest is told.

use super::energies::{Asked, Energies};
use super::set_up::{Hung, Make, SetUp};
use super::study::Study;
use super::target::Draws;
use crate::units::Mass;

/// Steps of the mass of one damper, kg, as far as the wish allows.
const MASSES_KG: [f64; 11] = [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.5, 15.0];
/// Places on the line from the hardware, as shares of its length.
pub(super) const PLACES: [f64; 6] = [0.0, 1.0 / 6.0, 1.0 / 3.0, 0.5, 2.0 / 3.0, 5.0 / 6.0];
/// Finest step of a place.
pub const PLACE_STEP: f64 = 1.0 / 12.0;
/// Finest step of a mass.
pub const MASS_STEP: Mass = Mass::new(0.5);
/// Set-ups tried before the best so far is looked at again.
const BATCH: usize = 4;
/// The outcome of a search for one number of dampers.
#[derive(Debug, Clone, PartialEq)]
pub struct Least {
    /// Dampers: those asked for, or none where the bare line keeps the wish.
    pub number: usize,
    /// The least set-up that keeps the wish; else the one that comes closest.
    pub set_up: SetUp,
    /// Whether it keeps the wish, on fresh draws too.
    pub meets: bool,
    /// Over the draws that it was chosen by.
    pub search: Energies,
    /// Over fresh draws.
    pub check: Energies,
}

/// Greatest mass of one damper, and how dampers are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Greatest mass of one damper.
    pub most: Mass,
    /// How every one is made.
    pub make: Make,
}

type Tried = (SetUp, Energies);

/// The least set-up of `number` dampers under the study's wish.
pub(super) fn least(
    study: &Study,
    number: usize,
    bounds: Bounds,
    bare: &Energies,
    fresh: &Draws,
) -> Least {
    let asked = study.held_to();
    let mut best = coarse(study, number, bounds, bare);
    best = moved(study, best);
    if best.1.meets(asked) {
        best = lightened(study, best);
        best = moved_within(study, best, asked);
        best = lightened(study, best);
    }
    checked(study, number, bounds, best, fresh)
}

/// The least mass of the grid that keeps the wish at some places, or the closest of all.
fn coarse(study: &Study, number: usize, bounds: Bounds, bare: &Energies) -> Tried {
    let (choices, masses) = (places(number), masses(bounds.most));
    let hang = |mass: Mass| -> Vec<SetUp> {
        let one = |places: &Vec<f64>| {
            let dampers = places.iter().map(|&place| Hung { mass, place }).collect();
            SetUp::of(dampers, bounds.make)
        };
        choices.iter().map(one).collect()
    };
    let asked = study.held_to();
    // The best of the first batch that has one, and those not yet tried.
    let some_keep = |mass: Mass| -> Option<(Tried, Vec<SetUp>)> {
        let mut set_ups = hang(mass);
        while !set_ups.is_empty() {
            let untried = set_ups.split_off(BATCH.min(set_ups.len()));
            let best = closest(study, &set_ups, asked.under.get(), None);
            if let Some(best) = best {
                return Some((best, untried));
            }
            set_ups = untried;
        }
        None
    };
    let last = masses.len() - 1;
    let Some(mut found) = some_keep(masses[last]) else {
        // The heaviest need not come closest: what is heavy flies with more.
        let tried = (0..=last).rev().step_by(2).map(|k| hang(masses[k]));
        let start = bare.worst.quantile.get();
        let best = tried.fold(None, |best, set_ups| closest(study, &set_ups, start, best));
        return best.unwrap_or_else(|| usual(study, number, bounds));
    };
    // Past the last that is known not to keep it (none at the start), and the first that does.
    let (mut fails, mut keeps) = (0, last);
    while fails < keeps {
        let middle = (fails + keeps) / 2;
        match some_keep(masses[middle]) {
            Some(lighter) => (found, keeps) = (lighter, middle),
            None => fails = middle + 1,
        }
    }
    let (best, untried) = found;
    let limit_j = best.1.worst.quantile.get();
    closest(study, &untried, limit_j, Some(best)).unwrap_or_else(|| usual(study, number, bounds))
}

/// The set-up with the lowest quantile of these and the best so far, none over `most_j`.
fn closest(study: &Study, set_ups: &[SetUp], most_j: f64, best: Option<Tried>) -> Option<Tried> {
    set_ups.chunks(BATCH).fold(best, |best, batch| {
        let limit_j = best.as_ref().map_or(most_j, |b| b.1.worst.quantile.get());
        let kept = study.no_more_than(batch, limit_j);
        better(best, batch, kept)
    })
}

/// The usual places at the least mass: where nothing beats the bare line they say by how
/// much.
fn usual(study: &Study, number: usize, bounds: Bounds) -> Tried {
    let dampers = (0..number).map(|k| Hung {
        mass: MASS_STEP,
        place: PLACES[3 * k % PLACES.len()],
    });
    let set_up = SetUp::of(dampers.collect(), bounds.make);
    let energies = study.energies(&set_up);
    (set_up, energies)
}

/// The lowest quantile of what was kept and what was best.
fn better(best: Option<Tried>, tried: &[SetUp], kept: Vec<Option<Energies>>) -> Option<Tried> {
    let found = tried
        .iter()
        .zip(kept)
        .filter_map(|(set_up, energies)| Some((set_up.clone(), energies?)));
    found.fold(best, |best, one| match best {
        Some(best) if best.1.worst.quantile <= one.1.worst.quantile => Some(best),
        _ => Some(one),
    })
}

/// Places moved by half a step while that lowers the quantile.
fn moved(study: &Study, start: Tried) -> Tried {
    let tried = shifts(&start.0);
    let kept = study.no_more_than(&tried, start.1.worst.quantile.get());
    better(Some(start.clone()), &tried, kept).unwrap_or(start)
}

/// The same for a set-up that keeps the wish: it must go on keeping it.
fn moved_within(study: &Study, start: Tried, asked: Asked) -> Tried {
    let moved = moved(study, start.clone());
    if moved.1.meets(asked) { moved } else { start }
}

/// Single dampers made lighter, one step at a time, while the wish is kept.
fn lightened(study: &Study, mut best: Tried) -> Tried {
    loop {
        let tried = lighter(&best.0);
        let kept = study.no_more_than(&tried, study.held_to().under.get());
        match better(None, &tried, kept) {
            Some(found) if found.1.meets(study.held_to()) => best = found,
            _ => return best,
        }
    }
}

/// Each damper in turn one step lighter.
pub(super) fn lighter(set_up: &SetUp) -> Vec<SetUp> {
    let one = |k: usize| {
        let mut lighter = set_up.clone();
        lighter.dampers[k].mass = lighter.dampers[k].mass - MASS_STEP;
        (lighter.dampers[k].mass >= MASS_STEP).then_some(lighter)
    };
    (0..set_up.dampers.len()).filter_map(one).collect()
}

/// Each damper in turn half a step of the grid to either side, none upon another.
fn shifts(set_up: &SetUp) -> Vec<SetUp> {
    let mut found = Vec::new();
    for k in 0..set_up.dampers.len() {
        for step in [-PLACE_STEP, PLACE_STEP] {
            let mut shifted = set_up.clone();
            let place = shifted.dampers[k].place + step;
            shifted.dampers[k].place = place;
            let apart = shifted
                .dampers
                .iter()
                .enumerate()
                .all(|(i, d)| i == k || (d.place - place).abs() > 0.5 * PLACE_STEP);
            if apart && (-1e-9..=1.0 - PLACE_STEP + 1e-9).contains(&place) {
                shifted.dampers[k].place = place.max(0.0);
                found.push(shifted);
            }
        }
    }
    found
}

/// Held to fresh draws, and made heavier until it keeps the wish there.
fn checked(study: &Study, number: usize, bounds: Bounds, best: Tried, fresh: &Draws) -> Least {
    let (set_up, search) = best;
    let promising = search.meets(study.held_to());
    if let Some((steps, check)) = promising
        .then(|| raised_until_kept(study, &set_up, bounds.most, fresh))
        .flatten()
    {
        let set_up = raised(&set_up, steps, bounds.most);
        return Least {
            number,
            meets: true,
            search: match steps {
                0 => search,
                _ => study.energies(&set_up),
            },
            set_up,
            check,
        };
    }
    // It will not do: fewer draws tell by how much.
    let few = fresh.spread_over(study.effort.curve, study.asked.chance);
    Least {
        number,
        meets: false,
        check: study.checked(&set_up, &few),
        set_up,
        search,
    }
}

/// The fewest steps of mass on each damper with which the wish is kept on fresh draws,
/// and what arrives then; none if no more than `most` each will do.
fn raised_until_kept(
    study: &Study,
    set_up: &SetUp,
    most: Mass,
    fresh: &Draws,
) -> Option<(u32, Energies)> {
    let with = |steps: u32| raised(set_up, steps, most);
    // By the harshest draws alone first.
    let harshest = |steps: u32| study.harshest(&with(steps), fresh);
    let lightest = set_up.dampers.iter().map(|d| d.mass).fold(most, Mass::min);
    let last = libm::ceil((most - lightest) / MASS_STEP) as u32;
    let (least, seen) = match harshest(0) {
        Some(seen) => (0, seen),
        None => least_of(last, harshest)?,
    };
    let whole = |steps, seen| Some((steps, study.kept_after(&with(steps), fresh, seen)?));
    whole(least, seen)
        .or_else(|| (least + 1..=last).find_map(|steps| whole(steps, harshest(steps)?)))
}

/// The least number of steps from 1 to `last` with which something is found, and that:
/// in strides that are halved back.
fn least_of<T>(last: u32, find: impl Fn(u32) -> Option<T>) -> Option<(u32, T)> {
    let (mut fails, mut stride) = (0, 1);
    let (mut least, mut found) = loop {
        if fails >= last {
            return None;
        }
        let next = (fails + stride).min(last);
        if let Some(found) = find(next) {
            break (next, found);
        }
        (fails, stride) = (next, 2 * stride);
    };
    while least - fails > 1 {
        let middle = (fails + least) / 2;
        match find(middle) {
            Some(lighter) => (least, found) = (middle, lighter),
            None => fails = middle,
        }
    }
    Some((least, found))
}

/// Every damper `steps` heavier, as far as they go.
pub(super) fn raised(set_up: &SetUp, steps: u32, most: Mass) -> SetUp {
    let mut heavier = set_up.clone();
    for damper in &mut heavier.dampers {
        let mass = damper.mass + MASS_STEP * f64::from(steps);
        damper.mass = mass.min(most.max(damper.mass));
    }
    heavier
}

/// The grid of masses up to `most`, which is on it.
fn masses(most: Mass) -> Vec<Mass> {
    let steps = MASSES_KG.iter().map(|&kg| Mass::new(kg));
    let mut found: Vec<Mass> = steps.filter(|m| *m < most).collect();
    found.push(most);
    found
}

/// Every choice of `number` places of the grid, from the hardware on.
fn places(number: usize) -> Vec<Vec<f64>> {
    let mut found = vec![vec![]];
    for _ in 0..number {
        let longer = |chosen: &Vec<usize>| {
            let next = chosen.last().map_or(0, |k| k + 1);
            (next..PLACES.len())
                .map(|k| chosen.iter().copied().chain([k]).collect())
                .collect::<Vec<Vec<usize>>>()
        };
        found = found.iter().flat_map(longer).collect();
    }
    let shares = |chosen: &Vec<usize>| chosen.iter().map(|&k| PLACES[k]).collect();
    found.iter().map(shares).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Area, Force};

    #[test]
    fn every_choice_of_places_once() {
        assert_eq!(places(1).len(), 6);
        assert_eq!(places(2).len(), 15);
        let three = places(3);
        assert_eq!(three.len(), 20);
        assert!(three.iter().all(|p| p[0] < p[1] && p[1] < p[2]));
    }

    #[test]
    fn strides_are_halved_back_to_the_least() {
        for least in 1..=11 {
            let from = |k: u32| (k >= least).then_some(10 * k);
            assert_eq!(least_of(11, from), Some((least, 10 * least)));
        }
        assert_eq!(least_of(11, |_| None::<u32>), None);
        assert_eq!(least_of(0, Some), None);
    }

    #[test]
    fn steps_keep_to_the_line_and_to_the_masses() {
        let make = Make {
            grip: Force::new(200.0),
            drag_area: Area::new(0.1),
        };
        let set_up = SetUp::of(vec![Hung::new(0.5, 0.0), Hung::new(1.0, PLACE_STEP)], make);
        // The first may not go behind the hardware, nor upon the second, nor weigh nothing.
        assert_eq!(shifts(&set_up).len(), 1);
        assert_eq!(lighter(&set_up).len(), 1);
        assert_eq!(masses(Mass::new(2.5)).last(), Some(&Mass::new(2.5)));
        assert_eq!(
            raised(&set_up, 1, Mass::new(1.0)).dampers[1].mass,
            Mass::new(1.0)
        );
    }
}
