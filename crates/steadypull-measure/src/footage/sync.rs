//! Footage beside a load log, by what both saw: the line coming taut, a part letting go.
//!
//! What happens between two frames is seen in the later one: it lies half a frame before
//! it, ± a frame's time over √12 (an even spread). The offset is the mean of log time
//! less footage time over the shared events, each weighted by one over its variance;
//! whether they agree is a chi-square of what is left.

use super::clock::{Clock, Mark};
use crate::compare::chi_square::chi_square_above;
use crate::problem::{Problem, finite, in_range};

/// An event that both saw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shared {
    /// First frame that shows it, at the place of the picture where it shows.
    pub first_shown: Mark,
    /// When the log has it, s.
    pub log_time_s: f64,
    /// Standard deviation of that, s: at least a sample's time over √12.
    pub log_error_s: f64,
}

/// Log time less footage time. Errors are standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset {
    /// s to add to footage time.
    pub offset_s: f64,
    /// Its error.
    pub error_s: f64,
    /// Chance that events which agree would differ so much; none from one event.
    pub agreement_p: Option<f64>,
}

/// The offset from one shared event or more.
pub fn sync(events: &[Shared], clock: &Clock) -> Result<Offset, Problem> {
    clock.check()?;
    if events.is_empty() {
        return Err(Problem::TooFew {
            what: "events that both footage and log saw",
            least: 1,
            got: 0,
        });
    }
    let (mut sum, mut weights, mut squares) = (0.0, 0.0, 0.0);
    for event in events {
        let mark = event.first_shown;
        finite(
            "a shared event",
            &[mark.x_px, mark.y_px, event.log_time_s],
            3,
        )?;
        in_range("error of a log time, s", event.log_error_s, 0.0, 10.0)?;
        let frame_s = 1.0 / clock.rate_hz;
        let row_s = clock.readout_error_s * mark.y_px / clock.height_px;
        let variance =
            frame_s * frame_s / 12.0 + event.log_error_s * event.log_error_s + row_s * row_s;
        let offset = event.log_time_s - (clock.time_s(&mark) - 0.5 * frame_s);
        sum += offset / variance;
        squares += offset * offset / variance;
        weights += 1.0 / variance;
    }
    let offset_s = sum / weights;
    let left = (squares - offset_s * sum).max(0.0);
    // A rate that is off moves all footage times together, the more the later they are.
    let drift = clock.rate_error_hz / clock.rate_hz;
    let middle: f64 = events
        .iter()
        .map(|e| clock.time_s(&e.first_shown))
        .sum::<f64>()
        / events.len() as f64;
    Ok(Offset {
        offset_s,
        error_s: libm::hypot((1.0 / weights).sqrt(), drift * middle),
        agreement_p: (events.len() > 1).then(|| chi_square_above(left, events.len() as f64 - 1.0)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shared(frame: u32, log_time_s: f64) -> Shared {
        Shared {
            first_shown: Mark {
                frame,
                x_px: 0.0,
                y_px: 0.0,
            },
            log_time_s,
            log_error_s: 0.0,
        }
    }

    #[test]
    fn by_hand() {
        let clock = Clock::even(100.0);
        let one = sync(&[shared(51, 2.0)], &clock).unwrap();
        assert!((one.offset_s - (2.0 - 0.505)).abs() < 1e-12);
        assert!((one.error_s - 0.01 / 12f64.sqrt()).abs() < 1e-12);
        assert_eq!(one.agreement_p, None);
        let two = sync(&[shared(51, 2.0), shared(101, 2.504)], &clock).unwrap();
        assert!((two.offset_s - 1.497).abs() < 1e-12);
        assert!((two.error_s - 0.01 / 24f64.sqrt()).abs() < 1e-12);
        assert!(two.agreement_p.unwrap() > 0.1);
        let apart = sync(&[shared(51, 2.0), shared(101, 2.6)], &clock).unwrap();
        assert!(apart.agreement_p.unwrap() < 1e-6);
        assert!(sync(&[], &clock).is_err());
    }
}
