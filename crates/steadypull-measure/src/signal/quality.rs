//! What is known of a channel's doubt, carried beside its values.

use super::Series;
use super::calibration::CalibrationSpread;
use super::cfc::Filter;
use crate::shapes::Part;

/// Doubt of a channel, in the unit of its values.
#[derive(Debug, Clone, PartialEq)]
pub struct Quality {
    /// Standard deviation of one value before the filter, taken as noise without memory.
    pub noise: f64,
    /// Where that noise went through a smoothing spline first: from which rate on that takes it
    /// off, rad/s.
    pub smoothed_from: Option<f64>,
    /// Degrees of freedom behind it.
    pub noise_freedom: f64,
    /// The filter the values went through, if any.
    pub filter: Option<Filter>,
    /// Standard uncertainty of the zero.
    pub zero: f64,
    /// Standard uncertainty of the calibration.
    pub calibration: CalibrationSpread,
    /// Least step between two values.
    pub step: f64,
    /// Standard uncertainty of the channel's clock against the others', s.
    pub clock_s: f64,
    /// What of that follows no bell curve, s.
    pub clock_parts: Vec<Part>,
    /// How far the clock was set by the line coming taut, 0 to 1: so much of what that event is
    /// off in the log is in the clock too.
    pub clock_by_taut: f64,
    /// Stretches, s, in which the recorder was at its end.
    pub clipped_s: Vec<(f64, f64)>,
}

/// A cleaned channel: a series and its doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// The values.
    pub series: Series,
    /// What is known of their doubt.
    pub quality: Quality,
}

impl Quality {
    /// Nothing but noise of a standard deviation, known as well as can be.
    pub fn of_noise(noise: f64) -> Self {
        Self {
            noise,
            smoothed_from: None,
            noise_freedom: f64::INFINITY,
            filter: None,
            zero: 0.0,
            calibration: CalibrationSpread::default(),
            step: 0.0,
            clock_s: 0.0,
            clock_parts: Vec::new(),
            clock_by_taut: 0.0,
            clipped_s: Vec::new(),
        }
    }

    /// Standard deviation of one value after the filter.
    pub fn noise_after_filter(&self) -> f64 {
        self.noise * self.filter.as_ref().map_or(1.0, Filter::noise_share)
    }

    /// Standard uncertainty from values in steps: evenly spread over one step (JCGM
    /// 100:2008 F.2.2.1).
    pub fn digitisation(&self) -> f64 {
        self.step / 12f64.sqrt()
    }

    /// Whether the recorder was at its end at some time between two.
    pub fn clipped_between(&self, from_s: f64, to_s: f64) -> bool {
        self.clipped_s
            .iter()
            .any(|(a, b)| *a <= to_s && *b >= from_s)
    }
}
