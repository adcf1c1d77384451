//! Dampers by design: what a wish takes, and the curves behind it.

use super::advice::{AtLoad, loads};
use super::energies::{Asked, Energies};
use super::every::{Fresh, IfAnother, for_every};
use super::least::{Bounds, Least, PLACES, least};
use super::set_up::{Hung, Make, SetUp};
use super::study::{Effort, SideBySide, Study};
use super::target::{Draws, Target};
use crate::plan::Plan;
use crate::rig::LoadPath;
use crate::units::{Force, Mass};

/// Most dampers of a design.
pub const MOST_DAMPERS: usize = 3;
/// Masses of the curve against mass, kg each.
const CURVE_KG: [f64; 5] = [1.0, 2.5, 5.0, 10.0, 15.0];
/// Mass of the one damper of the curve against place, kg.
const PLACED_KG: f64 = 5.0;
/// Grips tried beside the one assumed, over it.
const GRIPS: [f64; 4] = [0.25, 1.0, 4.0, 16.0];

/// What a damper design is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamperWish {
    /// What may arrive, and how surely.
    pub asked: Asked,
    /// Greatest mass of a damper, and how each is made.
    pub bounds: Bounds,
    /// How much work may be done.
    pub effort: Effort,
}

/// A point of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Point<Across> {
    /// Where on the curve.
    pub at: Across,
    /// Energies there.
    pub energies: Energies,
}

/// Arrival energy against the mass of each damper, for one number of them.
#[derive(Debug, Clone, PartialEq)]
pub struct MassCurve {
    /// Dampers.
    pub number: usize,
    /// Their places, shares of the line from the hardware.
    pub places: Vec<f64>,
    /// Mass of each, from none.
    pub points: Vec<Point<Mass>>,
}

/// What a design came to.
#[derive(Debug, Clone, PartialEq)]
pub struct DamperDesign {
    /// Without dampers, over the draws that designs are chosen by.
    pub bare: Energies,
    /// Whether the bare line keeps the wish.
    pub bare_meets: bool,
    /// One a number of dampers from 1 to [`MOST_DAMPERS`].
    pub least: Vec<Least>,
    /// Place of the set-up that is told among these; none where no damper is needed.
    pub chosen: Option<usize>,
    /// What it comes to for each of the other links, in their order.
    pub others: Vec<IfAnother>,
    /// Against mass, at the places found.
    pub by_mass: Vec<MassCurve>,
    /// Against the place of one damper of 5 kg (or the most allowed).
    pub by_place: Vec<Point<f64>>,
    /// Mass of that damper.
    pub placed: Mass,
    /// Against the grip, of the set-up of the answer.
    pub by_grip: Vec<Point<Force>>,
    /// The usual set-ups by load, the target's own among them.
    pub by_load: Vec<AtLoad>,
    /// The set-up of the answer over a few draws, with the segments of the check and
    /// with those of the search.
    pub compared: Option<(Energies, Energies)>,
    /// Segments of the check; its draws are spread over a few more.
    pub check_segments: usize,
    /// What finer segments could add to an energy of the check, as a share: a wish is
    /// kept with so much added.
    pub allowance: f64,
    /// The same of an energy of the curves.
    pub curve_allowance: f64,
}

impl DamperDesign {
    /// The set-up that is told: the least that keeps the wish for every link, else for
    /// the worst, else the one that comes closest; none where no damper is needed.
    pub fn told(&self) -> Option<&Least> {
        self.least.get(self.chosen?)
    }

    /// Whether the wish is kept, whichever link lets go at that end.
    pub fn meets(&self) -> bool {
        let here = self.bare_meets || self.told().is_some_and(|l| l.meets);
        here && self.others.iter().all(|other| other.meets)
    }
}

/// Bare arrival energies of every target, to find the worst of them.
pub fn bare_energies(
    targets: &[Target],
    wish: &DamperWish,
    seed: u64,
    run: SideBySide,
) -> Vec<Energies> {
    let none = SetUp::of(vec![], wish.bounds.make);
    let one = |target: &Target| study(target, wish, wish.effort.curve, seed, run).bare(&none);
    targets.iter().map(one).collect()
}

/// Designs dampers for the first of `targets`, which all let go at one end, so that they
/// do for the others too.
pub fn damper_design(
    plan: &Plan,
    path: &LoadPath,
    targets: &[Target],
    wish: &DamperWish,
    run: SideBySide,
) -> Option<DamperDesign> {
    let (target, others) = targets.split_first()?;
    let seed = plan.seed;
    let mut search = study(target, wish, wish.effort.search, seed, run);
    let bare = search.bare(&SetUp::of(vec![], wish.bounds.make));
    let mut design = found(&search, others, bare, wish, seed);
    design.by_mass = design
        .least
        .iter()
        .map(|l| mass_curve(&search, l, wish, &bare))
        .collect();
    design.by_place = place_curve(&search, design.placed, wish.bounds.make);
    design.by_load = load_map(plan, path, target, wish, run);
    if let Some(set_up) = design.told().map(|l| l.set_up.clone()) {
        design.by_grip = grip_curve(&search, &set_up);
        design.compared = Some(finer(&search, &set_up, seed));
    }
    Some(design)
}

