//! The fastest run-up that the design case allows.
//!
//! The fastest that keeps every link, the people and the rule inside their limits
//! against the design resistance: makers' limits and design factors, whatever the
//! chances say. Peak load rises with speed, so it is found by bisection. The other
//! end, and what chance asks on top, is in `options::window`.

use super::kinetic::{Outcome, PullError, Setup, run};
use crate::units::{Force, Length, Speed};

/// Speeds are found to this, m/s.
const SPEED_STEP_M_S: f64 = 0.02;

/// A resistance to pull against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// Once moving.
    pub slide: Force,
    /// On top, broken once.
    pub extra: Force,
    /// Whether the casualty does not move at all.
    pub fixed: bool,
}

/// What a run-up must keep inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Greatest tension in the line for each link, by name.
    pub links: Vec<(String, Force)>,
    /// Greatest deceleration of the tug, m/s².
    pub deceleration_m_s2: f64,
    /// Greatest speed by rule.
    pub speed: Speed,
}

/// One speed of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Run-up speed.
    pub speed: Speed,
    /// Peak tension against the design resistance.
    pub peak_force: Force,
    /// Movement against the resistance met with the wanted probability.
    pub movement: Length,
}

/// What passes its limit first.
#[derive(Debug, Clone, PartialEq)]
pub enum First {
    /// A link, by name.
    Link(String),
    /// The people in the tug.
    People,
    /// The rule on speed: everything else is inside up to it.
    Rule,
}

/// The fastest run-up inside the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignLimit {
    /// That speed; `None` when even a crawl is outside.
    pub greatest: Option<Speed>,
    /// What sets it.
    pub first: First,
}

/// `base` with another speed and resistance.
pub fn pull_against(base: &Setup, speed: Speed, against: Against) -> Result<Outcome, PullError> {
    let mut setup = base.clone();
    setup.run_up_speed = speed;
    setup.slide = against.slide;
    setup.break_extra = against.extra;
    if against.fixed {
        setup.casualty_mass = None;
    }
    run(&setup)
}

/// Finds the fastest run-up of the pull `base` that stays inside `limits`.
pub fn design_limit(
    base: &Setup,
    design: Against,
    limits: &Limits,
) -> Result<DesignLimit, PullError> {
    let first = |speed| -> Result<Option<First>, PullError> {
        Ok(first_limit(&pull_against(base, speed, design)?, limits))
    };
    let Some(mut by) = first(limits.speed)? else {
        return Ok(DesignLimit {
            greatest: Some(limits.speed),
            first: First::Rule,
        });
    };
    let (mut inside, mut outside) = (Speed::ZERO, limits.speed);
    while (outside - inside).get() > SPEED_STEP_M_S {
        let mid = (inside + outside) * 0.5;
        match first(mid)? {
            Some(limit) => (outside, by) = (mid, limit),
            None => inside = mid,
        }
    }
    Ok(DesignLimit {
        greatest: (inside > Speed::ZERO).then_some(inside),
        first: by,
    })
}

/// The first limit that a pull passes, if any: the one it passes the furthest.
fn first_limit(outcome: &Outcome, limits: &Limits) -> Option<First> {
    let people = outcome.tug_peak_deceleration_m_s2 / limits.deceleration_m_s2;
    let links = limits
        .links
        .iter()
        .map(|(name, force)| (Some(name), outcome.peak_force / *force));
    links
        .chain([(None, people)])
        .filter(|(_, share)| *share > 1.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(name, _)| name.map_or(First::People, |name| First::Link(name.clone())))
}

/// Peak and movement of the pull `base` at each of `speeds`.
pub fn curve(
    base: &Setup,
    wanted: Against,
    design: Against,
    speeds: &[Speed],
) -> Result<Vec<Point>, PullError> {
    let point = |speed: &Speed| {
        Ok(Point {
            speed: *speed,
            peak_force: pull_against(base, *speed, design)?.peak_force,
            movement: pull_against(base, *speed, wanted)?.movement,
        })
    };
    speeds.iter().map(point).collect()
}
