//! When the load passes a level, with how sure that is.

use core::ops::Range;

use crate::linear::{Normal, Weighted, solve};
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

/// When values pass `level` within `samples`, rising or falling.
///
/// Noise may take them back and forth, so a parabola is laid through the samples around
/// midway between the first and the last passing, over as many as the filter smears together
/// or as it takes to change by ten standard deviations; where it is at the level is the time.
pub(crate) fn crossing(
    channel: &Channel,
    samples: Range<usize>,
    level: f64,
    rising: bool,
) -> Option<Crossing> {
    let values = channel.series.values();
    let passes = |i: &usize| {
        let (a, b) = (values[*i], values[*i + 1]);
        if rising {
            a < level && b >= level
        } else {
            a >= level && b < level
        }
    };
    let end = samples.end.min(values.len()).saturating_sub(1);
    let first = (samples.start..end).find(passes)?;
    let last = (samples.start..end).rev().find(passes)?;
    let middle = first.midpoint(last + 1);
    let half = half_width(channel, &samples, middle, last - first + 1);
    let around = middle.saturating_sub(half).max(samples.start)..(middle + half + 1).min(end + 1);
    let step_s = channel.series.step_s();
    let (at, slope, weights) = Parabola::through(values, around, middle as f64)
        .and_then(|p| p.passing(level))
        .unwrap_or_else(|| straight(values, middle, level));
    let uncertainty_s = weights.noise(&channel.quality) / slope.abs() * step_s;
    uncertainty_s.is_finite().then(|| Crossing {
        time_s: channel.series.start_s() + at * step_s,
        uncertainty_s,
        slope: slope / step_s,
    })
}

/// Half the samples that a passing is read from.
fn half_width(channel: &Channel, samples: &Range<usize>, middle: usize, spread: usize) -> usize {
    let smeared = channel.quality.filter.map_or(1, |filter| {
        (0.2 * channel.series.rate_hz() / filter.class().nominal_hz()) as usize + 1
    });
    let change = 10.0 * channel.quality.noise_after_filter();
    let values = channel.series.values();
    let differs = |n: &usize| {
        let before = middle.checked_sub(*n).filter(|i| *i >= samples.start);
        let after = Some(middle + n).filter(|i| *i < samples.end.min(values.len()));
        before
            .zip(after)
            .is_none_or(|(a, b)| (values[b] - values[a]).abs() >= change)
    };
    let steep = (1..samples.len()).find(differs).unwrap_or(1);
    smeared.max(steep).max(spread)
}

/// Between two neighbours alone, where no parabola can be had.
fn straight(values: &[f64], middle: usize, level: f64) -> (f64, f64, Weighted) {
    let left = middle.saturating_sub(1).min(values.len() - 2);
    let slope = values[left + 1] - values[left];
    let slope = if slope == 0.0 {
        f64::MIN_POSITIVE
    } else {
        slope
    };
    let share = ((level - values[left]) / slope).clamp(0.0, 1.0);
    let weights = Weighted {
        first: left,
        weights: vec![1.0 - share, share],
    };
    (left as f64 + share, slope, weights)
}

/// A parabola through samples, about one of them.
struct Parabola {
    around: Range<usize>,
    middle: f64,
    normal: [[f64; 3]; 3],
    coefficients: [f64; 3],
}

impl Parabola {
    fn through(values: &[f64], around: Range<usize>, middle: f64) -> Option<Self> {
        let mut normal = Normal::NOTHING;
        for i in around.clone() {
            let x = i as f64 - middle;
            normal.add(&[1.0, x, x * x], values[i]);
        }
        Some(Self {
            around,
            middle,
            normal: normal.matrix,
            coefficients: normal.solve()?,
        })
    }

    /// Where it passes a level inside its samples, its slope there, and the value there as a
    /// weighted sum. Of two roots the one that tends to the straight line's.
    fn passing(&self, level: f64) -> Option<(f64, f64, Weighted)> {
        let [a, b, c] = self.coefficients;
        let square = b * b - 4.0 * c * (a - level);
        let x = -2.0 * (a - level) / (b + libm::sqrt(square.max(0.0)).copysign(b));
        let at = self.middle + x;
        let inside = at >= self.around.start as f64 && at < self.around.end as f64;
        if square <= 0.0 || !inside {
            return None;
        }
        Some((at, b + 2.0 * c * x, self.weights([1.0, x, x * x])))
    }

    fn weights(&self, functional: [f64; 3]) -> Weighted {
        let through = solve(self.normal, functional).unwrap_or([0.0; 3]);
        let weight = |i: usize| {
            let x = i as f64 - self.middle;
            through[0] + x * (through[1] + x * through[2])
        };
        Weighted {
            first: self.around.start,
            weights: self.around.clone().map(weight).collect(),
        }
    }
}

/// Time from 10 to 90 % of a peak on the way up, s.
pub(super) fn rise_s(channel: &Channel, start: usize, highest: usize, peak_n: f64) -> Option<f64> {
    let low = crossing(
        channel,
        start.saturating_sub(1)..highest + 1,
        0.1 * peak_n,
        true,
    );
    let from_s = low.map_or(channel.series.time_s(start), |c| c.time_s);
    let high = crossing(channel, start..highest + 1, 0.9 * peak_n, true)?;
    Some(high.time_s - from_s)
}
