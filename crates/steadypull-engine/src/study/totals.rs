//! What many draws come to, in memory that does not grow with their number.

use super::{Drawn, Flown, LetGoOnTheWay, ZoneFrame, ZoneTally};
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
    /// Whether anything of it strikes the vehicle that it flies to; counted only where
    /// it flies to one.
    pub strikes: Tally,
    /// Whether anything strikes glass there, or a raised bonnet before it.
    pub screen: Tally,
    /// Whether anything arrives there over the injury criterion.
    pub over_injury: Tally,
    /// Whether a guard of a stated rating holds; counted only where one is struck.
    pub guard_holds: Tally,
    /// Height of the hardest strike on glass.
    pub screen_height_m: Values,
    /// Its energy.
    pub screen_energy_j: Values,
}

impl ItemTotals {
    fn new(replicates: usize) -> Self {
        Self {
            speed_m_s: Values::new(replicates),
            energy_j: Values::new(replicates),
            reach_m: Values::new(replicates),
            strikes: Tally::new(replicates),
            screen: Tally::new(replicates),
            over_injury: Tally::new(replicates),
            guard_holds: Tally::new(replicates),
            screen_height_m: Values::new(replicates),
            screen_energy_j: Values::new(replicates),
        }
    }

    fn add(&mut self, run: u64, flown: &Flown) {
        self.speed_m_s.add(run, flown.speed_m_s);
        self.energy_j.add(run, flown.energy_j);
        self.reach_m.add(run, flown.reach_m);
        let Some(met) = flown.meeting else { return };
        self.strikes.add(run, met.hardest.is_some());
        self.screen.add(run, met.screen.is_some());
        self.over_injury.add(run, met.over_injury);
        if let Some(hit) = met.screen {
            self.screen_height_m.add(run, hit.height.get());
            self.screen_energy_j.add(run, hit.energy.get());
        }
        if let Some(holds) = met.guard_holds {
            self.guard_holds.add(run, holds);
        }
    }

    fn merge(&mut self, other: &Self) {
        self.speed_m_s.merge(&other.speed_m_s);
        self.energy_j.merge(&other.energy_j);
        self.reach_m.merge(&other.reach_m);
        let tallies = [
            (&mut self.strikes, &other.strikes),
            (&mut self.screen, &other.screen),
            (&mut self.over_injury, &other.over_injury),
            (&mut self.guard_holds, &other.guard_holds),
        ];
        for (mine, more) in tallies {
            mine.merge(more);
        }
        self.screen_height_m.merge(&other.screen_height_m);
        self.screen_energy_j.merge(&other.screen_energy_j);
    }
}

/// How many there are of what is counted one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Parts whose strength is drawn.
    pub parts: usize,
    /// Things that could fly.
    pub items: usize,
    /// Methods that the tug alone decides, of a plan without a rig.
    pub methods: usize,
}

/// Answers about a belay, and about a vehicle with none.
#[derive(Debug, Clone)]
pub struct BelayTotals {
    /// Greatest speed of the vehicle with nothing to catch it.
    pub loose_m_s: Values,
    /// Whether the belay's line and device stop it.
    pub stops: Tally,
    /// Whether its anchor and point hold too; counted only where that is known.
    pub holds: Tally,
    /// Peak tension in it.
    pub peak_n: Values,
}

impl BelayTotals {
    fn new(replicates: usize) -> Self {
        Self {
            loose_m_s: Values::new(replicates),
            stops: Tally::new(replicates),
            holds: Tally::new(replicates),
            peak_n: Values::new(replicates),
        }
    }

    fn add(&mut self, run: u64, lets_go: &LetGoOnTheWay) {
        self.loose_m_s.add(run, lets_go.loose_m_s);
        let Some(belay) = lets_go.belay else { return };
        self.stops.add(run, belay.stops);
        self.peak_n.add(run, belay.peak_n);
        if let Some(holds) = belay.holds {
            self.holds.add(run, holds);
        }
    }

    fn merge(&mut self, other: &Self) {
        self.loose_m_s.merge(&other.loose_m_s);
        self.stops.merge(&other.stops);
        self.holds.merge(&other.holds);
        self.peak_n.merge(&other.peak_n);
    }
}

