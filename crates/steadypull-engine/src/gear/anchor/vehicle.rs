//! A braked vehicle as an anchor: it slides, tips over sideways, or is lifted.
//!
//! - slides: `F = W (mu cos a − sin a)/max(1, cos x + mu sin x)`, `a` the slope
//!   along the pull (positive when it is pulled downhill), `x` the angle of the
//!   line above that slope. With the line along the slope this is the published
//!   share of the weight. Lift off the wheels counts; pressing them down does not.
//!   `mu` is that of all four wheels held, rolling across its axis as along it;
//! - chocks under the wheels: a tenth more grip along its axis (assumed), none
//!   across, where a wheel does not roll;
//! - tips: `F h c = W cos a t/2`, `h` height of its highest recovery point, `c`
//!   the level share of the pull across its axis, `t` track, 1.5 m (assumed);
//! - lifted: half its weight hangs on the line, `F sin x = W cos a/2` (assumed:
//!   one axle comes off the ground first).
//!
//! The slope across the pull, and ground that gives under a sliding wheel, are
//! left out. Grip and its spread are the plan's.

use super::{Hold, Pull, Way};
use crate::chance::LogNormal;
use crate::finding::{Finding, Severity};
use crate::plan::{AnchorVehicle, Pose, Tug};
use crate::show::Units;
use crate::source::{Source, Status};
use crate::units::{Angle, Force, Length};

/// Sliding.
pub const SLIDE_SOURCE: Source = Source::new("statics: mu cos a - sin a", Status::Computed);
/// Tipping and lifting.
pub const TIP_SOURCE: Source = Source::new(
    "statics, track of 1.5 m and half the weight lifted assumed",
    Status::Assumed,
);

/// Grip gained by chocks, along the vehicle's axis (assumed).
const CHOCK_GAIN: f64 = 0.1;
/// Track (assumed).
const TRACK: Length = Length::new(1.5);
/// Spread of tipping and lifting: height, track and load differ (assumed).
const TIP_SPREAD: f64 = 0.15;
/// Share of the pull across the axis, or up, that is too small to tip or lift.
const SMALL: f64 = 0.05;
/// Share of the pull across the axis from which a finding is made: half.
const ACROSS: f64 = 0.5;

/// Hold over weight with the line along the slope.
pub fn share_of_weight(grip: f64, slope: Angle) -> f64 {
    grip * slope.cos() - slope.sin()
}

/// What the vehicle holds.
pub(super) fn hold(name: &str, vehicle: &AnchorVehicle, pull: Pull, units: Units) -> Hold {
    let across = (pull.bearing - vehicle.pose.facing).sin().abs();
    let above_slope = pull.elevation + vehicle.slope_along;
    let mut ways = vec![slides(vehicle, across, above_slope)];
    ways.extend(tips(vehicle, across * pull.elevation.cos(), units));
    ways.extend(lifts(vehicle, above_slope));
    let mut hold = Hold::of(ways);
    hold.findings = findings(name, vehicle, across);
    hold
}

/// What the braked tug holds while it winches, as a vehicle that stands at `pose`;
/// with no pose the pull is taken along its axis.
pub fn tug_hold(tug: &Tug, pose: Option<Pose>, pull: [f64; 3], units: Units) -> Hold {
    let mut pull = Pull::along(pull);
    if pose.is_none() {
        pull.bearing = Angle::ZERO;
    }
    let vehicle = AnchorVehicle {
        pose: pose.unwrap_or_default(),
        mass: tug.vehicle.mass,
        grip: tug.grip,
        grip_spread: tug.grip_spread,
        slope_along: tug.slope_along,
        chocked: false,
        tows: false,
        recovery_points: tug.vehicle.recovery_points.clone(),
    };
    hold("tug", &vehicle, pull, units)
}

fn slides(vehicle: &AnchorVehicle, across: f64, above_slope: Angle) -> Way {
    let along = (1.0 - across * across).max(0.0).sqrt();
    let gain = if vehicle.chocked {
        1.0 + CHOCK_GAIN * along
    } else {
        1.0
    };
    let grip = vehicle.grip * gain;
    let lift = (above_slope.cos() + grip * above_slope.sin()).max(1.0);
    let weight = vehicle.mass.weight() / lift;
    Way {
        what: if vehicle.tows { "is dragged" } else { "slides" },
        load: LogNormal::new(
            (weight * (grip * vehicle.slope_along.cos())).get(),
            vehicle.grip_spread,
        ),
        less: weight * vehicle.slope_along.sin(),
        method: format!(
            "grip {:.2} of all braked wheels{}, slope {:.0} deg",
            vehicle.grip,
            if vehicle.chocked { ", chocked" } else { "" },
            vehicle.slope_along.to_deg()
        ),
        source: SLIDE_SOURCE,
    }
}

