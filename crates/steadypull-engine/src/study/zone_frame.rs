//! What a zone by chance is drawn on: its middle, its rays, and the rule along them.

use crate::letgo::rig::RigFlights;
use crate::letgo::{ZoneRule, zone};
use crate::units::{Angle, Length};

/// Rays of a zone, one every three degrees.
pub(super) const RAYS: usize = 120;
/// Half the angle one landing stands for: over twice the 5 deg spread of directions.
pub(super) const LOBE_DEG: f64 = 12.0;

/// The frame of a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneFrame {
    /// The rule distance.
    pub rule: Length,
    /// Where the rays start, m in plan.
    pub middle: (f64, f64),
    /// Direction of the first ray, rad.
    pub start: f64,
    /// Whether left and right are alike.
    pub mirrored: bool,
    /// How far the rule reaches along each ray, m.
    pub by_rule: Vec<f64>,
    /// How far nobody stands whatever a let-go does: the rule, and the inside of
    /// bights, m.
    pub least: Vec<f64>,
}

impl ZoneFrame {
    /// Of a straight rig: the capsule of the rule distance about its line.
    pub fn straight(span: Length, rule: Length) -> Self {
        let drawn = zone(
            &ZoneRule {
                span,
                radius: rule,
                quantile: 1.0,
                rays: RAYS,
                lobe: Angle::from_deg(LOBE_DEG),
                mirrored: true,
            },
            &[],
        );
        let middle = (0.5 * span.get(), 0.0);
        let reach = |c: &(f64, f64)| libm::hypot(c.0 - middle.0, c.1 - middle.1);
        let by_rule: Vec<f64> = drawn.rule_corners.iter().map(reach).collect();
        Self {
            rule,
            middle,
            start: 0.0,
            mirrored: true,
            least: by_rule.clone(),
            by_rule,
        }
    }

    /// Of a rig laid out on the ground.
    pub fn laid_out(flights: &RigFlights) -> Self {
        let (rule, middle, start, by_rule, least) = flights.frame(RAYS);
        Self {
            rule,
            middle,
            start,
            mirrored: false,
            by_rule,
            least,
        }
    }

    /// Direction of ray `k`, rad.
    pub fn angle(&self, k: usize) -> f64 {
        self.start + core::f64::consts::TAU * k as f64 / RAYS as f64
    }

    /// Corners of a polygon that reaches so far along each ray, anticlockwise, m.
    pub fn corners(&self, reach: &[f64]) -> Vec<(f64, f64)> {
        let at = |(k, r): (usize, &f64)| {
            let a = self.angle(k);
            (
                self.middle.0 + r * libm::cos(a),
                self.middle.1 + r * libm::sin(a),
            )
        };
        reach.iter().enumerate().map(at).collect()
    }
}
