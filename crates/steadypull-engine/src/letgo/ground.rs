//! The ground: a plane that takes away the speed into it and, by friction, along it.
//!
//! A body that would pass z = 0 within the step is slowed so that it just
//! reaches it: an inelastic contact with normal impulse `J`; sliding friction
//! takes at most `μ J` from the speed along the ground. A body that lies still
//! gets the impulse of its weight each step, which is Coulomb's law. Its
//! work is its impulse times the mean of the speeds before and after the step's
//! kick, as for every other force, so that the works add up to the change of motion.
//!
//! Assumes hard ground without bounce. A sloping ground is made by leaning
//! gravity, so z is always the height above its even plane. Closed form: CV-SLIDE-01.
//!
//! Bumps of height `H` and spacing `λ`: `h = H/4 (w(x/λ + φ_x) + w(y/λ + φ_y))`, with
//! `w` of period 1 between −1 and 1, put together from parabolas: it has no jump in
//! its slope, which is at most `2H/λ` each way. A body meets the plane that touches
//! the bumps where it would be at the end of the step, and goes on along that plane;
//! so what slides fast over a crest is thrown up. What has sunk in, where the ground
//! curves upwards, is lifted out at no more than [`LIFT_M_S`]. Bumps are this
//! project's stand-in for rough ground (assumed); no stones, no stumps.

use super::bodies::{Bodies, dot, plus};
use super::setup::Ground;

/// Speed at which what has sunk into a bump is lifted out of it, m/s.
const LIFT_M_S: f64 = 0.2;

/// The ground as a run sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Surface {
    pub friction: f64,
    /// A quarter of the height of the bumps, m; 0 for even ground.
    quarter_m: f64,
    per_spacing: f64,
    phase: [f64; 2],
}

impl Surface {
    /// The surface of `ground`.
    pub fn new(ground: &Ground) -> Self {
        let bumps = &ground.roughness;
        Self {
            friction: ground.friction,
            quarter_m: 0.25 * bumps.height.get(),
            per_spacing: 1.0 / bumps.spacing.get(),
            phase: bumps.phase,
        }
    }

    /// Height over the even plane, and its slopes along x and y.
    fn height_and_slopes(&self, x: f64, y: f64) -> (f64, f64, f64) {
        let (along, along_slope) = wave(x * self.per_spacing + self.phase[0]);
        let (across, across_slope) = wave(y * self.per_spacing + self.phase[1]);
        let steep = self.quarter_m * self.per_spacing;
        (
            self.quarter_m * (along + across),
            steep * along_slope,
            steep * across_slope,
        )
    }

    /// Applies the ground to bodies 1 and up before a drift of `dt_s`.
    pub fn meet(&self, b: &mut Bodies, dt_s: f64) {
        if self.quarter_m > 0.0 {
            for i in 1..b.count() {
                self.meet_bump(b, i, dt_s);
            }
        } else {
            meet_plane(b, self.friction, dt_s);
        }
    }

    fn meet_bump(&self, b: &mut Bodies, i: usize, dt_s: f64) {
        let v = b.velocity(i);
        let [x, y, z] = plus(b.place(i), dt_s, v);
        if z >= 2.0 * self.quarter_m {
            return;
        }
        let (h, slope_x, slope_y) = self.height_and_slopes(x, y);
        let steep = 1.0 / (1.0 + slope_x * slope_x + slope_y * slope_y).sqrt();
        let normal = [-slope_x * steep, -slope_y * steep, steep];
        // Distance to the plane at the end of the step as things go, and now.
        let (ends, now) = ((z - h) * steep, (z - h) * steep - dot(normal, v) * dt_s);
        if ends >= 0.0 {
            return;
        }
        let wanted = if now > 0.0 {
            -now / dt_s
        } else {
            (-now / dt_s).min(LIFT_M_S)
        };
        let gained = wanted - dot(normal, v);
        if gained <= 0.0 {
            return;
        }
        let along = plus(v, -dot(normal, v), normal);
        let speed = dot(along, along).sqrt();
        let left = (speed - self.friction * gained).max(0.0);
        let keep = if speed > 0.0 { left / speed } else { 0.0 };
        let after = [0, 1, 2].map(|k| keep * along[k] + wanted * normal[k]);
        let push = [0, 1, 2].map(|k| b.mass[i] * (after[k] - v[k]));
        b.outer_x[i] += push[0];
        b.outer_y[i] += push[1];
        b.outer_z[i] += push[2];
        let mean_2 = [
            b.was_x[i] + after[0],
            b.was_y[i] + after[1],
            b.was_z[i] + after[2],
        ];
        b.ground_j[i] -= 0.5 * dot(push, mean_2);
        (b.vx[i], b.vy[i], b.vz[i]) = (after[0], after[1], after[2]);
    }
}

/// A wave of period 1 between −1 and 1, and its slope: nothing at 0, then upwards.
fn wave(u: f64) -> (f64, f64) {
    let t = u - u.floor() - 0.5;
    (-16.0 * t * (0.5 - t.abs()), 32.0 * t.abs() - 8.0)
}

