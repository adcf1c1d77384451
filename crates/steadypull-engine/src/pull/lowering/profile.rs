//! The way down: straight pieces joined by rounded (or sharp) edges.
//!
//! Answers: where is the ground, and how steep, a distance `s` down the way?
//! With `a` the slope (positive falling) and `k = da/ds` (0 on a straight piece,
//! ±1/R on a rounded edge):
//!
//! ```text
//! x' = cos a,  z' = −sin a,  a' = k
//! x = x0 + (sin a − sin a0)/k,  z = z0 + (cos a − cos a0)/k   (k ≠ 0)
//! ```
//!
//! An edge of turn `d` takes `R tan(|d|/2)` from each neighbour; where a piece is
//! too short for that, the radius is cut until half the piece is left on either
//! side. Above the way its first slope goes on, below it its last. Slopes under
//! 90 deg; a wall is no way down. Source: plane geometry.

use crate::plan::SlopePiece;

/// Turns gentler than this are no edges, rad.
const STRAIGHT_RAD: f64 = 1e-9;
/// Points that stand for one rounded edge in an outline.
const ARC_POINTS: usize = 8;

/// A place on the ground, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Level distance from the top of the way, m.
    pub x_m: f64,
    /// Height over the top of the way, m (falls on the way down).
    pub z_m: f64,
    /// Slope, positive falling, rad.
    pub slope_rad: f64,
}

/// The way down, ready to be asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    stretches: Vec<Stretch>,
    end_m: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    from_m: f64,
    start: Ground,
    curvature: f64,
}

impl Stretch {
    fn at(&self, s: f64) -> Ground {
        let u = s - self.from_m;
        let a0 = self.start.slope_rad;
        let (sin0, cos0) = (libm::sin(a0), libm::cos(a0));
        if self.curvature == 0.0 {
            return Ground {
                x_m: self.start.x_m + u * cos0,
                z_m: self.start.z_m - u * sin0,
                slope_rad: a0,
            };
        }
        let a = a0 + self.curvature * u;
        Ground {
            x_m: self.start.x_m + (libm::sin(a) - sin0) / self.curvature,
            z_m: self.start.z_m + (libm::cos(a) - cos0) / self.curvature,
            slope_rad: a,
        }
    }
}

impl Profile {
    /// The way through `pieces`, its edges rounded to `radius_m` where they fit.
    pub fn new(pieces: &[SlopePiece], radius_m: f64) -> Self {
        let mut way = Self {
            stretches: Vec::new(),
            end_m: 0.0,
        };
        let mut taken_before = 0.0;
        for (i, piece) in pieces.iter().enumerate() {
            let slope = piece.slope.get();
            let length = piece.length.get();
            let turn = pieces.get(i + 1).map_or(0.0, |n| n.slope.get() - slope);
            let (tangent, radius) = match pieces.get(i + 1) {
                Some(next) => rounding(turn, radius_m, length.min(next.length.get())),
                None => (0.0, 0.0),
            };
            way.push((length - taken_before - tangent).max(0.0), slope, 0.0);
            if radius > 0.0 {
                way.push(radius * turn.abs(), slope, turn.signum() / radius);
            }
            taken_before = tangent;
        }
        if way.stretches.is_empty() {
            way.push(0.0, 0.0, 0.0);
        }
        way
    }

    fn push(&mut self, length: f64, slope_rad: f64, curvature: f64) {
        let start = match self.stretches.last() {
            Some(last) => Ground {
                slope_rad,
                ..last.at(self.end_m)
            },
            None => Ground {
                x_m: 0.0,
                z_m: 0.0,
                slope_rad,
            },
        };
        self.stretches.push(Stretch {
            from_m: self.end_m,
            start,
            curvature,
        });
        self.end_m += length;
    }

    /// Length of the way along the ground, m.
    pub fn length_m(&self) -> f64 {
        self.end_m
    }

    /// The ground `s` m down the way; beyond either end straight on.
    pub fn at(&self, s: f64) -> Ground {
        self.as_from(s, s)
    }

    /// The ground at `s` if the stretch on which `from` lies went on to there: smooth,
    /// whatever edge is between the two.
    pub fn as_from(&self, from: f64, s: f64) -> Ground {
        if from > self.end_m {
            let end = self.stretches[self.stretches.len() - 1].at(self.end_m);
            let beyond = Stretch {
                from_m: self.end_m,
                start: end,
                curvature: 0.0,
            };
            return beyond.at(s);
        }
        let after = self.stretches.partition_point(|p| p.from_m <= from);
        self.stretches[after.saturating_sub(1)].at(s)
    }

