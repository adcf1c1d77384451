//! The standoff zone: nobody inside while the line is loaded.
//!
//! What it answers: how far back people stand in each direction. The zone is a
//! star-shaped polygon about the middle of the line, one corner a ray. Along each
//! ray it reaches the larger of
//! - the rule: the capsule of radius `r` about the segment from the casualty's
//!   recovery point to the tug's, and
//! - the computed reach: the largest over the things that fly of the stated quantile of
//!   how far those runs of it come that come down within the lobe's angle of that ray;
//!   where no run comes down, nothing.
//!
//! The quantile is taken among the runs that go in a direction, not among all, so
//! a rare direction is not averaged away, nor is a thing that flies far by others that
//! do not; it is the upper order statistic, so few runs give their greatest. Corners are pushed out until every side of the
//! polygon clears the capsule. Coordinates in metres: x from the casualty's
//! recovery point (0, 0) to the tug's (span, 0), y to the left.
//!
//! Assumes what flies sideways is as likely to go left as right unless told
//! otherwise. The rule distances are sourced where they are chosen.

use crate::units::{Angle, Length};

/// Fewest rays: one every five degrees.
pub const MIN_RAYS: usize = 72;
/// Most rays.
const MAX_RAYS: usize = 720;

/// What a zone is drawn from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZoneRule {
    /// From the casualty's recovery point to the tug's.
    pub span: Length,
    /// Rule distance from either vehicle's recovery point and from the line.
    pub radius: Length,
    /// Quantile of the computed reach, 0 to 1.
    pub quantile: f64,
    /// Rays of the polygon, at least 72.
    pub rays: usize,
    /// Half the angle that one landing stands for.
    pub lobe: Angle,
    /// Whether left and right are alike.
    pub mirrored: bool,
}

/// A standoff zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Corners of the zone, anticlockwise.
    pub corners: Vec<(f64, f64)>,
    /// Corners of the rule's share of it, anticlockwise.
    pub rule_corners: Vec<(f64, f64)>,
    /// Greatest distance from the casualty's recovery point, away from the tug.
    pub behind_casualty: Length,
    /// Greatest distance from the tug's recovery point, away from the casualty.
    pub behind_tug: Length,
    /// Greatest distance to either side of the line.
    pub beside: Length,
    /// Whether the computed reach passes the rule anywhere.
    pub computed_governs: bool,
    /// Runs that count.
    pub runs: usize,
    /// Points left out because they are not numbers (ideally 0).
    pub dropped_points: usize,
}

/// The zone of `rule` around what comes down: for each of the things that fly its runs,
/// each a list of places.
pub fn zone(rule: &ZoneRule, things: &[Vec<Vec<(f64, f64)>>]) -> Zone {
    let rays = rule.rays.clamp(MIN_RAYS, MAX_RAYS);
    let middle = 0.5 * finite_or_zero(rule.span.get()).max(0.0);
    let radius = finite_or_zero(rule.radius.get()).max(0.0);
    let angles: Vec<f64> = (0..rays)
        .map(|k| core::f64::consts::TAU * k as f64 / rays as f64)
        .collect();
    let capsule: Vec<f64> = angles
        .iter()
        .map(|&a| capsule_ray(middle, radius, a))
        .collect();
    let clear = cleared(&angles, &capsule, &|a| capsule_ray(middle, radius, a));
    let polar: Vec<_> = things
        .iter()
        .map(|runs| polar_runs(runs, middle, rule.mirrored))
        .collect();
    let lobe = finite_or_zero(rule.lobe.get())
        .clamp(core::f64::consts::PI / rays as f64, core::f64::consts::PI);
    let computed: Vec<f64> = angles
        .iter()
        .map(|&a| {
            let of = polar
                .iter()
                .map(|runs| reach_towards(runs, a, lobe, rule.quantile));
            of.fold(0.0, f64::max)
        })
        .collect();
    let reach: Vec<f64> = clear
        .iter()
        .zip(&computed)
        .map(|(c, r)| c.max(*r))
        .collect();
    let corners = places(&angles, &reach, middle);
    let span = 2.0 * middle;
    let most =
        |of: &dyn Fn(&(f64, f64)) -> f64| Length::new(corners.iter().map(of).fold(0.0, f64::max));
    Zone {
        behind_casualty: most(&|c| -c.0),
        behind_tug: most(&|c| c.0 - span),
        beside: most(&|c| c.1.abs()),
        computed_governs: computed.iter().zip(&capsule).any(|(r, c)| r > c),
        runs: things.iter().map(Vec::len).sum(),
        dropped_points: things
            .iter()
            .flatten()
            .flatten()
            .filter(|p| !(p.0.is_finite() && p.1.is_finite()))
            .count(),
        rule_corners: places(&angles, &clear, middle),
        corners,
    }
}

