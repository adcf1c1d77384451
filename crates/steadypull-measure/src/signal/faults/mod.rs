//! What is wrong with a log, where, and what it does to the numbers.
//!
//! Thresholds are in medians of the step of time, in scatters from sample to sample, or in
//! samples, and stand beside their use. Method: ours, save the spike test (F. R. Hampel's
//! identifier, in R. K. Pearson, IEEE Trans. Control Syst. Technol. 10 (2002) 55–63, from
//! memory). A fault that is not found is not ruled out: a recorder that holds its last
//! value for two samples, or a filter in its amplifier, leaves no trace here.

mod clock;
mod values;
mod words;

use super::Stamps;
use super::cfc::Cfc;
use super::survey::Survey;
use super::zero::Quiet;
use crate::together::InTurn;

/// What to look for beyond what the log itself tells.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Looking {
    /// The filter class that is to be used, if any: its least sample rate is checked.
    pub filter: Option<Cfc>,
    /// Readings at which the recorder is at its end, lowest and highest, if known.
    pub ends: Option<(f64, f64)>,
}

/// Where a fault is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Time it begins, s.
    pub from_s: f64,
    /// Time it ends, s.
    pub to_s: f64,
    /// First sample, counted from nought.
    pub first: usize,
    /// Last sample.
    pub last: usize,
}

/// Something wrong with a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// What.
    pub kind: FaultKind,
    /// Where.
    pub place: Place,
}

/// Kinds of fault.
#[derive(Debug, Clone, PartialEq)]
pub enum FaultKind {
    /// Times and values differ in number, or a time is no number.
    NoClock,
    /// Stamps further apart than one step and a half.
    Gap {
        /// Samples that would have fitted.
        missing: usize,
    },
    /// A stamp given twice.
    DuplicateStamp,
    /// Two stamps in the wrong order.
    TimeReversed {
        /// How far back, s.
        back_s: f64,
    },
    /// The clock was set back, and goes on from there.
    ClockStep {
        /// How far back, s.
        back_s: f64,
    },
    /// Steps of time scatter.
    Jitter {
        /// Scatter of a step over the median step.
        share: f64,
    },
    /// Flat at an end of what the recorder can read.
    Saturated {
        /// The reading it stays at.
        at: f64,
        /// Whether at the upper end.
        high: bool,
    },
    /// The same value over and over while the rest of the log scatters.
    Stuck {
        /// The value.
        at: f64,
    },
    /// Values that are missing.
    Missing,
    /// Up to three samples far outside their neighbours.
    Spike {
        /// How far outside, in the unit of the values.
        height: f64,
    },
    /// The quiet parts before and after do not agree.
    ZeroDrift {
        /// Level before.
        before: f64,
        /// Level after.
        after: f64,
    },
    /// Too few samples a second for the filter class.
    SlowForFilter {
        /// The log's rate, Hz.
        rate_hz: f64,
        /// The least rate of the class, Hz.
        least_hz: f64,
    },
    /// Values so coarse that steps, not noise, limit what can be read.
    Coarse {
        /// Least step between two values.
        step: f64,
    },
}

/// Everything found wrong with a log, in order of place.
pub fn look<'t>(times_s: impl Into<Stamps<'t>>, values: &[f64], looking: &Looking) -> Vec<Fault> {
    let times_s = times_s.into();
    look_in(
        times_s,
        values,
        &Survey::of(times_s, values, &InTurn),
        looking,
    )
}

/// The same of a log that is surveyed.
pub(super) fn look_in(
    times_s: Stamps<'_>,
    values: &[f64],
    survey: &Survey,
    looking: &Looking,
) -> Vec<Fault> {
    let is_clock = match times_s {
        Stamps::Listed(times_s) => times_s.iter().all(|t| t.is_finite()),
        Stamps::Even(_) => true,
    };
    if times_s.len() != values.len() || !is_clock {
        return vec![clock::none(times_s, values)];
    }
    if times_s.len() < 2 {
        return Vec::new();
    }
    let mut found = clock::look(times_s, looking.filter);
    found.extend(values::look(times_s, values, survey, looking));
    found.sort_by_key(|fault| (fault.place.first, fault.place.last));
    found
}

/// The zero's drift from the quiet parts of a log (see [`super::zero`]): first
/// and last at rest differ by more than three standard uncertainties and half a scatter.
fn drift(parts: &[Quiet], greatest: f64) -> Option<Fault> {
    let (first, last) = (parts.first()?, parts.last()?);
    let by = last.level - first.level;
    let doubt = libm::sqrt(
        first.level_uncertainty * first.level_uncertainty
            + last.level_uncertainty * last.level_uncertainty,
    );
    let at_rest = by.abs() < 0.2 * (greatest - first.level).abs();
    (parts.len() > 1 && at_rest && by.abs() > 3.0 * doubt && by.abs() > 0.5 * first.scatter).then(
        || Fault {
            kind: FaultKind::ZeroDrift {
                before: first.level,
                after: last.level,
            },
            place: Place {
                from_s: first.to_s,
                to_s: last.from_s,
                first: first.samples.end - 1,
                last: last.samples.start,
            },
        },
    )
}

impl Place {
    fn of(times_s: Stamps<'_>, first: usize, last: usize) -> Self {
        Self {
            from_s: times_s.at(first),
            to_s: times_s.at(last),
            first,
            last,
        }
    }
}
