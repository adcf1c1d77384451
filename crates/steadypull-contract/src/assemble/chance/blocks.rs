//! Draws in blocks: made on any number of threads, put together in order.
//!
//! A row `i` is two draws of every input, `A` and `B`, from one run of the sampler; the
//! first rows also have, for each group of inputs, `A` with that group taken from `B`,
//! for the drivers (Saltelli's design). Inputs that are drawn together are one group, so
//! that one is never taken from `B` without the others.

use std::ops::Range;

use steadypull_engine::chance::{Joined, REPLICATES, Sampler, Tally, Values};
use steadypull_engine::plan::Plan;
use steadypull_engine::study::{
    Counts, Drawn, FlyingItem, Group, MethodTold, Model, Studied, Totals, Variable, ZoneFrame,
    joined, variables,
};

use super::drivers::Effects;
use super::redraw::Redraw;
use super::rigged::StudiedRig;
use super::{CONFIDENCE, ChanceError, ChanceOptions};
use crate::assemble::runs::side_by_side_on;
use crate::plan_file::ParsedPlan;

/// Rows of a block, and of the parts of it that are dealt out.
const BLOCK_ROWS: u64 = 64;
const PART_ROWS: u64 = 8;
/// Rows that are worked out for the drivers.
const DRIVER_ROWS: u64 = 256;

/// A study under way.
pub(super) struct Study<'a> {
    plan: &'a Plan,
    pub(super) model: Model<'a>,
    redraw: Redraw<'a>,
    pub variables: Vec<Variable>,
    pub groups: Vec<Group>,
    sampler: Sampler,
    /// Inputs that are drawn together.
    joined: Vec<Joined>,
    frame: ZoneFrame,
    threads: Option<usize>,
    /// Rows that are worked out for the drivers.
    driver_rows: u64,
    studied: Studied,
    pub seed: u64,
    rows: u64,
    totals: Totals,
    effects: Effects,
}

/// How wide the intervals are, half their width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Errors {
    pub probabilities: f64,
    /// As a share of the quantiles; none where one of them is not bounded yet.
    pub quantiles: Option<f64>,
}

impl Errors {
    /// The greatest, if all are known.
    pub fn greatest(&self) -> Option<f64> {
        self.quantiles.map(|q| q.max(self.probabilities))
    }
}

/// What a part of a block came to.
struct Part {
    totals: Totals,
    effects: Effects,
}

