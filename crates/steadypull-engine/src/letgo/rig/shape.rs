//! Shapes in plan and how far they reach from a middle.
//!
//! A capsule is all that lies within a radius of a straight part of line. Along a
//! ray from the middle, a shape reaches as far as its furthest point on that ray;
//! what lies nearer is taken in with it, so no gap is left between two shapes.

/// A place in plan, m.
pub type Spot = (f64, f64);

/// All within `radius` of the part of line from `a` to `b`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Capsule {
    pub a: Spot,
    pub b: Spot,
    pub radius: f64,
}

impl Capsule {
    /// How far it reaches from `middle` at `angle`; nothing if the ray misses it.
    pub fn reach(&self, middle: Spot, angle: f64) -> f64 {
        let u = (libm::cos(angle), libm::sin(angle));
        let ends = disc(self.a, self.radius, middle, u).max(disc(self.b, self.radius, middle, u));
        let along = minus(self.b, self.a);
        let size = dot(along, along).sqrt();
        if size < 1e-9 {
            return ends;
        }
        let out = (-along.1 * self.radius / size, along.0 * self.radius / size);
        let side = |sign: f64| {
            let shift = (sign * out.0, sign * out.1);
            let (a, b) = (plus(self.a, shift), plus(self.b, shift));
            crossing(middle, u, a, b)
        };
        ends.max(side(1.0)).max(side(-1.0))
    }
}

/// How far a polygon reaches from `middle` at `angle`.
pub(super) fn polygon_reach(corners: &[Spot], middle: Spot, angle: f64) -> f64 {
    let u = (libm::cos(angle), libm::sin(angle));
    sides(corners)
        .map(|(a, b)| crossing(middle, u, a, b))
        .fold(0.0, f64::max)
}

/// The sides of a closed polygon.
pub(super) fn sides(corners: &[Spot]) -> impl Iterator<Item = (Spot, Spot)> + '_ {
    let n = corners.len();
    (0..n).map(move |k| (corners[k], corners[(k + 1) % n]))
}

/// Distance of `p` from the part of line from `a` to `b`, and where along it
/// (0 to 1) its nearest place is.
pub(super) fn from_line(p: Spot, a: Spot, b: Spot) -> (f64, f64) {
    let along = minus(b, a);
    let size = dot(along, along);
    let share = if size > 0.0 {
        (dot(minus(p, a), along) / size).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let off = minus(p, (a.0 + share * along.0, a.1 + share * along.1));
    (dot(off, off).sqrt(), share)
}

/// The convex hull, anticlockwise.
pub(super) fn hull(spots: &[Spot]) -> Vec<Spot> {
    let mut sorted: Vec<Spot> = spots
        .iter()
        .copied()
        .filter(|p| p.0.is_finite() && p.1.is_finite())
        .collect();
    sorted.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let mut lower = half_hull(sorted.iter());
    let upper = half_hull(sorted.iter().rev());
    lower.extend(upper);
    lower
}

fn half_hull<'s>(spots: impl Iterator<Item = &'s Spot>) -> Vec<Spot> {
    let mut found: Vec<Spot> = Vec::new();
    for &p in spots {
        while let [.., a, b] = found.as_slice() {
            if cross(minus(*b, *a), minus(p, *a)) > 0.0 {
                break;
            }
            found.pop();
        }
        found.push(p);
    }
    found.pop();
    found
}

fn disc(at: Spot, radius: f64, middle: Spot, u: Spot) -> f64 {
    let to = minus(at, middle);
    let (along, off) = (dot(to, u), cross(u, to));
    let half = radius * radius - off * off;
    if half < 0.0 {
        0.0
    } else {
        (along + half.sqrt()).max(0.0)
    }
}

/// Distance along the ray at which it crosses the side from `a` to `b`.
fn crossing(middle: Spot, u: Spot, a: Spot, b: Spot) -> f64 {
    let side = minus(b, a);
    let across = cross(u, side);
    let to = minus(a, middle);
    if across.abs() < 1e-12 {
        // Along the ray: its further end, if it lies on it.
        let on = cross(u, to).abs() < 1e-9;
        return if on {
            dot(to, u).max(dot(minus(b, middle), u)).max(0.0)
        } else {
            0.0
        };
    }
    let share = cross(to, u) / across;
    if (-1e-9..=1.0 + 1e-9).contains(&share) {
        (cross(to, side) / across).max(0.0)
    } else {
        0.0
    }
}

fn minus(a: Spot, b: Spot) -> Spot {
    (a.0 - b.0, a.1 - b.1)
}

fn plus(a: Spot, b: Spot) -> Spot {
    (a.0 + b.0, a.1 + b.1)
}

fn dot(a: Spot, b: Spot) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

fn cross(a: Spot, b: Spot) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capsule_reaches_as_far_as_it_is() {
        let capsule = Capsule {
            a: (-5.0, 0.0),
            b: (5.0, 0.0),
            radius: 3.0,
        };
        let half_turn = core::f64::consts::PI;
        assert!((capsule.reach((0.0, 0.0), 0.0) - 8.0).abs() < 1e-12);
        assert!((capsule.reach((0.0, 0.0), half_turn / 2.0) - 3.0).abs() < 1e-12);
        // From outside: through to its far edge; away from it: nothing.
        assert!((capsule.reach((0.0, 10.0), -half_turn / 2.0) - 13.0).abs() < 1e-12);
        assert_eq!(capsule.reach((0.0, 10.0), half_turn / 2.0), 0.0);
    }

    #[test]
    fn hull_of_a_square_and_its_middle_is_the_square() {
        let spots = [(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.5, 0.5), (0.0, 1.0)];
        assert_eq!(
            hull(&spots),
            [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
        );
        assert!((polygon_reach(&hull(&spots), (0.5, 0.5), 0.0) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn nearest_place_on_a_line() {
        assert_eq!(from_line((3.0, 4.0), (0.0, 0.0), (10.0, 0.0)), (4.0, 0.3));
        assert_eq!(from_line((-3.0, 4.0), (0.0, 0.0), (10.0, 0.0)), (5.0, 0.0));
    }
}
