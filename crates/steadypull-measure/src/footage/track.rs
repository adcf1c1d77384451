//! Marks to motion: position, speed and acceleration with their errors.
//!
//! Marks become seconds by the clock and metres by the plane, and each axis is smoothed
//! with the jerk kept small, readings weighted by their click errors. Two kinds of
//! error stand side by side: of the smoothing, different at each moment; and common to the
//! whole track, from the plane, the frame rate and the shutter, found by smoothing anew
//! with each of them moved by its error.

use super::clock::{Clock, Mark};
use super::plane::{Place, Plane};
use super::spline::{Noise, Penalty, Smooth, smooth, smooth_with};
use crate::problem::{Problem, in_range, rising};

/// The point at one mark, along one axis. Errors are standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// s from frame 0.
    pub time_s: f64,
    /// Position (m), speed (m/s) and acceleration (m/s²).
    pub motion: [f64; 3],
    /// Error of each from the noise of the marks.
    pub error: [f64; 3],
    /// Error of each at this second from plane, frame rate and shutter, common to the
    /// track.
    pub common_error: [f64; 3],
}

/// A track: its two axes, mark by mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// Along the plane's first and second axis.
    pub axes: [Vec<Moment>; 2],
    /// Noise of the marks over what the click error says, along each axis: near 1 where
    /// clicks are as good as stated; 1 where the click error was taken at its word.
    pub noise_ratio: [f64; 2],
}

/// Times and places of the marks.
struct Seen {
    times_s: Vec<f64>,
    places: Vec<Place>,
}

fn seen(marks: &[Mark], clock: &Clock, plane: &Plane) -> Seen {
    Seen {
        times_s: marks.iter().map(|m| clock.time_s(m)).collect(),
        places: marks.iter().map(|m| plane.place(m.x_px, m.y_px)).collect(),
    }
}

impl Seen {
    fn axis(&self, axis: usize) -> Vec<f64> {
        self.places.iter().map(|p| p.at_m[axis]).collect()
    }

    /// Weights that make a reading's noise 1 where the click error is right.
    fn weights(&self, axis: usize) -> Vec<f64> {
        let of = |p: &Place| 1.0 / (p.click_error_m[axis] * p.click_error_m[axis]);
        self.places.iter().map(of).collect()
    }

    fn smooth(&self, axis: usize, trust_clicks: bool) -> Result<Smooth, Problem> {
        let noise = match trust_clicks {
            true => Noise::Stated(1.0),
            false => Noise::Unknown,
        };
        let (values, weights) = (self.axis(axis), self.weights(axis));
        smooth(&self.times_s, &values, &weights, Penalty::Jerk, noise)
    }
}

/// Smooths a track of marks, in order of frames.
///
/// `trust_clicks` takes the click error at its word for how far to smooth; otherwise the
/// marks themselves say, by cross-validation, and are right only if they err apart from
/// one another.
pub fn track(
    marks: &[Mark],
    clock: &Clock,
    plane: &Plane,
    trust_clicks: bool,
) -> Result<Track, Problem> {
    let here = checked(marks, clock, plane)?;
    let smoothed = [here.smooth(0, trust_clicks)?, here.smooth(1, trust_clicks)?];
    let common = common_errors(marks, clock, plane, &here, &smoothed)?;
    let moments = |axis: usize| moments(&here.times_s, &smoothed[axis], &common[axis]);
    Ok(Track {
        axes: [moments(0), moments(1)],
        noise_ratio: [smoothed[0].noise, smoothed[1].noise],
    })
}

/// Along the plane's first axis alone: times of the marks, s from frame 0, and the track smoothed
/// as [`track`] smooths it, without what is common to it.
pub fn along(
    marks: &[Mark],
    clock: &Clock,
    plane: &Plane,
    trust_clicks: bool,
) -> Result<(Vec<f64>, Smooth), Problem> {
    let here = checked(marks, clock, plane)?;
    let smoothed = here.smooth(0, trust_clicks)?;
    Ok((here.times_s, smoothed))
}

/// The marks as they can be smoothed, or why they cannot.
fn checked(marks: &[Mark], clock: &Clock, plane: &Plane) -> Result<Seen, Problem> {
    clock.check()?;
    let here = seen(marks, clock, plane);
    rising("times of the marks", &here.times_s, 7)?;
    let errors = here.places.iter().flat_map(|place| place.click_error_m);
    for error_m in errors {
        in_range("error of a click in the plane, m", error_m, 1e-6, 1e3)?;
    }
    Ok(here)
}

fn three(values: &[f64]) -> [f64; 3] {
    [values[0], values[1], values[2]]
}

fn moments(times_s: &[f64], smoothed: &Smooth, common: &[[f64; 3]]) -> Vec<Moment> {
    (0..times_s.len())
        .map(|i| Moment {
            time_s: times_s[i],
            motion: three(&smoothed.derivatives[i]),
            error: three(&smoothed.errors[i]),
            common_error: common[i].map(f64::sqrt),
        })
        .collect()
}

/// How fast position, speed and acceleration change at each mark; the last by the
/// difference between its neighbours.
fn pace(times_s: &[f64], smoothed: &Smooth) -> Vec<[f64; 3]> {
    let motion = &smoothed.derivatives;
    let last = motion.len() - 1;
    (0..=last)
        .map(|i| {
            let (a, b) = (i.saturating_sub(1), (i + 1).min(last));
            let jerk = (motion[b][2] - motion[a][2]) / (times_s[b] - times_s[a]);
            [motion[i][1], motion[i][2], jerk]
        })
        .collect()
}

/// Variances common to the track, axis by axis and mark by mark.
fn common_errors(
    marks: &[Mark],
    clock: &Clock,
    plane: &Plane,
    here: &Seen,
    smoothed: &[Smooth; 2],
) -> Result<[Vec<[f64; 3]>; 2], Problem> {
    let mut pairs: Vec<[Seen; 2]> = plane
        .errors()
        .iter()
        .map(|[up, down]| [seen(marks, clock, up), seen(marks, clock, down)])
        .collect();
    // What is exact moves nothing.
    let unsure = clock.errors().into_iter().filter(|[up, down]| up != down);
    for [up, down] in unsure {
        pairs.push([seen(marks, &up, plane), seen(marks, &down, plane)]);
    }
    let mut sums = [vec![[0.0; 3]; marks.len()], vec![[0.0; 3]; marks.len()]];
    for (axis, sums) in sums.iter_mut().enumerate() {
        let weights = here.weights(axis);
        let pace = pace(&here.times_s, &smoothed[axis]);
        let anew = |seen: &Seen| {
            let values = seen.axis(axis);
            smooth_with(
                &seen.times_s,
                &values,
                &weights,
                Penalty::Jerk,
                smoothed[axis].lambda,
            )
        };
        for [up, down] in &pairs {
            let (late, early) = (&up.times_s, &down.times_s);
            let (up, down) = (anew(up)?, anew(down)?);
            for (i, sum) in sums.iter_mut().enumerate() {
                for (k, sum) in sum.iter_mut().enumerate() {
                    // At the same second, not at the same mark.
                    let late = pace[i][k] * (late[i] - early[i]);
                    let half = 0.5 * (up.derivatives[i][k] - down.derivatives[i][k] - late);
                    *sum += half * half;
                }
            }
        }
    }
    Ok(sums)
}
