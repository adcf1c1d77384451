//! Two channels onto one clock.
//!
//! By an event seen in both: the difference of its times. By likeness: the greatest correlation
//! over shifts of whole samples, then of parts of one, where `C(τ) = Σ b(t) a(t − τ)` is level
//! (Newton, `a` by cubic between samples). Neither the noise of `a` nor that of `b` shifts that
//! place on average, since they have nothing to do with each other; least squares would be
//! drawn to shifts of half a sample, at which interpolated noise is least. With `s²` what is
//! left of `b − g a − c`, `m` for its likeness to its neighbours and `K = Σ a' b'`:
//!
//! ```text
//! u² = m s² (K/g + (Σ a'² − K/g)/2) / K²
//! ```
//!
//! It speaks of channels that show the same motion; a load and a movement that lag each
//! other in truth are not told from clocks that do. Filter both by one class first. Method:
//! textbook (C. H. Knapp, G. C. Carter, IEEE Trans. ASSP 24 (1976) 320–327, from memory),
//! uncertainty ours and held against repeats.

use thiserror::Error;

use super::Series;
use crate::robust::memory;

/// Correlation at which two channels are alike enough.
const ALIKE: f64 = 0.7;
/// Share of the shorter channel that must overlap.
const OVERLAP: f64 = 0.5;
/// Steps of Newton at most.
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
    #[error(
        "one channel has a step of {reference_s} s and the other {moving_s} s: resample both to one step first"
    )]
    StepsDiffer {
        /// Step of the one that stays, s.
        reference_s: f64,
        /// Step of the one that moves, s.
        moving_s: f64,
    },
    /// Not alike at any shift looked at.
    #[error(
        "the channels are not alike at any shift up to {most_s} s (correlation {best:.2}, {ALIKE} asked for): align by an event, or allow a larger shift"
    )]
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
    let low = ((offset - most).ceil() as i64).max(-(moving.values().len() as i64));
    let high = ((offset + most).floor() as i64).min(reference.values().len() as i64);
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
    let pairs = reference[start..start + end - first]
        .iter()
        .zip(&moving[first..end]);
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
        let step = Pairs::at(reference, moving, place)?.step();
        place += step.clamp(-1.0, 1.0);
        if place.is_nan() || (place - start).abs() > 3.0 {
            return None;
        }
        if step.abs() < 1e-10 {
            break;
        }
    }
    let uncertainty = Pairs::at(reference, moving, place)?.uncertainty()?;
    Some((place, uncertainty))
}

/// Values about their means and slopes per sample, at one shift.
struct Pairs {
    a: Vec<f64>,
    a_slope: Vec<f64>,
    b: Vec<f64>,
    b_slope: Vec<f64>,
}

impl Pairs {
    fn at(reference: &[f64], moving: &[f64], place: f64) -> Option<Self> {
        let mut pairs = Self {
            a: Vec::new(),
            a_slope: Vec::new(),
            b: Vec::new(),
            b_slope: Vec::new(),
        };
        for i in 1..reference.len().saturating_sub(1) {
            let Some((a, a_slope)) = cubic(moving, i as f64 - place) else {
                continue;
            };
            let b_slope = 0.5 * (reference[i + 1] - reference[i - 1]);
            if reference[i].is_finite() && b_slope.is_finite() {
                pairs.a.push(a);
                pairs.a_slope.push(a_slope);
                pairs.b.push(reference[i]);
                pairs.b_slope.push(b_slope);
            }
        }
        (pairs.a.len() > 8).then(|| pairs.about_their_means())
    }

    fn about_their_means(mut self) -> Self {
        for values in [&mut self.a, &mut self.b] {
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            values.iter_mut().for_each(|v| *v -= mean);
        }
        self
    }

    fn gain(&self) -> f64 {
        dot(&self.a, &self.b) / dot(&self.a, &self.a)
    }

    /// Newton's step to where the correlation is level. What `a` does with its own slope adds
    /// up to its ends.
    fn step(&self) -> f64 {
        let (first, last) = (self.a[0], self.a[self.a.len() - 1]);
        let ends = 0.5 * self.gain() * (last * last - first * first);
        -(dot(&self.b, &self.a_slope) - ends) / dot(&self.a_slope, &self.b_slope)
    }

    fn uncertainty(&self) -> Option<f64> {
        let gain = self.gain();
        let left: Vec<f64> = self
            .b
            .iter()
            .zip(&self.a)
            .map(|(b, a)| b - gain * a)
            .collect();
        let variance = dot(&left, &left) / (left.len() as f64 - 3.0);
        let k = dot(&self.a_slope, &self.b_slope);
        let noisy = (dot(&self.a_slope, &self.a_slope) - k / gain).max(0.0);
        let square = memory(&left) * variance * (k / gain + 0.5 * noisy) / (k * k);
        (square.is_finite() && square >= 0.0).then(|| libm::sqrt(square))
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
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
