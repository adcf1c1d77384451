//! Footage beside a load log, by what both saw: the line coming taut, a part letting go.
//!
//! What happens between two frames is seen in the later one: it lies half a frame before
//! it, ± a frame's time over √12 (an even spread). With `o` log time less footage time of an
//! event at footage time `t`, and `w` one over its variance, both of
//!
//! ```text
//! o = offset + drift (t − t0),   t0 = Σ w t / Σ w
//! ```
//!
//! are found by weighted least squares with one reading more, that the drift is nought as
//! surely as the frame rate is known: with a rate taken as exact there is none. About `t0`
//! the two do not depend on one another. What is left is a chi-square with one degree of
//! freedom less than there are events: where events that agree would differ so much less
//! often than one time in twenty, they say different times, and the errors are widened by
//! the root of the chi-square over its degrees of freedom (Birge 1932, from memory).

use super::clock::Clock;
use crate::compare::chi_square::chi_square_above;
use crate::problem::{Problem, finite, in_range};
use crate::shapes::{Part, Shape};

/// Chance of agreement under which events count as saying different times.
const DISAGREE: f64 = 0.05;

/// An event that both saw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shared {
    /// First frame that shows it, counted from 0.
    pub frame: u32,
    /// How many frames off that may be: a standard deviation beside what lies between two
    /// frames.
    pub frames_error: f64,
    /// When the log has it, s.
    pub log_time_s: f64,
    /// Standard deviation of that, s.
    pub log_error_s: f64,
}

/// Log time less footage time. Errors are standard deviations.
#[derive(Debug, Clone, PartialEq)]
pub struct Offset {
    /// Footage time about which offset and drift do not depend on one another, s.
    pub at_s: f64,
    /// s to add to footage time there.
    pub offset_s: f64,
    /// Its error from frames and log, widened where events disagree; the shutter's readout is
    /// in [`Offset::error_at`].
    pub error_s: f64,
    /// What that is made of: frames (by eye and between two), rows that are not known, log.
    pub error_of: [f64; 3],
    /// Seconds that the log gains in one of the footage, as applied.
    pub drift: f64,
    /// Its error, widened likewise.
    pub drift_error: f64,
    /// The same and its error by the events alone, whatever the frame rate is said to be;
    /// none from one event, or where all fall into one frame.
    pub drift_seen: Option<(f64, f64)>,
    /// What is left of each event, s: by the log less by the footage.
    pub left_s: Vec<f64>,
    /// Error of each event, s.
    pub event_error_s: Vec<f64>,
    /// How far each event sets the offset: they sum to 1.
    pub weight_of: Vec<f64>,
    /// What of the error follows no bell curve: between two frames, by whole frames, rows.
    pub parts: Vec<Part>,
    /// Whether events agree; none from one event.
    pub agreement: Option<Agreement>,
    /// Row of the events as a share of the picture, and error of the readout, s.
    readout: (f64, f64),
}

/// Whether events agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Sum of squares of what is left, each by its error.
    pub chi_square: f64,
    /// Its degrees of freedom.
    pub freedom: u32,
    /// Chance that events which agree would differ so much or more.
    pub p: f64,
}

impl Agreement {
    /// Whether events say different times: so much is left once in twenty times or less.
    pub fn is_in_doubt(&self) -> bool {
        self.p < DISAGREE
    }
}

impl Offset {
    /// Footage time of a log time, s.
    pub fn footage_time_s(&self, log_time_s: f64) -> f64 {
        self.at_s + (log_time_s - self.at_s - self.offset_s) / (1.0 + self.drift)
    }

    /// Error of the log time of a mark, s, at a footage time and a row (as a share of the
    /// picture). A readout that is off moves marks and events together, the less between
    /// them the nearer their rows are.
    pub fn error_at(&self, footage_time_s: f64, row: f64) -> f64 {
        let (events_row, readout_error_s) = self.readout;
        let drifted_s = self.drift_error * (footage_time_s - self.at_s);
        let readout_s = readout_error_s * (row - events_row);
        libm::hypot(libm::hypot(self.error_s, drifted_s), readout_s)
    }

    /// What of that follows no bell curve, at a row.
    pub fn parts_at(&self, row: f64) -> Vec<Part> {
        let (events_row, readout_error_s) = self.readout;
        let readout = Part {
            deviation: readout_error_s * (row - events_row).abs(),
            shape: Shape::Even,
        };
        self.parts.iter().copied().chain([readout]).collect()
    }
}

