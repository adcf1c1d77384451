//! Where the ground lies on the sheet, and at which scale.

use steadypull_contract::answer::{PlanPoint, Standoff};

use super::super::Frame;
use crate::canvas::At;

/// Where the ground lies on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground {
    /// Sheet units in a metre.
    pub(super) scale: f64,
    /// Sheet edge of the lowest x.
    pub(super) left: f64,
    /// Sheet edge of the highest y.
    pub(super) top: f64,
    /// Lowest x and y, m.
    pub(super) low: At,
    /// Highest x and y, m.
    pub(super) high: At,
    /// Whether the zone is too low to hold its warning.
    pub(super) low_zone: bool,
}

impl Ground {
    pub(super) fn at(&self, point: PlanPoint) -> At {
        (
            self.left + (tame(point.x_m) - self.low.0) * self.scale,
            self.top + (self.high.1 - tame(point.y_m)) * self.scale,
        )
    }

    pub(super) fn bottom(&self) -> f64 {
        self.top + (self.high.1 - self.low.1) * self.scale
    }
}

pub(super) fn tame(value: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-1e5, 1e5)
    } else {
        0.0
    }
}

/// Lowest and highest corner; none without a corner.
pub(super) fn extent<'a>(corners: impl Iterator<Item = &'a PlanPoint>) -> Option<(At, At)> {
    let (mut low, mut high) = (
        (f64::INFINITY, f64::INFINITY),
        (f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    for corner in corners {
        let (x, y) = (tame(corner.x_m), tame(corner.y_m));
        low = (low.0.min(x), low.1.min(y));
        high = (high.0.max(x), high.1.max(y));
    }
    low.0.is_finite().then_some((low, high))
}

/// Fits an extent between the edges of a sheet under `top`, no higher than
/// `most_high`; none where it has no size.
pub(super) fn fitted(
    (low, high): (At, At),
    (left, right): (f64, f64),
    top: f64,
    most_high: f64,
) -> Option<Ground> {
    let (long, wide) = (high.0 - low.0, high.1 - low.1);
    let scale = ((right - left) / long.max(1e-3)).min(most_high / wide.max(1e-3));
    let sound = long.max(wide) > 0.0 && scale.is_finite() && scale > 0.0;
    sound.then(|| Ground {
        scale,
        left: left + (right - left - long * scale) / 2.0,
        top,
        low,
        high,
        low_zone: false,
    })
}

/// Fits everything with a size into the frame; none if nothing has one.
pub(super) fn ground(standoff: &Standoff, frame: Frame) -> Option<Ground> {
    let corners = standoff
        .zone
        .iter()
        .chain(&standoff.rule_zone)
        .chain(standoff.outlines.iter().flat_map(|o| &o.points));
    let (low, high) = extent(corners)?;
    let (long, wide) = (high.0 - low.0, (high.1 - low.1).max(2.0));
    if !(long > 0.0 && long.is_finite()) {
        return None;
    }
    let s = frame.size;
    let beside_room = s * 1.6;
    let across = frame.width - beside_room - s * 0.4;
    let scale = (across / long).min(frame.width * 0.62 / wide);
    let left = beside_room + (across - long * scale) / 2.0;
    // The room between the line and the zone's lower edge, less a vehicle.
    let low_zone = (-low.1).min(wide) * scale - scale < s * 4.4;
    Some(Ground {
        scale,
        left,
        top: s * if low_zone { 3.3 } else { 1.8 },
        low,
        high,
        low_zone,
    })
}
