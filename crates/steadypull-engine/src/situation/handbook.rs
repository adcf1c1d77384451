//! The army handbooks' rules for how hard a vehicle is stuck.
//!
//! What they answer: the pull, as a share of weight `W` (vehicle and load).
//! - mire: 1, 2, 3 × W with the mud at the hub, the guard, the body;
//!   by straight line on depth between those points, nothing at no depth;
//! - grade: slope in degrees / 60 × W (up to 4.5 % under W sin a below 30°);
//! - overturned: W/2, ±20 %;
//! - ground: a fraction of W by what the wheels stand in;
//! - wheels that cannot turn: W/3 up to half of them, else 2W/3;
//! - suction: holding strength × 1.5 (T/T_e)^−0.07 for a pull lasting `T` on
//!   something embedded for `T_e`, from 0.001 to 10 times.
//!
//! They hold as rules, not as laws of a given bog: suction and obstacles come
//! on top, and breakout forces were predicted within ±50 % at best.

use crate::plan::Sunk;
use crate::source::{Source, Status};
use crate::table::read_between;
use crate::units::{Angle, Duration, Force};

/// Mire, grade and overturning rules.
pub const MIRE_SOURCE: Source = Source::new(
    "US Army FM 20-22, FM 9-43-2, FM 4-30.31, ATP 4-31: resistance estimate",
    Status::FromMemory,
);
/// Ground fractions, locked wheels and margin.
pub const GROUND_SOURCE: Source = Source::new(
    "REME Recovery Manual (UK Army Code 71140) and Australian Army recovery training",
    Status::FromMemory,
);
/// The time rule of suction.
pub const SUCTION_SOURCE: Source = Source::new("Liu, NCEL R-635 (1969), abstract", Status::Read);
/// How well breakout force and time are predicted: ±50 % and ±100 %
/// (Lee, NCEL R-755 (1972), abstract, read).
pub const SUCTION_FORCE_SPREAD: f64 = 0.5;
/// The same of the time to break out.
pub const SUCTION_TIME_SPREAD: f64 = 1.0;

/// Mire resistance as a multiple of weight, by depth.
///
/// A class whose height is not below the next one's is left out, so that
/// heights out of order raise the factor and never lower it.
pub fn mire_factor(sunk: &Sunk) -> f64 {
    let depth = sunk.depth.get();
    let body = sunk.body_height.get();
    let guard = sunk.guard_height.get();
    let hub = sunk.hub_height.get();
    if depth > 0.0 && depth >= body {
        return 3.0;
    }
    let mut points = vec![(0.0, 0.0)];
    if hub < guard.min(body) {
        points.push((hub, 1.0));
    }
    if guard < body {
        points.push((guard, 2.0));
    }
    points.push((body, 3.0));
    read_between(&points, depth)
}

/// What is left of the mire resistance when pulled back along its own tracks.
pub const BACK_ALONG_TRACKS: f64 = 0.9;
/// What is left when its own wheels or tracks are driven.
pub const OWN_POWER: f64 = 0.6;
/// What is left with both.
pub const BACK_WITH_OWN_POWER: f64 = 0.5;

/// Share of the mire resistance left after the reductions of [`MIRE_SOURCE`],
/// which gives them for tracked vehicles.
pub fn mire_reduction(back_along_tracks: bool, own_power: bool) -> f64 {
    match (back_along_tracks, own_power) {
        (false, false) => 1.0,
        (true, false) => BACK_ALONG_TRACKS,
        (false, true) => OWN_POWER,
        (true, true) => BACK_WITH_OWN_POWER,
    }
}

/// Grade resistance by the rule of slope in degrees over 60.
pub fn grade_rule(weight: Force, slope: Angle) -> Force {
    weight * (slope.to_deg() / 60.0)
}

/// Pull that rights an overturned vehicle, within ±20 %.
pub fn righting_pull(weight: Force) -> Force {
    weight * 0.5
}

/// What a vehicle stands in, in the words of the Commonwealth armies' rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// Metalled road.
    MetalledRoad,
    /// Grass.
    Grass,
    /// Hard wet sand.
    HardWetSand,
    /// Gravel.
    Gravel,
    /// Soft wet sand.
    SoftWetSand,
    /// Soft dry sand.
    SoftDrySand,
    /// Shallow mud.
    ShallowMud,
    /// Bog or marsh.
    Bog,
    /// Clinging clay.
    ClingingClay,
}

