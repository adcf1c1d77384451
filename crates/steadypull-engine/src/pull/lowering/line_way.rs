//! The way of a line from its anchor down to the vehicle, over the ground.
//!
//! A tight line lies on the upper hull of the ground between its ends: straight
//! where nothing is in its way, bent over the edges where the ground rises into
//! it. Its bend in all, `w`, gives the share of its tension that reaches the
//! holder while it pays out, `exp(−mu w)` (Euler–Eytelwein, CV-CAP-01). Its own
//! weight and sag are left out.

use super::profile::{Ground, Profile};
use super::stance::Point;

/// A line over the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct LineWay {
    /// Length from anchor to vehicle, m.
    pub length_m: f64,
    /// Bend over edges in all, rad.
    pub wrap_rad: f64,
    /// Unit vector at the vehicle, out along the line.
    pub out: Point,
    /// Where it turns, anchor and vehicle included.
    pub points: Vec<Point>,
}

/// Ground between an anchor and the far end of the way, from which line ways are made.
#[derive(Debug, Clone, PartialEq)]
pub struct Terrain {
    anchor: Point,
    outline: Vec<Ground>,
}

impl Terrain {
    /// With an anchor `back_m` uphill of the top of the way, the line `height_m`
    /// over the ground there.
    pub fn new(profile: &Profile, back_m: f64, height_m: f64) -> Self {
        let foot = profile.at(-back_m);
        Self {
            anchor: [foot.x_m, foot.z_m + height_m],
            outline: profile.outline(-back_m, profile.length_m() + 1.0),
        }
    }

    /// Where the line starts.
    pub fn anchor(&self) -> Point {
        self.anchor
    }

    /// The line from the anchor to `end`.
    pub fn line_to(&self, end: Point) -> LineWay {
        let mut hull: Vec<Point> = vec![self.anchor];
        let between = self
            .outline
            .iter()
            .map(|g| [g.x_m, g.z_m])
            .filter(|p| p[0] > self.anchor[0] + 1e-9 && p[0] < end[0] - 1e-9);
        for p in between.chain([end]) {
            while hull.len() >= 2 && !turns_down(hull[hull.len() - 2], hull[hull.len() - 1], p) {
                hull.pop();
            }
            hull.push(p);
        }
        let n = hull.len();
        let last_rad = fall(hull[n - 2], hull[n - 1]);
        let length = |p: &[Point]| libm::hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]);
        LineWay {
            length_m: hull.windows(2).map(length).sum(),
            wrap_rad: (last_rad - fall(hull[0], hull[1])).max(0.0),
            out: [-libm::cos(last_rad), libm::sin(last_rad)],
            points: hull,
        }
    }
}

/// Slope of the way from `a` to `b`, positive falling, rad.
fn fall(a: Point, b: Point) -> f64 {
    libm::atan2(a[1] - b[1], b[0] - a[0])
}

/// Whether the way over `b` bends downwards, as a line lying on ground does.
fn turns_down(a: Point, b: Point, c: Point) -> bool {
    (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::SlopePiece;
    use crate::units::{Angle, Length};

    #[test]
    fn closed_form_line_over_one_edge() {
        let piece = |deg| SlopePiece {
            length: Length::new(10.0),
            slope: Angle::from_deg(deg),
        };
        let way = Profile::new(&[piece(0.0), piece(30.0)], 0.0);
        let line = Terrain::new(&way, 5.0, 0.0).line_to([way.at(16.0).x_m, way.at(16.0).z_m]);
        assert!((line.length_m - 21.0).abs() < 1e-9);
        assert!((line.wrap_rad - Angle::from_deg(30.0).get()).abs() < 1e-9);
        assert!((line.out[1] - 0.5).abs() < 1e-9);
        let clear = Terrain::new(&way, 0.0, 8.0).line_to([12.0, 0.5]);
        assert!(clear.wrap_rad == 0.0 && clear.points.len() == 2);
    }
}
