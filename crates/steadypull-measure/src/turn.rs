//! The top of a peak, or the turn of a movement, without picking a lucky sample.
//!
//! The largest of many noisy values is too large. So a cubic is laid through the samples
//! about the top by least squares and its top is read. A wide window averages more noise
//! and follows a sharp top less; the widest window is taken whose top agrees, within 2.5
//! standard deviations of the difference, with that of every narrower one (after O. V.
//! Lepskii, Theory Probab. Appl. 35 (1991) 454–466, from memory). A top that was looked for
//! still is too high on average by `u'²/(2 |f''|)`, `u'` the standard deviation of the slope:
//! taken off.

use core::ops::Range;

use crate::linear::{Weighted, solve};
use crate::signal::Channel;

/// How far down the widest window reaches, as a share of the height.
const DEPTH: f64 = 0.1;
/// Samples to either side at most.
const WIDEST: usize = 4000;
/// Each window over the next wider.
const NARROWER: f64 = 0.7;
/// Standard deviations of difference that still agree.
const AGREES: f64 = 2.5;
/// Samples to either side at least: a cubic needs four and noise a few more.
const NARROWEST: usize = 4;

/// A top, or a bottom.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Turn {
    /// When, s.
    pub time_s: f64,
    /// Standard uncertainty of that from noise, s.
    pub time_uncertainty_s: f64,
    /// Value there.
    pub value: f64,
    /// The value as a weighted sum of samples.
    pub weights: Weighted,
}

/// A cubic laid through a window.
struct Fit {
    window: Range<usize>,
    /// Sample about which it is written, and the scale of its variable in samples.
    middle: f64,
    scale: f64,
    /// Normal matrix.
    normal: [[f64; 4]; 4],
    coefficients: [f64; 4],
    /// The top, in samples.
    top: f64,
}

/// The largest value inside `samples` above `base`; `None` where there is no top with
/// values on both sides.
pub(crate) fn top(channel: &Channel, samples: Range<usize>, base: f64) -> Option<Turn> {
    let values = channel.series.values();
    let part = values.get(samples.clone())?;
    let highest = part
        .iter()
        .enumerate()
        .filter(|(_, v)| v.is_finite())
        .max_by(|a, b| a.1.total_cmp(b.1))?;
    let place = samples.start + highest.0;
    let fits: Vec<Fit> = windows(channel, &samples, place, base)
        .into_iter()
        .filter_map(|window| Fit::new(values, window))
        .collect();
    let best = widest_that_agrees(channel, &fits)?;
    let turn = &fits[best];
    let (time, slope) = (turn.value_weights(turn.top), turn.slope_weights(turn.top));
    let curvature = turn.curvature(turn.top).abs();
    let slope_noise = slope.noise(&channel.quality);
    let lucky = slope_noise * slope_noise / (2.0 * curvature);
    Some(Turn {
        time_s: channel.series.start_s() + turn.top * channel.series.step_s(),
        time_uncertainty_s: slope_noise / curvature * channel.series.step_s(),
        value: turn.value(turn.top) - lucky,
        weights: time,
    })
}

/// Windows about a sample from the narrowest to the widest, inside the samples allowed
/// and without a gap.
fn windows(
    channel: &Channel,
    samples: &Range<usize>,
    place: usize,
    base: f64,
) -> Vec<Range<usize>> {
    let values = channel.series.values();
    let height = values[place] - base;
    let floor = values[place] - DEPTH * height - 4.0 * channel.quality.noise_after_filter();
    let inside = |i: &usize| values[*i] >= floor;
    let left = (samples.start..place).rev().take_while(inside).take(WIDEST).count();
    let right = (place + 1..samples.end).take_while(inside).take(WIDEST).count();
    let gap_left = (samples.start..place).rev().take_while(|i| !values[*i].is_nan()).take(NARROWEST).count();
    let gap_right = (place + 1..samples.end).take_while(|i| !values[*i].is_nan()).take(NARROWEST).count();
    let narrowest = NARROWEST.max(kernel_samples(channel));
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut share = 1.0;
    loop {
        let reach = |side: usize, gap: usize| ((share * side as f64) as usize).max(gap.min(NARROWEST));
        let window = place - reach(left, gap_left)..place + reach(right, gap_right) + 1;
        let narrow = window.len() <= 2 * narrowest + 1;
        if found.last() != Some(&window) {
            found.push(window);
        }
        if narrow {
            break;
        }
        share *= NARROWER;
    }
    found.reverse();
    found
}

