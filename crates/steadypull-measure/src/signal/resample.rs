//! Uneven stamps to even steps.
//!
//! Straight between neighbours, or the cubic Hermite with slopes of the parabola through
//! three neighbours (for even stamps: Catmull and Rom 1974, from memory), which follows a
//! smooth record more closely and may overshoot beside a jump. Nothing is made up in a gap:
//! between stamps further apart than `longest_gap_s` the series is missing (NaN).

use thiserror::Error;

use super::{Series, SeriesError};

/// Samples made at most: a wrong stamp must not ask for all the memory there is.
const SAMPLES_MOST: f64 = 2e8;

/// How values between stamps are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Between {
    /// Straight.
    Linear,
    /// Cubic with the slopes of local parabolas.
    Cubic,
}

impl Between {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Linear => "straight",
            Self::Cubic => "cubic",
        }
    }
}

/// Why a log cannot be put on even steps.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ResampleError {
    /// Times and values differ in number.
    #[error("{times} times and {values} values: each value needs its time")]
    Unequal {
        /// Number of times.
        times: usize,
        /// Number of values.
        values: usize,
    },
    /// A stamp not after the one before.
    #[error(
        "sample {sample} is stamped {time_s} s, not after the sample before it: crop there or correct the clock first"
    )]
    ClockNotRising {
        /// Which sample, counted from nought.
        sample: usize,
        /// Its stamp, s.
        time_s: f64,
    },
    /// Steps that make no series.
    #[error(
        "a step of {step_s} s over {span_s} s makes no series: give a step in seconds, above nought and below the span"
    )]
    NoStep {
        /// Step asked for, s.
        step_s: f64,
        /// Span of the log, s.
        span_s: f64,
    },
    /// The series cannot be made.
    #[error(transparent)]
    Series(#[from] SeriesError),
}

/// Even steps of `step_s` from the first stamp on; missing between finite values whose
/// stamps are more than `longest_gap_s` apart.
pub fn resample(
    times_s: &[f64],
    values: &[f64],
    step_s: f64,
    between: Between,
    longest_gap_s: f64,
) -> Result<Series, ResampleError> {
    check(times_s, values, step_s)?;
    let (start_s, span_s) = (times_s[0], times_s[times_s.len() - 1] - times_s[0]);
    let count = libm::floor(span_s / step_s + 1e-6) as usize + 1;
    let known: Vec<usize> = (0..values.len())
        .filter(|i| values[*i].is_finite())
        .collect();
    let points = Points {
        times_s,
        values,
        known: &known,
        longest_gap_s,
    };
    let mut made = Vec::with_capacity(count);
    let mut left = 0;
    for i in 0..count {
        let time_s = start_s + step_s * i as f64;
        // A stamp a rounding error later still belongs to this step.
        while left + 2 < known.len() && points.time(left + 1) <= time_s {
            left += 1;
        }
        made.push(points.at(left, time_s, between, 1e-6 * step_s));
    }
    Ok(Series::new(start_s, step_s, made)?)
}

fn check(times_s: &[f64], values: &[f64], step_s: f64) -> Result<(), ResampleError> {
    if times_s.len() != values.len() {
        return Err(ResampleError::Unequal {
            times: times_s.len(),
            values: values.len(),
        });
    }
    if times_s.len() < 2 {
        return Err(SeriesError::TooShort(times_s.len()).into());
    }
    let rising = |i: &usize| times_s[*i].is_finite() && (*i == 0 || times_s[*i] > times_s[*i - 1]);
    if let Some(sample) = (0..times_s.len()).find(|i| !rising(i)) {
        return Err(ResampleError::ClockNotRising {
            sample,
            time_s: times_s[sample],
        });
    }
    if let Some(sample) = values.iter().position(|v| v.is_infinite()) {
        return Err(SeriesError::Infinite { sample }.into());
    }
    let span_s = times_s[times_s.len() - 1] - times_s[0];
    if !(step_s > 0.0 && step_s <= span_s && span_s / step_s <= SAMPLES_MOST) {
        return Err(ResampleError::NoStep { step_s, span_s });
    }
    Ok(())
}

/// Samples that are there, by their number among them.
struct Points<'a> {
    times_s: &'a [f64],
    values: &'a [f64],
    known: &'a [usize],
    longest_gap_s: f64,
}

