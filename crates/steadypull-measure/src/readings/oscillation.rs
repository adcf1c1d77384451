//! The strongest oscillation of a taut line: how fast, how damped.
//!
//! `y = c0 + c1 t + c2 t² + e^(−a t) (p cos w t + q sin w t)` by least squares: `w` and `a` first
//! on a grid with the rest solved for, then all seven by Gauss–Newton with damping
//! (Levenberg and Marquardt). Damping ratio `a/√(a² + w²)`. Uncertainties from what is left
//! over and its likeness to neighbours, `s² (JᵀJ)⁻¹` (JCGM 100:2008 H.3 in principle).
//!
//! A window of `T` seconds tells frequencies `1/T` apart; two closer than that look like one
//! that swells and fades. Under two cycles, or where the wave does not stand out by four
//! of its uncertainties, nothing is told. Slack would make it another motion: the window
//! must be taut throughout.

use core::f64::consts::TAU;

use crate::linear::{Normal, inverse_column, solve};
use crate::robust::memory;
use crate::signal::Channel;

use super::CLIPPED;
use super::budget::{Reading, Term};

/// Highest frequency looked for, Hz, whatever the filter.
const HIGHEST_HZ: f64 = 50.0;
/// Cycles that must fit.
const CYCLES_LEAST: f64 = 2.0;
/// Grid points for each `1/T` of frequency.
const FINE: f64 = 2.0;
/// Steps of the last fit at most.
const STEPS_MOST: usize = 60;

/// The strongest oscillation in a window.
#[derive(Debug, Clone, PartialEq)]
pub struct Oscillation {
    /// Frequency, Hz.
    pub frequency: Reading,
    /// Damping ratio, 1 is critical.
    pub damping: Reading,
    /// Amplitude at the start of the window, N.
    pub amplitude: Reading,
    /// Frequencies closer together than this are not told apart, Hz.
    pub resolution_hz: f64,
}

/// Constant, slope, bend, cosine, sine, decay, angular frequency; time counted from the
/// window's start in windows.
type Wave = [f64; 7];

/// The strongest oscillation between two times at which the line is taut and the load above
/// `slack_under_n` throughout; else a reading that says why not.
pub fn oscillation(channel: &Channel, from_s: f64, to_s: f64, slack_under_n: f64) -> Oscillation {
    let series = &channel.series;
    let samples = series.between(from_s, to_s);
    let span_s = samples.len().saturating_sub(1) as f64 * series.step_s();
    let resolution_hz = if span_s > 0.0 { 1.0 / span_s } else { f64::MAX };
    let part = &series.values()[samples.clone()];
    if part.len() < 32 || part.iter().any(|v| v.is_nan()) {
        return nothing(resolution_hz, "fewer than 32 samples, or some are missing");
    }
    if channel.quality.clipped_between(from_s, to_s) {
        return nothing(resolution_hz, CLIPPED);
    }
    if part.iter().any(|v| *v <= slack_under_n) {
        return nothing(resolution_hz, "the line is slack in this window");
    }
    let limit_hz = channel
        .quality
        .filter
        .map_or(HIGHEST_HZ, |f| 0.8 * f.minus_3db_hz());
    let highest_hz = limit_hz.min(HIGHEST_HZ).min(0.2 * series.rate_hz());
    match fit(part, highest_hz * span_s) {
        None => nothing(
            resolution_hz,
            "no oscillation of at least two cycles stands out",
        ),
        Some((wave, spreads)) => told(&wave, spreads, span_s),
    }
}

fn nothing(resolution_hz: f64, why: &str) -> Oscillation {
    Oscillation {
        frequency: Reading::without(0.0, "Hz", why),
        damping: Reading::without(0.0, "1", why),
        amplitude: Reading::without(0.0, "N", why),
        resolution_hz,
    }
}

/// Readings of a wave whose decay, frequency and amplitude have these uncertainties.
fn told(wave: &Wave, [decay, angular, amplitude]: [f64; 3], span_s: f64) -> Oscillation {
    let [.., p, q, a, w] = *wave;
    let whole = libm::hypot(a, w);
    // d(a/√(a² + w²)): w² and a w over the cube.
    let damping = libm::hypot(w * w * decay, a * w * angular) / (whole * whole * whole);
    let left = |u| vec![Term::sure("what is left over", u)];
    Oscillation {
        frequency: Reading::with_terms(w / TAU / span_s, "Hz", left(angular / TAU / span_s)),
        damping: Reading::with_terms(a / whole, "1", left(damping)),
        amplitude: Reading::with_terms(libm::hypot(p, q), "N", left(amplitude)),
        resolution_hz: 1.0 / span_s,
    }
}

/// The best wave of up to so many cycles in the window, and uncertainties of decay, angular
/// frequency and amplitude.
fn fit(values: &[f64], cycles_most: f64) -> Option<(Wave, [f64; 3])> {
    let start = on_grid(values, cycles_most)?;
    let wave = settle(values, start)?;
    let [.., p, q, _, w] = wave;
    let spreads = spreads(values, &wave)?;
    let amplitude = libm::hypot(p, q);
    let told = w / TAU >= CYCLES_LEAST && amplitude > 4.0 * spreads[2];
    told.then_some((wave, spreads))
}