/// The offset from one shared event or more. The events show at the row given, pixels; where
/// it is not known, somewhere between the top and the bottom of the picture.
pub fn sync(events: &[Shared], row_px: Option<f64>, clock: &Clock) -> Result<Offset, Problem> {
    clock.check()?;
    if events.is_empty() {
        return Err(Problem::TooFew {
            what: "events that both footage and log saw",
            least: 1,
            got: 0,
        });
    }
    let row = row_px.map(|px| px / clock.height_px);
    in_range("row of the events", row.unwrap_or(0.5), 0.0, 1.0)?;
    let seen = events
        .iter()
        .map(|event| seen(event, row, clock))
        .collect::<Result<Vec<Seen>, Problem>>()?;
    Ok(offset(&seen, row.unwrap_or(0.5), clock))
}

/// An event as both clocks have it.
struct Seen {
    footage_s: f64,
    offset_s: f64,
    error_s: f64,
    /// Frames, rows, log, s.
    error_of: [f64; 3],
    /// What of it follows no bell curve.
    parts: [Part; 3],
}

fn seen(event: &Shared, row: Option<f64>, clock: &Clock) -> Result<Seen, Problem> {
    finite("a shared event", &[event.log_time_s], 1)?;
    in_range("error of a log time, s", event.log_error_s, 0.0, 60.0)?;
    in_range("error of a frame", event.frames_error, 0.0, 1e6)?;
    let frame_s = 1.0 / clock.rate_hz;
    // An even spread over the rows, each as late as the readout makes it.
    let rows_s = match row {
        Some(_) => 0.0,
        None => libm::hypot(clock.readout_s, clock.readout_error_s) / 12f64.sqrt(),
    };
    let frames_s = frame_s * libm::hypot(event.frames_error, 1.0 / 12f64.sqrt());
    let footage_s = (f64::from(event.frame) - 0.5) * frame_s + clock.readout_s * row.unwrap_or(0.5);
    Ok(Seen {
        footage_s,
        offset_s: event.log_time_s - footage_s,
        error_s: libm::hypot(libm::hypot(frames_s, rows_s), event.log_error_s),
        error_of: [frames_s, rows_s, event.log_error_s],
        parts: [
            (frame_s / 12f64.sqrt(), Shape::Even),
            (
                frame_s * event.frames_error,
                Shape::Whole(event.frames_error),
            ),
            (rows_s, Shape::Even),
        ]
        .map(|(deviation, shape)| Part { deviation, shape }),
    })
}

