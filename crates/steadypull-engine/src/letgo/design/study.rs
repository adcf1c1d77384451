//! A study: one target, one wish, and somebody who runs jobs side by side.

use core::ops::Range;

use super::energies::{Asked, Energies};
use super::fineness;
use super::order::{allowed_above, fewest_draws};
use super::set_up::SetUp;
use super::target::{Draws, Target};
use super::throw::{Job, Limit, Pace, Seen, Trial};

/// Draws of a job when all of them are wanted: small, so that threads share the work.
const SHARE: usize = 4;
/// Draws, from the harshest on, after which a check is looked at.
const HARSHEST: [usize; 2] = [8, 24];
/// First look at a run, in arrivals of the bare hardware.
const FIRST_ARRIVALS: f64 = 3.0;
/// Time followed before that is known, s.
const UNKNOWN_S: f64 = 1.0;

/// How much work a study may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Segments of the runs that designs are chosen by, and of the curves.
    pub segments: usize,
    /// Draws that designs are chosen by.
    pub search: usize,
    /// Draws of a point of a curve, and of a set-up that is told without being chosen.
    pub curve: usize,
    /// Fresh draws that a chosen design is checked on.
    pub check: usize,
    /// Fewest segments of that check; a long line gets more.
    pub check_segments: usize,
    /// Draws by which the two numbers of segments are compared.
    pub compared: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            segments: 16,
            search: 20,
            curve: 20,
            check: 64,
            check_segments: 32,
            compared: 16,
        }
    }
}

impl Effort {
    /// Draws enough for a quantile: so many at least that the greatest stands for it.
    pub(super) fn draws(count: usize, chance: f64) -> usize {
        count.max(fewest_draws(chance))
    }
}

/// Runs jobs, each by [`Job::run`], and gives their trials in order.
pub type SideBySide<'a> = &'a dyn Fn(&[Job]) -> Vec<Trial>;

/// One target under one wish.
pub(super) struct Study<'a> {
    pub target: &'a Target,
    pub asked: Asked,
    pub effort: Effort,
    pub draws: Draws,
    pub run: SideBySide<'a>,
    first_s: f64,
}

impl<'a> Study<'a> {
    /// Starts one: finds how long the bare hardware takes to arrive.
    pub fn new(
        target: &'a Target,
        asked: Asked,
        effort: Effort,
        draws: Draws,
        run: SideBySide<'a>,
    ) -> Self {
        Self {
            target,
            asked,
            effort,
            draws,
            run,
            first_s: UNKNOWN_S,
        }
    }

    /// Arrival energies of one set-up over all its draws. The bare set-up also tells
    /// how long to look at the others first.
    pub fn energies(&self, set_up: &SetUp) -> Energies {
        self.over(set_up, &self.draws, self.effort.segments)
    }

    /// The same of the bare line; from then on runs are looked at for as long as its
    /// hardware takes to arrive, thrice over.
    pub fn bare(&mut self, set_up: &SetUp) -> Energies {
        let one = core::slice::from_ref(set_up);
        let seen = self.seen(one, &self.draws, self.effort.segments).concat();
        let slowest = seen.iter().flatten().filter_map(|s| s.arrived_s);
        let slowest = slowest.fold(0.0, f64::max);
        if slowest > 0.0 {
            self.first_s = FIRST_ARRIVALS * slowest;
        }
        Energies::of(&seen, self.asked)
    }

    /// Arrival energies of each set-up over all the draws.
    pub fn energies_of_all(&self, set_ups: &[SetUp]) -> Vec<Energies> {
        self.seen(set_ups, &self.draws, self.effort.segments)
            .iter()
            .map(|seen| Energies::of(seen, self.held_to()))
            .collect()
    }

    /// Segments of a check.
    pub fn check_segments(&self) -> usize {
        fineness::segments(self.target.line_length().get(), self.effort.check_segments)
    }

    /// What finer segments could add to an energy through dampers, as a share of that
    /// with `segments`.
    pub fn allowance(&self, segments: usize) -> f64 {
        fineness::allowance(self.target.line_length().get(), segments)
    }

    /// The wish less what finer segments than those of a check could add: what runs
    /// through dampers must keep.
    pub fn held_to(&self) -> Asked {
        Asked {
            under: self.asked.under * (1.0 / (1.0 + self.allowance(self.check_segments()))),
            ..self.asked
        }
    }

    /// Arrival energies over other draws, at a number of segments.
    pub fn over(&self, set_up: &SetUp, draws: &Draws, segments: usize) -> Energies {
        let seen = self.seen(core::slice::from_ref(set_up), draws, segments);
        Energies::of(&seen.concat(), self.held_to())
    }

    /// Arrival energies over fresh draws, as finely as a check is.
    pub fn checked(&self, set_up: &SetUp, fresh: &Draws) -> Energies {
        let pace = self.check_pace();
        let one = core::slice::from_ref(set_up);
        let seen = self.some(one, fresh, 0..fresh.len(), pace);
        Energies::of(&seen.concat(), self.held_to())
    }