impl<'a> Study<'a> {
    pub fn new(
        (parsed, plan): (&'a ParsedPlan<'a>, &'a Plan),
        rig: &'a StudiedRig,
        seed: u64,
        options: &ChanceOptions,
    ) -> Result<Self, ChanceError> {
        let variables = variables(plan, &rig.rigged);
        let groups = Variable::groups(&variables);
        let model = Model::new(plan, &rig.rigged, &variables, None)?;
        let sampler = Sampler::sobol(seed, 2 * variables.len(), REPLICATES)?;
        Ok(Self {
            totals: Totals::new(counts(&model), REPLICATES),
            effects: Effects::new(rig.rigged.studied, groups.len()),
            frame: model.frame(rig.rule.0),
            studied: rig.rigged.studied,
            plan,
            model,
            redraw: Redraw::new(parsed, plan, &rig.rigged, &variables),
            joined: joined(plan, &variables),
            variables,
            groups,
            sampler,
            threads: options.threads,
            driver_rows: if options.drivers { DRIVER_ROWS } else { 0 },
            seed,
            rows: 0,
        })
    }

    /// Works out the next block.
    pub fn next_block(&mut self) {
        let first = self.rows;
        let starts: Vec<u64> = (first..first + BLOCK_ROWS)
            .step_by(PART_ROWS as usize)
            .collect();
        let this = &*self;
        let parts = side_by_side_on(self.threads, &starts, |start| {
            this.part(*start..*start + PART_ROWS)
        });
        for part in parts {
            self.totals.merge(&part.totals);
            self.effects.merge(&part.effects);
        }
        self.rows += BLOCK_ROWS;
    }

    fn part(&self, rows: Range<u64>) -> Part {
        let with_drivers = rows.start < self.driver_rows;
        let per_row = 2 + if with_drivers { self.groups.len() } else { 0 };
        let mut asked: Vec<(Vec<f64>, Option<usize>)> = Vec::new();
        for i in rows.clone() {
            let first = asked.len();
            let (a, b) = (self.levels(i, 0), self.levels(i, self.variables.len()));
            let mixed = |group: &Group| {
                let mut mixed = a.clone();
                group.members.iter().for_each(|&k| mixed[k] = b[k]);
                (mixed, Some(first))
            };
            let groups = self.groups.iter().filter(|_| with_drivers);
            let more: Vec<_> = groups.map(mixed).collect();
            asked.extend([(a, None), (b, None)]);
            asked.extend(more);
        }
        let drawn = self.redraw.draw_all(self, asked);
        let mut part = Part {
            totals: Totals::new(counts(&self.model), REPLICATES),
            effects: Effects::new(self.studied, self.groups.len()),
        };
        for (run, row) in rows.zip(drawn.chunks(per_row)) {
            self.count(&mut part, run, row);
        }
        part
    }

    /// Counts the two draws of row `run`, and what the drivers' draws came to.
    fn count(&self, part: &mut Part, run: u64, row: &[Drawn]) {
        for drawn in &row[..2] {
            part.totals.add(run, &self.frame, drawn);
        }
        if row.len() > 2 {
            part.effects.add(run, row);
            let failed = |d: &Drawn| u64::from(d.failed_flights) + u64::from(d.failed_pull);
            part.effects.failed += row[2..].iter().map(failed).sum::<u64>();
        }
    }

    fn levels(&self, run: u64, from: usize) -> Vec<f64> {
        let inputs = from..from + self.variables.len();
        let mut levels: Vec<f64> = inputs.map(|j| self.sampler.level(run, j)).collect();
        for set in &self.joined {
            set.join(&mut levels);
        }
        levels
    }

    /// Draws made for the drivers.
    pub fn driver_draws(&self) -> u64 {
        self.driver_rows.min(self.rows) * self.groups.len() as u64
    }

    /// Draws made of everything.
    pub fn draws(&self) -> u64 {
        2 * self.rows
    }

    pub fn totals(&self) -> &Totals {
        &self.totals
    }

    pub fn effects(&self) -> &Effects {
        &self.effects
    }

    pub fn frame(&self) -> &ZoneFrame {
        &self.frame
    }

    pub fn parts(&self) -> &[String] {
        self.model.parts()
    }

    /// Whether the part with this number carries load.
    pub fn carries(&self, part: usize) -> bool {
        self.model.carries(part)
    }

    /// The methods that the tug alone decides, of a plan without a rig.
    pub fn methods(&self) -> &[MethodTold] {
        self.model.methods()
    }

    pub fn items(&self) -> Vec<FlyingItem> {
        self.model.items()
    }

    /// Distance of a place from the nearest part of line, m.
    pub fn off_line(&self, place: (f64, f64)) -> f64 {
        self.model.off_line(place).get()
    }

    /// How wide the intervals are by now.
    pub fn errors(&self) -> Errors {
        let totals = &self.totals;
        let policy = &self.plan.policy;
        let tallies = [&totals.works, &totals.over_wll, &totals.lets_go];
        let belay = [&totals.belay.stops, &totals.belay.holds];
        let methods = totals.by_method.iter().map(|m| &m.moves);
        let wide = |t: &Tally| match t.runs() {
            0 => 0.0,
            _ => t.interval(CONFIDENCE).half_width(),
        };
        let relative = |values: &Values, p: f64, least: f64| {
            if values.runs() == 0 {
                return 0.0;
            }
            let sorted = values.sorted();
            let at = sorted.quantile(p).max(least);
            let half = sorted.interval(p, CONFIDENCE).half_width();
            if at > 0.0 { half / at } else { half }
        };
        // A reach under the rule distance sets nothing.
        let rule = self.frame.rule.get();
        let design = policy.design_quantile;
        let widest = [
            relative(&totals.peak_n, design, 0.0),
            relative(&totals.all.reach_m, policy.zone_quantile, rule),
            // Without a rig nothing pulls: the resistance stands for it.
            match self.studied {
                Studied::NoRig => relative(&totals.resistance_n, design, 0.0),
                _ => 0.0,
            },
        ]
        .into_iter()
        .fold(0.0, f64::max);
        Errors {
            probabilities: tallies
                .into_iter()
                .chain(belay)
                .chain(methods)
                .map(wide)
                .fold(0.0, f64::max),
            quantiles: widest.is_finite().then_some(widest),
        }
    }
}

fn counts(model: &Model) -> Counts {
    Counts {
        parts: model.parts().len(),
        items: model.items().len(),
        methods: model.methods().len(),
    }
}

#[cfg(test)]
#[path = "blocks_tests.rs"]
mod tests;
