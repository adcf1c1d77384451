//! The force that holds a vehicle on the way, place by place.
//!
//! A rigid vehicle at rest, or at a steady crawl down, under its weight `W`, the
//! ground's normal forces `N1`, `N2` at its two bearings, what holds back along
//! the ground there, and the line:
//!
//! ```text
//! N1 (n1 − c1 t1) + N2 (n2 − c2 t2) + T u + W (0, −1) = 0
//! moments about the centre of gravity = 0
//! ```
//!
//! `n` is normal to the ground, `t` down along it, `c` rolling resistance and the
//! vehicle's own hold together at a wheel (never more than grip) or the friction
//! of the chassis at an edge, `u` out along the line. Three equations, three
//! unknowns. On one slope without friction, the line parallel, `T = W sin a`.
//!
//! Where `T` would be below nothing the vehicle stays by itself: the line is
//! slack there and the wheels hold as much as is needed. Spread: mass and rolling
//! log-normal, independent, Latin hypercube. The holder feels the tension times
//! `exp(−mu w)` of the edges and the share that survives each block, because
//! friction helps whoever pays out (CV-CAP-01, CV-TACK-01).
//!
//! Left out: inertia (a jerk adds), tyres and springs (they soften a rocking),
//! weight of the line, ground that gives way, a slope across the way.

use super::line_way::{LineWay, Terrain};
use super::profile::Profile;
use super::stance::{Bearing, Point, Stance, Standing, Support, standing};
use crate::chance::{Column, quantile};
use crate::plan::{LoweredBody, Lowering};
use crate::units::{Force, Mass};

/// Samples behind each quantile.
pub const SAMPLES: usize = 256;
/// Streams of the draws, past those of the other areas.
const MASS_STREAM: u64 = 310;
const ROLLING_STREAM: u64 = 311;
/// Step along the way, m, and the most steps.
const STEP_M: f64 = 0.1;
const MOST_STEPS: usize = 400;
/// Lower and upper quantile that are shown.
const RANGE: (f64, f64) = (0.05, 0.95);

/// A force with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// 5 % quantile.
    pub low: Force,
    /// Median.
    pub median: Force,
    /// 95 % quantile.
    pub high: Force,
    /// At the policy's design quantile.
    pub design: Force,
}

impl Range {
    /// The range of `values`, which it sorts.
    pub fn of(values: &mut [f64], design_quantile: f64) -> Self {
        values.sort_by(f64::total_cmp);
        let at = |p| Force::new(quantile(values, p));
        Self {
            low: at(RANGE.0),
            median: at(0.5),
            high: at(RANGE.1),
            design: at(design_quantile),
        }
    }

    /// The same range times `share`.
    pub fn times(self, share: f64) -> Self {
        Self {
            low: self.low * share,
            median: self.median * share,
            high: self.high * share,
            design: self.design * share,
        }
    }
}

/// Sampled mass and rolling resistance.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws {
    /// Mass over its stated value.
    pub mass: Vec<f64>,
    /// Rolling resistance.
    pub rolling: Vec<f64>,
}

impl Draws {
    /// The draws for a lowering.
    pub fn new(lowering: &Lowering, seed: u64) -> Self {
        let draw = |stream, median: f64, spread: f64| {
            let column = Column::new(seed, stream, SAMPLES);
            let value = |i| median * libm::exp(spread * column.normal(i));
            (0..SAMPLES).map(value).collect()
        };
        Self {
            mass: draw(MASS_STREAM, 1.0, lowering.mass_spread),
            rolling: draw(ROLLING_STREAM, lowering.rolling, lowering.rolling_spread),
        }
    }
}

/// The vehicle held at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Place of the upper axle along the way, m.
    pub distance_m: f64,
    /// How it stands.
    pub stance: Stance,
    /// Tension in the line at the vehicle.
    pub hold: Range,
    /// Tension at the holder.
    pub at_holder: Range,
    /// Share of the weight borne by the upper bearing (axle, or edge).
    pub upper_share: f64,
    /// Share of the weight borne by the lower bearing.
    pub lower_share: f64,
    /// The line from anchor to vehicle.
    pub line: LineWay,
}

