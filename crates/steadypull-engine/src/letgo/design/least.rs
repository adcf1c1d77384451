//! The least damper mass that keeps a wish, and where it hangs.
//!
//! For each number of dampers, all of one mass, the mass goes up a grid and at each
//! step every choice of places on a grid is tried over the same draws, until one
//! keeps the wish. Then places move by half a step and single dampers get lighter by
//! half a kilogram for as long as the wish is kept. What is found is checked on fresh
//! draws and with more segments; where it fails there, its dampers get heavier until it does not. Nothing is
//! claimed between the steps of the grids, nor of dampers of very unlike mass, which
//! are only reached from like ones.
//!
//! Where no step keeps the wish, the set-up that comes closest is told instead.

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
/// Steps by which dampers may get heavier after the check on fresh draws.
const RAISES: usize = 4;

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
    let asked = study.asked;
    let mut best = coarse(study, number, bounds, bare);
    best = moved(study, best);
    if best.1.meets(asked) {
        best = lightened(study, best);
        best = moved_within(study, best, asked);
        best = lightened(study, best);
    }
    checked(study, number, bounds, best, fresh)
}

/// Up the grid of masses until the wish is kept, or the closest of all.
fn coarse(study: &Study, number: usize, bounds: Bounds, bare: &Energies) -> Tried {
    let choices = places(number);
    let mut best: Option<Tried> = None;
    for mass in masses(bounds.most) {
        let hang = |places: &Vec<f64>| {
            let dampers = places.iter().map(|&place| Hung { mass, place }).collect();
            SetUp::of(dampers, bounds.make)
        };
        let set_ups: Vec<SetUp> = choices.iter().map(hang).collect();
        for batch in set_ups.chunks(BATCH) {
            let limit_j = best
                .as_ref()
                .map_or(bare.worst.quantile, |b| b.1.worst.quantile);
            let kept = study.no_more_than(batch, limit_j.get());
            best = better(best, batch, kept);
        }
        if best.as_ref().is_some_and(|b| b.1.meets(study.asked)) {
            break;
        }
    }
    // Nothing beats the bare line: the usual places, at the least mass, say by how much.
    best.unwrap_or_else(|| {
        let usual = (0..number).map(|k| Hung {
            mass: MASS_STEP,
            place: PLACES[3 * k % PLACES.len()],
        });
        let set_up = SetUp::of(usual.collect(), bounds.make);
        let energies = study.energies(&set_up);
        (set_up, energies)
    })
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
        let kept = study.no_more_than(&tried, study.asked.under.get());
        match better(None, &tried, kept) {
            Some(found) if found.1.meets(study.asked) => best = found,
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
    let segments = study.effort.check_segments;
    let (mut set_up, mut search) = best;
    let mut check = study.checked(&set_up, fresh, segments);
    let promising = search.meets(study.asked);
    let chosen = set_up.total();
    for _ in 0..if promising { RAISES } else { 0 } {
        if check.meets(study.asked) {
            break;
        }
        let heavier = raised(&set_up, bounds.most);
        if heavier == set_up {
            break;
        }
        set_up = heavier;
        check = study.checked(&set_up, fresh, segments);
    }
    if set_up.total() > chosen {
        search = study.energies(&set_up);
    }
    Least {
        number,
        meets: promising && check.meets(study.asked),
        set_up,
        search,
        check,
    }
}

fn raised(set_up: &SetUp, most: Mass) -> SetUp {
    let mut heavier = set_up.clone();
    for damper in &mut heavier.dampers {
        damper.mass = (damper.mass + MASS_STEP).min(most.max(damper.mass));
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
            raised(&set_up, Mass::new(1.0)).dampers[1].mass,
            Mass::new(1.0)
        );
    }
}
