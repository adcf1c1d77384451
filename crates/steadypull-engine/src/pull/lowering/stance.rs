//! How a two-axle vehicle stands on the way: on its wheels, or on its chassis.
//!
//! The feet of the two wheels are a wheelbase apart in a straight line; the
//! vehicle's pitch `p` is the slope of that chord. Where the ground between the
//! axles rises above the chassis, the vehicle sits on the edge with its chassis:
//! first with its upper axle, and, once its weight is past the edge, with its
//! lower axle. Tilted about the edge point `r` from the upper foot (slope angle
//! `f`), a chassis `c` above the feet touches it at `p = f + asin(c/|r|)`.
//!
//! The wheels are points: rolling over an edge with a large wheel is gentler.

use super::profile::{Ground, Profile};
use crate::plan::LoweredBody;

/// Steps along the ground in the search for the lower wheel, as a share of the
/// wheelbase.
const MARCH: f64 = 0.02;

/// A point in the vertical plane of the way, m: level distance and height.
pub type Point = [f64; 2];

/// What the vehicle stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// Both axles.
    Axles,
    /// The upper axle and the chassis on an edge; the lower wheels hang.
    UpperAndBelly,
    /// The chassis on an edge and the lower axle; the upper wheels hang.
    LowerAndBelly,
}

/// A place where the ground bears the vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Where.
    pub at: Point,
    /// Slope of the surface it bears on there, rad.
    pub slope_rad: f64,
    /// Whether it is the chassis that bears.
    pub belly: bool,
}

/// The vehicle at one place of the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Place of the upper axle along the way, m.
    pub distance_m: f64,
    /// What it stands on.
    pub support: Support,
    /// Pitch, positive when it leans down the way, rad.
    pub pitch_rad: f64,
    /// Foot of the upper wheels.
    pub upper: Point,
    /// Foot of the lower wheels.
    pub lower: Point,
    /// The two bearings, upper first.
    pub bearings: [Bearing; 2],
}

impl Stance {
    /// A point of the vehicle, `along` down from the upper axle and `up` from the
    /// line of its feet, m.
    pub fn point(&self, along: f64, up: f64) -> Point {
        let (sin, cos) = (libm::sin(self.pitch_rad), libm::cos(self.pitch_rad));
        [
            self.upper[0] + along * cos + up * sin,
            self.upper[1] - along * sin + up * cos,
        ]
    }

    /// Its centre of gravity.
    pub fn centre(&self, body: &LoweredBody) -> Point {
        let along = body.wheelbase.get() * body.lower_share();
        self.point(along, body.cg_height.get())
    }
}

/// The vehicle on its wheels, its upper axle `distance_m` down the way; whether
/// the chassis clears the ground is not asked.
pub fn on_axles(profile: &Profile, body: &LoweredBody, distance_m: f64) -> Stance {
    let upper = profile.at(distance_m);
    let lower = profile.at(lower_axle(profile, body.wheelbase.get(), distance_m));
    let pitch_rad = libm::atan2(upper.z_m - lower.z_m, lower.x_m - upper.x_m);
    Stance {
        distance_m,
        support: Support::Axles,
        pitch_rad,
        upper: point(upper),
        lower: point(lower),
        bearings: [on_ground(upper), on_ground(lower)],
    }
}

/// How it may stand at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// On its axles; or, where the chassis would be in the ground, on its upper
    /// axle and the edge.
    pub first: Stance,
    /// Tilted about that edge on to its lower axle.
    pub past_the_edge: Option<Stance>,
}

/// How it may stand with its upper axle `distance_m` down the way.
pub fn standing(profile: &Profile, body: &LoweredBody, distance_m: f64) -> Standing {
    let axles = on_axles(profile, body, distance_m);
    let Some(edge) = edge_under(profile, body, &axles) else {
        return Standing {
            first: axles,
            past_the_edge: None,
        };
    };
    let first = upper_and_belly(profile, body, &axles, edge);
    Standing {
        first,
        past_the_edge: lower_and_belly(profile, body, &first, edge),
    }
}