/// Best of a grid of frequencies and decays, on samples thinned to eight a cycle.
fn on_grid(values: &[f64], cycles_most: f64) -> Option<Wave> {
    let stride = ((values.len() as f64 / (8.0 * cycles_most)) as usize).max(1);
    let mut best: Option<(f64, Wave)> = None;
    let points = (FINE * (cycles_most - CYCLES_LEAST).max(0.0)) as usize;
    for k in 0..=points {
        let w = TAU * (CYCLES_LEAST + k as f64 / FINE);
        for a in [0.0, 1.5, 5.0] {
            let Some((square, wave)) = linear_part(values, stride, a, w) else {
                continue;
            };
            if best.is_none_or(|(least, _)| square < least) {
                best = Some((square, wave));
            }
        }
    }
    best.map(|(_, wave)| wave)
}

/// Everything but decay and frequency, solved for, with the sum of squares left.
fn linear_part(values: &[f64], stride: usize, a: f64, w: f64) -> Option<(f64, Wave)> {
    let (mut normal, mut total) = (Normal::NOTHING, 0.0);
    let step = stride as f64 / (values.len() - 1) as f64;
    // The wave turned and shrunk from sample to sample: no sine for each.
    let ((sin, cos), shrink) = (libm::sincos(w * step), libm::exp(-a * step));
    let turn = [shrink * cos, shrink * sin];
    let (mut t, mut p, mut q) = (0.0, 1.0, 0.0);
    for v in values.iter().step_by(stride) {
        normal.add(&[1.0, t, t * t, p, q], *v);
        total += v * v;
        (t, p, q) = (
            t + step,
            p * turn[0] - q * turn[1],
            p * turn[1] + q * turn[0],
        );
    }
    let c = normal.solve()?;
    let explained: f64 = c.iter().zip(normal.right).map(|(c, r)| c * r).sum();
    Some((total - explained, [c[0], c[1], c[2], c[3], c[4], a, w]))
}

/// Samples over which the wave is turned and shrunk before it is worked out anew: rounding then
/// is no more than some 1e-14 of it.
const TURNED: usize = 64;

/// Value and derivatives of the wave at each of so many even places in the window.
fn model(wave: &Wave, count: usize) -> impl Iterator<Item = (f64, Wave)> {
    let [c0, c1, c2, p, q, a, w] = *wave;
    let last = (count - 1) as f64;
    let at = move |t: f64| {
        let ((sin, cos), e) = (libm::sincos(w * t), libm::exp(-a * t));
        [e * cos, e * sin]
    };
    let turn = at(1.0 / last);
    let mut now = at(0.0);
    (0..count).map(move |i| {
        let t = i as f64 / last;
        now = match i % TURNED {
            0 => at(t),
            _ => [
                now[0] * turn[0] - now[1] * turn[1],
                now[0] * turn[1] + now[1] * turn[0],
            ],
        };
        let [cos, sin] = now;
        let (swing, turned) = (p * cos + q * sin, q * cos - p * sin);
        let value = c0 + t * (c1 + t * c2) + swing;
        (value, [1.0, t, t * t, cos, sin, -t * swing, t * turned])
    })
}

/// Sum of squares and the sums of least squares at a wave.
fn sums(values: &[f64], wave: &Wave) -> (f64, Normal<7>) {
    let (mut square, mut normal) = (0.0, Normal::NOTHING);
    for (v, (value, slopes)) in values.iter().zip(model(wave, values.len())) {
        let left = v - value;
        square += left * left;
        normal.add(&slopes, left);
    }
    (square, normal)
}

fn settle(values: &[f64], start: Wave) -> Option<Wave> {
    let (mut wave, mut damp) = (start, 1e-3);
    let (mut square, mut normal) = sums(values, &wave);
    for _ in 0..STEPS_MOST {
        let mut heavier = normal.matrix;
        for (i, row) in heavier.iter_mut().enumerate() {
            row[i] *= 1.0 + damp;
        }
        let step = solve(heavier, normal.right)?;
        let mut tried = wave;
        tried.iter_mut().zip(step).for_each(|(v, s)| *v += s);
        let (new_square, new_normal) = sums(values, &tried);
        if new_square <= square {
            let done = square - new_square <= 1e-12 * square;
            (wave, square, normal) = (tried, new_square, new_normal);
            damp = (damp * 0.1f64).max(1e-12);
            if done {
                break;
            }
        } else {
            damp *= 10.0;
            if damp > 1e6 {
                break;
            }
        }
    }
    Some(wave)
}

fn spreads(values: &[f64], wave: &Wave) -> Option<[f64; 3]> {
    let (square, normal) = sums(values, wave);
    let modelled = model(wave, values.len());
    let left: Vec<f64> = values.iter().zip(modelled).map(|(v, m)| v - m.0).collect();
    let variance = square / (values.len() as f64 - 7.0) * memory(&left);
    let of = |column: usize| {
        Some(libm::sqrt(
            (variance * inverse_column(&normal.matrix, column)?[column]).max(0.0),
        ))
    };
    let amplitude = libm::hypot(of(3)?, of(4)?);
    Some([of(5)?, of(6)?, amplitude])
}
