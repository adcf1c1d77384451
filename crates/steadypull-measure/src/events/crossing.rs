//! When the load passes a level, with how sure that is.

use core::ops::Range;

use super::{Event, EventKind, found};
use crate::signal::Channel;

/// A time at which a level is passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Crossing {
    /// When, s.
    pub time_s: f64,
    /// Standard uncertainty from noise, s.
    pub uncertainty_s: f64,
    /// Slope there, N/s.
    pub slope: f64,
}

/// Where a load comes from, or goes to, nought.
pub(super) struct Foot {
    time_s: f64,
    uncertainty_s: f64,
}

impl Foot {
    pub fn into_event(self, kind: EventKind) -> Event {
        found(kind, self.time_s, self.uncertainty_s)
    }
}

/// When values pass `level` within `samples`, rising or falling: midway between the first
/// and the last time they do, since noise may take them back and forth.
pub(crate) fn crossing(
    channel: &Channel,
    samples: Range<usize>,
    level: f64,
    rising: bool,
) -> Option<Crossing> {
    let values = channel.series.values();
    let passes = |i: usize| {
        let (a, b) = (values[i], values[i + 1]);
        if rising { a < level && b >= level } else { a >= level && b < level }
    };
    let end = samples.end.min(values.len()).saturating_sub(1);
    let first = (samples.start..end).find(|i| passes(*i))?;
    let last = (samples.start..end).rev().find(|i| passes(*i))?;
    let place = |i: usize| i as f64 + (level - values[i]) / (values[i + 1] - values[i]);
    let (early, late) = (place(first), place(last));
    let slope = slope(channel, first, last + 1, &samples)?;
    let noise_s = channel.quality.noise_after_filter() / slope.abs();
    let spread_s = 0.5 * (late - early) * channel.series.step_s() / 3f64.sqrt();
    Some(Crossing {
        time_s: channel.series.start_s() + 0.5 * (early + late) * channel.series.step_s(),
        uncertainty_s: libm::sqrt(noise_s * noise_s + spread_s * spread_s),
        slope,
    })
}

/// Slope by least squares over a few samples to either side, as many as the filter
/// smears together anyway, N/s.
fn slope(channel: &Channel, first: usize, last: usize, within: &Range<usize>) -> Option<f64> {
    let around = channel.quality.filter.map_or(1, |filter| {
        (0.2 * channel.series.rate_hz() / filter.class().nominal_hz()) as usize + 1
    });
    let from = first.saturating_sub(around).max(within.start);
    let to = (last + around + 1).min(within.end);
    let part = &channel.series.values()[from..to];
    let middle = 0.5 * (part.len() as f64 - 1.0);
    let (mut top, mut below) = (0.0, 0.0);
    for (i, v) in part.iter().enumerate() {
        let d = i as f64 - middle;
        top += d * v;
        below += d * d;
    }
    let slope = top / below * channel.series.rate_hz();
    (slope.is_finite() && slope != 0.0).then_some(slope)
}

/// Where the load left nought before (or comes back to it after) the sample at which it
/// passes the threshold: the straight line through the threshold and twice the threshold,
/// held between the last sample at or under nought and the passing.
///
/// A load that starts along a curve leaves nought earlier than a straight line says: the
/// standard uncertainty takes in half the line's reach, evenly spread.
pub(super) fn foot(channel: &Channel, at: usize, level: f64, rising: bool) -> Foot {
    let values = channel.series.values();
    let step = |i: usize, outward: bool| -> Option<usize> {
        let next = if outward == rising { i.checked_sub(1)? } else { i + 1 };
        values.get(next).filter(|v| !v.is_nan()).map(|_| next)
    };
    let walk = |from: usize, outward: bool, stop: &dyn Fn(f64) -> bool| {
        let mut i = from;
        while !stop(values[i]) {
            match step(i, outward) {
                Some(next) => i = next,
                None => break,
            }
        }
        i
    };
    let nought = walk(at, true, &|v| v <= 0.0);
    let double = walk(at, false, &|v| v >= 2.0 * level);
    let (from, to) = (nought.min(double), nought.max(double) + 1);
    let (one, two) = (
        crossing(channel, from..to, level, rising),
        crossing(channel, from..to, 2.0 * level, rising),
    );
    let here_s = channel.series.time_s(at);
    let (Some(one), Some(two)) = (one, two) else {
        return Foot {
            time_s: here_s,
            uncertainty_s: channel.series.step_s(),
        };
    };
    let nought_s = channel.series.time_s(nought);
    let line_s = one.time_s - (two.time_s - one.time_s);
    let time_s = if rising {
        line_s.clamp(nought_s.min(one.time_s), one.time_s)
    } else {
        line_s.clamp(one.time_s, nought_s.max(one.time_s))
    };
    let reach_s = 0.5 * (one.time_s - time_s).abs() / 3f64.sqrt();
    let noise_s = one.uncertainty_s;
    Foot {
        time_s,
        uncertainty_s: libm::sqrt(reach_s * reach_s + noise_s * noise_s),
    }
}

/// Time from 10 to 90 % of a peak on the way up, s.
pub(super) fn rise_s(channel: &Channel, start: usize, highest: usize, peak_n: f64) -> Option<f64> {
    let low = crossing(channel, start.saturating_sub(1)..highest + 1, 0.1 * peak_n, true);
    let from_s = low.map_or(channel.series.time_s(start), |c| c.time_s);
    let high = crossing(channel, start..highest + 1, 0.9 * peak_n, true)?;
    Some(high.time_s - from_s)
}
