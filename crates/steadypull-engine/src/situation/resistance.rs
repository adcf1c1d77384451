//! How hard the casualty is stuck.
//!
//! `R = ground + suction + grade + obstacle + locked wheels − own drive`, along
//! the pull, in newtons. `ground` is the larger of rolling through the soil
//! (fraction of weight by ground) and the mire rule (1, 2, 3 times weight at
//! hub, guard, body): the handbook mire factor is the whole drag of a sunk
//! vehicle, so rolling is not added to it again. Suction must be broken once
//! and grows the faster the pull; every term has its spread, and the design
//! value is a quantile of the sum, never a mean.
//!
//! Valid for wheeled vehicles of 0.5 to 30 t on slopes under 45°. Sources stand
//! beside each term; spreads are the project's own unless they say otherwise.

use super::handbook;
use super::soil::soil_facts;
use crate::chance::{Column, LogNormal, quantile};
use crate::plan::{Casualty, DrivenWheels, Vehicle};
use crate::show::Units;
use crate::source::{Source, Status};
use crate::units::{Area, Duration, Force};

/// Samples behind every probability of the situation and the options.
pub const SAMPLES: usize = 2048;
/// How long a slow pull (tow, winch) takes to break suction.
pub const SLOW_PULL: Duration = Duration::new(60.0);
/// How long a kinetic pull takes to break it.
pub const FAST_PULL: Duration = Duration::new(0.5);
/// Distance over which suction dies away (0.2 to 0.5 m, design note).
pub const SUCTION_LENGTH_M: f64 = 0.35;

/// What a term is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TermKind {
    /// Rolling through the ground.
    Rolling,
    /// Drag of the mire.
    Mire,
    /// Suction, to be broken once.
    Suction,
    /// Weight along the slope (may help).
    Grade,
    /// Something in the way that yields.
    Obstacle,
    /// Wheels that cannot turn.
    LockedWheels,
    /// Lying on its side or roof.
    Overturned,
    /// Its own engine (helps).
    OwnDrive,
}

impl TermKind {
    /// How many kinds there are.
    pub const COUNT: usize = 8;

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Rolling => "rolling",
            Self::Mire => "mire",
            Self::Suction => "suction",
            Self::Grade => "grade",
            Self::Obstacle => "obstacle",
            Self::LockedWheels => "locked wheels",
            Self::Overturned => "overturned",
            Self::OwnDrive => "own drive",
        }
    }
}

/// One term of the resistance.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// What it is.
    pub kind: TermKind,
    /// Its size, N, without sign.
    pub size: LogNormal,
    /// Whether it helps.
    pub helps: bool,
    /// The model with its numbers.
    pub method: String,
    /// Where the model comes from.
    pub source: Source,
}

/// What has been done before the pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Treatment {
    /// Obstacles cleared, dug out to the hubs, ramps cut, suction vented.
    pub dug: bool,
    /// Tyres let down.
    pub aired_down: bool,
}

/// The resistance of a casualty.
#[derive(Debug, Clone, PartialEq)]
pub struct Resistance {
    /// Its terms; suction is the slow one.
    pub terms: Vec<Term>,
    /// Whether something holds it that does not yield.
    pub fixed_end: bool,
    /// Suction in a fast pull over suction in a slow one.
    pub fast_suction: f64,
    samples: Samples,
}

#[derive(Debug, Clone, PartialEq)]
struct Samples {
    /// Before the floor at nothing: below it the casualty drives out by itself.
    net: Vec<f64>,
    slide: Vec<f64>,
    suction: Vec<f64>,
}

/// A force with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForceRange {
    /// 5 % quantile.
    pub low: Force,
    /// Median.
    pub median: Force,
    /// 95 % quantile.
    pub high: Force,
}

impl ForceRange {
    /// The range of unsorted samples, N.
    pub fn of(samples: &[f64]) -> Self {
        let mut sorted = samples.to_vec();
        sorted.sort_by(f64::total_cmp);
        let at = |p| Force::new(quantile(&sorted, p));
        Self {
            low: at(0.05),
            median: at(0.5),
            high: at(0.95),
        }
    }

