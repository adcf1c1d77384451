//! Chances of a kinetic pull against the run-up speed.
//!
//! The same draws are pulled at each of a few speeds, evenly from standstill to past
//! every limit. Between two speeds each draw's own peak, movement and deceleration
//! go by straight line; peak and movement bend upwards with speed, so that the line
//! lies above the peak (the safe side) and above the movement by a few millimetres.
//!
//! - *Shifts*, *passes a WLL*, *outside a limit*: share of the draws.
//! - *Lets go*: mean over the draws of `1 − Π(1 − F_k(T s_k))`, with `F_k` the
//!   distribution of the strength of link `k` and `s_k` its share of the tension.
//!   Strengths are reckoned with whole and not drawn, so that one in a thousand
//!   and less is told from a few hundred pulls.

use super::probability::Probability;
use super::pull_draws::{PULLS, PullDraws, asked_movement};
use crate::chance::{LogNormal, REPLICATES};
use crate::plan::Plan;
use crate::pull::kinetic::PullError;
use crate::pull::many::{Marks, Pulls};
use crate::rig::loads::{held_to_wll, strength};
use crate::rig::{LoadPath, allowed_tension};
use crate::units::{G, Speed};

/// Steps of the speeds pulled at, standstill not counted.
pub const SPEED_STEPS: usize = 10;

/// What may be asked of a pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Happens {
    /// The casualty moves as far as asked.
    Shifts,
    /// A part passes its working load limit.
    PassesWll,
    /// A part lets go.
    LetsGo,
    /// A link, by its number, is loaded past what policy lets it carry.
    PastAllowed(usize),
    /// The people in the tug are braked harder than policy lets them be.
    PastPeople,
}

/// A link as the chances need it.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Its name.
    pub name: String,
    /// Its load over the tension.
    pub share: f64,
    /// The working load limit it is held to, N.
    pub wll_n: Option<f64>,
    /// Tension that policy lets it carry, N.
    pub allowed_n: f64,
    strength: Option<LogNormal>,
}

impl Held {
    /// Probability that it lets go at a tension, N.
    pub fn lets_go(&self, tension_n: f64) -> f64 {
        let load = tension_n * self.share;
        self.strength.map_or(0.0, |s| s.probability_below(load))
    }

    fn passes_wll(&self, tension_n: f64) -> bool {
        self.wll_n.is_some_and(|wll| tension_n * self.share > wll)
    }
}

/// The chances at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedChances {
    /// Run-up speed planned.
    pub speed: Speed,
    /// That it moves as far as asked.
    pub shifts: Probability,
    /// That a part passes its working load limit.
    pub passes_wll: Probability,
    /// That a part lets go.
    pub lets_go: Probability,
}

/// Many pulls at a few speeds.
#[derive(Debug, Clone, PartialEq)]
pub struct PullChances {
    /// Links in the order of the path.
    pub links: Vec<Held>,
    step_m_s: f64,
    /// By speed, then by draw.
    marks: Vec<Vec<Marks>>,
    movement_m: f64,
    deceleration_m_s2: f64,
}

impl PullChances {
    /// Pulls every draw at every speed up to `top`.
    pub(super) fn run(
        plan: &Plan,
        path: &LoadPath,
        draws: &PullDraws,
        top: Speed,
        pulls: &dyn Pulls,
    ) -> Result<Self, PullError> {
        let step = top * (1.0 / SPEED_STEPS as f64);
        let one = |n: usize| {
            let speed = step * (n / PULLS) as f64;
            Marks::of_pull(&draws.setup(n % PULLS, speed))
        };
        let all = pulls.run((SPEED_STEPS + 1) * PULLS, &one);
        let all: Vec<Marks> = all.into_iter().collect::<Result<_, _>>()?;
        Ok(Self {
            links: held(plan, path),
            step_m_s: step.get(),
            marks: all.chunks(PULLS).map(<[Marks]>::to_vec).collect(),
            movement_m: asked_movement(plan).get(),
            deceleration_m_s2: plan.policy.max_occupant_g * G,
        })
    }

    /// The speeds pulled at.
    pub fn speeds(&self) -> Vec<Speed> {
        let at = |k: usize| Speed::new(self.step_m_s * k as f64);
        (0..self.marks.len()).map(at).collect()
    }

    /// Greatest speed pulled at.
    pub fn top(&self) -> Speed {
        Speed::new(self.step_m_s * (self.marks.len().max(1) - 1) as f64)
    }