fn tips(vehicle: &AnchorVehicle, across: f64, units: Units) -> Option<Way> {
    let points = vehicle.recovery_points.iter();
    let height = points.fold(Length::ZERO, |most, point| most.max(point.height));
    if across < SMALL || height <= Length::ZERO {
        return None;
    }
    let held = vehicle.mass.weight() * (0.5 * vehicle.slope_along.cos() * (TRACK / height));
    Some(Way {
        what: "tips over",
        load: LogNormal::new((held / across).get(), TIP_SPREAD),
        less: Force::ZERO,
        method: format!(
            "pulled sideways {} above the ground",
            units.rough_length(height.get())
        ),
        source: TIP_SOURCE,
    })
}

fn lifts(vehicle: &AnchorVehicle, above_slope: Angle) -> Option<Way> {
    let up = above_slope.sin();
    (up > SMALL).then(|| Way {
        what: "is lifted",
        load: LogNormal::new(
            (vehicle.mass.weight() * (0.5 * vehicle.slope_along.cos() / up)).get(),
            TIP_SPREAD,
        ),
        less: Force::ZERO,
        method: format!("the line leads {:.0} deg up", above_slope.to_deg()),
        source: TIP_SOURCE,
    })
}

fn findings(name: &str, vehicle: &AnchorVehicle, across: f64) -> Vec<Finding> {
    let mut found = Vec::new();
    if !vehicle.chocked && !vehicle.tows {
        found.push(Finding::new(
            Severity::Warning,
            "not-chocked",
            name,
            "its wheels are not chocked: the figure counts on every brake holding",
            "chock every wheel on the side it is pulled to, and keep a foot on the brake",
            "common practice",
        ));
    }
    if across >= ACROSS {
        let angle = libm::asin(across.min(1.0)).to_degrees();
        found.push(Finding::new(
            Severity::Warning,
            "pulled-across",
            name,
            format!("it is pulled {angle:.0} deg off its axis: it may swing round or tip"),
            "turn it into line with the pull",
            "common practice",
        ));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{PointKind, RecoveryPoint};
    use crate::units::Mass;

    fn wagon(grip: f64) -> AnchorVehicle {
        AnchorVehicle {
            pose: Pose::default(),
            mass: Mass::new(2500.0),
            grip,
            grip_spread: 0.2,
            slope_along: Angle::ZERO,
            chocked: false,
            tows: false,
            recovery_points: vec![RecoveryPoint {
                name: "front".into(),
                kind: PointKind::Rated,
                wll: None,
                mbs: None,
                torn_off_mass: Mass::ZERO,
                height: Length::new(0.9),
                offset: Length::ZERO,
                forward: Length::ZERO,
                side_angle: Angle::ZERO,
            }],
        }
    }

    fn median(vehicle: &AnchorVehicle, pull: [f64; 3]) -> f64 {
        hold("w", vehicle, Pull::along(pull), Units::Metric).median / vehicle.mass.weight()
    }

    #[test]
    fn downhill_holds_less_and_uphill_more() {
        let on = |deg: f64| {
            let slope = Angle::from_deg(deg);
            let vehicle = AnchorVehicle {
                slope_along: slope,
                ..wagon(0.6)
            };
            // The line lies along the slope.
            median(&vehicle, [slope.cos(), 0.0, -slope.sin()])
        };
        assert!((on(0.0) - 0.6).abs() < 1e-12);
        assert!((on(15.0) - share_of_weight(0.6, Angle::from_deg(15.0))).abs() < 1e-12);
        assert!(on(-10.0) > on(0.0) && on(0.0) > on(10.0));
        assert_eq!(on(40.0), 0.0);
    }

    #[test]
    fn a_rising_line_takes_weight_off_and_a_falling_one_adds_none() {
        let vehicle = wagon(0.6);
        let level = median(&vehicle, [1.0, 0.0, 0.0]);
        assert!(median(&vehicle, [1.0, 0.0, 0.5]) < level);
        assert_eq!(median(&vehicle, [1.0, 0.0, -0.5]), level);
    }

    #[test]
    fn chocks_help_along_the_axis_only() {
        let chocked = AnchorVehicle {
            chocked: true,
            ..wagon(0.3)
        };
        let along = median(&chocked, [1.0, 0.0, 0.0]) / median(&wagon(0.3), [1.0, 0.0, 0.0]);
        let across = median(&chocked, [0.0, 1.0, 0.0]) / median(&wagon(0.3), [0.0, 1.0, 0.0]);
        assert!((along - 1.1).abs() < 1e-12 && (across - 1.0).abs() < 1e-9);
    }

    #[test]
    fn good_grip_and_a_high_sideways_pull_tip_it() {
        let tipped = hold(
            "w",
            &wagon(0.95),
            Pull::along([0.0, 1.0, 0.0]),
            Units::Metric,
        );
        assert_eq!(tipped.likeliest().map(|w| w.what), Some("tips over"));
        assert!(tipped.findings.iter().any(|f| f.code == "pulled-across"));
        let slid = hold(
            "w",
            &wagon(0.4),
            Pull::along([0.0, 1.0, 0.0]),
            Units::Metric,
        );
        assert_eq!(slid.likeliest().map(|w| w.what), Some("slides"));
    }
}
