//! The runs behind a design: many draws of one set-up, cut short where they may be.
//!
//! A run is followed for a short time, and on for as long as something slow could still
//! arrive only where not everything has arrived or come to rest. A set-up that can no
//! longer keep its limit is dropped, in the middle of a run: the draws are common and what
//! has arrived never gets less, so dropping changes no result, only the work.

use core::ops::Range;

use super::fineness;
use super::set_up::SetUp;
use super::target::{Draws, Target};
use crate::letgo::ensemble::run_watched;
use crate::letgo::run::{Standing, Then};
use crate::letgo::{FreeEnd, Outcome, Setup};
use crate::units::{Duration, Force, kinetic_energy};

/// Draws between looks at the limit.
const BLOCK: usize = 4;
/// Shortest and longest time that is followed, s: what arrives later than that has
/// come at a walking pace.
const FOLLOWED_S: (f64, f64) = (0.05, 4.0);

/// What one run gave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seen {
    /// Energy of the hardware alone at the far vehicle, J (of the last half metre of
    /// a bare line); 0 if it does not get there.
    pub hardware_j: f64,
    /// The most energetic damper at the far vehicle, J of its own.
    pub damper_j: f64,
    /// The most energetic thing that arrives, J: hardware with all that it carries,
    /// or a damper.
    pub worst_j: f64,
    /// Whether the tether parted.
    pub parted: bool,
    /// Greatest load in the tether, N.
    pub tether_n: f64,
    /// Time of the hardware's arrival, s; none if it does not arrive.
    pub arrived_s: Option<f64>,
    /// Energy that the line could give back when the link let go, J.
    pub stored_j: f64,
}

/// What a set-up must keep in all but so many of its draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Limit {
    /// Nothing: every draw is wanted.
    None,
    /// Nothing arrives with more than so many J.
    Under(f64, usize),
    /// The tether does not part.
    Holds(usize),
}

/// One set-up, to be run over some of the draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Job<'a> {
    pub(super) target: &'a Target,
    pub(super) draws: &'a Draws,
    pub(super) set_up: SetUp,
    pub(super) which: Range<usize>,
    pub(super) limit: Limit,
    pub(super) pace: Pace,
}

/// How finely and how long runs are followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pace {
    /// Segments of a run.
    pub segments: usize,
    /// First, s.
    pub first_s: f64,
    /// Energy below which nothing matters, J; it sets how long slow things count.
    pub matters_j: f64,
    /// Whether runs with something still on its way are followed for longer.
    pub patient: bool,
    /// Whether blocks of draws are run with different numbers of segments.
    pub spread: bool,
}

/// What a job gave: a run a draw, `None` where it failed.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    pub(super) seen: Vec<Option<Seen>>,
    /// Whether the limit was passed and the rest left out.
    pub(super) dropped: bool,
}

