//! How long, how quickly, how much altogether.

use crate::events::{Event, Pull, crossing};
use crate::linear::Weighted;
use crate::signal::Channel;
use crate::turn;

use super::CLIPPED;
use super::budget::{Reading, Term};

/// Times and impulse of a pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// From 10 to 90 % of the peak, s.
    pub rise: Reading,
    /// Load over time from taut to end, N s.
    pub impulse: Reading,
    /// Taut to end, s.
    pub duration: Reading,
}

/// Rise, impulse and duration of a pull.
pub fn shape(channel: &Channel, pull: &Pull) -> Shape {
    Shape {
        rise: rise(channel, pull),
        impulse: impulse(channel, pull),
        duration: duration(pull),
    }
}

/// Why an end of a pull is not its true one, if it is not.
fn cut_off(pull: &Pull) -> Option<&'static str> {
    let cut = pull.begins_under_load || pull.ends_under_load;
    cut.then_some("the log begins or ends, or has a gap, while the line is under load")
}

fn duration(pull: &Pull) -> Reading {
    let value = pull.end.time_s - pull.taut.time_s;
    match cut_off(pull) {
        Some(why) => Reading::without(value, "s", why),
        None => Reading::with_terms(
            value,
            "s",
            vec![
                Term::sure("taut", pull.taut.uncertainty_s),
                Term::sure("end", pull.end.uncertainty_s),
            ],
        ),
    }
}

/// Time above half of the peak, s.
pub(super) fn width(channel: &Channel, pull: &Pull, peak_n: f64) -> Reading {
    let samples = around(channel, pull);
    let middle = channel
        .series
        .between(pull.peak.time_s, pull.peak.time_s + channel.series.step_s())
        .start;
    let up = crossing(channel, samples.start..middle + 1, 0.5 * peak_n, true);
    let down = crossing(channel, middle..samples.end, 0.5 * peak_n, false);
    match (up, down) {
        (Some(up), Some(down)) => {
            let terms = vec![
                Term::sure("half of the peak going up", up.uncertainty_s),
                Term::sure("half of the peak going down", down.uncertainty_s),
            ];
            Reading::with_terms(down.time_s - up.time_s, "s", terms)
        }
        _ => Reading::without(
            0.0,
            "s",
            "the log does not show half of the peak on both sides",
        ),
    }
}

/// Samples of a pull and one more at either end.
fn around(channel: &Channel, pull: &Pull) -> core::ops::Range<usize> {
    let samples = channel.series.between(pull.taut.time_s, pull.end.time_s);
    let end = (samples.end + 1).min(channel.series.values().len());
    samples.start.saturating_sub(1)..end
}

fn rise(channel: &Channel, pull: &Pull) -> Reading {
    let quality = &channel.quality;
    let samples = around(channel, pull);
    let Some(top) = turn::top(channel, samples.clone(), 0.0) else {
        return Reading::without(0.0, "s", "the log shows no top to rise to");
    };
    let highest = channel.series.between(top.time_s, pull.end.time_s).start;
    let at = |share: f64| crossing(channel, samples.start..highest + 1, share * top.value, true);
    let (Some(low), Some(high)) = (at(0.1), at(0.9)) else {
        return Reading::without(
            0.0,
            "s",
            "the log does not show the rise from 10 to 90 % of the peak",
        );
    };
    let value = high.time_s - low.time_s;
    if quality.clipped_between(pull.taut.time_s, pull.end.time_s) {
        return Reading::without(value, "s", CLIPPED);
    }
    let own = quality.filter.map_or(0.0, |f| f.rise_time_s());
    if value < 2.0 * own {
        let why = format!(
            "the filter alone takes {:.2} ms to rise: the true rise may be anything up to what is read; take a higher class",
            own * 1e3
        );
        return Reading::without(value, "s", why);
    }
    let peak = top.weights.noise(quality) * (0.9 / high.slope - 0.1 / low.slope);
    let zero = quality.zero * (1.0 / high.slope - 1.0 / low.slope);
    let terms = vec![
        Term::sure("noise at 10 %", low.uncertainty_s),
        Term::sure("noise at 90 %", high.uncertainty_s),
        Term::sure("noise of the peak", peak),
        Term::sure("zero", zero),
        Term::sure(
            "the filter's own rise",
            0.5 * own * own / value / 3f64.sqrt(),
        ),
    ];
    Reading::with_terms(value, "s", terms)
}

fn impulse(channel: &Channel, pull: &Pull) -> Reading {
    let (from_s, to_s) = pull.loaded_s;
    let Some((value, weights)) = integral(channel, from_s, to_s) else {
        return Reading::without(0.0, "N s", "samples are missing in the pull");
    };
    if channel.quality.clipped_between(from_s, to_s) {
        return Reading::without(value, "N s", CLIPPED);
    }
    if let Some(why) = cut_off(pull) {
        return Reading::without(value, "N s", why);
    }
    let quality = &channel.quality;
    let span_s = to_s - from_s;
    let at_end =
        |event: Event| channel.series.at(event.time_s).unwrap_or(0.0) * event.uncertainty_s;
    let absolute = quality.calibration.absolute_n * span_s;
    let terms = vec![
        Term {
            name: "noise",
            uncertainty: weights.noise(quality),
            freedom: quality.noise_freedom,
            parts: Vec::new(),
        },
        Term::sure("zero", quality.zero * span_s),
        Term::sure(
            "calibration",
            libm::hypot(quality.calibration.relative * value, absolute),
        ),
        Term::sure("taut", at_end(pull.taut)),
        Term::sure("end", at_end(pull.end)),
    ];
    Reading::with_terms(value, "N s", terms)
}

/// Load over time between two times, N s, straight between samples; `None` where samples are
/// missing or the record does not reach. Additive: `a` to `b` and `b` to `c` give `a` to `c`.
pub fn impulse_between(channel: &Channel, from_s: f64, to_s: f64) -> Option<f64> {
    integral(channel, from_s, to_s).map(|(value, _)| value)
}

/// The integral and its weights.
fn integral(channel: &Channel, from_s: f64, to_s: f64) -> Option<(f64, Weighted)> {
    let series = &channel.series;
    let last = series.values().len() - 1;
    let (a, b) = (series.place(from_s), series.place(to_s));
    if !(a >= -1e-9 && b <= last as f64 + 1e-9 && a <= b) {
        return None;
    }
    let (a, b) = (a.max(0.0), b.min(last as f64));
    let first = (a as usize).min(last - 1);
    let end = (b.ceil() as usize).max(first + 1);
    let mut weights = vec![0.0; end - first + 1];
    for left in first..end {
        // The part of this step that lies between the ends, and its middle.
        let (from, to) = (a.max(left as f64), b.min(left as f64 + 1.0));
        let width = (to - from).max(0.0);
        let middle = 0.5 * (from + to) - left as f64;
        weights[left - first] += width * (1.0 - middle) * series.step_s();
        weights[left - first + 1] += width * middle * series.step_s();
    }
    let weights = Weighted { first, weights };
    let value = weights.of(series.values());
    value.is_finite().then_some((value, weights))
}
