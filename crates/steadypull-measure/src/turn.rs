//! The top of a peak, or the turn of a movement, without picking a lucky sample.
//!
//! The largest of many noisy values is too large. So a curve is laid through the samples
//! about the top by least squares and its top is read:
//!
//! ```text
//! f = a + b t + c t² + d t|t|,   t from the top, so that b = 0
//! ```
//!
//! Bent differently on either side, since a line loads by one law and unloads by another. A wide
//! window averages more noise and follows a sharp top less; the widest is taken that agrees,
//! within 2.5 standard deviations of the difference, in height and slope with every narrower
//! one at the top of that (after O. V. Lepskii, Theory Probab. Appl. 35 (1991) 454–466, from
//! memory). Each window lies about the top of the next wider one: about the highest sample all
//! would share its luck. A top that was looked for still is too high on average by `u'²/(2
//! |f''|)`, `u'` the standard deviation of the slope: taken off.
//!
//! When the top is: as sure as the slope there, over what that slope changes by where the curve lies
//! a little later. A window that was not taken was refused by noise as often as by a course that
//! it does not follow, and then the narrower one is what the noise made of it: the top may as well lie
//! anywhere from the one's to the other's, an even spread.

use core::ops::Range;

use crate::linear::{Normal, Weighted, solve};
use crate::signal::Channel;

/// How far down the widest window reaches, as a share of the height.
const DEPTH: f64 = 0.08;
/// Samples to either side at most.
const WIDEST: usize = 600;
/// Each window over the next wider.
const NARROWER: f64 = 0.65;
/// Standard deviations of difference that still agree.
const AGREES: f64 = 2.5;
/// Samples used of a window at least, where it has as many.
const USED_LEAST: usize = 40;
/// Steps towards the top of a fit at most.
const STEPS_MOST: usize = 40;
/// Samples to either side at least: the curve needs four and noise a few more.
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

/// A curve laid through a window, written about its top.
struct Fit {
    window: Range<usize>,
    /// Every so many samples of it are used.
    stride: usize,
    /// The top, in samples.
    top: f64,
    /// Scale of its variable, in samples.
    scale: f64,
    /// Normal matrix.
    normal: [[f64; 4]; 4],
    coefficients: [f64; 4],
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
    let mut fits = fits(channel, widest(channel, &samples, place, base), place);
    fits.reverse();
    let chosen = widest_that_agrees(channel, &fits)?;
    let turn = &fits[chosen];
    let wider = fits.get(chosen + 1);
    let slope = turn.slope_weights(turn.top).noise(&channel.quality);
    let [before, after] = turn.curvatures();
    let lucky = 0.25 * slope * slope * (1.0 / before + 1.0 / after);
    let way = slope / turn.slope_by_shift();
    let picked = wider.map_or(0.0, |wider| (wider.top - turn.top) / 3f64.sqrt());
    let step_s = channel.series.step_s();
    Some(Turn {
        time_s: channel.series.start_s() + turn.top * step_s,
        time_uncertainty_s: libm::hypot(way, picked) * step_s,
        value: turn.value(turn.top) - lucky,
        weights: turn.value_weights(turn.top),
    })
}

/// The widest window about a sample: down to the depth on both sides, inside the samples
/// allowed and without a gap; never narrower than the curve needs.
fn widest(channel: &Channel, samples: &Range<usize>, place: usize, base: f64) -> Range<usize> {
    let values = channel.series.values();
    let height = values[place] - base;
    let noise = channel.quality.noise_after_filter();
    // The highest sample is too high by about two standard deviations.
    let floor = values[place] - DEPTH * height - 2.0 * noise;
    let left = reach(values, (samples.start..place).rev(), floor, noise);
    let right = reach(values, place + 1..samples.end, floor, noise);
    place - left..place + right + 1
}

/// Samples outward to where the values pass the floor: midway between the first time and
/// the last before they are well under it, since noise alone may take them there.
fn reach(values: &[f64], outward: impl Iterator<Item = usize>, floor: f64, noise: f64) -> usize {
    let (mut first, mut last) = (None, 0);
    for (n, i) in outward.take(WIDEST).enumerate() {
        let v = values[i];
        if v.is_nan() || v < floor - 4.0 * noise {
            first.get_or_insert(n);
            break;
        }
        if v < floor {
            first.get_or_insert(n);
        } else {
            last = n + 1;
        }
        if first.is_none() {
            last = n + 1;
        }
    }
    let there = first.map_or(last, |first| first.midpoint(last.max(first)));
    there.max(NARROWEST.min(last))
}

/// Fits from the widest window to the narrowest.
fn fits(channel: &Channel, widest: Range<usize>, place: usize) -> Vec<Fit> {
    let values = channel.series.values();
    let stride = stride(channel);
    let narrowest = 2 * NARROWEST.max(kernel_samples(channel)) + 1;
    let (mut window, mut centre) = (widest, place);
    let mut found = Vec::new();
    loop {
        if let Some(fit) = Fit::new(values, window.clone(), stride, centre as f64) {
            centre = libm::round(fit.top) as usize;
            found.push(fit);
        }
        let narrower = shrunk(&window, centre);
        if narrower.len() < narrowest || narrower.len() >= window.len() {
            return found;
        }
        window = narrower;
    }
}

/// A window about a sample in it, narrower on both sides.
fn shrunk(window: &Range<usize>, centre: usize) -> Range<usize> {
    let side = |length: usize| (NARROWER * length as f64) as usize;
    centre - side(centre - window.start)..centre + side(window.end - 1 - centre) + 1
}

