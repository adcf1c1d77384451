//! The ground: a plane that takes away the speed into it and, by friction, along it.
//!
//! A body that would pass z = 0 within the step is slowed so that it just
//! reaches it: an inelastic contact with normal impulse `J`; sliding friction
//! takes at most `μ J` from the speed along the ground. A body that lies still
//! gets the impulse of its weight each step, which is Coulomb's law. Its
//! work is its impulse times the mean of the speeds before and after the step's
//! kick, as for every other force, so that the works add up to the change of motion.
//!
//! Assumes hard, even ground without bounce. A sloping ground is made by leaning
//! gravity, so z is always the height above it. Closed form: CV-SLIDE-01.

use super::bodies::Bodies;

/// Applies the ground to bodies 1 and up before a drift of `dt_s`.
#[inline(never)]
pub(super) fn meet_ground(b: &mut Bodies, friction: f64, dt_s: f64) {
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
    use crate::units::G;

    #[test]
    fn closed_form_sliding_stop() {
        let mut b = Bodies::new(2);
        b.set_mass(1, 2.0);
        b.vx[1] = 20.0;
        let dt = 1e-4;
        for _ in 0..60_000 {
            b.remember();
            b.kick(dt, [0.0, 0.0, -G]);
            meet_ground(&mut b, 0.4, dt);
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
