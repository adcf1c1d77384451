//! Where the cell reads nothing, and how it scatters there.
//!
//! The log is cut into blocks of a tenth of a second. A block is quiet if it scatters no
//! more than twice as much as the quietest tenth of the blocks; neighbours at one level
//! make a quiet part. The first of them is taken for the zero, since a cell is zeroed
//! before the pull, and shown: a log that begins under load has a quiet part that is no
//! zero, so a later one further from the peak is told as a doubt. Method: ours.
//!
//! The level is the mean without values beyond five scatters; its uncertainty the larger
//! of `s/√n` and that of the block means, which slow wander makes larger (JCGM 100:2008
//! 4.2, type A).

use core::ops::Range;

use thiserror::Error;

use super::Stamps;
use super::lanes::somewhere;
use super::survey::{Survey, farther};
use crate::robust::centre_and_scatter;
use crate::together::{InTurn, Together};

/// Length of a block, s.
const BLOCK_S: f64 = 0.1;
/// Samples in a block at least.
const BLOCK_LEAST: usize = 16;
/// Blocks a quiet part has at least.
const BLOCKS_LEAST: usize = 2;
/// Scatter of a quiet block at most, over that of the quietest tenth.
const QUIET_RATIO: f64 = 2.0;
/// Level of a block may differ this much from its quiet part, in scatters.
const LEVEL_RATIO: f64 = 3.0;
/// Values further out than this many scatters are left out of the mean.
const OUTLIER: f64 = 5.0;

/// A quiet part of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Quiet {
    /// Its samples.
    pub samples: Range<usize>,
    /// Time of its first sample, s.
    pub from_s: f64,
    /// Time of its last sample, s.
    pub to_s: f64,
    /// Its level, in the unit of the values.
    pub level: f64,
    /// Standard uncertainty of the level.
    pub level_uncertainty: f64,
    /// Standard deviation of a single value about the level.
    pub scatter: f64,
    /// Values it rests on.
    pub count: usize,
    /// Why it may be no zero, if there is a reason.
    pub doubt: Option<String>,
}

/// Why there is no zero.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ZeroError {
    /// Nothing is quiet.
    #[error(
        "no quiet part of at least {least_s:.2} s was found: give the time when the cell hung free, or the zero itself"
    )]
    NotFound {
        /// Least length looked for, s.
        least_s: f64,
    },
    /// A window by hand with next to nothing in it.
    #[error(
        "from {from_s} to {to_s} s the log has {count} values: a zero needs at least {BLOCK_LEAST}"
    )]
    TooFew {
        /// Start of the window, s.
        from_s: f64,
        /// End of the window, s.
        to_s: f64,
        /// Finite values in it.
        count: usize,
    },
}

/// Scatter and level of one block.
pub(super) struct Block {
    samples: Range<usize>,
    mean: f64,
    scatter: f64,
}

/// The quiet part taken for the zero.
pub fn find<'t>(times_s: impl Into<Stamps<'t>>, values: &[f64]) -> Result<Quiet, ZeroError> {
    find_in(&Survey::of(times_s.into(), values, &InTurn))
}

/// The same of a log that is surveyed.
pub(super) fn find_in(survey: &Survey) -> Result<Quiet, ZeroError> {
    let first = survey.parts.first().ok_or(ZeroError::NotFound {
        least_s: BLOCK_S * BLOCKS_LEAST as f64,
    })?;
    let doubt = doubt(first, &survey.parts[1..], survey.ends);
    Ok(Quiet {
        doubt,
        ..first.clone()
    })
}

/// The part from `from_s` to `to_s`, taken as quiet because someone says so.
pub fn within<'t>(
    times_s: impl Into<Stamps<'t>>,
    values: &[f64],
    from_s: f64,
    to_s: f64,
) -> Result<Quiet, ZeroError> {
    let times_s = times_s.into();
    let inside = times_s.within(from_s, to_s);
    let end = inside.end.min(values.len());
    let first = inside.start.min(end);
    let count = values[first..end].iter().filter(|v| v.is_finite()).count();
    if count < BLOCK_LEAST {
        return Err(ZeroError::TooFew {
            from_s,
            to_s,
            count,
        });
    }
    let blocks = cut(first..end, BLOCK_LEAST.max(count / 16));
    let blocks: Vec<Block> = blocks.filter_map(|part| block(part, values)).collect();
    describe(times_s, values, &blocks, first..end).ok_or(ZeroError::TooFew {
        from_s,
        to_s,
        count,
    })
}

/// Every quiet part in order of time, of a log's blocks (see [`lengths`]) in their order.
pub(super) fn quiet_parts(
    times_s: Stamps<'_>,
    values: &[f64],
    blocks: &[Block],
    hands: &impl Together,
) -> Vec<Quiet> {
    let Some(limit) = quiet_limit(blocks) else {
        return Vec::new();
    };
    let groups = groups(blocks, limit);
    let described = |groups: &[Range<usize>]| -> Vec<Quiet> {
        let described = groups.iter().filter_map(|group| {
            let blocks = &blocks[clear_of_motion(group.clone(), blocks.len())];
            let samples = blocks[0].samples.start..blocks[blocks.len() - 1].samples.end;
            describe(times_s, values, blocks, samples)
        });
        described.collect()
    };
    let (some, others) = groups.split_at(groups.len() / 2);
    let (mut parts, later) = hands.both(|| described(some), || described(others));
    parts.extend(later);
    parts
}

