//! The run-up window by chance.
//!
//! Speeds at which the casualty shifts with the probability that policy asks, and
//! at which, besides the design case, all of this holds:
//!
//! ```text
//! P(a part passes its WLL)             <= wll_probability
//! P(a part lets go)                    <= parting_probability
//! P(a link past what it may carry)     <= 1 - design_quantile   link by link
//! P(people in the tug past their limit)<= 1 - design_quantile
//! ```
//!
//! The design case stays: chance may make a limit stricter, never laxer than the
//! maker's limit or the design factor at the design load. An end is sought upwards
//! among the speeds pulled at and then by bisection between two of them. What can
//! pass a limit rises with speed for every draw, so its first crossing is the only
//! one. Movement may fall again with speed (a tug that is stopped sooner pulls for
//! less time), so the window is the stretch of speeds next under the upper end.
//!
//! The ends are read three ways: as found, at the sides of the sampling intervals
//! that are sure to be inside, and the same for what cannot be told from inside.

use super::pull_chances::{Happens, PullChances};
use crate::plan::Policy;
use crate::pull::run_up_window::{DesignLimit, First};
use crate::units::Speed;

/// Speeds are found to this, m/s.
const SPEED_STEP_M_S: f64 = 0.01;

/// What sets the upper end.
#[derive(Debug, Clone, PartialEq)]
pub enum UpperLimit {
    /// The design case: a link's limit, the people, or the rule on speed.
    Design(First),
    /// The chance that a part passes its working load limit; the likeliest part.
    PassesWll(String),
    /// The chance that a part lets go; the likeliest part.
    LetsGo(String),
    /// The chance that a link passes what policy lets it carry.
    PastAllowed(String),
    /// The chance that the people in the tug are braked too hard.
    PastPeople,
}

impl UpperLimit {
    /// What it is about: a part, `people in the tug`, or `rule`.
    pub fn subject(&self) -> &str {
        match self {
            Self::Design(First::Link(name))
            | Self::PassesWll(name)
            | Self::LetsGo(name)
            | Self::PastAllowed(name) => name,
            Self::Design(First::People) | Self::PastPeople => "people in the tug",
            Self::Design(First::Rule) => "rule",
        }
    }

    /// How it limits, in words.
    pub fn how(&self) -> &'static str {
        match self {
            Self::Design(First::Link(_)) => "what it may carry at the design load",
            Self::Design(First::People) => "their braking at the design load",
            Self::Design(First::Rule) => "the greatest run-up speed of the policy",
            Self::PassesWll(_) => "the chance that it passes its working load limit",
            Self::LetsGo(_) => "the chance that it lets go",
            Self::PastAllowed(_) => "the chance that it passes what policy lets it carry",
            Self::PastPeople => "the chance that they are braked too hard",
        }
    }
}

/// How a probability with an interval is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reading {
    /// As found.
    Found,
    /// At the worse end of the interval.
    Sure,
    /// At the better end.
    Possible,
}

impl Reading {
    /// Of something unwanted.
    fn hazard(self, chances: &PullChances, what: Happens, speed: Speed) -> f64 {
        match self {
            Self::Found => chances.value(what, speed),
            Self::Sure => chances.probability(what, speed).high,
            Self::Possible => chances.probability(what, speed).low,
        }
    }

    /// That it shifts.
    fn shifts(self, chances: &PullChances, speed: Speed) -> f64 {
        match self {
            Self::Found => chances.value(Happens::Shifts, speed),
            Self::Sure => chances.probability(Happens::Shifts, speed).low,
            Self::Possible => chances.probability(Happens::Shifts, speed).high,
        }
    }
}

/// Where a planned speed stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpeedStands {
    /// Under the window.
    TooSlow,
    /// In the window, whatever the sampling error.
    Inside,
    /// In the window as found, but nearer to an end than sampling can tell.
    Close,
    /// Over the window.
    TooFast,
    /// Does not shift it as asked, and is past a limit all the same.
    TooSlowAndTooFast,
}

/// The window.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Slowest run-up that shifts it as asked; `None` when none pulled at does.
    pub least: Option<Speed>,
    /// Fastest run-up inside every limit; `None` when even a crawl is outside.
    pub greatest: Option<Speed>,
    /// What sets the greatest.
    pub limit: UpperLimit,
    /// The same where the sampling error leaves no doubt.
    pub sure: Option<(Speed, Speed)>,
    /// The same as far as the sampling error leaves it open.
    pub possible: Option<(Speed, Speed)>,
    found: Option<(Speed, Speed)>,
}

impl Window {
    /// Whether no speed is left.
    pub fn is_empty(&self) -> bool {
        self.found.is_none()
    }

    /// A speed to plan with: the middle of what is sure, else of the window.
    pub fn planned(&self) -> Option<Speed> {
        let (least, greatest) = self.sure.or(self.found)?;
        Some((least + greatest) * 0.5)
    }

    /// Where a planned speed stands.
    pub fn stands(&self, speed: Speed) -> SpeedStands {
        let slow = self.least.is_none_or(|least| speed < least);
        let fast = self.greatest.is_none_or(|greatest| speed > greatest);
        let inside = |ends: Option<(Speed, Speed)>| {
            ends.is_some_and(|(least, greatest)| speed >= least && speed <= greatest)
        };
        match (slow, fast) {
            (true, true) => SpeedStands::TooSlowAndTooFast,
            (_, true) => SpeedStands::TooFast,
            (true, false) => SpeedStands::TooSlow,
            _ if inside(self.sure) => SpeedStands::Inside,
            _ => SpeedStands::Close,
        }
    }

