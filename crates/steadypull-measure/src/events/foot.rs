//! Where the load leaves nought before a pull, or comes back to it after one.
//!
//! Read from the way between nought and 0.4 of the peak by a power law that went through the
//! channel's filter (`power_law.rs`). A wide window averages more noise and asks more of the law, so
//! the narrowest is taken that is as sure as is needed, else the widest: a rule on noise alone, since
//! windows picked by their fits would be lucky ones. Needed of a line coming taut is 0.03 % of the
//! pull's length, for in that time a half sine covers 0.1 % of its height and the greatest stretch
//! hangs on it; of one going slack 0.25 %, so that 95 in 100 durations lie within half a per cent.
//! Where the residuals are more than twice the noise the load follows no such law that far, and a narrower
//! window is taken whatever its noise.
//!
//! Where no law can be laid, or the pull does not stand high enough over its threshold `L`: a
//! power law through the times of `L`, `4 L` and `16 L` alone. With `a` and `b` the ways from the
//! first to the second and on to the third, `b/a = 4^(1/p)` and the foot lies `a²/(b − a)` before
//! the first; `p` from 1 to 4. Its uncertainty is that of the three times, and the way to the
//! straight line's foot. Of a pull that does not reach `16 L`, midway between `L` and nought.

use super::crossing::{Crossing, crossing};
use super::power_law::{PowerLaw, Way};
use super::{Event, EventKind, found};
use crate::signal::Channel;

/// Ratio of successive ways for the power 4: the fourth root of 4.
const LEAST_RATIO: f64 = core::f64::consts::SQRT_2;
/// Share of the peak that the widest window reaches up to; each is lower by √½ than the one before.
const WIDEST: f64 = 0.4;
/// Thresholds that a window must reach up to.
const LEAST_TOP: f64 = 4.0;
/// Uncertainty needed of taut and of slack, as a share of the pull's length.
const NEEDED: (f64, f64) = (0.0003, 0.0025);

/// Where a load comes from, or goes to, nought.
pub(super) struct Foot {
    time_s: f64,
    uncertainty_s: f64,
    /// Last time, or first, at which the load is at or under nought.
    nought_s: f64,
}

impl Foot {
    /// The event, and when the load is nought.
    pub fn into_event(self, kind: EventKind) -> (Event, f64) {
        (found(kind, self.time_s, self.uncertainty_s), self.nought_s)
    }
}

/// One side of a pull.
pub(super) struct Side<'a> {
    /// The load.
    pub channel: &'a Channel,
    /// Sample at which it passes the threshold.
    pub at: usize,
    /// Highest sample.
    pub highest: usize,
    /// The threshold, N.
    pub level: f64,
    /// Whether it is the way up.
    pub rising: bool,
    /// Length of the pull, s.
    pub length_s: f64,
}

/// A foot from three times alone.
struct Rough {
    time_s: f64,
    uncertainty_s: f64,
    power: f64,
}

/// The foot of one side.
pub(super) fn foot(side: &Side) -> Foot {
    // Rounding alone may leave a crumb of load.
    let nought = walk(side.channel, side.at, !side.rising, |v| {
        v <= 1e-9 * side.level
    });
    let rough = side.rough(nought);
    let (time_s, uncertainty_s) = side
        .by_law(&rough)
        .unwrap_or((rough.time_s, rough.uncertainty_s));
    Foot {
        time_s,
        uncertainty_s,
        nought_s: side.channel.series.time_s(nought),
    }
}

