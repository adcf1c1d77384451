//! Values at even steps of time.

use core::ops::Range;

use thiserror::Error;

use super::lanes;

/// Values at even steps. A sample that is missing is NaN; it stays missing through
/// every step and in every drawing, and no reading is taken across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    start_s: f64,
    step_s: f64,
    values: Vec<f64>,
}

/// Why numbers are no series.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SeriesError {
    /// A step that is not above nought, or a start that is no time.
    #[error(
        "a series needs a start in seconds and a step above nought, got start {start_s} and step {step_s}"
    )]
    NoClock {
        /// Start as given, s.
        start_s: f64,
        /// Step as given, s.
        step_s: f64,
    },
    /// A value without end.
    #[error("sample {sample} is infinite: mark it as missing (NaN) or correct it")]
    Infinite {
        /// Which sample, counted from nought.
        sample: usize,
    },
    /// Fewer than two samples.
    #[error("a series needs at least two samples, got {0}")]
    TooShort(usize),
}

impl Series {
    /// A series that starts at `start_s` with one value every `step_s`.
    pub fn new(start_s: f64, step_s: f64, values: Vec<f64>) -> Result<Self, SeriesError> {
        if !(start_s.is_finite() && step_s.is_finite() && step_s > 0.0) {
            return Err(SeriesError::NoClock { start_s, step_s });
        }
        if values.len() < 2 {
            return Err(SeriesError::TooShort(values.len()));
        }
        if let Some(sample) = lanes::first(&values, f64::is_infinite) {
            return Err(SeriesError::Infinite { sample });
        }
        Ok(Self {
            start_s,
            step_s,
            values,
        })
    }

    /// Time of the first sample, s.
    pub fn start_s(&self) -> f64 {
        self.start_s
    }

    /// Time of the last sample, s.
    pub fn end_s(&self) -> f64 {
        self.time_s(self.values.len() - 1)
    }

    /// Time between two samples, s.
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// Samples a second, Hz.
    pub fn rate_hz(&self) -> f64 {
        1.0 / self.step_s
    }

    /// The values, NaN where there is none.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Time of a sample, s.
    pub fn time_s(&self, sample: usize) -> f64 {
        self.start_s + self.step_s * sample as f64
    }

    /// Where a time lies, in samples and parts of one; outside the series below nought
    /// or past the last.
    pub fn place(&self, time_s: f64) -> f64 {
        (time_s - self.start_s) / self.step_s
    }

    /// Samples from `from_s` to `to_s`, both taken in, cut to the series.
    pub fn between(&self, from_s: f64, to_s: f64) -> Range<usize> {
        let (from, to) = (self.place(from_s), self.place(to_s));
        let first = (from - 1e-9).ceil().max(0.0) as usize;
        let end = ((to + 1e-9).floor() + 1.0).max(0.0) as usize;
        let end = end.min(self.values.len());
        first.min(end)..end
    }

    /// The value at a time, straight between samples; `None` outside or in a gap.
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let place = self.place(time_s);
        let last = self.values.len() - 1;
        if !(-1e-9..=last as f64 + 1e-9).contains(&place) {
            return None;
        }
        let place = place.clamp(0.0, last as f64);
        let left = (place as usize).min(last - 1);
        let share = place - left as f64;
        let (a, b) = (self.values[left], self.values[left + 1]);
        let value = match share {
            0.0 => a,
            1.0 => b,
            _ => a + share * (b - a),
        };
        value.is_finite().then_some(value)
    }

    /// Its values alone.
    pub fn into_values(self) -> Vec<f64> {
        self.values
    }

    /// Stretches without a missing sample.
    pub fn runs(&self) -> Vec<Range<usize>> {
        runs(&self.values)
    }

    /// The same clock with other values, as many as before.
    pub(crate) fn with_values(&self, values: Vec<f64>) -> Self {
        debug_assert_eq!(values.len(), self.values.len());
        Self { values, ..*self }
    }
}

/// Stretches of values without a NaN.
pub(crate) fn runs(values: &[f64]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = 0;
    while from < values.len() {
        let rest = &values[from..];
        let length = lanes::first(rest, f64::is_nan).unwrap_or(rest.len());
        if length > 0 {
            found.push(from..from + length);
        }
        from += length + 1;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_and_places_agree() {
        let series = Series::new(2.0, 0.5, vec![0.0, 1.0, f64::NAN, 3.0]).unwrap();
        assert_eq!(series.time_s(3), 3.5);
        assert_eq!(series.between(2.5, 3.0), 1..3);
        assert_eq!(series.between(9.0, 10.0), 4..4);
        assert_eq!(series.between(0.0, 1.0), 0..0);
        assert_eq!(series.at(2.25), Some(0.5));
        assert_eq!(series.at(2.5), Some(1.0));
        assert_eq!(series.at(2.75), None);
        assert_eq!(series.at(3.5), Some(3.0));
        assert_eq!(series.at(3.6), None);
        assert_eq!(series.runs(), vec![0..2, 3..4]);
    }

    #[test]
    fn refuses_what_is_no_series() {
        assert!(matches!(
            Series::new(0.0, 0.0, vec![0.0, 1.0]),
            Err(SeriesError::NoClock { .. })
        ));
        assert_eq!(
            Series::new(0.0, 1.0, vec![0.0]),
            Err(SeriesError::TooShort(1))
        );
        assert_eq!(
            Series::new(0.0, 1.0, vec![0.0, f64::INFINITY]),
            Err(SeriesError::Infinite { sample: 1 })
        );
    }
}