    /// Finds the window.
    pub(super) fn find(chances: &PullChances, policy: &Policy, design: &DesignLimit) -> Self {
        let search = Search {
            chances,
            policy,
            design,
        };
        let (greatest, limit) = search.greatest(Reading::Found);
        let found = search.inside(Reading::Found, greatest);
        let ends = |reading| search.inside(reading, search.greatest(reading).0);
        Self {
            least: found.map(|f| f.0).or_else(|| search.least()),
            greatest: found.map(|f| f.1).or(greatest),
            limit,
            sure: ends(Reading::Sure),
            possible: ends(Reading::Possible),
            found,
        }
    }
}

struct Search<'a> {
    chances: &'a PullChances,
    policy: &'a Policy,
    design: &'a DesignLimit,
}

impl Search<'_> {
    /// What must not happen, and how often it may.
    fn hazards(&self) -> Vec<(Happens, f64)> {
        let outside = 1.0 - self.policy.design_quantile;
        let mut hazards = vec![
            (Happens::PassesWll, self.policy.wll_probability),
            (Happens::LetsGo, self.policy.parting_probability),
            (Happens::PastPeople, outside),
        ];
        let links = self.chances.links.iter().enumerate();
        // A link held to its working load limit alone is in the first of these.
        let own = links.filter(|(_, l)| l.wll_n.is_none_or(|wll| l.allowed_n * l.share < wll));
        hazards.extend(own.map(|(k, _)| (Happens::PastAllowed(k), outside)));
        hazards
    }

    /// Fastest run-up inside every limit, and what sets it.
    fn greatest(&self, reading: Reading) -> (Option<Speed>, UpperLimit) {
        let mut greatest = self.design.greatest.unwrap_or(Speed::ZERO);
        let mut limit = UpperLimit::Design(self.design.first.clone());
        for (what, allowed) in self.hazards() {
            let over = |speed| reading.hazard(self.chances, what, speed) > allowed;
            if let Some(first) = self.first(greatest, over)
                && first < greatest
            {
                greatest = first;
                limit = self.named(what, first);
            }
        }
        ((greatest > Speed::ZERO).then_some(greatest), limit)
    }

    fn named(&self, what: Happens, at: Speed) -> UpperLimit {
        let likeliest = |what| {
            let link = self.chances.likeliest(what, at);
            link.map_or("a part".to_string(), |(held, _)| held.name.clone())
        };
        match what {
            Happens::PassesWll => UpperLimit::PassesWll(likeliest(what)),
            Happens::LetsGo => UpperLimit::LetsGo(likeliest(what)),
            Happens::PastAllowed(k) => UpperLimit::PastAllowed(self.chances.links[k].name.clone()),
            Happens::Shifts | Happens::PastPeople => UpperLimit::PastPeople,
        }
    }

    /// The last speed before the first, up to `top`, at which `is` holds; nothing
    /// where it never does.
    fn first(&self, top: Speed, is: impl Fn(Speed) -> bool) -> Option<Speed> {
        let mut before = Speed::ZERO;
        for speed in self.speeds_to(top) {
            if is(speed) {
                return Some(between(before, speed, is).0);
            }
            before = speed;
        }
        None
    }

    fn speeds_to(&self, top: Speed) -> Vec<Speed> {
        let mut speeds = self.chances.speeds();
        speeds.retain(|s| *s < top);
        speeds.push(top);
        speeds
    }

    fn shifts(&self, reading: Reading, speed: Speed) -> bool {
        reading.shifts(self.chances, speed) >= self.policy.shift_probability
    }

    /// The stretch of speeds next under `greatest` at which it shifts as asked.
    fn inside(&self, reading: Reading, greatest: Option<Speed>) -> Option<(Speed, Speed)> {
        let greatest = greatest?;
        let speeds = self.speeds_to(greatest);
        let shifts: Vec<bool> = speeds.iter().map(|s| self.shifts(reading, *s)).collect();
        let last = shifts.iter().rposition(|s| *s)?;
        let first = shifts[..last]
            .iter()
            .rposition(|s| !s)
            .map_or(0, |before| before + 1);
        let least = match first.checked_sub(1) {
            None => Speed::ZERO,
            Some(before) => between(speeds[before], speeds[first], |s| self.shifts(reading, s)).1,
        };
        let most = match speeds.get(last + 1) {
            None => speeds[last],
            Some(after) => between(speeds[last], *after, |s| !self.shifts(reading, s)).0,
        };
        Some((least, most))
    }

    /// Slowest run-up that shifts it as asked, whatever it may overload.
    fn least(&self) -> Option<Speed> {
        let top = self.chances.top();
        let is = |speed| self.shifts(Reading::Found, speed);
        let before = self.first(top, is)?;
        Some((before + Speed::new(SPEED_STEP_M_S)).min(top))
    }
}

/// The last speed where `is` does not hold and the first where it does, between two
/// where it does not and does.
fn between(low: Speed, high: Speed, is: impl Fn(Speed) -> bool) -> (Speed, Speed) {
    let (mut low, mut high) = (low, high);
    while (high - low).get() > SPEED_STEP_M_S {
        let mid = (low + high) * 0.5;
        if is(mid) { high = mid } else { low = mid }
    }
    (low, high)
}