fn point(ground: Ground) -> Point {
    [ground.x_m, ground.z_m]
}

fn on_ground(ground: Ground) -> Bearing {
    Bearing {
        at: point(ground),
        slope_rad: ground.slope_rad,
        belly: false,
    }
}

/// Place of the lower axle: the first past which the chord is the wheelbase.
fn lower_axle(profile: &Profile, wheelbase: f64, upper_m: f64) -> f64 {
    let upper = profile.at(upper_m);
    let chord = |s: f64| {
        let g = profile.at(s);
        libm::hypot(g.x_m - upper.x_m, g.z_m - upper.z_m)
    };
    // A chord is never longer than the ground under it.
    let mut low = upper_m + wheelbase;
    let mut high = low;
    while chord(high) < wheelbase && high - upper_m < 10.0 * wheelbase {
        low = high;
        high += MARCH * wheelbase;
    }
    for _ in 0..40 {
        let mid = 0.5 * (low + high);
        if chord(mid) < wheelbase {
            low = mid;
        } else {
            high = mid;
        }
    }
    0.5 * (low + high)
}

/// The edge that a vehicle tilted about its upper feet meets first, if the ground
/// rises over its chassis between the axles.
fn edge_under(profile: &Profile, body: &LoweredBody, axles: &Stance) -> Option<Point> {
    let clearance = body.clearance.get();
    let reach = axles.distance_m + body.wheelbase.get() * 1.5;
    let (sin, cos) = (libm::sin(axles.pitch_rad), libm::cos(axles.pitch_rad));
    let mut tightest: Option<(f64, Point)> = None;
    let mut beached = false;
    for ground in profile.outline(axles.distance_m, reach) {
        let r = [ground.x_m - axles.upper[0], ground.z_m - axles.upper[1]];
        let along = r[0] * cos - r[1] * sin;
        let over = r[0] * sin + r[1] * cos;
        if along <= 0.0 || along >= body.wheelbase.get() {
            continue;
        }
        beached |= over > clearance + 1e-9;
        let tilt = touch(r, clearance);
        if let Some(tilt) = tilt.filter(|t| tightest.is_none_or(|(least, _)| *t < least)) {
            tightest = Some((tilt, point(ground)));
        }
    }
    tightest.filter(|_| beached).map(|(_, edge)| edge)
}

/// Pitch at which the chassis touches a point `r` from the upper feet; `None` for
/// a point too close to be touched.
fn touch(r: Point, clearance: f64) -> Option<f64> {
    let distance = libm::hypot(r[0], r[1]);
    (distance > clearance)
        .then(|| libm::atan2(-r[1], r[0]) + libm::asin((clearance / distance).min(1.0)))
}

fn upper_and_belly(profile: &Profile, body: &LoweredBody, axles: &Stance, edge: Point) -> Stance {
    let r = [edge[0] - axles.upper[0], edge[1] - axles.upper[1]];
    let pitch_rad = touch(r, body.clearance.get()).unwrap_or(axles.pitch_rad);
    let mut stance = Stance {
        support: Support::UpperAndBelly,
        pitch_rad,
        ..*axles
    };
    stance.lower = stance.point(body.wheelbase.get(), 0.0);
    stance.bearings = [
        on_ground(profile.at(axles.distance_m)),
        Bearing {
            at: edge,
            slope_rad: pitch_rad,
            belly: true,
        },
    ];
    stance
}