    /// The range of a term.
    pub fn of_term(term: &Term) -> Self {
        let at = |p: f64| {
            let size = Force::new(term.size.quantile(p));
            if term.helps { -size } else { size }
        };
        if term.helps {
            return Self {
                low: at(0.95),
                median: at(0.5),
                high: at(0.05),
            };
        }
        Self {
            low: at(0.05),
            median: at(0.5),
            high: at(0.95),
        }
    }
}

/// The resistance of `casualty` after `treatment`, with samples from `seed`; methods are
/// told in `units`.
pub fn resistance(
    casualty: &Casualty,
    treatment: Treatment,
    seed: u64,
    units: Units,
) -> Resistance {
    let terms = terms(casualty, treatment, units);
    let samples = sample(&terms, seed);
    Resistance {
        terms,
        fixed_end: has_fixed_end(casualty, treatment),
        fast_suction: fast_suction(casualty),
        samples,
    }
}

/// The terms of the resistance of `casualty` after `treatment`; methods are told in `units`.
pub fn terms(casualty: &Casualty, treatment: Treatment, units: Units) -> Vec<Term> {
    let mut terms = vec![ground(casualty, treatment)];
    terms.extend(suction(casualty, treatment, units));
    terms.extend(grade(casualty));
    terms.extend(held(casualty, treatment));
    terms.extend(damage(casualty));
    terms.extend(own_drive(casualty));
    terms
}

/// Whether something holds it, after `treatment`, that does not yield.
pub fn has_fixed_end(casualty: &Casualty, treatment: Treatment) -> bool {
    let held = casualty.held_by.as_ref();
    !treatment.dug && held.is_some_and(|h| h.yields_at.is_none())
}

/// Suction in a fast pull over suction in a slow one.
pub fn fast_suction(casualty: &Casualty) -> f64 {
    handbook::suction_time_factor(FAST_PULL, casualty.stuck_for)
        / handbook::suction_time_factor(SLOW_PULL, casualty.stuck_for)
}

impl Resistance {
    /// Resistance once moving, sample by sample, N.
    pub fn slide_samples(&self) -> &[f64] {
        &self.samples.slide
    }

    /// Suction of a slow pull, sample by sample, N.
    pub fn suction_samples(&self) -> &[f64] {
        &self.samples.suction
    }

    /// Sliding resistance and slow suction, N, with each term at the level that
    /// `level` gives for it, for a casualty `mass_share` of its stated mass: terms
    /// that come of weight go with it.
    pub fn drawn(&self, mass_share: f64, level: impl Fn(TermKind) -> f64) -> (f64, f64) {
        let (mut net, mut suction) = (0.0, 0.0);
        for term in &self.terms {
            let size = term.size.quantile(level(term.kind));
            match term.kind {
                TermKind::Suction => suction += size,
                TermKind::Obstacle => net += size,
                _ if term.helps => net -= size * mass_share,
                _ => net += size * mass_share,
            }
        }
        (f64::max(net, 0.0), suction)
    }

    /// Probability that the casualty drives out by itself with `help` more drive
    /// than its own wheels have in the soil, N, sample by sample.
    pub fn drives_out(&self, help: impl Fn(usize) -> f64) -> f64 {
        let out = (0..self.samples.net.len())
            .filter(|&i| self.samples.net[i] + self.samples.suction[i] <= help(i))
            .count();
        out as f64 / self.samples.net.len() as f64
    }

    /// Resistance to be overcome by a slow pull, sample by sample, N.
    pub fn break_out_samples(&self) -> Vec<f64> {
        self.break_out(1.0)
    }

    /// Resistance to be overcome by a fast pull, sample by sample, N.
    pub fn fast_break_out_samples(&self) -> Vec<f64> {
        self.break_out(self.fast_suction)
    }

    /// Resistance a rig is designed for at `p`: sliding, and suction on top.
    ///
    /// The pair is that of the sample whose slow break-out stands at `p`.
    pub fn design(&self, p: f64) -> (Force, Force) {
        let mut order: Vec<(f64, usize)> = self
            .break_out_samples()
            .into_iter()
            .enumerate()
            .map(|(i, r)| (r, i))
            .collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = ((p.clamp(0.0, 1.0) * order.len() as f64) as usize).min(order.len() - 1);
        let i = order[at].1;
        (
            Force::new(self.samples.slide[i]),
            Force::new(self.samples.suction[i]),
        )
    }

