//! The standoff zone: a star-shaped polygon about the middle of the line.
//!
//! Along each of 120 rays it reaches to the larger of
//! - the rule zone: everything within the rule distance of the line between the
//!   two recovery points (a capsule), and
//! - the stated quantile, over the runs that fly to that side, of the furthest
//!   place where something came down within 6° of the ray (wider than the 5°
//!   spread of directions, so that a handful of runs still makes a lobe).
//!
//! Coordinates: x from the casualty's recovery point (0) to the tug's (span), y
//! to the left, metres. The zone is never smaller than the rule.

use crate::chance::quantile;
use crate::units::Length;

const RAYS: usize = 120;
const LOBE_HALF_WIDTH_DEG: f64 = 6.0;

/// A standoff zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Corners, counter-clockwise from the tug's side.
    pub corners_m: Vec<(f64, f64)>,
    /// Corners of the rule's share.
    pub rule_corners_m: Vec<(f64, f64)>,
    /// Reach past the casualty's recovery point, away from the tug.
    pub behind_casualty: Length,
    /// Reach past the tug's recovery point, away from the casualty.
    pub behind_tug: Length,
    /// Reach to the side of the line.
    pub beside: Length,
    /// Whether the computed zone passes the rule anywhere.
    pub computed_governs: bool,
}

/// The zone of a `rule` distance about a line of `span`, and of landing points
/// by run, at quantile `p` of the runs.
pub fn zone(rule: Length, span: Length, runs: &[Vec<(f64, f64)>], p: f64) -> Zone {
    let half = 0.5 * span.get();
    let by_run: Vec<Run> = runs.iter().map(|run| Run::about(half, run)).collect();
    let mut zone = Zone {
        corners_m: Vec::with_capacity(RAYS),
        rule_corners_m: Vec::with_capacity(RAYS),
        behind_casualty: Length::ZERO,
        behind_tug: Length::ZERO,
        beside: Length::ZERO,
        computed_governs: false,
    };
    for ray in 0..RAYS {
        let angle = ray as f64 / RAYS as f64 * core::f64::consts::TAU;
        let by_rule = capsule(rule.get(), half, angle);
        let computed = reach(&by_run, angle, p);
        zone.computed_governs |= computed > by_rule;
        let at = |r: f64| (half + r * libm::cos(angle), r * libm::sin(angle));
        zone.rule_corners_m.push(at(by_rule));
        zone.corners_m.push(at(by_rule.max(computed)));
    }
    let furthest = |of: fn(&(f64, f64), f64) -> f64| {
        Length::new(zone.corners_m.iter().map(|c| of(c, span.get())).fold(0.0, f64::max))
    };
    zone.behind_casualty = furthest(|c, _| -c.0);
    zone.behind_tug = furthest(|c, span| c.0 - span);
    zone.beside = furthest(|c, _| c.1.abs());
    zone
}

/// A run's landing points by angle and distance from the middle of the line.
struct Run {
    polar: Vec<(f64, f64)>,
    /// Whether its furthest point lies on the tug's side.
    to_tug: bool,
}

impl Run {
    fn about(half: f64, points: &[(f64, f64)]) -> Self {
        let polar: Vec<(f64, f64)> = points
            .iter()
            .map(|&(x, y)| (libm::atan2(y, x - half), libm::hypot(x - half, y)))
            .collect();
        let furthest = polar.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let to_tug = furthest.is_some_and(|f| libm::cos(f.0) >= 0.0);
        Self { polar, to_tug }
    }

    /// Furthest landing within the lobe's width of `angle`; nothing if none.
    fn reach(&self, angle: f64) -> f64 {
        let width = LOBE_HALF_WIDTH_DEG.to_radians();
        let near = |at: f64| {
            let turns = (at - angle) / core::f64::consts::TAU;
            ((turns - turns.round()) * core::f64::consts::TAU).abs() <= width
        };
        self.polar.iter().filter(|p| near(p.0)).map(|p| p.1).fold(0.0, f64::max)
    }
}

fn reach(runs: &[Run], angle: f64, p: f64) -> f64 {
    let to_tug = libm::cos(angle) >= 0.0;
    let mut found: Vec<f64> =
        runs.iter().filter(|r| r.to_tug == to_tug).map(|r| r.reach(angle)).collect();
    if found.is_empty() {
        return 0.0;
    }
    found.sort_by(f64::total_cmp);
    quantile(&found, p)
}

/// Distance from the middle of a capsule to its edge: `radius` about a segment
/// of half-length `half` along x.
fn capsule(radius: f64, half: f64, angle: f64) -> f64 {
    let (sine, cosine) = (libm::sin(angle).abs(), libm::cos(angle).abs());
    let side = radius / sine;
    if sine > 0.0 && side * cosine <= half {
        return side;
    }
    let across = half * sine;
    half * cosine + (radius * radius - across * across).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_runs_the_zone_is_the_rule() {
        let zone = zone(Length::new(13.5), Length::new(9.0), &[], 0.95);
        assert!((zone.behind_tug.get() - 13.5).abs() < 1e-9);
        assert!((zone.behind_casualty.get() - 13.5).abs() < 1e-9);
        assert!((zone.beside.get() - 13.5).abs() < 0.02);
        assert_eq!(zone.corners_m, zone.rule_corners_m);
        assert!(!zone.computed_governs);
    }

    #[test]
    fn a_far_landing_makes_a_lobe_on_its_side_alone() {
        let runs = vec![vec![(60.0, 0.0)]; 20];
        let zone = zone(Length::new(13.5), Length::new(9.0), &runs, 0.95);
        assert!((zone.behind_tug.get() - 51.0).abs() < 1e-9);
        assert!((zone.behind_casualty.get() - 13.5).abs() < 1e-9);
        assert!(zone.computed_governs);
    }

    #[test]
    fn mirrored_runs_mirror_the_zone() {
        let left = zone(Length::new(10.0), Length::new(9.0), &[vec![(40.0, 5.0)]], 0.9);
        let right = zone(Length::new(10.0), Length::new(9.0), &[vec![(40.0, -5.0)]], 0.9);
        for (i, corner) in left.corners_m.iter().enumerate() {
            let other = right.corners_m[(RAYS - i) % RAYS];
            assert!((corner.0 - other.0).abs() < 1e-9 && (corner.1 + other.1).abs() < 1e-9);
        }
    }
}