impl Points<'_> {
    fn time(&self, k: usize) -> f64 {
        self.times_s[self.known[k]]
    }

    fn value(&self, k: usize) -> f64 {
        self.values[self.known[k]]
    }

    /// Whether samples `k` and the next belong to one stretch.
    fn joined(&self, k: usize) -> bool {
        k + 1 < self.known.len() && self.time(k + 1) - self.time(k) <= self.longest_gap_s
    }

    /// The value at a time between samples `k` and the next, NaN if there is none.
    fn at(&self, k: usize, time_s: f64, between: Between, near_s: f64) -> f64 {
        for j in [k, k + 1] {
            if j < self.known.len() && (self.time(j) - time_s).abs() <= near_s {
                return self.value(j);
            }
        }
        if !self.joined(k) || time_s < self.time(k) || time_s > self.time(k + 1) {
            return f64::NAN;
        }
        let width = self.time(k + 1) - self.time(k);
        let share = (time_s - self.time(k)) / width;
        let (a, b) = (self.value(k), self.value(k + 1));
        match between {
            Between::Linear => a + share * (b - a),
            Between::Cubic => {
                let (left, right) = (width * self.slope(k), width * self.slope(k + 1));
                hermite(a, b, left, right, share)
            }
        }
    }

    /// Slope at a sample of the parabola through it and its neighbours in the stretch;
    /// at an end of the stretch the slope of the straight line.
    fn slope(&self, k: usize) -> f64 {
        let straight =
            |j: usize| (self.value(j + 1) - self.value(j)) / (self.time(j + 1) - self.time(j));
        let before = k > 0 && self.joined(k - 1);
        match (before, self.joined(k)) {
            (true, true) => {
                let (h0, h1) = (
                    self.time(k) - self.time(k - 1),
                    self.time(k + 1) - self.time(k),
                );
                (straight(k - 1) * h1 + straight(k) * h0) / (h0 + h1)
            }
            (true, false) => straight(k - 1),
            _ => straight(k),
        }
    }
}

fn hermite(a: f64, b: f64, slope_a: f64, slope_b: f64, s: f64) -> f64 {
    let t = 1.0 - s;
    t * t * ((1.0 + 2.0 * s) * a + s * slope_a) + s * s * ((1.0 + 2.0 * t) * b - t * slope_b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uneven() -> Vec<f64> {
        (0..50)
            .map(|i| 0.1 * f64::from(i) + 0.03 * libm::sin(f64::from(i * i)))
            .collect()
    }

    #[test]
    fn straight_lines_come_out_straight_either_way() {
        let times = uneven();
        let values: Vec<f64> = times.iter().map(|t| 3.0 - 2.0 * t).collect();
        for between in [Between::Linear, Between::Cubic] {
            let series = resample(&times, &values, 0.037, between, 1.0).unwrap();
            for (i, v) in series.values().iter().enumerate() {
                assert!((v - (3.0 - 2.0 * series.time_s(i))).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn cubic_follows_a_parabola_and_a_sine_more_closely() {
        let times = uneven();
        let values: Vec<f64> = times.iter().map(|t| t * t).collect();
        let series = resample(&times, &values, 0.05, Between::Cubic, 1.0).unwrap();
        for i in 4..90 {
            let t = series.time_s(i);
            assert!((series.values()[i] - t * t).abs() < 1e-12);
        }
        let values: Vec<f64> = times.iter().map(|t| libm::sin(3.0 * t)).collect();
        let worst = |between| {
            let series = resample(&times, &values, 0.05, between, 1.0).unwrap();
            (4..90)
                .map(|i| (series.values()[i] - libm::sin(3.0 * series.time_s(i))).abs())
                .fold(0.0, f64::max)
        };
        assert!(worst(Between::Cubic) < 0.2 * worst(Between::Linear));
    }

    #[test]
    fn nothing_is_made_up_in_a_gap() {
        let times = [0.0, 0.1, 0.2, 0.8, 0.9, 1.0];
        let values = [1.0, 1.0, 1.0, 5.0, f64::NAN, 5.0];
        let series = resample(&times, &values, 0.1, Between::Linear, 0.15).unwrap();
        let missing: Vec<usize> = (0..11).filter(|i| series.values()[*i].is_nan()).collect();
        assert_eq!(missing, vec![3, 4, 5, 6, 7, 9]);
    }

    #[test]
    fn a_clock_that_does_not_rise_is_refused_with_its_place() {
        let error = resample(&[0.0, 0.1, 0.1], &[0.0; 3], 0.1, Between::Linear, 1.0);
        assert_eq!(
            error,
            Err(ResampleError::ClockNotRising {
                sample: 2,
                time_s: 0.1
            })
        );
        assert!(resample(&[0.0, 0.1], &[0.0; 3], 0.1, Between::Linear, 1.0).is_err());
        assert!(resample(&[0.0, 0.1], &[0.0; 2], 0.0, Between::Linear, 1.0).is_err());
        assert!(resample(&[0.0, 1e9], &[0.0; 2], 1e-9, Between::Linear, 1.0).is_err());
    }
}