/// Answers about one method, of a plan without a rig.
#[derive(Debug, Clone)]
pub struct MethodTotals {
    /// Whether it moves the casualty.
    pub moves: Tally,
    /// What it brings to bear.
    pub brings_n: Values,
}

/// Answers of many draws. Numbers of runs are those of the sampler.
#[derive(Debug, Clone)]
pub struct Totals {
    /// Draws whose pull could not be worked out.
    pub failed_pulls: u64,
    /// Let-go runs that could not be finished.
    pub failed_flights: u64,
    /// Whether it works: the casualty moves, or is held all the way down.
    pub works: Tally,
    /// Whether a part passes its working load limit.
    pub over_wll: Tally,
    /// Whether a part lets go.
    pub lets_go: Tally,
    /// Chance in each draw that a part lets go, the strengths reckoned whole.
    pub parting: Moments,
    /// Whether each part is the first to go, by its number.
    pub first: Vec<Tally>,
    /// Resistance to be overcome, or the holding force of a lowering.
    pub resistance_n: Values,
    /// Without a rig: the resistance once dug out.
    pub resistance_dug_n: Values,
    /// Without a rig: method by method.
    pub by_method: Vec<MethodTotals>,
    /// In a lowering: the main line let go.
    pub belay: BelayTotals,
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
    /// Nothing counted yet; `replicates` as the sampler has.
    pub fn new(of: Counts, replicates: usize) -> Self {
        let tally = || Tally::new(replicates);
        let values = || Values::new(replicates);
        Self {
            failed_pulls: 0,
            failed_flights: 0,
            works: tally(),
            over_wll: tally(),
            lets_go: tally(),
            parting: Moments::new(replicates),
            first: vec![tally(); of.parts],
            resistance_n: values(),
            resistance_dug_n: values(),
            by_method: vec![
                MethodTotals {
                    moves: tally(),
                    brings_n: values()
                };
                of.methods
            ],
            belay: BelayTotals::new(replicates),
            brings_n: values(),
            peak_n: values(),
            movement_m: values(),
            share_of_wll: values(),
            share_of_mbs: values(),
            all: ItemTotals::new(replicates),
            items: vec![ItemTotals::new(replicates); of.items],
            zone: ZoneTally::default(),
        }
    }

    /// Draws whose pull was worked out.
    pub fn draws(&self) -> u64 {
        self.works.runs()
    }

    /// Counts the draw of run number `run`.
    pub fn add(&mut self, run: u64, frame: &ZoneFrame, drawn: &Drawn) {
        self.failed_flights += u64::from(drawn.failed_flights);
        if drawn.failed_pull {
            self.failed_pulls += 1;
            return;
        }
        self.works.add(run, drawn.works);
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
            (&mut self.resistance_dug_n, drawn.resistance_dug_n),
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
        for (method, drawn) in self.by_method.iter_mut().zip(&drawn.by_method) {
            method.moves.add(run, drawn.moves);
            method.brings_n.add(run, drawn.brings_n);
        }
        if let Some(lets_go) = &drawn.lets_go {
            self.belay.add(run, lets_go);
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
            (&mut self.works, &other.works),
            (&mut self.over_wll, &other.over_wll),
            (&mut self.lets_go, &other.lets_go),
        ];
        for (mine, more) in tallies.into_iter().chain(first) {
            mine.merge(more);
        }
        self.parting.merge(&other.parting);
        let values = [
            (&mut self.resistance_n, &other.resistance_n),
            (&mut self.resistance_dug_n, &other.resistance_dug_n),
            (&mut self.brings_n, &other.brings_n),
            (&mut self.peak_n, &other.peak_n),
            (&mut self.movement_m, &other.movement_m),
            (&mut self.share_of_wll, &other.share_of_wll),
            (&mut self.share_of_mbs, &other.share_of_mbs),
        ];
        for (mine, more) in values {
            mine.merge(more);
        }
        for (mine, more) in self.by_method.iter_mut().zip(&other.by_method) {
            mine.moves.merge(&more.moves);
            mine.brings_n.merge(&more.brings_n);
        }
        self.belay.merge(&other.belay);
        self.all.merge(&other.all);
        for (mine, more) in self.items.iter_mut().zip(&other.items) {
            mine.merge(more);
        }
        self.zone.merge(&other.zone);
    }
}