/// The least set-ups, and the one to tell, without their curves.
fn found(
    search: &Study,
    others: &[Target],
    bare: Energies,
    wish: &DamperWish,
    seed: u64,
) -> DamperDesign {
    let draws = |count| Draws::to_check(seed, Effort::draws(count, wish.asked.chance));
    let (own, few) = (draws(wish.effort.check), draws(wish.effort.curve));
    let mut least: Vec<Least> = (1..=MOST_DAMPERS)
        .map(|number| least(search, number, wish.bounds, &bare, &own))
        .collect();
    let bare_meets = bare.meets(wish.asked);
    let none = SetUp::of(vec![], wish.bounds.make);
    let mut studies: Vec<Study> = others
        .iter()
        .map(|target| study(target, wish, wish.effort.curve, seed, search.run))
        .collect();
    let bare_others: Vec<Energies> = studies.iter_mut().map(|s| s.bare(&none)).collect();
    let (chosen, others) = if bare_meets {
        let alone = |energies: &Energies| IfAnother {
            energies: *energies,
            meets: energies.meets(wish.asked),
        };
        (None, bare_others.iter().map(alone).collect())
    } else {
        let fresh = Fresh {
            own: &own,
            others: &few,
        };
        for_every(search, &studies, &mut least, wish.bounds.most, &fresh)
    };
    DamperDesign {
        bare,
        bare_meets,
        chosen,
        others,
        by_mass: vec![],
        by_place: vec![],
        placed: Mass::new(PLACED_KG).min(wish.bounds.most),
        by_grip: vec![],
        by_load: vec![],
        compared: None,
        check_segments: search.check_segments(),
        allowance: search.allowance(search.check_segments()),
        curve_allowance: search.allowance(wish.effort.segments),
        least,
    }
}

fn study<'a>(
    target: &'a Target,
    wish: &DamperWish,
    count: usize,
    seed: u64,
    run: SideBySide<'a>,
) -> Study<'a> {
    let draws = Draws::to_search(seed, Effort::draws(count, wish.asked.chance));
    Study::new(target, wish.asked, wish.effort, draws, run)
}

fn mass_curve(study: &Study, least: &Least, wish: &DamperWish, bare: &Energies) -> MassCurve {
    let steps = CURVE_KG.iter().map(|&kg| Mass::new(kg));
    let masses: Vec<Mass> = steps.filter(|m| *m <= wish.bounds.most).collect();
    let places: Vec<f64> = least.set_up.dampers.iter().map(|d| d.place).collect();
    let hang = |&mass: &Mass| {
        let dampers = places.iter().map(|&place| Hung { mass, place }).collect();
        SetUp::of(dampers, wish.bounds.make)
    };
    let set_ups: Vec<SetUp> = masses.iter().map(hang).collect();
    let energies = study.energies_of_all(&set_ups);
    let none = Point {
        at: Mass::ZERO,
        energies: *bare,
    };
    let points = masses.into_iter().zip(energies);
    MassCurve {
        number: least.number,
        points: [none]
            .into_iter()
            .chain(points.map(|(at, energies)| Point { at, energies }))
            .collect(),
        places,
    }
}

fn place_curve(study: &Study, mass: Mass, make: Make) -> Vec<Point<f64>> {
    let hang = |&place: &f64| SetUp::of(vec![Hung { mass, place }], make);
    let set_ups: Vec<SetUp> = PLACES.iter().map(hang).collect();
    let energies = study.energies_of_all(&set_ups);
    let points = PLACES.iter().zip(energies);
    points
        .map(|(&at, energies)| Point { at, energies })
        .collect()
}

fn grip_curve(study: &Study, set_up: &SetUp) -> Vec<Point<Force>> {
    let grips = GRIPS.map(|times| set_up.make.grip * times);
    let grip = |&grip: &Force| SetUp {
        make: Make {
            grip,
            ..set_up.make
        },
        ..set_up.clone()
    };
    let set_ups: Vec<SetUp> = grips.iter().map(grip).collect();
    let energies = study.energies_of_all(&set_ups);
    let points = grips.into_iter().zip(energies);
    points
        .map(|(at, energies)| Point { at, energies })
        .collect()
}

fn load_map(
    plan: &Plan,
    path: &LoadPath,
    target: &Target,
    wish: &DamperWish,
    run: SideBySide,
) -> Vec<AtLoad> {
    loads(target.weakest_line(), target.tension)
        .into_iter()
        .filter_map(|tension| target.at_tension(plan, path, tension))
        .map(|target| {
            let mut study = study(&target, wish, wish.effort.curve, plan.seed, run);
            AtLoad::of(&mut study, wish.bounds.make)
        })
        .collect()
}

/// The same few draws with the segments of the check, and with those of the search.
fn finer(study: &Study, set_up: &SetUp, seed: u64) -> (Energies, Energies) {
    let few = Draws::to_check(seed, study.effort.compared);
    let with = |segments| study.over(set_up, &few, segments);
    (with(study.check_segments()), with(study.effort.segments))
}
