//! What several steps ask of a log's values, found in one go through them.
//!
//! The values are taken block by block, each while it lies in the nearest cache, and
//! the one half beside the other where the caller has hands for that. The blocks are the
//! log's own, so that nothing depends on who took which.

use core::ops::Range;

use super::Stamps;
use super::lanes::{greatest, least, least_step, somewhere};
use super::zero::{self, Block, Quiet};
use crate::robust::sample_to_sample;
use crate::together::Together;

/// Values up to here have second differences that are numbers.
const LARGE: f64 = 1e300;

/// What is known of a log's values as they came.
#[derive(Debug)]
pub(crate) struct Survey {
    /// Least and greatest value that is there; the wrong way round where none is.
    pub ends: (f64, f64),
    /// Whether all are there, and none beyond 1e300.
    pub whole: bool,
    /// Least difference between neighbours that differ; nought where none do.
    pub step: f64,
    /// Scatter from sample to sample; nought where it cannot be told.
    pub noise: f64,
    /// Every quiet part in order of time.
    pub parts: Vec<Quiet>,
}

/// The same of part of a log.
struct Part {
    ends: (f64, f64),
    whole: bool,
    step: f64,
    blocks: Vec<Block>,
}

impl Survey {
    pub fn of(times_s: Stamps<'_>, values: &[f64], hands: &impl Together) -> Self {
        let count = times_s.len().min(values.len());
        let blocks: Vec<Range<usize>> = zero::blocks(times_s, count).collect();
        let (some, others) = blocks.split_at(blocks.len() / 2);
        let rest = blocks.last().map_or(0, |last| last.end)..values.len();
        let (one, other) = hands.both(
            || Part::of(values, some),
            || Part::of(values, others).with(Part::look(values, rest.clone())),
        );
        let all = one.with(other);
        let (noise, parts) = hands.both(
            || sample_to_sample(values, all.whole).unwrap_or(0.0),
            || zero::quiet_parts(times_s, values, &all.blocks, hands),
        );
        Self {
            ends: all.ends,
            whole: all.whole,
            step: if all.step.is_finite() { all.step } else { 0.0 },
            noise,
            parts,
        }
    }
}

impl Part {
    const NOTHING: Self = Self {
        ends: (f64::INFINITY, f64::NEG_INFINITY),
        whole: true,
        step: f64::INFINITY,
        blocks: Vec::new(),
    };

    fn of(values: &[f64], blocks: &[Range<usize>]) -> Self {
        blocks.iter().fold(Self::NOTHING, |mut all, samples| {
            all.blocks.extend(zero::block(samples.clone(), values));
            all.with(Self::look(values, samples.clone()))
        })
    }

    /// These samples, and the step to the next.
    fn look(values: &[f64], samples: Range<usize>) -> Self {
        let to_next = samples.start..(samples.end + 1).min(values.len());
        let step = least_step(&values[to_next]);
        let samples = &values[samples];
        let whole = !somewhere(samples, |v| v.is_nan() | (v.abs() > LARGE));
        let ends = if whole {
            let (low, high) = Self::NOTHING.ends;
            (least(samples, low), greatest(samples, high))
        } else {
            let there = samples.iter().copied().filter(|v| v.is_finite());
            there.fold(Self::NOTHING.ends, |(l, h), v| (l.min(v), h.max(v)))
        };
        Self {
            ends,
            whole,
            step,
            ..Self::NOTHING
        }
    }

    /// This and what comes after it.
    fn with(mut self, later: Self) -> Self {
        let ((low, high), (least, greatest)) = (self.ends, later.ends);
        self.blocks.extend(later.blocks);
        Self {
            ends: (low.min(least), high.max(greatest)),
            whole: self.whole && later.whole,
            step: self.step.min(later.step),
            blocks: self.blocks,
        }
    }
}

/// Which of two is farther from nought; of two alike the last.
pub(super) fn farther(one: f64, other: f64) -> f64 {
    if one.abs() > other.abs() { one } else { other }
}