    /// Whether no pull at any speed moves the casualty at all.
    pub fn sticks_fast(&self) -> bool {
        let mut marks = self.marks.iter().flatten();
        marks.all(|m| m.movement_m <= 0.0)
    }

    /// Pulls behind every probability.
    pub fn samples(&self) -> usize {
        PULLS
    }

    /// The chances at a speed, up to [`Self::top`].
    pub fn at(&self, speed: Speed) -> SpeedChances {
        SpeedChances {
            speed,
            shifts: self.probability(Happens::Shifts, speed),
            passes_wll: self.probability(Happens::PassesWll, speed),
            lets_go: self.probability(Happens::LetsGo, speed),
        }
    }

    /// Probability that something happens at a speed, with its sampling interval.
    pub fn probability(&self, what: Happens, speed: Speed) -> Probability {
        let each = self.marks_at(speed).map(|marks| self.chance(what, &marks));
        if what == Happens::LetsGo {
            Probability::of_chances(each, REPLICATES)
        } else {
            Probability::of_counts(each.map(|p| p > 0.5), REPLICATES)
        }
    }

    /// The same without its interval.
    pub fn value(&self, what: Happens, speed: Speed) -> f64 {
        let each = self.marks_at(speed).map(|marks| self.chance(what, &marks));
        each.sum::<f64>() / PULLS as f64
    }

    /// The link likeliest to do what is asked at a speed, and its own chance.
    pub fn likeliest(&self, what: Happens, speed: Speed) -> Option<(&Held, f64)> {
        let own = |link: &Held, marks: &Marks| match what {
            Happens::LetsGo => link.lets_go(marks.peak_n),
            _ => f64::from(u8::from(link.passes_wll(marks.peak_n))),
        };
        let chance = |link| {
            let sum: f64 = self.marks_at(speed).map(|m| own(link, &m)).sum();
            sum / PULLS as f64
        };
        let chances = self.links.iter().map(|link| (link, chance(link)));
        chances
            .filter(|(_, p)| *p > 0.0)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Peak tensions at a speed, rising, N.
    pub fn peaks(&self, speed: Speed) -> Vec<f64> {
        let mut peaks: Vec<f64> = self.marks_at(speed).map(|m| m.peak_n).collect();
        peaks.sort_by(f64::total_cmp);
        peaks
    }

    fn chance(&self, what: Happens, marks: &Marks) -> f64 {
        let tension_n = marks.peak_n;
        let happens = match what {
            Happens::Shifts => marks.movement_m >= self.movement_m,
            Happens::PassesWll => self.links.iter().any(|l| l.passes_wll(tension_n)),
            Happens::LetsGo => {
                let holds = self.links.iter().map(|l| 1.0 - l.lets_go(tension_n));
                return 1.0 - holds.product::<f64>();
            }
            Happens::PastAllowed(k) => self.links.get(k).is_some_and(|l| tension_n > l.allowed_n),
            Happens::PastPeople => marks.tug_deceleration_m_s2 > self.deceleration_m_s2,
        };
        f64::from(u8::from(happens))
    }

    /// Each draw's marks at a speed, between the speeds pulled at by straight line.
    fn marks_at(&self, speed: Speed) -> impl Iterator<Item = Marks> {
        let last = self.marks.len() - 1;
        let place = (speed.get() / self.step_m_s).clamp(0.0, last as f64);
        let k = (place as usize).min(last.saturating_sub(1));
        let share = place - k as f64;
        let between = move |a: f64, b: f64| a + share * (b - a);
        let pairs = self.marks[k].iter().zip(&self.marks[(k + 1).min(last)]);
        pairs.map(move |(a, b)| Marks {
            peak_n: between(a.peak_n, b.peak_n),
            movement_m: between(a.movement_m, b.movement_m),
            tug_deceleration_m_s2: between(a.tug_deceleration_m_s2, b.tug_deceleration_m_s2),
        })
    }
}

fn held(plan: &Plan, path: &LoadPath) -> Vec<Held> {
    let one = |link: &crate::rig::Link| Held {
        name: link.name.clone(),
        share: link.load_share,
        wll_n: held_to_wll(link, path.method).map(|wll| wll.get()),
        allowed_n: allowed_tension(link, path.method, &plan.policy).get(),
        strength: strength(link),
    };
    path.links.iter().map(one).collect()
}