impl Job<'_> {
    /// Runs it. Jobs do not depend on each other, so a caller may run several at once.
    pub fn run(&self) -> Trial {
        let mut seen = Vec::with_capacity(self.which.len());
        let mut spare = self.allowed();
        let mut from = self.which.start;
        // Nothing is left out in between where every draw is wanted.
        let step = match self.limit {
            Limit::None => self.which.len().max(1),
            _ => BLOCK,
        };
        while from < self.which.end {
            let to = (from + step).min(self.which.end);
            let block = self.block(from..to, spare).unwrap_or_default();
            let over = block.iter().filter(|one| self.passes_limit(one)).count();
            if block.is_empty() || over > spare {
                return Trial {
                    seen,
                    dropped: true,
                };
            }
            spare -= over;
            seen.extend(block);
            from = to;
        }
        Trial {
            seen,
            dropped: false,
        }
    }

    fn allowed(&self) -> usize {
        match self.limit {
            Limit::None => usize::MAX,
            Limit::Under(_, allowed) | Limit::Holds(allowed) => allowed,
        }
    }

    /// A run that failed keeps no limit.
    fn passes_limit(&self, seen: &Option<Seen>) -> bool {
        match (self.limit, seen) {
            (Limit::None, _) => false,
            (_, None) => true,
            (Limit::Under(most_j, _), Some(seen)) => seen.worst_j > most_j,
            (Limit::Holds(_), Some(seen)) => seen.parted,
        }
    }

    /// Some draws; nothing as soon as more of them pass the limit than `spare`.
    fn block(&self, numbers: Range<usize>, spare: usize) -> Option<Vec<Option<Seen>>> {
        let whole_s = self.whole_s();
        let first_s = self.pace.first_s.clamp(FOLLOWED_S.0, whole_s);
        let end_s = if self.pace.patient { whole_s } else { first_s };
        let setups: Vec<Setup> = numbers.map(|i| self.setup(i, end_s)).collect();
        let mut passes = vec![false; setups.len()];
        let outcomes = run_watched(&setups, |k, run| {
            if !passes[k] && self.passes_so_far(&setups[k], run) {
                passes[k] = true;
                if passes.iter().filter(|passes| **passes).count() > spare {
                    return Then::AllEnd;
                }
            }
            let settled = passes[k] || all_arrived(run);
            match settled && run.time_s() >= first_s {
                true => Then::Ends,
                false => Then::GoesOn,
            }
        })?;
        let seen = setups.iter().zip(outcomes);
        Some(
            seen.map(|(setup, outcome)| Some(of(setup, &outcome.ok()?)))
                .collect(),
        )
    }

    /// Whether a run passes the limit already: what has arrived never gets less.
    fn passes_so_far(&self, setup: &Setup, run: &Standing) -> bool {
        match self.limit {
            Limit::None => false,
            Limit::Under(most_j, _) => {
                let dampers = run.dampers().flatten();
                together_j(setup, run.arrival()).max(greatest_j(dampers)) > most_j
            }
            Limit::Holds(_) => run.parted(),
        }
    }

    fn setup(&self, i: usize, end_s: f64) -> Setup {
        let mut setup = match self.set_up.tether {
            Some(_) => self.target.planned.clone(),
            None => self.target.bare.clone(),
        };
        let more = match self.pace.spread {
            true => fineness::more_in(i / BLOCK),
            false => 0,
        };
        setup.max_time = Duration::new(end_s);
        self.set_up.put_on(&mut setup);
        self.draws
            .draw(i)
            .put_on(&mut setup, &self.target.lines, self.target.tension);
        fineness::cut(&mut setup, self.pace.segments + more);
        setup
    }

    /// Until when something that still matters could arrive: all that flies, together,
    /// at the energy that matters.
    fn whole_s(&self) -> f64 {
        let kg = self.target.hardware.get().max(1.0) + self.set_up.total().get();
        let slowest = (2.0 * self.pace.matters_j / kg).sqrt();
        let whole = self.target.distance().get() / slowest.max(1e-3);
        whole.clamp(1.0, FOLLOWED_S.1)
    }
}

/// Whether everything that flies has arrived, and at most picks up speed there.
fn all_arrived(run: &Standing) -> bool {
    run.arrival().is_some() && run.dampers().all(|damper| damper.is_some())
}

/// Energy of the hardware alone as it arrives, J; of a bare line that of its end.
fn alone_j(setup: &Setup, arrival: &FreeEnd) -> f64 {
    match setup.hardware.mass.get() > 0.0 {
        true => kinetic_energy(setup.hardware.mass, arrival.speed).get(),
        false => arrival.energy.get(),
    }
}

/// The same with all that it carries, J; none where it does not arrive.
fn together_j(setup: &Setup, arrival: Option<&FreeEnd>) -> f64 {
    arrival.map_or(0.0, |a| a.energy.get().max(alone_j(setup, a)))
}

fn greatest_j<'a>(dampers: impl Iterator<Item = &'a FreeEnd>) -> f64 {
    dampers.map(|a| a.energy.get()).fold(0.0, f64::max)
}

fn of(setup: &Setup, outcome: &Outcome) -> Seen {
    let arrival = outcome.arrival.as_ref();
    let damper_j = greatest_j(outcome.dampers.iter().filter_map(|d| d.arrival.as_ref()));
    let tethers = outcome.tethers.iter();
    Seen {
        hardware_j: arrival.map_or(0.0, |a| alone_j(setup, a)),
        damper_j,
        worst_j: together_j(setup, arrival).max(damper_j),
        parted: outcome.tethers.iter().any(|t| t.parted_at.is_some()),
        tether_n: tethers
            .map(|t| t.peak_load)
            .fold(Force::ZERO, Force::max)
            .get(),
        arrived_s: arrival.map(|a| a.time.get()),
        stored_j: outcome.stored.get(),
    }
}
