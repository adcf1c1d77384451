//! Faults of the values.

use core::ops::Range;

use super::{Fault, FaultKind, Looking, Place, drift};
use crate::robust::{MAD_TO_SIGMA, median_of, sample_to_sample};
use crate::signal::zero::{Quiet, quiet_parts};

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

pub(super) fn look(times_s: &[f64], values: &[f64], looking: &Looking) -> Vec<Fault> {
    let (low, high) = ends(values);
    let mut found = missing(times_s, values);
    if low > high {
        return found;
    }
    let parts = quiet_parts(times_s, values);
    let rest = at_rest(&parts, values);
    let step = least_step(values);
    let flats = flat_runs(values, FLAT_LEAST);
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
    found.extend(spikes(times_s, values, step));
    let greatest = if high - rest > rest - low { high } else { low };
    found.extend(drift(&parts, greatest));
    found.extend(coarse(times_s, values, &parts, step));
    found
}

fn ends(values: &[f64]) -> (f64, f64) {
    values
        .iter()
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(*v), h.max(*v))
        })
}

/// Level of the first quiet part, or the median.
fn at_rest(parts: &[Quiet], values: &[f64]) -> f64 {
    parts.first().map(|q| q.level).unwrap_or_else(|| {
        let mut there: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
        median_of(&mut there).unwrap_or(0.0)
    })
}

/// Least difference between neighbours that differ.
pub(crate) fn least_step(values: &[f64]) -> f64 {
    let least = values
        .windows(2)
        .map(|w| (w[1] - w[0]).abs())
        .filter(|d| *d > 0.0)
        .fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

fn missing(times_s: &[f64], values: &[f64]) -> Vec<Fault> {
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

/// Runs of equal values, at least `least` long.
fn flat_runs(values: &[f64], least: usize) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for i in 1..=values.len() {
        if i == values.len() || values[i] != values[start] {
            if i - start >= least && values[start].is_finite() {
                found.push(start..i);
            }
            start = i;
        }
    }
    found
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
    times_s: &[f64],
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
            let equal = c.windows(2).filter(|w| w[0] == w[1]).count();
            (equal as f64 + 0.5) / c.len() as f64
        })
        .collect();
    median_of(&mut shares).unwrap_or(1.0)
}

/// One to three samples further from the median of their neighbours than eight scatters,
/// local or of the whole log, whichever is larger.
fn spikes(times_s: &[f64], values: &[f64], step: f64) -> Vec<Fault> {
    let noise = sample_to_sample(values).unwrap_or(0.0).max(step);
    let outside: Vec<usize> = (0..values.len())
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
fn coarse(times_s: &[f64], values: &[f64], parts: &[Quiet], step: f64) -> Option<Fault> {
    let scatter = parts.first()?.scatter;
    let spread = ends(values);
    (step > 2.0 * scatter && step > 1e-5 * (spread.1 - spread.0)).then(|| Fault {
        kind: FaultKind::Coarse { step },
        place: Place::of(times_s, 0, values.len() - 1),
    })
}
