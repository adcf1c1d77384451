//! The run-up speeds between too weak and too much.
//!
//! Least: the slowest run-up that moves the casualty as far as asked against
//! the resistance met with the wanted probability. Greatest: the fastest that
//! keeps every link, the people and the rule inside their limits against the
//! design resistance. Peak load and movement both rise with speed, so both ends
//! are found by bisection. An empty window rules the method out.

use super::kinetic::{Outcome, PullError, Setup, run};
use crate::units::{Force, Length, Speed};

/// Fastest run-up that is ever looked at, m/s (54 km/h).
const SPEED_MAX_M_S: f64 = 15.0;
/// Speeds are found to this, m/s.
const SPEED_STEP_M_S: f64 = 0.02;
/// Points on the window's curve.
const CURVE_POINTS: u32 = 16;

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

/// The window.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Slowest run-up that shifts it; `None` when none up to 54 km/h does.
    pub least: Option<Speed>,
    /// Fastest run-up inside the limits; `None` when even a crawl is outside.
    pub greatest: Option<Speed>,
    /// What sets the greatest: a link, `people in the tug`, or `rule`.
    pub limited_by: String,
    /// Peak and movement against speed.
    pub curve: Vec<Point>,
}

impl Window {
    /// Whether no speed is left.
    pub fn is_empty(&self) -> bool {
        match (self.least, self.greatest) {
            (Some(least), Some(greatest)) => least > greatest,
            _ => true,
        }
    }

    /// A speed to plan with: the middle of the window, with something in hand
    /// either way.
    pub fn planned(&self) -> Option<Speed> {
        if self.is_empty() {
            None
        } else {
            Some((self.least? + self.greatest?) * 0.5)
        }
    }
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

/// Finds the window for the pull `base`.
pub fn run_up_window(
    base: &Setup,
    wanted: Against,
    design: Against,
    free_after: Length,
    limits: &Limits,
) -> Result<Window, PullError> {
    let shifts = |speed| -> Result<bool, PullError> {
        Ok(!wanted.fixed && pull_against(base, speed, wanted)?.movement >= free_after)
    };
    let holds = |speed| -> Result<bool, PullError> {
        Ok(first_limit(&pull_against(base, speed, design)?, limits).is_none())
    };
    let top = Speed::new(SPEED_MAX_M_S);
    let least = if shifts(top)? {
        Some(boundary(top, shifts)?.1)
    } else {
        None
    };
    let rule = limits.speed.min(top);
    let crawl = Speed::new(SPEED_STEP_M_S);
    let (greatest, limited_by) = if holds(rule)? {
        (Some(rule), "rule".to_string())
    } else {
        let (inside, outside) = boundary(rule, |s| holds(s).map(|h| !h))?;
        let over = pull_against(base, outside, design)?;
        let by = first_limit(&over, limits).unwrap_or_else(|| "rule".into());
        (if inside < crawl { None } else { Some(inside) }, by)
    };
    let curve = curve(base, wanted, design, rule.max(least.unwrap_or(rule)))?;
    Ok(Window {
        least,
        greatest,
        limited_by,
        curve,
    })
}

/// The last speed where `is` is false and the first where it is true, up to
/// `top`, where it is known to be true.
fn boundary(
    top: Speed,
    is: impl Fn(Speed) -> Result<bool, PullError>,
) -> Result<(Speed, Speed), PullError> {
    let (mut low, mut high) = (Speed::ZERO, top);
    while (high - low).get() > SPEED_STEP_M_S {
        let mid = (low + high) * 0.5;
        if is(mid)? { high = mid } else { low = mid }
    }
    Ok((low, high))
}

/// The first limit that a pull passes, if any: the one it passes the furthest.
fn first_limit(outcome: &Outcome, limits: &Limits) -> Option<String> {
    let people = outcome.tug_peak_deceleration_m_s2 / limits.deceleration_m_s2;
    let links = limits
        .links
        .iter()
        .map(|(name, force)| (name.as_str(), outcome.peak_force / *force));
    links
        .chain([("people in the tug", people)])
        .filter(|(_, share)| *share > 1.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(name, _)| name.to_string())
}

fn curve(
    base: &Setup,
    wanted: Against,
    design: Against,
    top: Speed,
) -> Result<Vec<Point>, PullError> {
    (1..=CURVE_POINTS)
        .map(|i| {
            let speed = top * (f64::from(i) / f64::from(CURVE_POINTS) * 1.2);
            Ok(Point {
                speed,
                peak_force: pull_against(base, speed, design)?.peak_force,
                movement: pull_against(base, speed, wanted)?.movement,
            })
        })
        .collect()
}
