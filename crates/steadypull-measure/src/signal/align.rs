//! Two channels onto one clock.
//!
//! By an event seen in both: the difference of its times. By likeness: the whole-sample shift
//! of the greatest correlation, then `b(t) = g a(t − τ) + c` by least squares in `τ`, `g`, `c`
//! (Gauss–Newton, `a` by cubic between samples). Uncertainty of `τ` from what is left over,
//! widened for residuals that resemble their neighbours. It speaks of channels that show
//! the same motion; a load and a movement that lag each other in truth are not told from
//! clocks that do. Filter both by one class first. Method: textbook least squares.

use thiserror::Error;

use super::Series;
use crate::linear::{inverse_column, solve};
use crate::robust::memory;

/// Correlation at which two channels are alike enough.
const ALIKE: f64 = 0.7;
/// Share of the shorter channel that must overlap.
const OVERLAP: f64 = 0.5;
/// Steps of Gauss–Newton at most.
const STEPS_MOST: usize = 50;

/// A time and its standard uncertainty, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time, s.
    pub time_s: f64,
    /// Standard uncertainty, s.
    pub uncertainty_s: f64,
}

/// What to add to a channel's times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// To be added, s.
    pub by_s: f64,
    /// Standard uncertainty, s.
    pub uncertainty_s: f64,
    /// Correlation found, where it was sought.
    pub correlation: Option<f64>,
}

/// Why channels cannot be brought together.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AlignError {
    /// Steps differ.
    #[error("one channel has a step of {reference_s} s and the other {moving_s} s: resample both to one step first")]
    StepsDiffer {
        /// Step of the one that stays, s.
        reference_s: f64,
        /// Step of the one that moves, s.
        moving_s: f64,
    },
    /// Not alike at any shift looked at.
    #[error("the channels are not alike at any shift up to {most_s} s (correlation {best:.2}, {ALIKE} asked for): align by an event, or allow a larger shift")]
    NotAlike {
        /// Largest shift looked at, s.
        most_s: f64,
        /// Best correlation met.
        best: f64,
    },
}

/// The shift that makes an event of the moving channel fall on that of the reference.
pub fn by_event(reference: Moment, moving: Moment) -> Shift {
    let square = reference.uncertainty_s * reference.uncertainty_s
        + moving.uncertainty_s * moving.uncertainty_s;
    Shift {
        by_s: reference.time_s - moving.time_s,
        uncertainty_s: libm::sqrt(square),
        correlation: None,
    }
}