    /// Places where the slope or its change jumps, m.
    pub fn breaks(&self) -> impl Iterator<Item = f64> + '_ {
        let inner = self.stretches.iter().skip(1).map(|p| p.from_m);
        inner.chain([self.end_m])
    }

    /// Height of the ground at level distance `x_m`, m.
    pub fn height_at(&self, x_m: f64) -> f64 {
        let (mut low, mut high) = (-1e3, self.end_m + 1e3);
        for _ in 0..48 {
            let mid = 0.5 * (low + high);
            if self.at(mid).x_m < x_m {
                low = mid;
            } else {
                high = mid;
            }
        }
        self.at(0.5 * (low + high)).z_m
    }

    /// Points along the ground between two distances that hold every edge.
    pub fn outline(&self, from_m: f64, to_m: f64) -> Vec<Ground> {
        let mut stations = vec![from_m, to_m];
        for (i, stretch) in self.stretches.iter().enumerate() {
            stations.push(stretch.from_m);
            if stretch.curvature != 0.0 {
                let end = self.stretches.get(i + 1).map_or(self.end_m, |n| n.from_m);
                let step = (end - stretch.from_m) / ARC_POINTS as f64;
                stations.extend((1..ARC_POINTS).map(|j| stretch.from_m + j as f64 * step));
            }
        }
        stations.push(self.end_m);
        stations.retain(|s| (from_m..=to_m).contains(s));
        stations.sort_by(f64::total_cmp);
        stations.dedup();
        stations.into_iter().map(|s| self.at(s)).collect()
    }
}

/// Length taken from each neighbour by an edge, and its radius.
fn rounding(turn: f64, radius_m: f64, shorter_m: f64) -> (f64, f64) {
    let half = libm::tan(0.5 * turn.abs());
    if turn.abs() < STRAIGHT_RAD || radius_m <= 0.0 {
        return (0.0, 0.0);
    }
    let tangent = (radius_m * half).min(0.5 * shorter_m);
    (tangent, tangent / half)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Angle, Length};

    fn piece(length: f64, deg: f64) -> SlopePiece {
        SlopePiece {
            length: Length::new(length),
            slope: Angle::from_deg(deg),
        }
    }

    #[test]
    fn sharp_edges_give_the_polygon() {
        let way = Profile::new(&[piece(4.0, 0.0), piece(10.0, 30.0)], 0.0);
        let foot = way.at(14.0);
        assert!((foot.x_m - (4.0 + 10.0 * libm::cos(Angle::from_deg(30.0).get()))).abs() < 1e-12);
        assert!((foot.z_m + 5.0).abs() < 1e-12);
        assert!((way.at(20.0).z_m + 8.0).abs() < 1e-12, "straight on");
    }

    #[test]
    fn closed_form_rounded_edge_meets_the_same_straights() {
        // Past the edge the rounded way lies on the sharp one, arc shorter than corner.
        let pieces = [piece(4.0, 0.0), piece(10.0, 30.0)];
        let (sharp, round) = (Profile::new(&pieces, 0.0), Profile::new(&pieces, 2.0));
        let half = libm::tan(Angle::from_deg(15.0).get());
        let shorter = 2.0 * 2.0 * half - 2.0 * Angle::from_deg(30.0).get();
        assert!((sharp.length_m() - round.length_m() - shorter).abs() < 1e-12);
        let (a, b) = (sharp.at(12.0), round.at(12.0 - shorter));
        assert!((a.x_m - b.x_m).abs() < 1e-12 && (a.z_m - b.z_m).abs() < 1e-12);
        assert!(round.at(4.0).slope_rad > 0.0 && round.at(4.0).slope_rad < 0.5);
    }

    #[test]
    fn a_piece_cut_in_two_is_the_same_way() {
        let whole = Profile::new(&[piece(3.0, 5.0), piece(8.0, 25.0)], 0.5);
        let cut = Profile::new(&[piece(3.0, 5.0), piece(4.0, 25.0), piece(4.0, 25.0)], 0.5);
        for i in 0..=24 {
            let s = 0.5 * f64::from(i) - 0.5;
            let (a, b) = (whole.at(s), cut.at(s));
            assert!((a.z_m - b.z_m).abs() < 1e-12 && (a.x_m - b.x_m).abs() < 1e-12);
            assert!((whole.height_at(a.x_m) - a.z_m).abs() < 1e-9);
        }
    }
}
