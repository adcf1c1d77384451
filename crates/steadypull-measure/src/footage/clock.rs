//! Frames to seconds.
//!
//! ```text
//! t = frame / rate + readout × y / height
//! ```
//!
//! A rolling shutter reads the picture from its top row to its bottom one in `readout`;
//! a point lower in the picture is seen later. Where the readout is not known, give half
//! the longest it can be (a frame's time) and that over √3 as its error: an even spread.

use crate::problem::{Problem, in_range};

/// A point in a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Frame, counted from 0.
    pub frame: u32,
    /// Right of the left edge, pixels.
    pub x_px: f64,
    /// Below the top edge, pixels.
    pub y_px: f64,
}

/// How frames become seconds. Errors are standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// Frames a second, as recorded (not as played).
    pub rate_hz: f64,
    /// Its error.
    pub rate_error_hz: f64,
    /// Time from the first row read to the last, s; 0 for a global shutter.
    pub readout_s: f64,
    /// Its error.
    pub readout_error_s: f64,
    /// Rows of the picture.
    pub height_px: f64,
}

impl Clock {
    /// An even clock: rate known, all rows at once.
    pub fn even(rate_hz: f64) -> Self {
        Self {
            rate_hz,
            rate_error_hz: 0.0,
            readout_s: 0.0,
            readout_error_s: 0.0,
            height_px: 1.0,
        }
    }

    /// When a mark was seen, s from frame 0.
    pub fn time_s(&self, mark: &Mark) -> f64 {
        f64::from(mark.frame) / self.rate_hz + self.readout_s * mark.y_px / self.height_px
    }

    pub(super) fn check(&self) -> Result<(), Problem> {
        in_range("frames a second", self.rate_hz, 1.0, 1e6)?;
        in_range(
            "error of the frame rate",
            self.rate_error_hz,
            0.0,
            0.1 * self.rate_hz,
        )?;
        in_range(
            "shutter readout, s",
            self.readout_s,
            0.0,
            1.0 / self.rate_hz,
        )?;
        in_range(
            "error of the readout, s",
            self.readout_error_s,
            0.0,
            1.0 / self.rate_hz,
        )?;
        in_range("rows of the picture", self.height_px, 1.0, 1e6)?;
        Ok(())
    }

    /// The clock with each of its errors taken up and down once.
    pub(super) fn errors(&self) -> [[Self; 2]; 2] {
        let rate = |sign: f64| Self {
            rate_hz: self.rate_hz + sign * self.rate_error_hz,
            ..*self
        };
        let readout = |sign: f64| Self {
            readout_s: self.readout_s + sign * self.readout_error_s,
            ..*self
        };
        [[rate(1.0), rate(-1.0)], [readout(1.0), readout(-1.0)]]
    }
}