/// Samples from one used to the next: a filtered log needs no more than a dozen in a period
/// of its filter's −3 dB frequency, since those between tell the same again.
fn stride(channel: &Channel) -> usize {
    channel.quality.filter.map_or(1, |filter| {
        ((channel.series.rate_hz() / (12.0 * filter.class().nominal_hz())) as usize).max(1)
    })
}

/// Samples over which the filter cannot follow anyway, to one side.
fn kernel_samples(channel: &Channel) -> usize {
    channel.quality.filter.map_or(0, |filter| {
        (0.15 * channel.series.rate_hz() / filter.class().nominal_hz()) as usize
    })
}

fn widest_that_agrees(channel: &Channel, fits: &[Fit]) -> Option<usize> {
    (0..fits.len()).rev().find(|k| {
        let (narrower, wide) = (&fits[..*k], &fits[*k]);
        narrower
            .iter()
            .all(|narrow| agree(channel, narrow, wide) && agree_in_slope(channel, narrow, wide))
    })
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

/// Whether the wider fit is level, too, where the narrower has its top.
fn agree_in_slope(channel: &Channel, narrow: &Fit, wide: &Fit) -> bool {
    let at = narrow.top;
    let weights = narrow
        .slope_weights(at)
        .mix(1.0, &wide.slope_weights(at), -1.0);
    let rounding = 1e-10 * narrow.value(at).abs();
    wide.slope(at).abs() <= AGREES * weights.noise(&channel.quality) + rounding
}

impl Fit {
    /// The curve about its top, found by moving to where it is level again and again;
    /// `None` where it has no top in the window.
    fn new(values: &[f64], window: Range<usize>, stride: usize, start: f64) -> Option<Self> {
        if window.len() < 2 * NARROWEST {
            return None;
        }
        let stride = stride.min(window.len() / USED_LEAST).max(1);
        let scale = 0.5 * (window.len() - 1) as f64;
        let mut top = start.clamp(window.start as f64 + 1.0, window.end as f64 - 2.0);
        for _ in 0..STEPS_MOST {
            let fit = Self::about(values, &window, stride, top, scale)?;
            let [_, b, c, d] = fit.coefficients;
            let bend = c + d.copysign(b);
            let step = -0.5 * b / bend;
            if step.abs() < 1e-7 {
                return fit.is_top().then_some(fit);
            }
            if bend.is_nan() || bend >= 0.0 {
                return None;
            }
            top += (step * scale).clamp(-0.5 * scale, 0.5 * scale);
            if top < window.start as f64 + 1.0 || top > window.end as f64 - 2.0 {
                return None;
            }
        }
        None
    }

    fn about(
        values: &[f64],
        window: &Range<usize>,
        stride: usize,
        top: f64,
        scale: f64,
    ) -> Option<Self> {
        let mut normal = Normal::NOTHING;
        for i in window.clone().step_by(stride) {
            normal.add(&basis((i as f64 - top) / scale), values[i]);
        }
        Some(Self {
            window: window.clone(),
            stride,
            top,
            scale,
            normal: normal.matrix,
            coefficients: normal.solve()?,
        })
    }

    fn is_top(&self) -> bool {
        let [_, _, c, d] = self.coefficients;
        c + d < 0.0 && c - d < 0.0
    }

    fn value(&self, at: f64) -> f64 {
        let p = basis((at - self.top) / self.scale);
        self.coefficients.iter().zip(p).map(|(c, p)| c * p).sum()
    }

    /// First derivative, per sample.
    fn slope(&self, at: f64) -> f64 {
        let p = slopes((at - self.top) / self.scale);
        let sum: f64 = self.coefficients.iter().zip(p).map(|(c, p)| c * p).sum();
        sum / self.scale
    }

    /// How sharply it is bent before and after the top, per sample squared.
    fn curvatures(&self) -> [f64; 2] {
        let [_, _, c, d] = self.coefficients;
        [c - d, c + d].map(|k| 2.0 * k.abs() / (self.scale * self.scale))
    }

    /// By how much the slope read at the top goes where the curve lies a sample later. Not simply by
    /// the curvature: where the two sides are bent differently, the kink in it moves along.
    fn slope_by_shift(&self) -> f64 {
        let slope = self.slope_weights(self.top);
        let each = slope.weights.iter().enumerate();
        let sum: f64 = each
            .map(|(k, weight)| weight * self.slope((slope.first + k) as f64))
            .sum();
        sum.abs()
    }

    fn value_weights(&self, at: f64) -> Weighted {
        self.weights(basis((at - self.top) / self.scale))
    }

    fn slope_weights(&self, at: f64) -> Weighted {
        self.weights(slopes((at - self.top) / self.scale).map(|v| v / self.scale))
    }

    /// Weights of the samples in `functional · coefficients`.
    fn weights(&self, functional: [f64; 4]) -> Weighted {
        let through = solve(self.normal, functional).unwrap_or([0.0; 4]);
        let mut weights = vec![0.0; self.window.len()];
        for (i, weight) in weights.iter_mut().enumerate().step_by(self.stride) {
            let p = basis(((self.window.start + i) as f64 - self.top) / self.scale);
            *weight = through.iter().zip(p).map(|(t, p)| t * p).sum();
        }
        Weighted {
            first: self.window.start,
            weights,
        }
    }
}

fn basis(x: f64) -> [f64; 4] {
    [1.0, x, x * x, x * x.abs()]
}

fn slopes(x: f64) -> [f64; 4] {
    [0.0, 1.0, 2.0 * x, 2.0 * x.abs()]
}