fn offset(seen: &[Seen], row: f64, clock: &Clock) -> Offset {
    let sum = |of: &dyn Fn(&Seen) -> f64| -> f64 {
        let weighed = |one: &Seen| of(one) / (one.error_s * one.error_s);
        seen.iter().map(weighed).sum()
    };
    let weights = sum(&|_| 1.0);
    let at_s = sum(&|one| one.footage_s) / weights;
    let offset_s = sum(&|one| one.offset_s) / weights;
    let spread = sum(&|one| (one.footage_s - at_s) * (one.footage_s - at_s));
    let slope = sum(&|one| (one.footage_s - at_s) * (one.offset_s - offset_s));
    let rate_error = clock.rate_error_hz / clock.rate_hz;
    let known = 1.0 / (rate_error * rate_error);
    let drift = slope / (spread + known);
    let left = |one: &Seen| one.offset_s - offset_s - drift * (one.footage_s - at_s);
    let unlike_rate = match rate_error > 0.0 {
        true => drift * drift * known,
        false => 0.0,
    };
    let chi_square = sum(&|one| left(one) * left(one)) + unlike_rate;
    let freedom = seen.len() as u32 - 1;
    let agreement = (freedom > 0).then(|| Agreement {
        chi_square,
        freedom,
        p: chi_square_above(chi_square, f64::from(freedom)),
    });
    let widened = match agreement {
        Some(agreement) if agreement.is_in_doubt() => (chi_square / f64::from(freedom)).sqrt(),
        _ => 1.0,
    };
    let of = |kind: usize| {
        let squares =
            sum(&|one| one.error_of[kind] * one.error_of[kind] / (one.error_s * one.error_s));
        widened * squares.sqrt() / weights
    };
    let weight_of: Vec<f64> = seen
        .iter()
        .map(|one| 1.0 / (one.error_s * one.error_s * weights))
        .collect();
    let parts = seen.iter().zip(&weight_of);
    let parts = parts.flat_map(|(one, weight)| one.parts.map(|part| part.times(widened * weight)));
    Offset {
        parts: parts.collect(),
        weight_of,
        at_s,
        offset_s,
        error_s: widened / weights.sqrt(),
        error_of: [of(0), of(1), of(2)],
        drift,
        drift_error: widened / (spread + known).sqrt(),
        drift_seen: (freedom > 0 && spread > 0.0).then(|| (slope / spread, 1.0 / spread.sqrt())),
        left_s: seen.iter().map(left).collect(),
        event_error_s: seen.iter().map(|one| one.error_s).collect(),
        agreement,
        readout: (row, clock.readout_error_s),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shared(frame: u32, log_time_s: f64) -> Shared {
        Shared {
            frame,
            frames_error: 0.0,
            log_time_s,
            log_error_s: 0.0,
        }
    }

    #[test]
    fn by_hand() {
        let clock = Clock::even(100.0);
        let one = sync(&[shared(51, 2.0)], None, &clock).unwrap();
        assert!((one.offset_s - (2.0 - 0.505)).abs() < 1e-12);
        assert!((one.error_s - 0.01 / 12f64.sqrt()).abs() < 1e-12);
        assert_eq!((one.agreement, one.drift_seen), (None, None));
        assert!((one.error_of[0] - one.error_s).abs() < 1e-15 && one.error_of[1..] == [0.0, 0.0]);
        assert!((one.footage_time_s(2.0) - 0.505).abs() < 1e-12);
        let two = sync(&[shared(51, 2.0), shared(101, 2.504)], None, &clock).unwrap();
        assert!((two.offset_s - 1.497).abs() < 1e-12);
        assert!((two.error_s - 0.01 / 24f64.sqrt()).abs() < 1e-12);
        assert_eq!((two.drift, two.drift_error), (0.0, 0.0));
        // 4 ms more in half a second.
        assert!((two.drift_seen.unwrap().0 - 0.008).abs() < 1e-12);
        assert!(!two.agreement.unwrap().is_in_doubt());
        assert!(sync(&[], None, &clock).is_err());
    }

    #[test]
    fn events_that_say_different_times_widen_the_error() {
        let clock = Clock::even(100.0);
        let apart = sync(&[shared(51, 2.0), shared(101, 2.6)], None, &clock).unwrap();
        let agreement = apart.agreement.unwrap();
        assert!(agreement.is_in_doubt() && agreement.p < 1e-6);
        // Half of what they differ by, as the scatter of two readings about their mean is.
        assert!((apart.error_s - 0.05).abs() < 1e-12, "{apart:?}");
        // A rate that may be off by so much takes it up instead.
        let unsure = Clock {
            rate_error_hz: 25.0,
            ..clock
        };
        assert!(
            sync(&[shared(51, 2.0)], None, &unsure).is_err(),
            "a tenth at most"
        );
        let unsure = Clock {
            rate_error_hz: 10.0,
            ..clock
        };
        let taken_up = sync(&[shared(51, 2.0), shared(101, 2.55)], None, &unsure).unwrap();
        assert!(!taken_up.agreement.unwrap().is_in_doubt(), "{taken_up:?}");
        assert!((taken_up.drift - 0.1).abs() < 0.01, "{taken_up:?}");
        let late = taken_up.footage_time_s(2.55);
        assert!((late - 1.005).abs() < 1e-3, "{late}");
    }

    #[test]
    fn a_readout_cancels_on_the_row_of_the_events() {
        let clock = Clock {
            readout_s: 0.004,
            readout_error_s: 0.002,
            height_px: 1000.0,
            ..Clock::even(100.0)
        };
        let known = sync(&[shared(51, 2.0)], Some(250.0), &clock).unwrap();
        assert!((known.offset_s - (2.0 - 0.506)).abs() < 1e-12);
        assert_eq!(known.error_at(0.5, 0.25), known.error_s);
        let lower = known.error_at(0.5, 1.0);
        assert!((lower - libm::hypot(known.error_s, 0.0015)).abs() < 1e-12);
        let unknown = sync(&[shared(51, 2.0)], None, &clock).unwrap();
        assert!((unknown.offset_s - (2.0 - 0.507)).abs() < 1e-12);
        let [frames, rows, log] = unknown.error_of;
        assert!((frames - known.error_s).abs() < 1e-12 && log == 0.0);
        assert!((rows - libm::hypot(0.004, 0.002) / 12f64.sqrt()).abs() < 1e-12);
        assert!((unknown.error_s - libm::hypot(frames, rows)).abs() < 1e-12);
        assert!(sync(&[shared(51, 2.0)], Some(1001.0), &clock).is_err());
    }
}