    /// The same of a set-up that keeps what it is held to; nothing of one that does not.
    pub fn kept(&self, set_up: &SetUp, fresh: &Draws) -> Option<Energies> {
        self.kept_after(set_up, fresh, self.harshest(set_up, fresh)?)
    }

    /// The same after its harshest draws.
    pub fn kept_after(
        &self,
        set_up: &SetUp,
        fresh: &Draws,
        mut seen: Vec<Option<Seen>>,
    ) -> Option<Energies> {
        let one = core::slice::from_ref(set_up);
        let rest = seen.len()..fresh.len();
        seen.extend(self.some(one, fresh, rest, self.check_pace()).concat());
        let energies = Energies::of(&seen, self.held_to());
        energies.meets(self.held_to()).then_some(energies)
    }

    /// What the harshest draws gave, which settle most set-ups that will not do; nothing
    /// as soon as these alone show that it does not keep what it is held to.
    pub fn harshest(&self, set_up: &SetUp, fresh: &Draws) -> Option<Vec<Option<Seen>>> {
        let held_to = self.held_to();
        let passes = |one: &Option<Seen>| one.is_none_or(|s| s.worst_j > held_to.under.get());
        let allowed = allowed_above(fresh.len(), held_to.chance);
        let one = core::slice::from_ref(set_up);
        let mut seen = Vec::with_capacity(fresh.len());
        for upto in HARSHEST {
            let which = seen.len()..upto.min(fresh.len());
            seen.extend(self.some(one, fresh, which, self.check_pace()).concat());
            if seen.iter().filter(|one| passes(one)).count() > allowed {
                return None;
            }
        }
        Some(seen)
    }

    /// Every draw of every set-up.
    pub fn seen(
        &self,
        set_ups: &[SetUp],
        draws: &Draws,
        segments: usize,
    ) -> Vec<Vec<Option<Seen>>> {
        let pace = Pace {
            segments,
            ..self.pace()
        };
        self.some(set_ups, draws, 0..draws.len(), pace)
    }

    /// Some draws of every set-up.
    fn some(
        &self,
        set_ups: &[SetUp],
        draws: &Draws,
        which: Range<usize>,
        pace: Pace,
    ) -> Vec<Vec<Option<Seen>>> {
        let parts = which.len().div_ceil(SHARE);
        let mut jobs = Vec::with_capacity(set_ups.len() * parts);
        for set_up in set_ups {
            for from in which.clone().step_by(SHARE) {
                jobs.push(Job {
                    target: self.target,
                    draws,
                    set_up: set_up.clone(),
                    which: from..(from + SHARE).min(which.end),
                    limit: Limit::None,
                    pace,
                });
            }
        }
        let trials = (self.run)(&jobs);
        trials
            .chunks(parts.max(1))
            .map(|parts| parts.iter().flat_map(|t| t.seen.iter().copied()).collect())
            .collect()
    }

    /// The energies of those set-ups whose quantile does not pass `most_j`; nothing for
    /// the others, which are dropped as soon as that is sure.
    pub fn no_more_than(&self, set_ups: &[SetUp], most_j: f64) -> Vec<Option<Energies>> {
        let allowed = allowed_above(self.draws.len(), self.asked.chance);
        let limit = Limit::Under(most_j, allowed);
        let jobs: Vec<Job> = set_ups.iter().map(|s| self.job(s, limit)).collect();
        let kept =
            |trial: &Trial| (!trial.dropped).then(|| Energies::of(&trial.seen, self.held_to()));
        (self.run)(&jobs).iter().map(kept).collect()
    }

    /// What the draws of those set-ups gave whose tether parts in no more draws than
    /// the chance leaves.
    pub fn holding(&self, set_ups: &[SetUp]) -> Vec<Option<Vec<Option<Seen>>>> {
        let allowed = allowed_above(self.draws.len(), self.asked.chance);
        let jobs: Vec<Job> = set_ups
            .iter()
            .map(|s| {
                let mut job = self.job(s, Limit::Holds(allowed));
                job.pace.patient = false;
                job
            })
            .collect();
        let kept = |trial: Trial| (!trial.dropped).then_some(trial.seen);
        (self.run)(&jobs).into_iter().map(kept).collect()
    }

    fn job<'b>(&'b self, set_up: &SetUp, limit: Limit) -> Job<'b> {
        Job {
            target: self.target,
            draws: &self.draws,
            set_up: set_up.clone(),
            which: 0..self.draws.len(),
            limit,
            pace: self.pace(),
        }
    }

    fn pace(&self) -> Pace {
        Pace {
            segments: self.effort.segments,
            first_s: self.first_s,
            matters_j: self.asked.under.get(),
            patient: true,
            spread: false,
        }
    }

    fn check_pace(&self) -> Pace {
        Pace {
            segments: self.check_segments(),
            spread: true,
            ..self.pace()
        }
    }
}