impl Ground {
    /// All of them, firmest first.
    pub const ALL: [Self; 9] = [
        Self::MetalledRoad,
        Self::Grass,
        Self::HardWetSand,
        Self::Gravel,
        Self::SoftWetSand,
        Self::SoftDrySand,
        Self::ShallowMud,
        Self::Bog,
        Self::ClingingClay,
    ];

    /// Resistance as a fraction of weight.
    pub fn fraction_of_weight(self) -> f64 {
        match self {
            Self::MetalledRoad => 1.0 / 25.0,
            Self::Grass => 1.0 / 7.0,
            Self::HardWetSand => 1.0 / 6.0,
            Self::Gravel | Self::SoftWetSand => 1.0 / 5.0,
            Self::SoftDrySand => 1.0 / 4.0,
            Self::ShallowMud => 1.0 / 3.0,
            Self::Bog | Self::ClingingClay => 1.0 / 2.0,
        }
    }
}

/// Extra pull for `locked` of four wheels that cannot turn.
pub fn locked_wheel_resistance(weight: Force, locked: u8) -> Force {
    match locked {
        0 => Force::ZERO,
        1 | 2 => weight / 3.0,
        _ => weight * 2.0 / 3.0,
    }
}

/// The Commonwealth rule's margin on the sum of its terms.
pub const MARGIN: f64 = 1.25;

/// The Commonwealth rule whole: ground, damage and the margin on both.
pub fn commonwealth_estimate(weight: Force, ground: Ground, locked: u8) -> Force {
    let sum = weight * ground.fraction_of_weight() + locked_wheel_resistance(weight, locked);
    sum * MARGIN
}

/// Holding strength of mud over its static value, for a pull lasting
/// `pull_time` on something that sat for `embedded_for`.
///
/// The rule was fitted from 0.001 to 10; outside, the nearest end is taken, so
/// a very quick pull gets the highest factor that was measured.
pub fn suction_time_factor(pull_time: Duration, embedded_for: Duration) -> f64 {
    if pull_time.get().is_nan() || embedded_for.get().is_nan() {
        return f64::NAN;
    }
    let ratio = if embedded_for.get() > 0.0 {
        (pull_time / embedded_for).clamp(1e-3, 10.0)
    } else {
        10.0
    };
    1.5 * libm::pow(ratio, -0.07)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn sunk(depth: f64, hub: f64, guard: f64, body: f64) -> Sunk {
        Sunk {
            depth: Length::new(depth),
            hub_height: Length::new(hub),
            guard_height: Length::new(guard),
            body_height: Length::new(body),
        }
    }

    #[test]
    fn mire_rises_with_depth_and_stops_at_the_body() {
        let mut last = -1.0;
        for i in 0..=20 {
            let factor = mire_factor(&sunk(f64::from(i) * 0.05, 0.38, 0.72, 0.95));
            assert!(factor >= last && factor <= 3.0);
            last = factor;
        }
        assert_eq!(last, 3.0);
    }

    #[test]
    fn heights_out_of_order_never_lower_the_factor() {
        let right = mire_factor(&sunk(0.5, 0.38, 0.72, 0.95));
        assert!(mire_factor(&sunk(0.5, 0.9, 0.72, 0.95)) >= right);
        assert_eq!(mire_factor(&sunk(0.5, 0.5, 0.5, 0.95)), 2.0);
        assert!(mire_factor(&sunk(0.5, 0.38, 0.3, 0.95)) >= right);
        assert_eq!(mire_factor(&sunk(0.5, 0.0, 0.0, 0.0)), 3.0);
        assert_eq!(mire_factor(&sunk(0.0, 0.0, 0.0, 0.0)), 0.0);
        assert!(mire_factor(&sunk(f64::NAN, 0.38, 0.72, 0.95)).is_nan());
    }

    #[test]
    fn nothing_embedded_takes_the_slow_end() {
        let at_once = suction_time_factor(Duration::new(1.0), Duration::ZERO);
        assert_eq!(
            at_once,
            suction_time_factor(Duration::new(10.0), Duration::new(1.0))
        );
    }
}
