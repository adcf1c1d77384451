//! Where hardware lands that comes off the line at its greatest speed.
//!
//! A point mass in gravity and quadratic drag, `a = g − (k/m)|v| v` with
//! `k = ½ρ C_d A` (kg/m), by fourth-order Runge-Kutta; then an inelastic landing
//! with friction impulse and a slide to a stop under friction and the same drag,
//! `ln(1 + (k/m) v²/a_s)/(2 k/m)` (without drag `v²/(2 a_s)`),
//! `a_s = μ g cos s + g sin s` uphill. Where friction cannot hold on a downhill
//! slope a deceleration of 0.05 g is taken and the slide is a lower bound.
//! Closed forms: CV-DRAG-01, -03, CV-SLIDE-01.

use super::bodies::{minus, plus, square, times};

/// Steps in the air, s.
const SHORTEST_STEP_S: f64 = 2e-3;
const LONGEST_STEP_S: f64 = 1e-2;
const NEWTON_STEPS: usize = 4;

/// A landing and a stop, in the coordinates of the run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeFlight {
    /// Time in the air, s.
    pub flight_s: f64,
    /// Where it lands (x, y), m.
    pub lands_m: (f64, f64),
    /// Velocity on landing, m/s.
    pub lands_at_m_s: [f64; 3],
    /// Where it stops (x, y), m.
    pub stops_m: (f64, f64),
}

/// Flies from `place` with `velocity` to the ground z = 0 and slides to a stop.
///
/// `drag_per_m` is `k/m`. None if gravity does not pull it down.
pub fn free_flight(
    place: [f64; 3],
    velocity: [f64; 3],
    drag_per_m: f64,
    gravity: [f64; 3],
    friction: f64,
) -> Option<FreeFlight> {
    free_flight_in_wind(place, velocity, drag_per_m, [0.0; 3], gravity, friction)
}

/// The same in air that moves with `wind`, m/s. In wind the drag while sliding is
/// left out, so that a slide is never taken for shorter than it may be.
pub fn free_flight_in_wind(
    place: [f64; 3],
    velocity: [f64; 3],
    drag_per_m: f64,
    wind: [f64; 3],
    gravity: [f64; 3],
    friction: f64,
) -> Option<FreeFlight> {
    watched(
        (place, velocity),
        (drag_per_m, wind),
        gravity,
        friction,
        &mut |_, _, _| {},
    )
}

/// The same, every step of it shown to `see`: time, place, velocity.
pub(super) fn watched(
    (place, velocity): ([f64; 3], [f64; 3]),
    (drag_per_m, wind): (f64, [f64; 3]),
    gravity: [f64; 3],
    friction: f64,
    see: &mut dyn FnMut(f64, [f64; 3], [f64; 3]),
) -> Option<FreeFlight> {
    if gravity[2] >= 0.0 {
        return None;
    }
    let slide_drag = if wind == [0.0; 3] { drag_per_m } else { 0.0 };
    let advance = |r, v, h| advance(r, v, (drag_per_m, wind), gravity, h);
    // A step takes no more than a twentieth of the speed: what fourth order leaves is
    // then far below a millimetre.
    let step_s = (0.05 / (drag_per_m * square(minus(velocity, wind)).sqrt()).max(1e-9))
        .clamp(SHORTEST_STEP_S, LONGEST_STEP_S);
    let (mut r, mut v, mut t) = (place, velocity, 0.0);
    // A minute in the air is beyond any launch the setup lets through.
    while t < 60.0 {
        see(t, r, v);
        let (r1, v1) = advance(r, v, step_s);
        if r1[2] <= 0.0 && v1[2] <= 0.0 {
            let falls_s = time_to_ground(r, |h| advance(r, v, h), step_s);
            let (r2, v2) = advance(r, v, falls_s);
            see(t + falls_s, r2, v2);
            return Some(slide(r2, v2, t + falls_s, slide_drag, gravity, friction));
        }
        (r, v) = (r1, v1);
        t += step_s;
    }
    None
}

