//! Faults of the stamps.

use super::{Fault, FaultKind, Place};
use crate::robust::{centre_and_scatter, median_of, stretches};
use crate::signal::cfc::Cfc;

/// A step of time this many medians long is a gap.
const GAP: f64 = 1.5;
/// Scatter of the steps over their median at which the clock is told to jitter.
const JITTER: f64 = 0.01;

/// Stamps that cannot be read at all.
pub(super) fn none(times_s: &[f64], values: &[f64]) -> Fault {
    let common = times_s.len().min(values.len());
    let bad = times_s
        .iter()
        .position(|t| !t.is_finite())
        .unwrap_or(common);
    Fault {
        kind: FaultKind::NoClock,
        place: Place {
            from_s: times_s
                .first()
                .copied()
                .filter(|t| t.is_finite())
                .unwrap_or(0.0),
            to_s: times_s
                .last()
                .copied()
                .filter(|t| t.is_finite())
                .unwrap_or(0.0),
            first: bad,
            last: times_s.len().max(values.len()).saturating_sub(1),
        },
    }
}

pub(super) fn look(times_s: &[f64], filter: Option<Cfc>) -> Vec<Fault> {
    let Some(step_s) = median_step(times_s) else {
        return stamps(times_s, 0.0);
    };
    let mut found = stamps(times_s, step_s);
    let last = times_s.len() - 1;
    let whole = Place::of(times_s, 0, last);
    let share = jitter(times_s, step_s);
    if share > JITTER {
        found.push(Fault {
            kind: FaultKind::Jitter { share },
            place: whole,
        });
    }
    let rate_hz = 1.0 / step_s;
    let least_hz = filter.map_or(0.0, Cfc::least_rate_hz);
    if rate_hz < least_hz * (1.0 - 1e-6) {
        found.push(Fault {
            kind: FaultKind::SlowForFilter { rate_hz, least_hz },
            place: whole,
        });
    }
    found
}

/// Median of the steps that go forward, s.
fn median_step(times_s: &[f64]) -> Option<f64> {
    let forward = |step: &f64| *step > 0.0;
    let some = median_of(&mut some_steps(times_s, forward));
    // Of a long log only part is looked at: if nothing goes forward there, all of it is.
    some.or_else(|| median_of(&mut steps(times_s).filter(forward).collect::<Vec<_>>()))
}

/// Scatter of the steps shorter than a gap, over the median.
fn jitter(times_s: &[f64], step_s: f64) -> f64 {
    let is_step = |d: &f64| *d > 0.0 && *d < GAP * step_s;
    // A clock in whole milliseconds has most steps alike: the plain deviation sees the rest.
    let (mut n, mut square) = (0.0, 0.0);
    for d in steps(times_s).filter(is_step) {
        n += 1.0;
        square += (d - step_s) * (d - step_s);
    }
    let plain = if n > 0.0 { libm::sqrt(square / n) } else { 0.0 };
    let robust = centre_and_scatter(&some_steps(times_s, is_step)).map_or(0.0, |(_, s)| s);
    plain.max(robust) / step_s
}

fn steps(times_s: &[f64]) -> impl Iterator<Item = f64> {
    times_s.windows(2).map(|w| w[1] - w[0])
}

/// Steps for which `is` holds, of a long log in stretches of it.
fn some_steps(times_s: &[f64], is: impl Fn(&f64) -> bool) -> Vec<f64> {
    stretches(times_s.len())
        .flat_map(|part| steps(&times_s[part]))
        .filter(is)
        .collect()
}

/// Gaps, stamps given twice and steps back, pair by pair.
fn stamps(times_s: &[f64], step_s: f64) -> Vec<Fault> {
    let mut found = Vec::new();
    for i in 1..times_s.len() {
        let step = times_s[i] - times_s[i - 1];
        let kind = if step == 0.0 {
            Some(FaultKind::DuplicateStamp)
        } else if step < 0.0 {
            Some(backwards(times_s, i, -step))
        } else if step_s > 0.0 && step > GAP * step_s {
            let missing = (libm::round(step / step_s) as usize)
                .saturating_sub(1)
                .max(1);
            Some(FaultKind::Gap { missing })
        } else {
            None
        };
        found.extend(kind.map(|kind| Fault {
            kind,
            place: Place::of(times_s, i - 1, i),
        }));
    }
    found
}

/// Two stamps that changed places, if the next one is past both; else a clock set back.
fn backwards(times_s: &[f64], i: usize, back_s: f64) -> FaultKind {
    match times_s.get(i + 1) {
        Some(next) if *next > times_s[i - 1] => FaultKind::TimeReversed { back_s },
        _ => FaultKind::ClockStep { back_s },
    }
}
