//! Faults of the values.

use core::ops::Range;

use super::{Fault, FaultKind, Looking, Place, drift};
use crate::robust::{MAD_TO_SIGMA, median_of};
use crate::signal::Stamps;
use crate::signal::survey::Survey;
use crate::signal::zero::Quiet;

/// Values that are looked over at once for whether anything stands out in them.
const AT_ONCE: usize = 64;
/// Equal neighbours at an end of the range before they count as clipped.
const FLAT_LEAST: usize = 3;
/// Chance at which a run of equal values at the very end of the range no longer is chance.
const FLAT_CHANCE: f64 = 1e-4;
/// Equal neighbours before they can count as stuck.
const STUCK_LEAST: usize = 8;
/// Chance, over the whole log, at which a run of equal values is no longer chance.
const STUCK_CHANCE: f64 = 1e-6;
/// Neighbours to either side that a spike is held against.
const NEIGHBOURS: usize = 5;
/// A spike is this many scatters outside its neighbours.
const SPIKE: f64 = 8.0;
/// Samples a spike has at most.
const SPIKE_LONGEST: usize = 3;

pub(super) fn look(
    times_s: Stamps<'_>,
    values: &[f64],
    survey: &Survey,
    looking: &Looking,
) -> Vec<Fault> {
    let (low, high) = survey.ends;
    let mut found = match survey.whole {
        true => Vec::new(),
        false => missing(times_s, values),
    };
    if low > high {
        return found;
    }
    let (parts, step) = (&survey.parts, survey.step);
    let rest = at_rest(parts, values);
    let flats = flat_runs(values);
    let equal = share_equal(values);
    let log = Log {
        values,
        ends: (low, high),
        rest,
        step,
        equal,
    };
    let clipped: Vec<Range<usize>> = flats
        .iter()
        .filter(|run| log.is_clipped(run, looking.ends))
        .cloned()
        .collect();
    found.extend(clipped.iter().map(|run| Fault {
        kind: FaultKind::Saturated {
            at: values[run.start],
            high: values[run.start] > rest,
        },
        place: Place::of(times_s, run.start, run.end - 1),
    }));
    found.extend(stuck(times_s, &log, &flats, &clipped));
    found.extend(spikes(times_s, values, survey.noise.max(step)));
    let greatest = if high - rest > rest - low { high } else { low };
    found.extend(drift(parts, greatest));
    found.extend(coarse(times_s, values, survey));
    found
}

/// Level of the first quiet part, or the median.
fn at_rest(parts: &[Quiet], values: &[f64]) -> f64 {
    parts.first().map(|q| q.level).unwrap_or_else(|| {
        let mut there: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
        median_of(&mut there).unwrap_or(0.0)
    })
}

fn missing(times_s: Stamps<'_>, values: &[f64]) -> Vec<Fault> {
    let holes = runs_where(values, |v| !v.is_finite());
    holes
        .into_iter()
        .map(|run| Fault {
            kind: FaultKind::Missing,
            place: Place::of(times_s, run.start, run.end - 1),
        })
        .collect()
}

fn runs_where(values: &[f64], is: impl Fn(f64) -> bool) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (i, _) in values.iter().enumerate().filter(|(_, v)| is(**v)) {
        match found.last_mut() {
            Some(run) if run.end == i => run.end += 1,
            _ => found.push(i..i + 1),
        }
    }
    found
}

/// Runs of equal values, at least [`FLAT_LEAST`] long.
fn flat_runs(values: &[f64]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    while start < values.len() {
        if none_begins(&values[start..]) {
            start += AT_ONCE;
            continue;
        }
        let stop = (start + AT_ONCE).min(values.len());
        while start < stop {
            let alike = values[start..].iter().take_while(|v| **v == values[start]);
            let run = start..start + alike.count().max(1);
            start = run.end;
            if run.len() >= FLAT_LEAST && values[run.start].is_finite() {
                found.push(run);
            }
        }
    }
    found
}

/// Whether no flat run begins at one of the first [`AT_ONCE`] values, and so many are there.
fn none_begins(values: &[f64]) -> bool {
    let Some(values) = values.get(..AT_ONCE + FLAT_LEAST - 1) else {
        return false;
    };
    let (next, after) = (&values[1..], &values[2..]);
    let pairs = values.iter().zip(next);
    let alike = |((a, b), c): ((&f64, &f64), &f64)| (a == b) & (b == c);
    !pairs.zip(after).fold(false, |any, v| any | alike(v))
}

/// A log as flat runs are judged in.
struct Log<'a> {
    values: &'a [f64],
    ends: (f64, f64),
    rest: f64,
    /// Least step between values.
    step: f64,
    /// Share of neighbours that are equal.
    equal: f64,
}

impl Log<'_> {
    /// Whether a flat run is an end of the recorder's range.
    ///
    /// A smooth top read in steps is flat too: over a flat of `n` samples a parabola has fallen
    /// 8 steps another `n` samples on. A clipped one falls away faster; 16 steps are asked for,
    /// and more equal values than the noise makes. Ends that lie near the level at rest are
    /// no ends (a cell that rests at nought).
    fn is_clipped(&self, run: &Range<usize>, known: Option<(f64, f64)>) -> bool {
        let at = self.values[run.start];
        if let Some((lowest, highest)) = known
            && (at <= lowest || at >= highest)
        {
            return true;
        }
        let (low, high) = self.ends;
        let far_from_rest = (at - self.rest).abs() > 0.2 * (high - low);
        if !far_from_rest || (at != low && at != high) || self.chance(run) > FLAT_CHANCE {
            return false;
        }
        let n = run.len();
        let fall = |i: Option<&f64>| i.map_or(0.0, |v| (at - v).abs());
        let before = fall(run.start.checked_sub(n).map(|i| &self.values[i]));
        let after = fall(self.values.get(run.end - 1 + n));
        before.max(after) > 16.0 * self.step
    }

    /// Chance of a run as long, where neighbours are equal as often as they are here.
    fn chance(&self, run: &Range<usize>) -> f64 {
        libm::pow(self.equal, (run.len() - 1) as f64)
    }
}

