//! Times in seconds from what stood in the file, and what is odd about them.

use crate::clock::{self, DAY_NS};
use crate::even::{EvenTimes, Times};
use crate::mistake::{Kind, Mistake, Mistakes, Place};
use crate::recipe::Time;
use crate::take::{Columns, GAP};

/// Times as they come out.
pub(crate) struct Timed {
    pub times: Times,
    pub starts: Option<String>,
    pub rate_hz: Option<f64>,
}

/// Steps of which the typical one is taken.
const LOOKED_AT: usize = 1001;

/// The times of all rows. Takes the column of times out of `columns`.
pub(crate) fn times(columns: &mut Columns<'_>, file_rate: Option<f64>) -> Result<Timed, Mistakes> {
    let recipe = columns.recipe();
    let plain = |times, rate_hz| {
        Ok(Timed {
            times,
            starts: None,
            rate_hz,
        })
    };
    let timed: Result<Timed, Mistakes> = match &recipe.time {
        Time::Elapsed { unit, .. } => {
            let (times, over) = unit.scale();
            plain(scaled(columns, times, over), None)
        }
        Time::SampleNumber { rate_hz, .. } => {
            let rate = checked(*rate_hz, "time.rate_hz")?;
            plain(scaled(columns, 1.0, rate), Some(rate))
        }
        Time::Rate { rate_hz } => {
            let rate = checked(Some(*rate_hz), "time.rate_hz")?;
            let times = EvenTimes::at_rate(rate, columns.rows());
            plain(Times::Even(times), Some(rate))
        }
        Time::FileRate {} => {
            let rate = checked(file_rate, "time")?;
            let times = EvenTimes::at_rate(rate, columns.rows());
            plain(Times::Even(times), Some(rate))
        }
        Time::Clock { .. } | Time::DateClock { .. } => Ok(by_clock(columns)),
        Time::Unknown {} => Err(Mistakes::one(
            Kind::NoTime,
            Place::Recipe { key: "time".into() },
            "",
        )),
    };
    let timed = timed?;
    if !matches!(recipe.time, Time::Rate { .. } | Time::FileRate {}) {
        let is_clock = matches!(recipe.time, Time::Clock { .. } | Time::DateClock { .. });
        // Times on a grid begin at nought or later and rise.
        if let Times::Listed(times_s) = &timed.times {
            look_over(columns, times_s, is_clock);
        }
    }
    Ok(timed)
}

/// A rate that is a number above zero.
fn checked(rate_hz: Option<f64>, key: &str) -> Result<f64, Mistakes> {
    let place = Place::Recipe { key: key.into() };
    match rate_hz {
        Some(rate) if rate.is_finite() && rate > 0.0 => Ok(rate),
        Some(rate) => Err(Mistakes::one(Kind::Recipe, place, &rate.to_string())),
        None => Err(Mistakes::one(Kind::NoTime, place, "")),
    }
}

fn scaled(columns: &mut Columns<'_>, times: f64, over: f64) -> Times {
    columns.take_times().in_unit(times, over)
}

fn by_clock(columns: &mut Columns<'_>) -> Timed {
    let mut stamps = std::mem::take(&mut columns.stamps);
    let is_dated = matches!(columns.recipe().time, Time::DateClock { .. });
    if !is_dated {
        past_midnight(columns, &mut stamps);
    }
    let first = stamps.iter().copied().find(|ns| *ns != GAP);
    let zero = first.unwrap_or(0);
    let seconds = |ns: i64| {
        if ns == GAP {
            f64::NAN
        } else {
            ns.saturating_sub(zero) as f64 / 1e9
        }
    };
    let shown = |ns| {
        if is_dated {
            clock::iso(ns)
        } else {
            clock::of_day(ns)
        }
    };
    Timed {
        times: Times::Listed(stamps.into_iter().map(seconds).collect()),
        starts: first.map(shown),
        rate_hz: None,
    }
}

/// A time of day that falls by more than half a day has passed midnight.
fn past_midnight(columns: &mut Columns<'_>, stamps: &mut [i64]) {
    let mut before = GAP;
    let mut days = 0;
    for (row, ns) in stamps.iter_mut().enumerate().filter(|(_, ns)| **ns != GAP) {
        if before != GAP && before - *ns > DAY_NS / 2 {
            days += DAY_NS;
            columns.mistakes.add(
                Kind::Midnight,
                columns.places.of(row, time_column(columns)),
                &clock::of_day(*ns),
            );
        }
        before = *ns;
        *ns += days;
    }
}

fn time_column(columns: &Columns<'_>) -> u32 {
    match columns.recipe().time {
        Time::Elapsed { column, .. }
        | Time::SampleNumber { column, .. }
        | Time::Clock { column } => column,
        Time::DateClock {
            column,
            clock_column,
            ..
        } => clock_column.unwrap_or(column),
        Time::Rate { .. } | Time::FileRate {} | Time::Unknown {} => 0,
    }
}

/// Tells of times that go back, repeat, jump by an hour or lie before zero.
fn look_over(columns: &mut Columns<'_>, times_s: &[f64], is_clock: bool) {
    let typical = typical_step(times_s);
    let column = time_column(columns);
    let mut before = f64::NAN;
    for (row, &now) in times_s.iter().enumerate() {
        if now.is_nan() {
            continue;
        }
        let step = now - before;
        before = now;
        if !is_clock && now < 0.0 {
            tell(columns, Kind::NegativeTime, row, column, || {
                format!("{now} s")
            });
        }
        let kind = if is_clock && is_hour(step, typical) {
            Kind::ClockStep
        } else if step < 0.0 {
            Kind::Backwards
        } else if step == 0.0 {
            Kind::Repeated
        } else {
            continue;
        };
        tell(columns, kind, row, column, || format!("a step of {step} s"));
    }
}

fn tell(
    columns: &mut Columns<'_>,
    kind: Kind,
    row: usize,
    column: u32,
    found: impl FnOnce() -> String,
) {
    let places = &columns.places;
    columns.mistakes.add_many(kind, 1, || {
        Mistake::new(kind, places.of(row, column), &found())
    });
}

/// An hour more or less, beyond what the samples' own steps explain.
fn is_hour(step: f64, typical: f64) -> bool {
    let margin = (2.0 * typical).max(1.0);
    typical < 900.0 && (step.abs() - 3600.0).abs() <= margin
}

/// The median of the first steps that go forward, s; infinite where there is none.
fn typical_step(times_s: &[f64]) -> f64 {
    let mut steps: Vec<f64> = times_s
        .windows(2)
        .map(|w| w[1] - w[0])
        .filter(|s| *s > 0.0)
        .take(LOOKED_AT)
        .collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied().unwrap_or(f64::INFINITY)
}