/// A rocking over: the vehicle tips on its chassis from one axle to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rock {
    /// Place of the upper axle, m.
    pub distance_m: f64,
    /// Pitch before, rad.
    pub from_rad: f64,
    /// Pitch after, rad.
    pub to_rad: f64,
}

/// The holding force all the way down.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// Place by place.
    pub stations: Vec<Station>,
    /// Index of the station with the greatest design force.
    pub greatest: usize,
    /// Index of the station where the upper axle carries least, of those where both
    /// axles bear.
    pub lightest: usize,
    /// Where it rocks over an edge on its chassis, if it does.
    pub rocks: Option<Rock>,
    /// First and last place where its chassis bears on the ground, m.
    pub belly: Option<(f64, f64)>,
}

impl Holding {
    /// The station of the greatest force.
    pub fn peak(&self) -> &Station {
        &self.stations[self.greatest]
    }

    /// Whether the upper wheels lift while the line holds: it pitches over.
    pub fn pitches_over(&self) -> bool {
        let lightest = &self.stations[self.lightest];
        lightest.stance.support == Support::Axles && lightest.upper_share < 0.0
    }
}

/// Balance of a vehicle of weight 1 at one stance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Normal forces at the two bearings over the weight.
    pub normal: [f64; 2],
    /// Tension over the weight.
    pub tension: f64,
}

/// What holds back along the ground at a bearing.
fn coefficient(bearing: &Bearing, at_wheels: f64, body: &LoweredBody) -> f64 {
    if bearing.belly {
        body.belly_friction
    } else {
        at_wheels
    }
}

/// Balance with the line pulling along `out`, `at_wheels` held back at each wheel.
pub fn balance(stance: &Stance, body: &LoweredBody, out: Point, at_wheels: f64) -> Balance {
    let centre = stance.centre(body);
    let pull_at = line_point(stance, body);
    let arm = |at: Point, f: Point| (at[0] - centre[0]) * f[1] - (at[1] - centre[1]) * f[0];
    let mut columns = [[0.0; 3]; 3];
    for (column, bearing) in columns.iter_mut().zip(&stance.bearings) {
        let (sin, cos) = (libm::sin(bearing.slope_rad), libm::cos(bearing.slope_rad));
        let c = coefficient(bearing, at_wheels, body);
        let force = [sin - c * cos, cos + c * sin];
        *column = [force[0], force[1], arm(bearing.at, force)];
    }
    columns[2] = [out[0], out[1], arm(pull_at, out)];
    let weight = [0.0, 1.0, 0.0];
    let all = determinant(columns);
    let solved = |i: usize| {
        let mut with = columns;
        with[i] = weight;
        determinant(with) / all
    };
    Balance {
        normal: [solved(0), solved(1)],
        tension: solved(2),
    }
}

fn determinant(c: [[f64; 3]; 3]) -> f64 {
    let minor = |i: usize, j: usize| c[i][0] * c[j][1] - c[i][1] * c[j][0];
    c[0][2] * minor(1, 2) - c[1][2] * minor(0, 2) + c[2][2] * minor(0, 1)
}

/// Balance of a vehicle that needs no line: the wheels hold back just enough.
fn at_rest_by_itself(stance: &Stance, body: &LoweredBody, out: Point, most: f64) -> Balance {
    let (mut low, mut high) = (-most, most);
    for _ in 0..30 {
        let mid = 0.5 * (low + high);
        if balance(stance, body, out, mid).tension > 0.0 {
            low = mid;
        } else {
            high = mid;
        }
    }
    Balance {
        tension: 0.0,
        ..balance(stance, body, out, 0.5 * (low + high))
    }
}

