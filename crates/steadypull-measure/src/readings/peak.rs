//! The greatest load of a pull.
//!
//! Told twice: as the filter class gives it, which is what standards report, and with what the
//! filter took off put back (`filter_loss.rs`). Where a second run of the filter would take
//! more than a tenth off, the pulse is shorter than the class can follow and the peak gets no
//! interval.

use crate::events::Pull;
use crate::signal::Channel;
use crate::turn::{self, Turn};

use super::CLIPPED;
use super::budget::{Reading, Term};
use super::filter_loss::filter_loss;

/// Share of the peak a second filtering may take off before no interval is told.
const TOO_SHARP: f64 = 0.10;

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

/// The greatest load of a pull; the highest sample where the log shows no top (a pull that is
/// cut off), then without an interval.
pub fn peak(channel: &Channel, pull: &Pull) -> Peak {
    let series = &channel.series;
    let samples = series.between(pull.taut.time_s, pull.end.time_s);
    let Some(turn) = turn::top(channel, samples.clone(), 0.0) else {
        return cut_off(channel, samples);
    };
    let terms = terms(channel, &turn);
    let loss = filter_loss(channel, &turn.weights);
    let too_sharp = loss.again > TOO_SHARP * turn.value;
    let mut with_loss = terms.clone();
    with_loss.push(Term::sure("what the filter took off", loss.uncertainty));
    let clipped = channel
        .quality
        .clipped_between(pull.taut.time_s, pull.end.time_s);
    let reading = |value, terms, too_sharp| {
        if clipped {
            Reading::without(value, "N", CLIPPED)
        } else if too_sharp {
            Reading::without(
                value,
                "N",
                "the pulse is shorter than the filter class can follow: take a higher class",
            )
        } else {
            Reading::with_terms(value, "N", terms)
        }
    };
    Peak {
        as_filtered: reading(turn.value, terms, false),
        load: reading(turn.value + loss.put_back, with_loss, too_sharp),
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
            parts: Vec::new(),
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
    let (value, time_s) = highest.map_or((0.0, series.start_s()), |i| {
        (series.values()[i], series.time_s(i))
    });
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
            parts: Vec::new(),
        },
        Term::sure("zero", quality.zero),
        Term::sure("calibration", quality.calibration.at(turn.value)),
        Term::sure("steps of values", quality.digitisation()),
    ]
}
