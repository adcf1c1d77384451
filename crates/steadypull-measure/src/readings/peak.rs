//! The greatest load of a pull.
//!
//! *What the filter takes off a peak.* Let `F` be the filter and `d` what a second run of it
//! would take off the filtered top, `d = y − F y`. A smooth top lost about `d` in the first run
//! already (`1 − F ≈ (f/f_c)⁴` is small and the same again). A sharp corner lost four times
//! `d`: with `H = 1/(1 + x⁴)`, `∫ (1−H)/x² dx = π/(2√2) = 1.1107` against `∫ (H−H²)/x² dx =
//! Γ(3/4) Γ(5/4)/4 = 0.2777`. So the correction is `2.5 d`, evenly spread between `d` and
//! `4 d`; where `d` does not stand out of its noise nothing is corrected and its noise
//! counts. Where `d` passes 5 % of the peak the pulse is shorter than the class can follow and
//! the peak gets no interval. Method: ours, held against CV-CFC-09.

use crate::events::Pull;
use crate::linear::Weighted;
use crate::signal::Channel;
use crate::signal::cfc::Filter;
use crate::turn::{self, Turn};

use super::CLIPPED;
use super::budget::{Reading, Term};

/// Share of the peak a second filtering may take off before no interval is told.
const TOO_SHARP: f64 = 0.05;
/// Corner over smooth: what was lost over what a second run loses.
const CORNER: f64 = 4.0;

/// The peak of a pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Peak {
    /// As the filter class gives it: what standards report, N.
    pub as_filtered: Reading,
    /// With what the filter took off put back, N.
    pub load: Reading,
    /// What was put back, N.
    pub put_back_n: f64,
    /// When, s.
    pub time: Reading,
    /// How long the load was above half the peak, s.
    pub width: Reading,
}

/// What the filter took off.
struct Loss {
    put_back: f64,
    uncertainty: f64,
    too_sharp: bool,
}

/// The greatest load of a pull; the highest sample where the log shows no top (a pull that is
/// cut off), then without an interval.
pub fn peak(channel: &Channel, pull: &Pull) -> Peak {
    let series = &channel.series;
    let samples = series.between(pull.taut.time_s, pull.end.time_s);
    let Some(turn) = turn::top(channel, samples.clone(), 0.0) else {
        return cut_off(channel, samples);
    };
    let terms = terms(channel, &turn);
    let loss = loss(channel, &turn);
    let mut with_loss = terms.clone();
    with_loss.push(Term::sure("what the filter took off", loss.uncertainty));
    let clipped = channel
        .quality
        .clipped_between(pull.taut.time_s, pull.end.time_s);
    let reading = |value, terms, too_sharp| {
        if clipped {
            Reading::without(value, "N", CLIPPED)
        } else if too_sharp {
            Reading::without(value, "N", "the pulse is shorter than the filter class can follow: take a higher class")
        } else {
            Reading::with_terms(value, "N", terms)
        }
    };
    Peak {
        as_filtered: reading(turn.value, terms, false),
        load: reading(turn.value + loss.put_back, with_loss, loss.too_sharp),
        put_back_n: loss.put_back,
        time: time(channel, &turn),
        width: super::shape::width(channel, pull, turn.value),
    }
}

fn time(channel: &Channel, turn: &Turn) -> Reading {
    let quality = &channel.quality;
    let terms = vec![
        Term {
            name: "noise",
            uncertainty: turn.time_uncertainty_s,
            freedom: quality.noise_freedom,
        },
        Term::sure("clock", quality.clock_s),
    ];
    Reading::with_terms(turn.time_s, "s", terms)
}

fn cut_off(channel: &Channel, samples: core::ops::Range<usize>) -> Peak {
    let series = &channel.series;
    let highest = samples
        .filter(|i| series.values()[*i].is_finite())
        .max_by(|a, b| series.values()[*a].total_cmp(&series.values()[*b]));
    let (value, time_s) = highest.map_or((0.0, series.start_s()), |i| (series.values()[i], series.time_s(i)));
    let why = "the log shows no top with load falling on both sides: the true peak may lie outside";
    Peak {
        as_filtered: Reading::without(value, "N", why),
        load: Reading::without(value, "N", why),
        put_back_n: 0.0,
        time: Reading::without(time_s, "s", why),
        width: Reading::without(0.0, "s", why),
    }
}

fn terms(channel: &Channel, turn: &Turn) -> Vec<Term> {
    let quality = &channel.quality;
    vec![
        Term {
            name: "noise",
            uncertainty: turn.weights.noise(quality),
            freedom: quality.noise_freedom,
        },
        Term::sure("zero", quality.zero),
        Term::sure("calibration", quality.calibration.at(turn.value)),
        Term::sure("steps of values", quality.digitisation()),
    ]
}

fn loss(channel: &Channel, turn: &Turn) -> Loss {
    let Some(filter) = channel.quality.filter else {
        return Loss {
            put_back: 0.0,
            uncertainty: 0.0,
            too_sharp: false,
        };
    };
    let d = again(channel, &filter, turn);
    let through = Weighted {
        first: 0,
        weights: filter.weights_through(&turn.weights.weights),
    };
    let plain = Weighted {
        first: filter.pad(),
        weights: turn.weights.weights.clone(),
    };
    let noise = plain.mix(1.0, &through, -1.0).noise(&channel.quality);
    let middle = 0.5 * (1.0 + CORNER);
    let stands_out = d > 2.0 * noise;
    let spread = 0.5 * (CORNER - 1.0) * d / 3f64.sqrt();
    Loss {
        put_back: if stands_out { middle * d } else { 0.0 },
        uncertainty: if stands_out {
            libm::sqrt(spread * spread + middle * middle * noise * noise)
        } else {
            noise
        },
        too_sharp: d > TOO_SHARP * turn.value,
    }
}

/// What the filter would take off the top once more, N.
fn again(channel: &Channel, filter: &Filter, turn: &Turn) -> f64 {
    let values = channel.series.values();
    let (first, end) = (turn.weights.first, turn.weights.first + turn.weights.weights.len());
    let reach = 3 * filter.pad();
    let left = (first.saturating_sub(reach)..first).rev().take_while(|i| !values[*i].is_nan()).count();
    let right = (end..(end + reach).min(values.len())).take_while(|i| !values[*i].is_nan()).count();
    let part = &values[first - left..end + right];
    let local = Weighted {
        first: left,
        weights: turn.weights.weights.clone(),
    };
    filter
        .stretch(part)
        .map_or(f64::INFINITY, |twice| local.of(part) - local.of(&twice))
}