    fn break_out(&self, suction_factor: f64) -> Vec<f64> {
        self.samples
            .slide
            .iter()
            .zip(&self.samples.suction)
            .map(|(slide, suction)| slide + suction_factor * suction)
            .collect()
    }
}

fn sample(terms: &[Term], seed: u64) -> Samples {
    let mut net = vec![0.0; SAMPLES];
    let mut suction = vec![0.0; SAMPLES];
    for term in terms {
        // The stream goes by what the term is, so that one more term changes
        // no other draw.
        let column = Column::new(seed, term.kind as u64, SAMPLES);
        let into = if term.kind == TermKind::Suction {
            &mut suction
        } else {
            &mut net
        };
        for (i, sum) in into.iter_mut().enumerate() {
            let size = term.size.quantile(column.level(i));
            *sum += if term.helps { -size } else { size };
        }
    }
    // A vehicle that would roll by itself does not resist; it never pushes the
    // line.
    let slide = net.iter().map(|r: &f64| r.max(0.0)).collect();
    Samples {
        net,
        slide,
        suction,
    }
}

fn ground(casualty: &Casualty, treatment: Treatment) -> Term {
    let weight = casualty.vehicle.mass.weight();
    let facts = soil_facts(casualty.soil);
    let eased = if treatment.aired_down {
        air_down_factor(&casualty.vehicle)
    } else {
        1.0
    };
    let rolling = facts.rolling * weight.get() * casualty.slope_along.cos() * eased;
    let factor = casualty.sunk.map_or(0.0, |sunk| {
        let found = handbook::mire_factor(&sunk);
        // Dug out to the hubs, and half of what is left carried off.
        if treatment.dug {
            0.5 * found.min(1.0)
        } else {
            found
        }
    });
    let back = if casualty.back_along_tracks {
        handbook::BACK_ALONG_TRACKS
    } else {
        1.0
    };
    let mire = factor * back * weight.get();
    if mire <= rolling {
        return Term {
            kind: TermKind::Rolling,
            size: LogNormal::new(rolling, 0.2),
            helps: false,
            method: format!("{:.2} x weight by ground", facts.rolling * eased),
            source: facts.rolling_source,
        };
    }
    let back_words = if back < 1.0 {
        ", back along its tracks x 0.9"
    } else {
        ""
    };
    let dug_words = if treatment.dug {
        ", dug to the hubs"
    } else {
        ""
    };
    Term {
        kind: TermKind::Mire,
        size: LogNormal::new(mire, 0.3),
        helps: false,
        method: format!("{factor:.2} x weight by depth{dug_words}{back_words}; includes rolling"),
        source: handbook::MIRE_SOURCE,
    }
}

fn suction(casualty: &Casualty, treatment: Treatment, units: Units) -> Option<Term> {
    let facts = soil_facts(casualty.soil);
    let sunk = casualty.sunk?;
    if facts.adhesion.get() <= 0.0 {
        return None;
    }
    let factor = handbook::mire_factor(&sunk);
    let area = casualty
        .contact_area
        .unwrap_or_else(|| sticking_area(factor));
    let time = handbook::suction_time_factor(SLOW_PULL, casualty.stuck_for);
    // Dug and vented: a quarter is left.
    let left = if treatment.dug { 0.25 } else { 1.0 };
    let median = facts.adhesion.get() * area.get() * time * left;
    Some(Term {
        kind: TermKind::Suction,
        // Breakout forces were predicted within ±50 % at best (CV-SUCK-02).
        size: LogNormal::new(median, libm::log(1.5)),
        helps: false,
        method: format!(
            "{} on {} x {time:.2} for a 60 s pull; broken once",
            units.ground_pressure(facts.adhesion.get()),
            units.area(area.get())
        ),
        source: Source::new(
            "NCEL R-635 time rule; adhesion and area assumed, spread NCEL R-755",
            Status::Assumed,
        ),
    })
}