impl Side<'_> {
    fn rough(&self, nought: usize) -> Rough {
        let nought_s = self.channel.series.time_s(nought);
        let high = self.reaches(16.0 * self.level).unwrap_or(self.highest);
        let (from, to) = (nought.min(high), nought.max(high) + 1);
        let passes = |times: f64| crossing(self.channel, from..to, times * self.level, self.rising);
        let Some(one) = passes(1.0) else {
            let time_s = self.channel.series.time_s(self.at);
            return Rough {
                time_s,
                uncertainty_s: (time_s - nought_s).abs(),
                power: 1.0,
            };
        };
        let midway = 0.5 * (one.time_s - nought_s).abs();
        let (back, uncertainty_s, power) = passes(4.0)
            .zip(passes(16.0))
            .and_then(|(four, sixteen)| three_times(one, four, sixteen))
            .unwrap_or((midway, midway, 1.0));
        Rough {
            time_s: one.time_s + if self.rising { -back } else { back },
            uncertainty_s: libm::hypot(uncertainty_s, one.uncertainty_s),
            power,
        }
    }

    /// The first sample from the threshold inward at which the load reaches a level.
    fn reaches(&self, level: f64) -> Option<usize> {
        let values = self.channel.series.values();
        if self.rising {
            (self.at..=self.highest).find(|i| values[*i] >= level)
        } else {
            (self.highest..=self.at).rev().find(|i| values[*i] >= level)
        }
    }

    /// Time and uncertainty by the law, s.
    fn by_law(&self, rough: &Rough) -> Option<(f64, f64)> {
        let way = Way {
            channel: self.channel,
            from: self.slack_from(rough),
            rising: self.rising,
        };
        let ends = self.ends(way.from);
        let (widest, foot) = (*ends.first()?, way.place(rough.time_s));
        let roughly = PowerLaw::roughly(&way, widest, foot, rough.power)?;
        let step_s = self.channel.series.step_s();
        let share = if self.rising { NEEDED.0 } else { NEEDED.1 };
        let needed = share * self.length_s / step_s;
        let sure = |end: &usize| {
            let there = roughly.uncertainty_under(&way, *end);
            there.is_some_and(|u| u <= needed)
        };
        let mut k = ends.iter().rposition(sure).unwrap_or(0);
        let mut law = roughly.again(&way, ends[k])?;
        while law.misses && k + 1 < ends.len() {
            k += 1;
            law = law.again(&way, ends[k])?;
        }
        Some((way.time_s(law.foot()), law.uncertainty * step_s))
    }

    /// Ends of the windows, in places from a sample, the widest first.
    fn ends(&self, from: usize) -> Vec<usize> {
        let peak = self.channel.series.values()[self.highest];
        core::iter::successors(Some(WIDEST * peak), |top| {
            Some(top * core::f64::consts::FRAC_1_SQRT_2)
        })
        .take_while(|top| *top >= LEAST_TOP * self.level)
        .filter_map(|top| Some(self.reaches(top)?.abs_diff(from) + 1))
        .collect()
    }

    /// The sample from which slack is looked at: as far before the foot as the filter reaches.
    fn slack_from(&self, rough: &Rough) -> usize {
        let series = &self.channel.series;
        let values = series.values();
        let to_foot = (series.place(rough.time_s) - self.at as f64).abs();
        let unsure = rough.uncertainty_s / series.step_s();
        let pad = self.channel.quality.filter.map_or(4, |f| f.pad());
        // A foot that is hardly known may be anywhere: no further than the pull is long.
        let length = (self.length_s / series.step_s()) as usize;
        let reach = ((to_foot + unsure) as usize).min(length) + pad;
        let slack = |i: &usize| values[*i] < self.level;
        if self.rising {
            let before = (self.at.saturating_sub(reach)..self.at).rev();
            before.take_while(slack).last().unwrap_or(self.at)
        } else {
            let after = self.at + 1..(self.at + reach + 1).min(values.len());
            after.take_while(slack).last().unwrap_or(self.at)
        }
    }
}

/// How far before the first of three passings the foot is, how sure that is, s, and the power;
/// `None` where the load jumps past all three at once.
fn three_times(one: Crossing, four: Crossing, sixteen: Crossing) -> Option<(f64, f64, f64)> {
    let a = (four.time_s - one.time_s).abs();
    let b = (sixteen.time_s - four.time_s).abs();
    let b = b.max(a * LEAST_RATIO).min(a * 4.0);
    let back = a * a / (b - a);
    let by_b = -back / (b - a);
    let by_a = 2.0 * a / (b - a) - by_b;
    let noise = [
        by_a * one.uncertainty_s,
        (by_a - by_b) * four.uncertainty_s,
        by_b * sixteen.uncertainty_s,
    ];
    let model = back - a / 3.0;
    let square: f64 = noise.iter().map(|n| n * n).sum();
    let uncertainty_s = libm::sqrt(square + model * model);
    let power = libm::log(4.0) / libm::log(b / a);
    uncertainty_s
        .is_finite()
        .then_some((back, uncertainty_s, power))
}

/// From a sample forward or backward to the first value that stops, or to where the stretch
/// ends.
fn walk(channel: &Channel, from: usize, forward: bool, stop: impl Fn(f64) -> bool) -> usize {
    let values = channel.series.values();
    let mut i = from;
    while !stop(values[i]) {
        let next = if forward {
            Some(i + 1)
        } else {
            i.checked_sub(1)
        };
        match next.filter(|n| values.get(*n).is_some_and(|v| !v.is_nan())) {
            Some(next) => i = next,
            None => break,
        }
    }
    i
}
