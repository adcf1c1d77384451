//! The value of a channel at a time where its course may have a corner.
//!
//! When a line comes taut its ends may begin to move, or have moved for long; a filter rounds the
//! corner between, so that a sample there is none of either course. So
//!
//! ```text
//! x = x₀ + v₋ t before,  x₀ + v₊ t + c t² after
//! ```
//!
//! is laid through the samples around by least squares, as the channel's filter shows it. Right
//! for ends at rest, and for ends that move.

use crate::linear::{Normal, Weighted, solve};
use crate::signal::Channel;

/// Samples to either side where there is no filter.
const SIDE: usize = 20;
/// Samples to either side at least.
const SIDE_LEAST: usize = 4;

/// A value at a corner.
pub(super) struct Corner {
    /// The value.
    pub value: f64,
    /// As a weighted sum of samples.
    pub weights: Weighted,
}

/// The value at `place`, in samples, from as much on either side as the filter reaches; after it not
/// further than `after` samples, in which the course is a parabola. `None` where the channel does not
/// reach as far.
pub(super) fn corner(channel: &Channel, place: f64, after: usize) -> Option<Corner> {
    let values = channel.series.values();
    let side = channel.quality.filter.map_or(SIDE, |f| f.pad());
    let at = place as usize;
    let first = at.saturating_sub(side);
    let end = (at + 1 + side.min(after)).min(values.len());
    let reaches = at >= first + SIDE_LEAST && end >= at + 1 + SIDE_LEAST;
    if !reaches || values[first..end].iter().any(|v| v.is_nan()) {
        return None;
    }
    let shapes = shapes(channel, place, first, end);
    let mut normal = Normal::NOTHING;
    for (shapes, value) in shapes.iter().zip(&values[first..end]) {
        normal.add(shapes, *value);
    }
    let row = solve(normal.matrix, [1.0, 0.0, 0.0, 0.0])?;
    let weight = |shapes: &[f64; 4]| row.iter().zip(shapes).map(|(r, s)| r * s).sum();
    let weights = Weighted {
        first,
        weights: shapes.iter().map(weight).collect(),
    };
    Some(Corner {
        value: weights.of(values),
        weights,
    })
}

/// `1`, `t` before, `t` after and `t²` after through the filter, at the samples from `first` to `end`;
/// `t` in so many samples.
fn shapes(channel: &Channel, place: f64, first: usize, end: usize) -> Vec<[f64; 4]> {
    let filter = channel.quality.filter;
    let pad = filter.map_or(0, |f| f.pad());
    let count = end - first;
    let shape = |k: usize| {
        let t = (first as f64 + k as f64 - pad as f64 - place) / count as f64;
        let after = t.max(0.0);
        [1.0, t.min(0.0), after, after * after]
    };
    let sampled: Vec<[f64; 4]> = (0..count + 2 * pad).map(shape).collect();
    match filter {
        None => sampled,
        Some(filter) => filter.weights_through_each(&sampled)[2 * pad..2 * pad + count].to_vec(),
    }
}