/// Buried area that sticks, by mire factor: tyre walls at the hub, wheels and
/// axles at the guard, the floor as well at the body (assumed).
fn sticking_area(mire_factor: f64) -> Area {
    let areas = [0.0, 0.6, 1.4, 5.0];
    let at = mire_factor.clamp(0.0, 3.0);
    let i = (at as usize).min(2);
    Area::new(areas[i] + (at - i as f64) * (areas[i + 1] - areas[i]))
}

fn grade(casualty: &Casualty) -> Option<Term> {
    let along = casualty.vehicle.mass.weight() * casualty.slope_along.sin();
    if along.get() == 0.0 {
        return None;
    }
    Some(Term {
        kind: TermKind::Grade,
        size: LogNormal::new(along.abs().get(), 0.0),
        helps: along.get() < 0.0,
        method: format!("weight x sin({:.1} deg)", casualty.slope_along.to_deg()),
        source: Source::new("statics", Status::Computed),
    })
}

fn held(casualty: &Casualty, treatment: Treatment) -> Option<Term> {
    let hold = casualty.held_by.as_ref()?;
    let force = hold.yields_at?;
    if treatment.dug {
        return None;
    }
    Some(Term {
        kind: TermKind::Obstacle,
        size: LogNormal::new(force.get(), 0.4),
        helps: false,
        method: format!("{} yields at the stated force", hold.what),
        source: Source::new("the plan; spread assumed", Status::Assumed),
    })
}

fn damage(casualty: &Casualty) -> Vec<Term> {
    let weight = casualty.vehicle.mass.weight();
    let mut terms = Vec::new();
    if casualty.locked_wheels > 0 {
        let extra = handbook::locked_wheel_resistance(weight, casualty.locked_wheels);
        terms.push(Term {
            kind: TermKind::LockedWheels,
            size: LogNormal::new(extra.get(), 0.25),
            helps: false,
            method: format!("{} of 4 wheels locked", casualty.locked_wheels),
            source: handbook::GROUND_SOURCE,
        });
    }
    if casualty.overturned {
        terms.push(Term {
            kind: TermKind::Overturned,
            size: LogNormal::new(handbook::righting_pull(weight).get(), 0.2),
            helps: false,
            method: "0.5 x weight".into(),
            source: handbook::MIRE_SOURCE,
        });
    }
    terms
}

fn own_drive(casualty: &Casualty) -> Option<Term> {
    if !casualty.own_drive || casualty.overturned {
        return None;
    }
    let grip = soil_facts(casualty.soil).grip;
    let carried = driven_share(casualty.vehicle.driven) * casualty.slope_along.cos();
    let force = grip * carried * casualty.vehicle.mass.weight().get();
    if force <= 0.0 {
        return None;
    }
    Some(Term {
        kind: TermKind::OwnDrive,
        size: LogNormal::new(force, 0.35),
        helps: true,
        method: format!("grip {grip:.2} on the driven share {carried:.2} of weight"),
        source: Source::new("grip in the soil assumed", Status::Assumed),
    })
}

/// Share of a vehicle's weight on its driven wheels.
pub fn driven_share(driven: DrivenWheels) -> f64 {
    match driven {
        DrivenWheels::All => 1.0,
        DrivenWheels::Front | DrivenWheels::Rear => 0.5,
        DrivenWheels::None => 0.0,
    }
}

/// Ground drag left after letting the tyres down: 0.134093/0.164100 for a road
/// tyre in clay from 20 to 35 % deflection (Brixius 1987 as CV-BRX-02), nothing
/// more for tyres that are already down.
pub fn air_down_factor(vehicle: &Vehicle) -> f64 {
    1.0 - (1.0 - 0.134_093 / 0.164_100) * still_to_let_down(vehicle)
}

/// Grip gained by letting the tyres down: 0.566503/0.488985, as above.
pub fn air_down_grip_factor(vehicle: &Vehicle) -> f64 {
    1.0 + (0.566_503 / 0.488_985 - 1.0) * still_to_let_down(vehicle)
}

/// Share of the let-down from road pressure to half of it that is still to do.
fn still_to_let_down(vehicle: &Vehicle) -> f64 {
    let ratio = vehicle.tyre_pressure / vehicle.road_tyre_pressure;
    ((ratio - 0.5) / 0.5).clamp(0.0, 1.0)
}