/// When within a step that ends under the ground it is reached: Newton's method from
/// the end of the step, where it falls.
fn time_to_ground(r: [f64; 3], after: impl Fn(f64) -> ([f64; 3], [f64; 3]), step_s: f64) -> f64 {
    if r[2] <= 0.0 {
        return 0.0;
    }
    let mut h = step_s;
    for _ in 0..NEWTON_STEPS {
        let (place, velocity) = after(h);
        if velocity[2] < 0.0 {
            h = (h - place[2] / velocity[2]).clamp(0.0, step_s);
        }
    }
    h
}

fn advance(
    r: [f64; 3],
    v: [f64; 3],
    (k, wind): (f64, [f64; 3]),
    g: [f64; 3],
    h: f64,
) -> ([f64; 3], [f64; 3]) {
    let a = |v: [f64; 3]| {
        let in_air = minus(v, wind);
        plus(g, -k * square(in_air).sqrt(), in_air)
    };
    let k1 = a(v);
    let k2 = a(plus(v, 0.5 * h, k1));
    let k3 = a(plus(v, 0.5 * h, k2));
    let k4 = a(plus(v, h, k3));
    let inner = plus(plus(k1, 1.0, k2), 1.0, k3);
    let sum = plus(plus(plus(k1, 2.0, k2), 2.0, k3), 1.0, k4);
    (
        plus(plus(r, h, v), h * h / 6.0, inner),
        plus(v, h / 6.0, sum),
    )
}

fn slide(
    r: [f64; 3],
    v: [f64; 3],
    flight_s: f64,
    drag_per_m: f64,
    g: [f64; 3],
    friction: f64,
) -> FreeFlight {
    let along = (v[0] * v[0] + v[1] * v[1]).sqrt();
    let left = (along - friction * v[2].abs()).max(0.0);
    let way = if along > 0.0 {
        times(1.0 / along, [v[0], v[1], 0.0])
    } else {
        [0.0; 3]
    };
    let pull = g[0] * way[0] + g[1] * way[1];
    let slowing = (friction * g[2].abs() - pull).max(0.05 * square(g).sqrt());
    // v²/2 = ∫(a + k v²) dx.
    let drag = drag_per_m * left * left / slowing;
    let distance = if drag > 1e-9 {
        libm::log1p(drag) / (2.0 * drag_per_m)
    } else {
        left * left / (2.0 * slowing)
    };
    FreeFlight {
        flight_s,
        lands_m: (r[0], r[1]),
        lands_at_m_s: v,
        stops_m: (r[0] + way[0] * distance, r[1] + way[1] * distance),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::G;

    #[test]
    fn closed_form_drag_and_gravity() {
        let v = [
            60.0 * libm::cos(10.0_f64.to_radians()),
            0.0,
            60.0 * libm::sin(10.0_f64.to_radians()),
        ];
        let k = 1.225 * 0.004 / (2.0 * 1.5);
        let flight = free_flight([0.0, 0.0, 1.0], v, k, [0.0, 0.0, -G], 0.4).unwrap();
        assert!(
            (flight.lands_m.0 - 115.5764).abs() < 1e-3,
            "CV-DRAG-03: {flight:?}"
        );
        assert!((flight.flight_s - 2.153_960).abs() < 1e-5, "CV-DRAG-03");
        assert!((flight.lands_at_m_s[0] - 48.8639).abs() < 1e-3);
        assert!((flight.lands_at_m_s[2] + 10.6775).abs() < 1e-3);
        let none = free_flight([0.0, 0.0, 1.0], v, 0.0, [0.0, 0.0, -G], 0.4).unwrap();
        assert!(
            (none.lands_m.0 - 130.9908).abs() < 1e-3 && (none.flight_s - 2.216_859).abs() < 1e-5
        );
    }

    #[test]
    fn closed_form_slide() {
        let flight = free_flight([0.0; 3], [20.0, 0.0, 0.0], 0.0, [0.0, 0.0, -G], 0.4).unwrap();
        assert!(
            (flight.stops_m.0 - 50.985_811).abs() < 0.05,
            "CV-SLIDE-01: {flight:?}"
        );
    }

    #[test]
    fn without_gravity_it_never_lands() {
        assert!(free_flight([0.0; 3], [1.0; 3], 0.0, [0.0; 3], 0.4).is_none());
    }
}
