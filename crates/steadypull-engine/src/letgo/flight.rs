//! A single body in flight and sliding: the closed forms behind the chain.
//!
//! - level, quadratic drag: `v = v0 exp(−K x)`, `t = (exp(K x) − 1)/(K v0)`,
//!   `K = rho Cd A / (2 m)`, 1/m;
//! - least launch speed for a reach without drag, `sqrt(R g)` at 45°;
//! - sliding stop `v² / (2 mu g)`.
//!
//! Point body of constant drag, still air, level ground. Flight under drag and
//! gravity together has no closed form: that is [`super::free_flight`].

use crate::units::{Area, Duration, Energy, G, Length, Mass, Speed, kinetic_energy};

/// Air at 15 °C and sea level, kg/m³ (ISO 2533).
pub const AIR_DENSITY_KG_M3: f64 = 1.225;

/// A body with drag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Mass.
    pub mass: Mass,
    /// Drag coefficient times frontal area.
    pub drag_area: Area,
}

impl Body {
    /// The drag constant `K`, 1/m.
    pub fn drag_constant_per_m(&self) -> f64 {
        AIR_DENSITY_KG_M3 * self.drag_area.get() / (2.0 * self.mass.get())
    }

    /// Speed after `distance` of level flight.
    pub fn speed_after(&self, launch: Speed, distance: Length) -> Speed {
        launch * libm::exp(-self.drag_constant_per_m() * distance.get())
    }

    /// Time for `distance` of level flight.
    pub fn time_over(&self, launch: Speed, distance: Length) -> Duration {
        let k = self.drag_constant_per_m();
        if k == 0.0 {
            return Duration::new(distance.get() / launch.get());
        }
        Duration::new(libm::expm1(k * distance.get()) / (k * launch.get()))
    }
}

/// Least speed that reaches `range` on level ground, no drag.
pub fn least_launch_speed(range: Length) -> Speed {
    Speed::new((range.get() * G).sqrt())
}

/// Energy of `mass` thrown to `range` at that speed.
pub fn least_launch_energy(mass: Mass, range: Length) -> Energy {
    kinetic_energy(mass, least_launch_speed(range))
}

/// Distance a body slides to rest; `None` without friction.
pub fn sliding_stop(speed: Speed, friction: f64) -> Option<Length> {
    (friction > 0.0).then(|| Length::new(speed.get() * speed.get() / (2.0 * friction * G)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_drag_nothing_slows() {
        let stone = Body {
            mass: Mass::new(1.0),
            drag_area: Area::ZERO,
        };
        let (speed, range) = (Speed::new(10.0), Length::new(100.0));
        assert_eq!(stone.speed_after(speed, range), speed);
        assert_eq!(stone.time_over(speed, range).get(), 10.0);
        let thrown = least_launch_energy(Mass::new(2.0), range);
        assert!((thrown.get() - 100.0 * G).abs() < 1e-9);
    }

    #[test]
    fn no_friction_no_stop() {
        assert_eq!(sliding_stop(Speed::new(10.0), 0.0), None);
        assert_eq!(sliding_stop(Speed::new(10.0), f64::NAN), None);
    }
}