/// Applies even ground to bodies 1 and up before a drift of `dt_s`.
#[inline(never)]
fn meet_plane(b: &mut Bodies, friction: f64, dt_s: f64) {
    let n = b.count();
    let per_step = 1.0 / dt_s;
    let (z, mass) = (&b.z[..n], &b.mass[..n]);
    let (vx, vy, vz) = (&mut b.vx[..n], &mut b.vy[..n], &mut b.vz[..n]);
    let (ux, uy, uz) = (&b.was_x[..n], &b.was_y[..n], &b.was_z[..n]);
    let taken = &mut b.ground_j[..n];
    let (ox, oy, oz) = (
        &mut b.outer_x[..n],
        &mut b.outer_y[..n],
        &mut b.outer_z[..n],
    );
    for i in 1..n {
        let least = -z[i].max(0.0) * per_step;
        if vz[i] >= least {
            continue;
        }
        let along_2 = vx[i] * vx[i] + vy[i] * vy[i];
        let gained = least - vz[i];
        let along = along_2.sqrt();
        let left = (along - friction * gained).max(0.0);
        let keep = if along > 0.0 { left / along } else { 0.0 };
        let push = [
            -mass[i] * vx[i] * (1.0 - keep),
            -mass[i] * vy[i] * (1.0 - keep),
            mass[i] * gained,
        ];
        ox[i] += push[0];
        oy[i] += push[1];
        oz[i] += push[2];
        vx[i] *= keep;
        vy[i] *= keep;
        vz[i] = least;
        taken[i] -= 0.5
            * (push[0] * (ux[i] + vx[i]) + push[1] * (uy[i] + vy[i]) + push[2] * (uz[i] + vz[i]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letgo::setup::Roughness;
    use crate::units::{G, Length};

    fn rough(height: f64, spacing: f64) -> Surface {
        Surface::new(&Ground {
            roughness: Roughness {
                height: Length::new(height),
                spacing: Length::new(spacing),
                phase: [0.3, 0.8],
            },
            ..Ground::level(0.0)
        })
    }

    fn slide(surface: &Surface, b: &mut Bodies, steps: usize, dt: f64) -> f64 {
        let mut highest = f64::NEG_INFINITY;
        for _ in 0..steps {
            b.remember();
            b.kick(dt, [0.0, 0.0, -G]);
            surface.meet(b, dt);
            b.drift(dt);
            highest = highest.max(b.z[1]);
        }
        highest
    }

    #[test]
    fn bumps_keep_their_height_and_slope() {
        let surface = rough(0.2, 1.5);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for k in 0..6400 {
            let (x, y) = (0.02 * f64::from(k % 80), 0.02 * f64::from(k / 80));
            let (h, sx, sy) = surface.height_and_slopes(x, y);
            (low, high) = (low.min(h), high.max(h));
            let e = 1e-6;
            let nx = (surface.height_and_slopes(x + e, y).0 - h) / e;
            let ny = (surface.height_and_slopes(x, y + e).0 - h) / e;
            assert!((nx - sx).abs() < 1e-4 && (ny - sy).abs() < 1e-4);
            assert!(sx.abs() <= 2.0 * 0.2 / 1.5 + 1e-12);
        }
        assert!(low > -0.1 - 1e-12 && low < -0.098 && high < 0.1 + 1e-12 && high > 0.098);
    }

    #[test]
    fn what_slides_fast_is_thrown_up_and_what_slides_slowly_follows() {
        let surface = rough(0.05, 2.0);
        for (speed, thrown) in [(1.0, false), (20.0, true)] {
            let mut b = Bodies::new(2);
            b.set_mass(1, 2.0);
            b.vx[1] = speed;
            let highest = slide(&surface, &mut b, 40_000, 5e-5);
            // Along this track the crests lie half a millimetre over the even plane.
            assert_eq!(highest > 0.02, thrown, "{highest} m at {speed} m/s");
            // The ground only takes: no friction, no gain.
            assert!(b.ground_j[1] > -1e-3 * speed * speed, "{}", b.ground_j[1]);
            let h = surface.height_and_slopes(b.x[1], b.y[1]).0;
            assert!(b.z[1] > h - 1e-3, "{} under {h}", b.z[1]);
        }
    }

    #[test]
    fn closed_form_sliding_stop() {
        let mut b = Bodies::new(2);
        b.set_mass(1, 2.0);
        b.vx[1] = 20.0;
        let dt = 1e-4;
        for _ in 0..60_000 {
            b.remember();
            b.kick(dt, [0.0, 0.0, -G]);
            meet_plane(&mut b, 0.4, dt);
            b.drift(dt);
        }
        assert!(
            (b.x[1] - 50.985_811).abs() < 2e-3,
            "CV-SLIDE-01: {}",
            b.x[1]
        );
        assert!(b.speed(1) == 0.0 && b.z[1] == 0.0);
        assert!((b.ground_j[1] - 400.0).abs() < 0.1);
    }
}
