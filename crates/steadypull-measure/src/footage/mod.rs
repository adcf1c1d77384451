//! Footage: marks of a point in frames to position, speed and acceleration in metres and
//! seconds, with how sure each is.
//!
//! - [`Mark`]: a point in a frame, by hand or from a tracker: the seam to whatever finds
//!   points in video.
//! - [`Plane`]: pixels to metres in one plane, from a known length or four points.
//! - [`Clock`]: frames to seconds, with frame rate and shutter as sure as they are.
//! - [`smooth`]: a smoothing spline with its derivatives; [`track`] puts all together,
//!   [`along`] the places along one axis alone.
//! - [`sync`]: footage beside a load log.
//!
//! Limits: one plane, lens distortion not taken out, the point in the plane throughout.

mod chain;
mod clock;
mod plane;
mod spline;
mod sync;
mod track;

pub use clock::{Clock, Mark};
pub use plane::{Place, Plane};
pub use spline::{Noise, Penalty, Smooth, smooth, smooth_with};
pub use sync::{Agreement, Offset, Shared, sync};
pub use track::{Moment, Track, along, track};