/// Balance that can be: a line does not push.
fn held(stance: &Stance, body: &LoweredBody, out: Point, at_wheels: f64) -> Balance {
    let found = balance(stance, body, out, at_wheels);
    if found.tension >= 0.0 {
        found
    } else {
        at_rest_by_itself(stance, body, out, at_wheels)
    }
}

/// What a lowering is held against.
#[derive(Debug, Clone, Copy)]
pub struct Held<'a> {
    /// The way.
    pub profile: &'a Profile,
    /// Where the line comes from.
    pub terrain: &'a Terrain,
    /// The lowering.
    pub lowering: &'a Lowering,
    /// Share of tension that survives the blocks, all together.
    pub blocks: f64,
    /// Mass of the vehicle.
    pub mass: Mass,
    /// The policy's quantile.
    pub design_quantile: f64,
}

/// Places of the upper axle that are looked at, m.
pub fn stations(lowering: &Lowering) -> Vec<f64> {
    let (from, to) = (lowering.from.get(), lowering.to.get());
    let steps = (((to - from) / STEP_M).ceil() as usize).clamp(1, MOST_STEPS);
    (0..=steps)
        .map(|i| from + (to - from) * i as f64 / steps as f64)
        .collect()
}

/// The holding force all the way down.
pub fn holding(on: &Held, draws: &Draws) -> Holding {
    let lowering = on.lowering;
    let mut found: Vec<Station> = Vec::new();
    let mut rocks: Option<Rock> = None;
    let mut tipped = false;
    for distance_m in stations(lowering) {
        let ways = standing(on.profile, &lowering.body, distance_m);
        let (stance, rocked) = settle(on, &ways, tipped);
        tipped = stance.support == Support::LowerAndBelly;
        if let Some(from_rad) = rocked {
            rocks = rocks.or(Some(Rock {
                distance_m,
                from_rad,
                to_rad: stance.pitch_rad,
            }));
        }
        found.push(station(on, draws, stance));
    }
    let by = |of: fn(&Station) -> f64| {
        let all = found.iter().enumerate();
        all.max_by(|a, b| of(a.1).total_cmp(&of(b.1)))
            .map_or(0, |(i, _)| i)
    };
    let belly: Vec<f64> = found
        .iter()
        .filter(|s| s.stance.support != Support::Axles)
        .map(|s| s.distance_m)
        .collect();
    Holding {
        greatest: by(|s| s.hold.design.get()),
        // On the chassis upper wheels get light before it rocks: told apart.
        lightest: by(|s| match s.stance.support {
            Support::Axles => -s.upper_share,
            _ => f64::MIN,
        }),
        stations: found,
        rocks,
        belly: belly.first().copied().zip(belly.last().copied()),
    }
}

/// The point where the line is made fast.
pub fn line_point(stance: &Stance, body: &LoweredBody) -> Point {
    stance.point(-body.overhang.get(), body.line_height.get())
}

/// What holds back at each wheel: rolling and own hold, never more than grip.
pub fn at_wheels(lowering: &Lowering, rolling: f64) -> f64 {
    (rolling + lowering.own_hold).min(lowering.grip)
}

/// How it stands, and the pitch it rocked from if it has just done so.
fn settle(on: &Held, ways: &Standing, tipped: bool) -> (Stance, Option<f64>) {
    let Some(lower) = ways.past_the_edge else {
        return (ways.first, None);
    };
    let body = &on.lowering.body;
    let line = on.terrain.line_to(line_point(&ways.first, body));
    let wheels = at_wheels(on.lowering, on.lowering.rolling);
    if held(&ways.first, body, line.out, wheels).normal[0] > 0.0 {
        (ways.first, None)
    } else {
        (lower, (!tipped).then_some(ways.first.pitch_rad))
    }
}