/// The same place of the chassis on the edge, tilted until the lower wheels touch.
fn lower_and_belly(
    profile: &Profile,
    body: &LoweredBody,
    upper: &Stance,
    edge: Point,
) -> Option<Stance> {
    let along = (edge[0] - upper.upper[0]) * libm::cos(upper.pitch_rad)
        - (edge[1] - upper.upper[1]) * libm::sin(upper.pitch_rad);
    let tilted = |pitch_rad: f64| {
        let (sin, cos) = (libm::sin(pitch_rad), libm::cos(pitch_rad));
        let c = body.clearance.get();
        let mut stance = *upper;
        stance.pitch_rad = pitch_rad;
        stance.upper = [
            edge[0] - along * cos - c * sin,
            edge[1] + along * sin - c * cos,
        ];
        stance.lower = stance.point(body.wheelbase.get(), 0.0);
        stance
    };
    let over = |s: &Stance| s.lower[1] - profile.height_at(s.lower[0]);
    let (mut low, mut high) = (upper.pitch_rad, 0.48 * core::f64::consts::PI);
    if over(&tilted(low)) < 0.0 || over(&tilted(high)) > 0.0 {
        return None;
    }
    for _ in 0..40 {
        let mid = 0.5 * (low + high);
        if over(&tilted(mid)) > 0.0 {
            low = mid;
        } else {
            high = mid;
        }
    }
    let mut stance = tilted(0.5 * (low + high));
    stance.support = Support::LowerAndBelly;
    let slope_rad = slope_under(profile, stance.lower[0]);
    stance.bearings = [
        Bearing {
            at: edge,
            slope_rad: stance.pitch_rad,
            belly: true,
        },
        Bearing {
            at: stance.lower,
            slope_rad,
            belly: false,
        },
    ];
    Some(stance)
}

/// Slope of the ground at level distance `x_m`, rad.
fn slope_under(profile: &Profile, x_m: f64) -> f64 {
    const REACH_M: f64 = 1e-3;
    let (before, after) = (
        profile.height_at(x_m - REACH_M),
        profile.height_at(x_m + REACH_M),
    );
    libm::atan2(before - after, 2.0 * REACH_M)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::SlopePiece;
    use crate::units::{Angle, Length};

    fn body(clearance: f64) -> LoweredBody {
        LoweredBody {
            wheelbase: Length::new(2.8),
            cg_height: Length::new(0.75),
            front_share: 0.5,
            nose_down: true,
            overhang: Length::new(0.9),
            line_height: Length::new(0.6),
            clearance: Length::new(clearance),
            belly_friction: 0.4,
        }
    }

    fn edge(deg: f64) -> Profile {
        let piece = |deg| SlopePiece {
            length: Length::new(10.0),
            slope: Angle::from_deg(deg),
        };
        Profile::new(&[piece(0.0), piece(deg)], 0.0)
    }

    #[test]
    fn closed_form_pitch_with_the_axles_either_side_of_an_edge() {
        // The edge midway by symmetry: both halves of the triangle alike, pitch half.
        let way = edge(30.0);
        let half = 1.4 / libm::cos(Angle::from_deg(15.0).get());
        let stance = on_axles(&way, &body(2.0), 10.0 - half);
        assert!((stance.pitch_rad - Angle::from_deg(15.0).get()).abs() < 1e-9);
        let chord = libm::hypot(
            stance.lower[0] - stance.upper[0],
            stance.lower[1] - stance.upper[1],
        );
        assert!((chord - 2.8).abs() < 1e-9);
    }

    #[test]
    fn a_low_chassis_bears_on_a_steep_edge_and_tilts_both_ways() {
        let way = edge(40.0);
        let found = standing(&way, &body(0.2), 8.6);
        let all = [found.first, found.past_the_edge.expect("it can tilt")];
        let supports = all.map(|s| s.support);
        assert_eq!(supports, [Support::UpperAndBelly, Support::LowerAndBelly]);
        assert!(all[0].pitch_rad < all[1].pitch_rad);
        // The lower wheels hang over the ground, then stand on it.
        assert!(all[0].lower[1] > way.height_at(all[0].lower[0]));
        assert!((all[1].lower[1] - way.height_at(all[1].lower[0])).abs() < 1e-6);
        assert_eq!(
            standing(&way, &body(0.9), 8.6).first.support,
            Support::Axles
        );
    }
}