/// The blocks of so many samples from which quiet parts are made.
pub(super) fn blocks(times_s: Stamps<'_>, count: usize) -> impl Iterator<Item = Range<usize>> {
    cut(0..count, block_length(times_s, count))
}

fn block_length(times_s: Stamps<'_>, count: usize) -> usize {
    if count < 2 {
        return BLOCK_LEAST;
    }
    let step_s = (times_s.at(count - 1) - times_s.at(0)) / (count - 1) as f64;
    let in_block = BLOCK_S / step_s;
    if in_block.is_finite() && in_block > 0.0 {
        (in_block as usize).clamp(BLOCK_LEAST, count.max(BLOCK_LEAST))
    } else {
        BLOCK_LEAST
    }
}

fn cut(samples: Range<usize>, length: usize) -> impl Iterator<Item = Range<usize>> {
    let count = samples.len() / length;
    (0..count).map(move |k| samples.start + k * length..samples.start + (k + 1) * length)
}

/// A block of which at least three values in four are there.
pub(super) fn block(samples: Range<usize>, values: &[f64]) -> Option<Block> {
    let part = &values[samples.clone()];
    let there = part.iter().copied();
    let moments = match somewhere(part, |v| !v.is_finite()) {
        true => moments(there.filter(|v| v.is_finite())),
        false => moments(there),
    };
    let (mean, scatter, count) = moments?;
    (4 * count >= 3 * part.len()).then_some(Block {
        samples,
        mean,
        scatter,
    })
}

/// Mean, standard deviation and number, about the first value so that nothing cancels.
fn moments(mut values: impl Iterator<Item = f64>) -> Option<(f64, f64, usize)> {
    let origin = values.next()?;
    let (mut sum, mut squares, mut count) = (0.0, 0.0, 1usize);
    for v in values {
        let d = v - origin;
        sum += d;
        squares += d * d;
        count += 1;
    }
    let n = count as f64;
    let spread = (squares - sum * sum / n).max(0.0) / (n - 1.0);
    (count >= 2).then(|| (origin + sum / n, libm::sqrt(spread), count))
}

/// Scatter at which a block still is quiet; with no scatter at all, a crumb of the range.
fn quiet_limit(blocks: &[Block]) -> Option<f64> {
    let mut scatters: Vec<f64> = blocks.iter().map(|b| b.scatter).collect();
    scatters.sort_by(f64::total_cmp);
    let quietest = *scatters.get(scatters.len() / 10)?;
    let (low, high) = blocks
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), b| {
            (l.min(b.mean), h.max(b.mean))
        });
    Some((QUIET_RATIO * quietest).max(1e-9 * (high - low)))
}

/// Runs of quiet neighbours at one level.
fn groups(blocks: &[Block], limit: f64) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut level = 0.0;
    for (i, b) in blocks.iter().enumerate() {
        if b.scatter > limit {
            continue;
        }
        match found.last_mut() {
            Some(group)
                if group.end == i
                    && (b.mean - level).abs() <= LEVEL_RATIO * limit / QUIET_RATIO =>
            {
                level += (b.mean - level) / (group.len() + 1) as f64;
                group.end = i + 1;
            }
            _ => {
                level = b.mean;
                found.push(i..i + 1);
            }
        }
    }
    found.retain(|group| group.len() >= BLOCKS_LEAST);
    found
}

/// Without the block next to what moves, in which motion may already have begun.
fn clear_of_motion(group: Range<usize>, blocks: usize) -> Range<usize> {
    let spare = group.len().saturating_sub(BLOCKS_LEAST);
    let end = group.end - usize::from(group.end < blocks && spare >= 1);
    let start = group.start + usize::from(group.start > 0 && spare >= 2);
    start..end
}

fn describe(
    times_s: Stamps<'_>,
    values: &[f64],
    blocks: &[Block],
    samples: Range<usize>,
) -> Option<Quiet> {
    let part = &values[samples.clone()];
    let (centre, robust) = centre_and_scatter(part)?;
    let far = if robust > 0.0 {
        OUTLIER * robust
    } else {
        f64::INFINITY
    };
    let kept = part.iter().copied().filter(|v| (v - centre).abs() <= far);
    let (level, scatter, count) = moments(kept)?;
    let of_one = scatter / libm::sqrt(count as f64);
    let wander = moments(blocks.iter().map(|b| b.mean))
        .filter(|(_, _, blocks)| *blocks >= 4)
        .map_or(0.0, |(_, s, blocks)| s / libm::sqrt(blocks as f64));
    Some(Quiet {
        from_s: times_s.at(samples.start),
        to_s: times_s.at(samples.end - 1),
        samples,
        level,
        level_uncertainty: of_one.max(wander),
        scatter,
        count,
        doubt: None,
    })
}

/// Why the first may be no zero: a later one lies further from the peak. `ends` are the least
/// and greatest values.
fn doubt(first: &Quiet, later: &[Quiet], ends: (f64, f64)) -> Option<String> {
    let far = farther(ends.0 - first.level, ends.1 - first.level);
    let away = later
        .iter()
        .map(|q| (q.level - first.level, q))
        .filter(|(d, q)| {
            d * far < 0.0 && d.abs() > OUTLIER * q.scatter && d.abs() > 0.05 * far.abs()
        })
        .max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))?;
    Some(format!(
        "the log may begin under load: from {:.3} to {:.3} s it is quiet at {:.4}, further from the peak than {:.4} at the start",
        away.1.from_s, away.1.to_s, away.1.level, first.level
    ))
}