/// Samples over which the filter cannot follow anyway, to one side.
fn kernel_samples(channel: &Channel) -> usize {
    channel.quality.filter.map_or(0, |filter| {
        (0.15 * channel.series.rate_hz() / filter.class().nominal_hz()) as usize
    })
}

fn widest_that_agrees(channel: &Channel, fits: &[Fit]) -> Option<usize> {
    let mut best = None;
    for k in 0..fits.len() {
        if fits[..k].iter().all(|narrower| agree(channel, narrower, &fits[k])) {
            best = Some(k);
        }
    }
    best
}

/// Whether two fits say the same where the narrower has its top.
fn agree(channel: &Channel, narrow: &Fit, wide: &Fit) -> bool {
    let at = narrow.top;
    let difference = narrow.value(at) - wide.value(at);
    let weights = narrow
        .value_weights(at)
        .mix(1.0, &wide.value_weights(at), -1.0);
    let rounding = 1e-10 * narrow.value(at).abs();
    difference.abs() <= AGREES * weights.noise(&channel.quality) + rounding
}

impl Fit {
    fn new(values: &[f64], window: Range<usize>) -> Option<Self> {
        if window.len() < 5 {
            return None;
        }
        let middle = 0.5 * (window.start + window.end - 1) as f64;
        let scale = 0.5 * (window.len() - 1) as f64;
        let (mut normal, mut right) = ([[0.0; 4]; 4], [0.0; 4]);
        for i in window.clone() {
            let p = powers((i as f64 - middle) / scale);
            for (r, row) in normal.iter_mut().enumerate() {
                for (c, cell) in row.iter_mut().enumerate() {
                    *cell += p[r] * p[c];
                }
                right[r] += p[r] * values[i];
            }
        }
        let mut fit = Self {
            window,
            middle,
            scale,
            normal,
            coefficients: solve(normal, right)?,
            top: 0.0,
        };
        fit.top = fit.find_top()?;
        Some(fit)
    }

    /// Where the slope is nought and falling, inside the window.
    fn find_top(&self) -> Option<f64> {
        let [_, b, c, d] = self.coefficients;
        // b + 2 c x + 3 d x² = 0, the root at which 2 c + 6 d x < 0, without cancelling.
        let square = c * c - 3.0 * b * d;
        if square <= 0.0 {
            return None;
        }
        let x = b / (-c + libm::sqrt(square));
        let inside = x.is_finite() && x.abs() <= 1.0;
        inside.then_some(self.middle + x * self.scale)
    }

    fn value(&self, at: f64) -> f64 {
        let p = powers((at - self.middle) / self.scale);
        self.coefficients.iter().zip(p).map(|(c, p)| c * p).sum()
    }

    /// Second derivative, per sample squared.
    fn curvature(&self, at: f64) -> f64 {
        let x = (at - self.middle) / self.scale;
        (2.0 * self.coefficients[2] + 6.0 * self.coefficients[3] * x) / (self.scale * self.scale)
    }

    fn value_weights(&self, at: f64) -> Weighted {
        self.weights(powers((at - self.middle) / self.scale))
    }

    fn slope_weights(&self, at: f64) -> Weighted {
        let x = (at - self.middle) / self.scale;
        self.weights([0.0, 1.0, 2.0 * x, 3.0 * x * x].map(|v| v / self.scale))
    }

    /// Weights of the samples in `functional · coefficients`.
    fn weights(&self, functional: [f64; 4]) -> Weighted {
        let through = solve(self.normal, functional).unwrap_or([0.0; 4]);
        let weights = self
            .window
            .clone()
            .map(|i| {
                let p = powers((i as f64 - self.middle) / self.scale);
                through.iter().zip(p).map(|(t, p)| t * p).sum()
            })
            .collect();
        Weighted {
            first: self.window.start,
            weights,
        }
    }
}

fn powers(x: f64) -> [f64; 4] {
    [1.0, x, x * x, x * x * x]
}
