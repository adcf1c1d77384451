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

use fearless_simd::{Select, Simd, SimdBase, SimdFloat};

use super::bodies::{Bodies, dot, plus};
use super::lanes::{BLOCK, Way, all, any, greater, load, only, store};
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

    /// Height of the highest crest over the even plane, m.
    pub fn crest_m(&self) -> f64 {
        2.0 * self.quarter_m
    }

    /// Whether it has bumps.
    pub fn rough(&self) -> bool {
        self.quarter_m > 0.0
    }

    /// Applies bumps to number `e` of the lists before a drift of `dt_s`.
    #[inline(never)]
    pub fn meet_bump(&self, b: &mut Bodies, e: usize, dt_s: f64) {
        if b.inv_mass.get(e) <= 0.0 {
            return;
        }
        let v = b.velocity.get(e);
        let [x, y, z] = plus(b.place.get(e), dt_s, v);
        if z >= self.crest_m() {
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
        let mass = b.mass.get(e);
        let push = [0, 1, 2].map(|k| mass * (after[k] - v[k]));
        b.outer.add(e, push);
        let taken = 0.5 * dot(push, plus(b.was.get(e), 1.0, after));
        b.ground_j.add(e, -taken);
        b.velocity.set(e, after);
    }
}

impl Bodies {
    /// Applies even ground to the first `n` blocks of bodies before a drift of one over
    /// `per_step`.
    #[inline(always)]
    pub fn meet_plane<S: Simd>(&mut self, simd: S, n: usize, per_step: S::f64s, friction: S::f64s) {
        let (zero, one) = (all(simd, 0.0), all(simd, 1.0));
        let (place, was) = (&self.place.blocks[..n], &self.was.blocks[..n]);
        let (mass, inv_mass) = (&self.mass.blocks[..n], &self.inv_mass.blocks[..n]);
        let velocity = &mut self.velocity.blocks[..n];
        let outer = &mut self.outer.blocks[..n];
        let ground_j = &mut self.ground_j.blocks[..n];
        for p in 0..n {
            for h in (0..BLOCK).step_by(S::f64s::LEN) {
                let v = velocity[p].at(simd, h);
                // The least speed upwards that does not end below the plane.
                let above = greater::<S>(load(simd, &place[p].z, h), zero);
                let least = -(above * per_step);
                let meets = least.simd_gt(v.z) & load(simd, &inv_mass[p], h).simd_gt(zero);
                // What has no mass is met by nothing.
                if !any::<S>(meets) {
                    continue;
                }
                let gained = only(simd, meets, least - v.z);
                let along = (v.x * v.x + v.y * v.y).sqrt();
                let left = greater::<S>(along - friction * gained, zero);
                let keep = left / greater::<S>(along, all(simd, 1e-300));
                let keep = meets.select(only(simd, along.simd_gt(zero), keep), one);
                let after = Way {
                    x: v.x * keep,
                    y: v.y * keep,
                    z: meets.select(least, v.z),
                };
                let kg = load(simd, &mass[p], h);
                let push = Way {
                    x: -(kg * v.x * (one - keep)),
                    y: -(kg * v.y * (one - keep)),
                    z: kg * gained,
                };
                outer[p].put(h, outer[p].at(simd, h).plus(push));
                let work = push.dot(was[p].at(simd, h).plus(after)) * 0.5;
                store::<S>(load(simd, &ground_j[p], h) - work, &mut ground_j[p], h);
                velocity[p].put(h, after);
            }
        }
    }
}

/// A wave of period 1 between −1 and 1, and its slope: nothing at 0, then upwards.
fn wave(u: f64) -> (f64, f64) {
    let t = u - u.floor() - 0.5;
    (-16.0 * t * (0.5 - t.abs()), 32.0 * t.abs() - 8.0)
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

    /// One body of 2 kg that slides for `steps` of `dt` from a speed along x; gives
    /// the bodies and its greatest height.
    fn slide(surface: &Surface, speed: f64, steps: usize, dt: f64) -> (Bodies, f64) {
        let mut b = Bodies::new(1, 1, 0);
        b.set_mass(1, 0, 2.0);
        b.velocity.set(1, [speed, 0.0, 0.0]);
        let mut highest = f64::NEG_INFINITY;
        for _ in 0..steps {
            b.was = b.velocity.clone();
            b.velocity.add(1, [0.0, 0.0, -G * dt]);
            if surface.rough() {
                surface.meet_bump(&mut b, 1, dt);
            } else {
                fearless_simd::dispatch!(fearless_simd::Level::baseline(), simd => {
                    let per_step = all(simd, 1.0 / dt);
                    b.meet_plane(simd, 1, per_step, all(simd, surface.friction));
                });
            }
            let v = b.velocity.get(1);
            b.place.add(1, [0, 1, 2].map(|k| v[k] * dt));
            highest = highest.max(b.place(1, 0)[2]);
        }
        (b, highest)
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
            let (b, highest) = slide(&surface, speed, 40_000, 5e-5);
            // Along this track the crests lie half a millimetre over the even plane.
            assert_eq!(highest > 0.02, thrown, "{highest} m at {speed} m/s");
            // The ground only takes: no friction, no gain.
            let taken = b.ground_j.get(1);
            assert!(taken > -1e-3 * speed * speed, "{taken}");
            let [x, y, z] = b.place(1, 0);
            let h = surface.height_and_slopes(x, y).0;
            assert!(z > h - 1e-3, "{z} under {h}");
        }
    }

    #[test]
    fn closed_form_sliding_stop() {
        let even = Surface::new(&Ground::level(0.4));
        let (b, _) = slide(&even, 20.0, 60_000, 1e-4);
        let x = b.place(1, 0)[0];
        assert!((x - 50.985_811).abs() < 2e-3, "CV-SLIDE-01: {x}");
        assert!(b.speed(1, 0) == 0.0 && b.place(1, 0)[2] == 0.0);
        assert!((b.ground_j.get(1) - 400.0).abs() < 0.1);
    }
}