/// Runs of equal values longer than chance makes them.
fn stuck(
    times_s: Stamps<'_>,
    log: &Log,
    flats: &[Range<usize>],
    clipped: &[Range<usize>],
) -> Vec<Fault> {
    flats
        .iter()
        .filter(|run| run.len() >= STUCK_LEAST && !clipped.contains(run))
        .filter(|run| log.chance(run) * (log.values.len() as f64) < STUCK_CHANCE)
        .map(|run| Fault {
            kind: FaultKind::Stuck {
                at: log.values[run.start],
            },
            place: Place::of(times_s, run.start, run.end - 1),
        })
        .collect()
}

/// Share of neighbours that are equal, in the median stretch of 256.
fn share_equal(values: &[f64]) -> f64 {
    let mut shares: Vec<f64> = values
        .chunks(256)
        .filter(|c| c.len() > 2)
        .map(|c| {
            let equal = c.iter().zip(&c[1..]).filter(|(a, b)| a == b).count();
            (equal as f64 + 0.5) / c.len() as f64
        })
        .collect();
    median_of(&mut shares).unwrap_or(1.0)
}

/// One to three samples further from the median of their neighbours than eight scatters,
/// local or of the whole log, whichever is larger.
fn spikes(times_s: Stamps<'_>, values: &[f64], noise: f64) -> Vec<Fault> {
    let parts = (0..values.len()).step_by(AT_ONCE);
    let outside: Vec<usize> = parts
        .filter(|from| !all_near(values, *from, noise))
        .flat_map(|from| from..(from + AT_ONCE).min(values.len()))
        .filter(|i| height(values, *i, noise).is_some())
        .collect();
    groups_of(&outside)
        .into_iter()
        .filter(|run| run.len() <= SPIKE_LONGEST)
        .filter_map(|run| {
            let tallest = run.clone().filter_map(|i| height(values, i, noise));
            let height = tallest.max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
            Some(Fault {
                kind: FaultKind::Spike { height },
                place: Place::of(times_s, run.start, run.end - 1),
            })
        })
        .collect()
}

/// Whether each of the [`AT_ONCE`] values from `from` on is near one of those that [`height`]
/// looks at first, and all of these are there.
fn all_near(values: &[f64], from: usize, noise: f64) -> bool {
    let around = from.checked_sub(SPIKE_LONGEST);
    let around = around.and_then(|first| values.get(first..from + AT_ONCE + SPIKE_LONGEST));
    let Some(around) = around else {
        return false;
    };
    let most = SPIKE * noise;
    let (before, at, after) = (
        &around[..AT_ONCE],
        &around[SPIKE_LONGEST..][..AT_ONCE],
        &around[2 * SPIKE_LONGEST..],
    );
    let sides = before.iter().zip(after);
    let near =
        |(v, (a, b)): (&f64, (&f64, &f64))| ((v - a).abs() <= most) | ((v - b).abs() <= most);
    at.iter().zip(sides).fold(true, |all, v| all & near(v))
}

fn groups_of(places: &[usize]) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for i in places {
        match found.last_mut() {
            Some(run) if run.end == *i => run.end += 1,
            _ => found.push(*i..*i + 1),
        }
    }
    found
}

/// How far a sample is outside its neighbours less their slope, if it is a spike.
///
/// Most samples are cleared at once: one near the value three samples on to either side
/// belongs to a level or an edge, since a spike is no longer than that.
fn height(values: &[f64], i: usize, noise: f64) -> Option<f64> {
    let v = values[i];
    if i < NEIGHBOURS || i + NEIGHBOURS >= values.len() || !v.is_finite() {
        return None;
    }
    let near = |j: usize| (v - values[j]).abs() <= SPIKE * noise;
    if near(i - SPIKE_LONGEST) || near(i + SPIKE_LONGEST) {
        return None;
    }
    let slope = local_slope(values, i)?;
    let level = |j: usize| values[j] - slope * (j as f64 - i as f64);
    let mut around: Vec<f64> = (i - NEIGHBOURS..=i + NEIGHBOURS)
        .map(level)
        .filter(|v| v.is_finite())
        .collect();
    let middle = median_of(&mut around)?;
    around.iter_mut().for_each(|a| *a = (*a - middle).abs());
    let scatter = MAD_TO_SIGMA * median_of(&mut around)?;
    let height = v - middle;
    (height.abs() > SPIKE * scatter.max(noise)).then_some(height)
}

/// Slope, per sample, from the medians of the neighbours before and after.
fn local_slope(values: &[f64], i: usize) -> Option<f64> {
    let median = |from: usize| {
        let side = values[from..from + NEIGHBOURS].iter().copied();
        median_of(&mut side.filter(|v| v.is_finite()).collect::<Vec<_>>())
    };
    let (before, after) = (median(i - NEIGHBOURS)?, median(i + 1)?);
    Some((after - before) / (NEIGHBOURS + 1) as f64)
}

/// Values in steps coarser than twice the scatter at rest.
fn coarse(times_s: Stamps<'_>, values: &[f64], survey: &Survey) -> Option<Fault> {
    let (scatter, step) = (survey.parts.first()?.scatter, survey.step);
    let (low, high) = survey.ends;
    (step > 2.0 * scatter && step > 1e-5 * (high - low)).then(|| Fault {
        kind: FaultKind::Coarse { step },
        place: Place::of(times_s, 0, values.len() - 1),
    })
}