fn station(on: &Held, draws: &Draws, stance: Stance) -> Station {
    let (lowering, body) = (on.lowering, &on.lowering.body);
    let line = on.terrain.line_to(line_point(&stance, body));
    let tension = |rolling| balance(&stance, body, line.out, at_wheels(lowering, rolling)).tension;
    // Tension is very nearly straight in the rolling resistance: two points do.
    let (soft, hard) = (0.5 * lowering.rolling, 2.0 * lowering.rolling);
    let (at_soft, at_hard) = (tension(soft), tension(hard));
    let slope = (at_hard - at_soft) / (hard - soft).max(1e-12);
    let weight = on.mass.weight().get();
    let mut values: Vec<f64> = draws
        .mass
        .iter()
        .zip(&draws.rolling)
        .map(|(m, c)| weight * m * (at_soft + slope * (c - soft)).max(0.0))
        .collect();
    let hold = Range::of(&mut values, on.design_quantile);
    let share = on.blocks * libm::exp(-lowering.edge_friction * line.wrap_rad);
    let median = held(
        &stance,
        body,
        line.out,
        at_wheels(lowering, lowering.rolling),
    );
    let borne = |i: usize| median.normal[i] * libm::cos(stance.bearings[i].slope_rad);
    Station {
        distance_m: stance.distance_m,
        stance,
        hold,
        at_holder: hold.times(share),
        upper_share: borne(0),
        lower_share: borne(1),
        line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::SlopePiece;
    use crate::pull::lowering::stance::on_axles;
    use crate::units::{Angle, Length};

    fn body() -> LoweredBody {
        LoweredBody {
            wheelbase: Length::new(2.8),
            cg_height: Length::new(0.75),
            front_share: 0.55,
            nose_down: true,
            overhang: Length::new(0.9),
            line_height: Length::new(0.75),
            clearance: Length::new(0.3),
            belly_friction: 0.4,
        }
    }

    fn slope(deg: f64) -> Profile {
        let piece = SlopePiece {
            length: Length::new(40.0),
            slope: Angle::from_deg(deg),
        };
        Profile::new(&[piece], 0.0)
    }

    #[test]
    fn closed_form_slope_with_the_line_parallel() {
        for deg in [5.0, 28.0, 45.0] {
            let a = Angle::from_deg(deg);
            let stance = on_axles(&slope(deg), &body(), 6.0);
            let up_the_slope = [-a.cos(), a.sin()];
            for c in [0.0, 0.06] {
                let found = balance(&stance, &body(), up_the_slope, c);
                assert!(
                    (found.tension - (a.sin() - c * a.cos())).abs() < 1e-9,
                    "{deg} {c}"
                );
                assert!((found.normal[0] + found.normal[1] - a.cos()).abs() < 1e-9);
            }
            // Line and centre of gravity as high: moments leave the level shares.
            let free = balance(&stance, &body(), up_the_slope, 0.0);
            assert!((free.normal[1] / a.cos() - 0.55).abs() < 1e-9);
        }
    }

    #[test]
    fn closed_form_pitch_over_with_a_line_at_the_ground() {
        // Line at the feet: the upper wheels lift at tan a = distance/height of the
        // centre of gravity from the lower foot.
        let low = LoweredBody {
            line_height: Length::ZERO,
            ..body()
        };
        let limit = libm::atan2(0.45 * 2.8, 0.75);
        for (off, lifts) in [(-1e-3, false), (1e-3, true)] {
            let a = Angle::new(limit + off);
            let stance = on_axles(&slope(a.to_deg()), &low, 6.0);
            let found = balance(&stance, &low, [-a.cos(), a.sin()], 0.0);
            assert_eq!(found.normal[0] < 0.0, lifts);
        }
    }

    #[test]
    fn a_line_does_not_push() {
        let a = Angle::from_deg(2.0);
        let stance = on_axles(&slope(2.0), &body(), 6.0);
        let found = held(&stance, &body(), [-a.cos(), a.sin()], 0.08);
        assert_eq!(found.tension, 0.0);
        assert!((found.normal[0] + found.normal[1] - a.cos()).abs() < 1e-6);
    }
}
