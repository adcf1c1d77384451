//! What many draws come to, in memory that does not grow with their number.

use super::{Drawn, Flown, ZoneFrame, ZoneTally};
use crate::chance::{Moments, Tally, Values};

/// Answers about one thing that could fly.
#[derive(Debug, Clone)]
pub struct ItemTotals {
    /// Speed of its hardware.
    pub speed_m_s: Values,
    /// Energy of its hardware.
    pub energy_j: Values,
    /// Greatest distance from the nearest part of line.
    pub reach_m: Values,
}

impl ItemTotals {
    fn new(replicates: usize) -> Self {
        Self {
            speed_m_s: Values::new(replicates),
            energy_j: Values::new(replicates),
            reach_m: Values::new(replicates),
        }
    }

    fn add(&mut self, run: u64, flown: &Flown) {
        self.speed_m_s.add(run, flown.speed_m_s);
        self.energy_j.add(run, flown.energy_j);
        self.reach_m.add(run, flown.reach_m);
    }

    fn merge(&mut self, other: &Self) {
        self.speed_m_s.merge(&other.speed_m_s);
        self.energy_j.merge(&other.energy_j);
        self.reach_m.merge(&other.reach_m);
    }
}

/// Answers of many draws. Numbers of runs are those of the sampler.
#[derive(Debug, Clone)]
pub struct Totals {
    /// Draws whose pull could not be worked out.
    pub failed_pulls: u64,
    /// Let-go runs that could not be finished.
    pub failed_flights: u64,
    /// Whether the casualty moves.
    pub moves: Tally,
    /// Whether a part passes its working load limit.
    pub over_wll: Tally,
    /// Whether a part lets go.
    pub lets_go: Tally,
    /// Chance in each draw that a part lets go, the strengths reckoned whole.
    pub parting: Moments,
    /// Whether each part is the first to go, by its number.
    pub first: Vec<Tally>,
    /// Resistance to be overcome.
    pub resistance_n: Values,
    /// What the method brings to bear.
    pub brings_n: Values,
    /// Greatest pull.
    pub peak_n: Values,
    /// Movement in one kinetic pull.
    pub movement_m: Values,
    /// Greatest load over working load limit.
    pub share_of_wll: Values,
    /// Greatest load over breaking strength.
    pub share_of_mbs: Values,
    /// If a part lets go: all things that could fly together.
    pub all: ItemTotals,
    /// If a part lets go: thing by thing.
    pub items: Vec<ItemTotals>,
    /// Where things come down.
    pub zone: ZoneTally,
}

impl Totals {
    /// For a rig of so many parts and things that could fly; `replicates` as the
    /// sampler has.
    pub fn new(parts: usize, items: usize, replicates: usize) -> Self {
        let tally = || Tally::new(replicates);
        let values = || Values::new(replicates);
        Self {
            failed_pulls: 0,
            failed_flights: 0,
            moves: tally(),
            over_wll: tally(),
            lets_go: tally(),
            parting: Moments::new(replicates),
            first: vec![tally(); parts],
            resistance_n: values(),
            brings_n: values(),
            peak_n: values(),
            movement_m: values(),
            share_of_wll: values(),
            share_of_mbs: values(),
            all: ItemTotals::new(replicates),
            items: vec![ItemTotals::new(replicates); items],
            zone: ZoneTally::default(),
        }
    }

    /// Draws whose pull was worked out.
    pub fn draws(&self) -> u64 {
        self.moves.runs()
    }

    /// Counts the draw of run number `run`.
    pub fn add(&mut self, run: u64, frame: &ZoneFrame, drawn: &Drawn) {
        self.failed_flights += u64::from(drawn.failed_flights);
        if drawn.failed_pull {
            self.failed_pulls += 1;
            return;
        }
        self.moves.add(run, drawn.moves);
        let over = drawn.share_of_wll.is_some_and(|share| share > 1.0);
        self.over_wll.add(run, over);
        self.lets_go.add(run, drawn.first.is_some());
        self.parting.add(run, drawn.parting_chance);
        for (part, tally) in self.first.iter_mut().enumerate() {
            tally.add(run, drawn.first == Some(part));
        }
        self.peak_n.add(run, drawn.peak_n);
        let optional = [
            (&mut self.resistance_n, drawn.resistance_n),
            (&mut self.brings_n, drawn.brings_n),
            (&mut self.movement_m, drawn.movement_m),
            (&mut self.share_of_wll, drawn.share_of_wll),
            (&mut self.share_of_mbs, drawn.share_of_mbs),
        ];
        for (values, value) in optional {
            if let Some(value) = value {
                values.add(run, value);
            }
        }
        if let Some(flown) = &drawn.if_one_goes {
            self.all.add(run, flown);
            self.items[flown.item].add(run, flown);
        }
        // Both count for the zone: what might fly, and what does in this draw.
        for flown in drawn.if_one_goes.iter().chain(&drawn.goes) {
            self.zone.add(frame, flown);
        }
    }

    /// Adds the answers of other runs of the same study.
    pub fn merge(&mut self, other: &Self) {
        self.failed_pulls += other.failed_pulls;
        self.failed_flights += other.failed_flights;
        let first = self.first.iter_mut().zip(&other.first);
        let tallies = [
            (&mut self.moves, &other.moves),
            (&mut self.over_wll, &other.over_wll),
            (&mut self.lets_go, &other.lets_go),
        ];
        for (mine, more) in tallies.into_iter().chain(first) {
            mine.merge(more);
        }
        self.parting.merge(&other.parting);
        let values = [
            (&mut self.resistance_n, &other.resistance_n),
            (&mut self.brings_n, &other.brings_n),
            (&mut self.peak_n, &other.peak_n),
            (&mut self.movement_m, &other.movement_m),
            (&mut self.share_of_wll, &other.share_of_wll),
            (&mut self.share_of_mbs, &other.share_of_mbs),
        ];
        for (mine, more) in values {
            mine.merge(more);
        }
        self.all.merge(&other.all);
        for (mine, more) in self.items.iter_mut().zip(&other.items) {
            mine.merge(more);
        }
        self.zone.merge(&other.zone);
    }
}