/// The shift, at most `most_s` to either side of their stamps, at which `moving` is most
/// like `reference`.
pub fn by_likeness(reference: &Series, moving: &Series, most_s: f64) -> Result<Shift, AlignError> {
    let step_s = reference.step_s();
    if (step_s - moving.step_s()).abs() > 1e-9 * step_s {
        return Err(AlignError::StepsDiffer {
            reference_s: step_s,
            moving_s: moving.step_s(),
        });
    }
    // Shift in samples between index and index, when the stamps are left alone.
    let offset = (moving.start_s() - reference.start_s()) / step_s;
    let most = most_s.abs() / step_s;
    let (low, high) = ((offset - most).ceil() as i64, (offset + most).floor() as i64);
    let best = (low..=high)
        .filter_map(|lag| Some((lag, correlation(reference.values(), moving.values(), lag)?)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let not_alike = |best| AlignError::NotAlike { most_s, best };
    let (lag, likeness) = best.ok_or(not_alike(0.0))?;
    if likeness < ALIKE {
        return Err(not_alike(likeness));
    }
    let (place, uncertainty) =
        refine(reference.values(), moving.values(), lag as f64).ok_or(not_alike(likeness))?;
    Ok(Shift {
        by_s: (place - offset) * step_s,
        uncertainty_s: uncertainty * step_s,
        correlation: Some(likeness),
    })
}

/// Correlation of `reference[i + lag]` and `moving[i]`.
fn correlation(reference: &[f64], moving: &[f64], lag: i64) -> Option<f64> {
    let first = (-lag).max(0) as usize;
    let end = (reference.len() as i64 - lag).clamp(0, moving.len() as i64) as usize;
    let least = OVERLAP * reference.len().min(moving.len()) as f64;
    if end <= first || ((end - first) as f64) < least {
        return None;
    }
    let start = (first as i64 + lag) as usize;
    let pairs = reference[start..start + end - first].iter().zip(&moving[first..end]);
    let (mut n, mut a, mut b, mut aa, mut bb, mut ab) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for (x, y) in pairs.filter(|(x, y)| x.is_finite() && y.is_finite()) {
        n += 1.0;
        a += x;
        b += y;
        aa += x * x;
        bb += y * y;
        ab += x * y;
    }
    let scale = libm::sqrt((aa - a * a / n) * (bb - b * b / n));
    (n >= least && scale > 0.0).then(|| (ab - a * b / n) / scale)
}

/// Shift in samples and parts of one, with its standard uncertainty.
fn refine(reference: &[f64], moving: &[f64], start: f64) -> Option<(f64, f64)> {
    let mut place = start;
    for _ in 0..STEPS_MOST {
        let (step, _) = gauss_newton(reference, moving, place)?;
        place += step.clamp(-1.0, 1.0);
        if (place - start).abs() > 3.0 {
            return None;
        }
        if step.abs() < 1e-9 {
            break;
        }
    }
    let (_, uncertainty) = gauss_newton(reference, moving, place)?;
    Some((place, uncertainty))
}

/// One step for the shift, and its uncertainty at the end of it.
fn gauss_newton(reference: &[f64], moving: &[f64], place: f64) -> Option<(f64, f64)> {
    let rows: Vec<[f64; 4]> = (0..reference.len())
        .filter_map(|i| {
            let (a, slope) = cubic(moving, i as f64 - place)?;
            reference[i].is_finite().then_some([a, 1.0, slope, reference[i]])
        })
        .collect();
    let ([gain, level], _) = least_squares(&rows, |r| ([r[0], r[1]], r[3]))?;
    let residual = |r: &[f64; 4]| r[3] - gain * r[0] - level;
    let ([_, _, step], normal) =
        least_squares(&rows, |r| ([r[0], r[1], -gain * r[2]], residual(r)))?;
    let left: Vec<f64> = rows.iter().map(residual).collect();
    let freedom = (rows.len() as f64 - 3.0).max(1.0);
    let variance = left.iter().map(|r| r * r).sum::<f64>() / freedom;
    let spread = inverse_column(&normal, 2)?[2] * variance * memory(&left);
    Some((step, libm::sqrt(spread.max(0.0))))
}

/// Least squares over rows; the answer and the normal matrix.
fn least_squares<const N: usize>(
    rows: &[[f64; 4]],
    split: impl Fn(&[f64; 4]) -> ([f64; N], f64),
) -> Option<([f64; N], [[f64; N]; N])> {
    let (mut normal, mut right) = ([[0.0; N]; N], [0.0; N]);
    for row in rows {
        let (x, y) = split(row);
        for r in 0..N {
            for c in 0..N {
                normal[r][c] += x[r] * x[c];
            }
            right[r] += x[r] * y;
        }
    }
    Some((solve(normal, right)?, normal))
}

/// Value and slope per sample between samples, by the cubic through four.
fn cubic(values: &[f64], at: f64) -> Option<(f64, f64)> {
    let left = at.floor();
    if left < 1.0 || left + 2.0 >= values.len() as f64 {
        return None;
    }
    let (i, s) = (left as usize, at - left);
    let [p, a, b, q] = [values[i - 1], values[i], values[i + 1], values[i + 2]];
    // Lagrange through the four, written in powers of s.
    let c1 = b - p / 3.0 - a / 2.0 - q / 6.0;
    let c2 = (p + b) / 2.0 - a;
    let c3 = (q - p) / 6.0 + (a - b) / 2.0;
    let value = a + s * (c1 + s * (c2 + s * c3));
    let slope = c1 + s * (2.0 * c2 + 3.0 * s * c3);
    value.is_finite().then_some((value, slope))
}
