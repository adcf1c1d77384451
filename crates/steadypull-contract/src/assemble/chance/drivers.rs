//! What drives the answer: shares of groups of inputs in the spread of a result.

use steadypull_engine::chance::{REPLICATES, Sensitivity, Share};
use steadypull_engine::study::{Drawn, Group, Studied};

use super::CONFIDENCE;
use crate::answer::{Driver, Drivers};

/// A result whose drivers are told: in words, and of a draw; not a number where the draw
/// has none.
type Told = (&'static str, fn(&Drawn) -> f64);

const ENERGY: Told = ("energy of what flies, if a part lets go", |d| {
    d.if_one_goes.as_ref().map_or(f64::NAN, |f| f.energy_j)
});
const REACH: Told = ("how far things fly, if a part lets go", |d| {
    d.if_one_goes.as_ref().map_or(f64::NAN, |f| f.reach_m)
});
const PULL: [Told; 4] = [
    ("whether the casualty moves", |d| one(d.works)),
    ("greatest pull", |d| d.peak_n),
    ENERGY,
    REACH,
];
const LOWERING: [Told; 5] = [
    ("whether it is held all the way down", |d| one(d.works)),
    ("greatest holding force", |d| {
        d.resistance_n.unwrap_or(f64::NAN)
    }),
    ("peak on the belay, if the main line lets go", |d| {
        let belay = d.lets_go.and_then(|l| l.belay);
        belay.map_or(f64::NAN, |b| b.peak_n)
    }),
    ENERGY,
    REACH,
];
const NO_RIG: [Told; 3] = [
    ("whether a steady tow moves it, as found", |d| method(d, 0)),
    ("whether the tug alone moves it by any method told", |d| {
        one(d.works)
    }),
    ("resistance as found", |d| {
        d.resistance_n.unwrap_or(f64::NAN)
    }),
];

fn one(happens: bool) -> f64 {
    f64::from(u8::from(happens))
}

fn method(drawn: &Drawn, place: usize) -> f64 {
    drawn
        .by_method
        .get(place)
        .map_or(f64::NAN, |m| one(m.moves))
}

fn results(studied: Studied) -> &'static [Told] {
    match studied {
        Studied::Pull => &PULL,
        Studied::Lowering => &LOWERING,
        Studied::NoRig => &NO_RIG,
    }
}

/// What the draws for the drivers came to.
pub(super) struct Effects {
    told: &'static [Told],
    results: Vec<Sensitivity>,
    /// Draws and let-go runs of these that failed.
    pub failed: u64,
}

impl Effects {
    pub fn new(studied: Studied, groups: usize) -> Self {
        let told = results(studied);
        Self {
            told,
            results: vec![Sensitivity::new(groups, REPLICATES); told.len()],
            failed: 0,
        }
    }

    /// Adds the draws A, B, and A with each group from B.
    pub fn add(&mut self, run: u64, row: &[Drawn]) {
        for (result, (_, of)) in self.results.iter_mut().zip(self.told) {
            let answer = |drawn: &Drawn| match drawn.failed_pull {
                true => f64::NAN,
                false => of(drawn),
            };
            let answers: Vec<f64> = row.iter().map(answer).collect();
            result.add(run, &answers);
        }
    }

    pub fn merge(&mut self, other: &Self) {
        for (mine, more) in self.results.iter_mut().zip(&other.results) {
            mine.merge(more);
        }
        self.failed += other.failed;
    }

    /// The groups by their share, the largest total first; results that no draw has are
    /// left out.
    pub fn drivers(&self, groups: &[Group]) -> Vec<Drivers> {
        let of = |((words, _), result): (&Told, &Sensitivity)| {
            let shares = result.shares(CONFIDENCE).unwrap_or_default();
            let mut drivers: Vec<Driver> = groups
                .iter()
                .zip(&shares)
                .map(|(g, s)| driver(g, s))
                .collect();
            drivers.sort_by(|a, b| b.total.total_cmp(&a.total));
            Drivers {
                result: (*words).into(),
                draws: result.groups(),
                drivers,
            }
        };
        let told = self.told.iter().zip(&self.results);
        told.filter(|(_, result)| result.groups() > 0)
            .map(of)
            .collect()
    }
}

fn driver(group: &Group, share: &Share) -> Driver {
    Driver {
        what: group.words.clone(),
        alone: share.first,
        alone_low: share.first_interval.low,
        alone_high: share.first_interval.high,
        total: share.total,
        total_low: share.total_interval.low,
        total_high: share.total_interval.high,
    }
}
