//! Faults of the stamps.

use core::ops::Range;

use super::{Fault, FaultKind, Place};
use crate::robust::{centre_and_scatter, median_of, stretches};
use crate::signal::Stamps;
use crate::signal::cfc::Cfc;

/// A step of time this many medians long is a gap.
const GAP: f64 = 1.5;
/// Scatter of the steps over their median at which the clock is told to jitter.
const JITTER: f64 = 0.01;

/// Stamps that cannot be read at all.
pub(super) fn none(times_s: Stamps<'_>, values: &[f64]) -> Fault {
    let count = times_s.len();
    let is_time = |i: &usize| times_s.at(*i).is_finite();
    let bad = (0..count).find(|i| !is_time(i));
    let end = |i: Option<usize>| i.filter(is_time).map_or(0.0, |i| times_s.at(i));
    Fault {
        kind: FaultKind::NoClock,
        place: Place {
            from_s: end((count > 0).then_some(0)),
            to_s: end(count.checked_sub(1)),
            first: bad.unwrap_or(count.min(values.len())),
            last: count.max(values.len()).saturating_sub(1),
        },
    }
}

pub(super) fn look(times_s: Stamps<'_>, filter: Option<Cfc>) -> Vec<Fault> {
    let Some(step_s) = median_step(times_s) else {
        return stamps(times_s, 0.0);
    };
    let mut found = stamps(times_s, step_s);
    let whole = Place::of(times_s, 0, times_s.len() - 1);
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
fn median_step(times_s: Stamps<'_>) -> Option<f64> {
    let forward = |step: &f64| *step > 0.0;
    let some = median_of(&mut some_steps(times_s, forward));
    // Of a long log only part is looked at: if nothing goes forward there, all of it is.
    some.or_else(|| {
        let all = steps(times_s, 0..times_s.len());
        median_of(&mut all.filter(forward).collect::<Vec<_>>())
    })
}

/// Scatter of the steps shorter than a gap, over the median. A grid's steps scatter by
/// rounding alone.
fn jitter(times_s: Stamps<'_>, step_s: f64) -> f64 {
    if matches!(times_s, Stamps::Even(_)) {
        return 0.0;
    }
    let is_step = |d: &f64| *d > 0.0 && *d < GAP * step_s;
    // A clock in whole milliseconds has most steps alike: the plain deviation sees the rest.
    let (mut n, mut square) = (0.0, 0.0);
    for d in steps(times_s, 0..times_s.len()).filter(is_step) {
        n += 1.0;
        square += (d - step_s) * (d - step_s);
    }
    let plain = if n > 0.0 { libm::sqrt(square / n) } else { 0.0 };
    let robust = centre_and_scatter(&some_steps(times_s, is_step)).map_or(0.0, |(_, s)| s);
    plain.max(robust) / step_s
}

fn steps(times_s: Stamps<'_>, part: Range<usize>) -> impl Iterator<Item = f64> {
    (part.start + 1..part.end).map(move |i| times_s.at(i) - times_s.at(i - 1))
}

/// Steps for which `is` holds, of a long log in stretches of it.
fn some_steps(times_s: Stamps<'_>, is: impl Fn(&f64) -> bool) -> Vec<f64> {
    stretches(times_s.len())
        .flat_map(|part| steps(times_s, part))
        .filter(is)
        .collect()
}

/// Gaps, stamps given twice and steps back, pair by pair; a grid has none.
fn stamps(times_s: Stamps<'_>, step_s: f64) -> Vec<Fault> {
    let Stamps::Listed(listed) = times_s else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for i in 1..listed.len() {
        let step = listed[i] - listed[i - 1];
        let kind = if step == 0.0 {
            Some(FaultKind::DuplicateStamp)
        } else if step < 0.0 {
            Some(backwards(listed, i, -step))
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