fn finite_or_zero(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

/// Distance from the middle to the edge of the capsule.
fn capsule_ray(middle: f64, radius: f64, angle: f64) -> f64 {
    let (sin, cos) = (libm::sin(angle).abs(), libm::cos(angle).abs());
    if sin > 0.0 && radius * cos <= middle * sin {
        return radius / sin;
    }
    middle * cos
        + (radius * radius - middle * middle * sin * sin)
            .max(0.0)
            .sqrt()
}

/// Corners pushed out so that no side of the polygon cuts into what has this edge.
pub(super) fn cleared(angles: &[f64], capsule: &[f64], edge: &dyn Fn(f64) -> f64) -> Vec<f64> {
    const BETWEEN: usize = 16;
    let n = angles.len();
    let step = core::f64::consts::TAU / n as f64;
    let side: Vec<f64> = (0..n)
        .map(|k| {
            let (a, b) = (capsule[k], capsule[(k + 1) % n]);
            let cut = |j: usize| {
                let turn = step * j as f64 / BETWEEN as f64;
                let chord =
                    a * b * libm::sin(step) / (a * libm::sin(turn) + b * libm::sin(step - turn));
                edge(angles[k] + turn) / chord.max(1e-12)
            };
            // A hair more for the places between those looked at.
            (1..BETWEEN).map(cut).fold(1.0, f64::max) * (1.0 + 1e-4)
        })
        .collect();
    (0..n)
        .map(|k| capsule[k] * side[k].max(side[(k + n - 1) % n]))
        .collect()
}

/// Each run as (angle, distance) about the middle; mirrored ones count twice.
fn polar_runs(runs: &[Vec<(f64, f64)>], middle: f64, mirrored: bool) -> Vec<Vec<(f64, f64)>> {
    let polar = |side: f64| {
        move |run: &Vec<(f64, f64)>| -> Vec<(f64, f64)> {
            run.iter()
                .filter(|p| p.0.is_finite() && p.1.is_finite())
                .map(|p| {
                    let (x, y) = (p.0 - middle, side * p.1);
                    (libm::atan2(y, x), (x * x + y * y).sqrt())
                })
                .collect()
        }
    };
    let mut all: Vec<_> = runs.iter().map(polar(1.0)).collect();
    if mirrored {
        all.extend(runs.iter().map(polar(-1.0)));
    }
    all
}

/// Quantile over the runs that come down within `lobe` of `angle`.
pub(super) fn reach_towards(runs: &[Vec<(f64, f64)>], angle: f64, lobe: f64, quantile: f64) -> f64 {
    let furthest = |run: &Vec<(f64, f64)>| {
        let near = run.iter().filter(|p| apart(p.0, angle) <= lobe);
        near.map(|p| p.1).fold(None, |best: Option<f64>, r| {
            Some(best.map_or(r, |b| b.max(r)))
        })
    };
    let mut reaches: Vec<f64> = runs.iter().filter_map(furthest).collect();
    if reaches.is_empty() {
        return 0.0;
    }
    reaches.sort_by(f64::total_cmp);
    let share = if quantile.is_finite() {
        quantile.clamp(0.0, 1.0)
    } else {
        1.0
    };
    let rank = libm::ceil(share * (reaches.len() + 1) as f64) as usize;
    reaches[rank.clamp(1, reaches.len()) - 1]
}

fn apart(a: f64, b: f64) -> f64 {
    let turn = core::f64::consts::TAU;
    let d = (a - b).abs() % turn;
    d.min(turn - d)
}

fn places(angles: &[f64], reach: &[f64], middle: f64) -> Vec<(f64, f64)> {
    let at = |(a, r): (&f64, &f64)| (middle + r * libm::cos(*a), r * libm::sin(*a));
    angles.iter().zip(reach).map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule() -> ZoneRule {
        ZoneRule {
            span: Length::new(10.0),
            radius: Length::new(13.5),
            quantile: 0.95,
            rays: 72,
            lobe: Angle::from_deg(10.0),
            mirrored: true,
        }
    }

    fn distance_to_line(p: (f64, f64)) -> f64 {
        let x = p.0.clamp(0.0, 10.0);
        ((p.0 - x) * (p.0 - x) + p.1 * p.1).sqrt()
    }

    #[test]
    fn without_runs_it_is_the_rule_and_every_side_clears_it() {
        let zone = zone(&rule(), &[]);
        assert_eq!(zone.corners, zone.rule_corners);
        assert!(!zone.computed_governs);
        for (k, a) in zone.corners.iter().enumerate() {
            let b = zone.corners[(k + 1) % zone.corners.len()];
            for j in 0..=20 {
                let t = f64::from(j) / 20.0;
                let p = (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
                assert!(distance_to_line(p) >= 13.5 - 1e-9 && distance_to_line(p) < 13.6);
            }
        }
        assert!((zone.behind_casualty.get() - 13.5).abs() < 0.1);
        assert!((zone.beside.get() - 13.5).abs() < 0.1);
    }

    #[test]
    fn a_far_landing_makes_a_lobe_on_both_sides() {
        let zone = zone(&rule(), &[vec![vec![(60.0, 5.0)]]]);
        assert!(zone.computed_governs && zone.behind_tug.get() > 49.0);
        let mirrored = |c: &(f64, f64)| {
            zone.corners
                .iter()
                .any(|d| (c.0 - d.0).abs() < 1e-9 && (c.1 + d.1).abs() < 1e-9)
        };
        assert!(zone.corners.iter().all(mirrored));
        let wide = zone
            .corners
            .iter()
            .filter(|c| distance_to_line(**c) > 40.0)
            .count();
        assert!(wide >= 4, "a landing covers the lobe's width, {wide}");
    }

    #[test]
    fn quantile_is_among_the_runs_that_go_there() {
        let mut runs: Vec<Vec<(f64, f64)>> =
            (0..100).map(|k| vec![(20.0 + f64::from(k), 0.0)]).collect();
        let narrow = zone(
            &ZoneRule {
                mirrored: false,
                ..rule()
            },
            &[runs.clone()],
        );
        assert!(
            (narrow.behind_tug.get() - 105.0).abs() < 1.01,
            "{:?}",
            narrow.behind_tug
        );
        // A thing that falls short does not draw in another's reach.
        let near = vec![vec![(6.0, 0.0)]; 400];
        let both = zone(&rule(), &[runs.clone(), near]);
        assert!((both.behind_tug.get() - 105.0).abs() < 1.01);
        // A rare direction still counts.
        runs.push(vec![(5.0, 70.0)]);
        let rare = zone(
            &ZoneRule {
                mirrored: false,
                ..rule()
            },
            &[runs.clone()],
        );
        assert!(rare.beside.get() > 69.0);
    }

    #[test]
    fn odd_numbers_are_counted_and_left_out() {
        let zone = zone(
            &rule(),
            &[vec![vec![(f64::NAN, 0.0), (f64::INFINITY, 2.0)]]],
        );
        assert_eq!(zone.dropped_points, 2);
        assert!(
            zone.corners
                .iter()
                .all(|c| c.0.is_finite() && c.1.is_finite())
        );
    }
}
