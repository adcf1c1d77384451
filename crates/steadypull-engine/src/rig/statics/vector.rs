//! Three numbers as a vector.

use crate::rig::solved::Vector;

pub(in crate::rig) fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(in crate::rig) fn plus(a: Vector, b: Vector, times: f64) -> Vector {
    [
        a[0] + times * b[0],
        a[1] + times * b[1],
        a[2] + times * b[2],
    ]
}

pub(in crate::rig) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(in crate::rig) fn size(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

pub(in crate::rig) fn distance(a: Vector, b: Vector) -> f64 {
    size(minus(b, a))
}

/// Unit vector and distance from `a` to `b`; no direction for no distance.
pub(in crate::rig) fn towards(a: Vector, b: Vector) -> (Vector, f64) {
    let d = minus(b, a);
    let length = size(d);
    if length > 0.0 {
        (d.map(|v| v / length), length)
    } else {
        ([0.0; 3], 0.0)
    }
}

/// Angle between two vectors, rad; nothing between vectors of no length.
pub(in crate::rig) fn angle_between(a: Vector, b: Vector) -> f64 {
    let across = [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ];
    libm::atan2(size(across), dot(a, b))
}
