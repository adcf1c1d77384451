//! A first shape of the rig, by least energy.
//!
//! Without friction a rig of lines that keep their length is a convex problem:
//! the hauls make `sum of share x length` as small as the lengths allow,
//! `length <= rest` for every other run. Here a run that is too long is held by
//! a spring that gets stiffer from round to round; the minimum is found by
//! Newton's method with a line search, which a convex function lets converge
//! from anywhere. [`super::balance`] then makes it exact.

use super::linear::factor;
use super::shape::Shape;
use super::vector::{dot, minus, plus};
use crate::rig::graph::Holds;
use crate::rig::solved::Vector;

/// Rounds of spring stiffness, N/m for a haul of 1 N.
const SPRINGS: [f64; 4] = [1.0, 30.0, 1e3, 3e4];
/// Newton steps of one round.
const STEPS: usize = 60;
/// Distance over which a span's pull fades as its ends meet, m.
const MEETING_M: f64 = 1e-4;
/// Unbalanced force over the haul at which a round ends.
const ENOUGH: f64 = 1e-7;

/// Where the moving nodes settle, and the pull of each run that keeps its length.
pub(super) fn settle(shape: &Shape, places: &mut [Vector]) -> Vec<f64> {
    for spring in SPRINGS {
        for _ in 0..STEPS {
            if !step(shape, places, spring) {
                break;
            }
        }
    }
    let spring = SPRINGS[SPRINGS.len() - 1];
    (0..shape.graph.runs.len())
        .map(|run| pull(shape, run, places, spring).0)
        .collect()
}

/// Tension of a run, and how steeply it grows with its length.
fn pull(shape: &Shape, run: usize, places: &[Vector], spring: f64) -> (f64, f64) {
    match shape.holds(run) {
        Holds::Hauled { share } => (share, 0.0),
        Holds::Length(rest) => {
            let over = soft_length(shape, run, places) - rest;
            if over > 0.0 {
                (spring * over, spring)
            } else {
                (0.0, 0.0)
            }
        }
    }
}

fn soft_span(a: Vector, b: Vector) -> (Vector, f64) {
    let d = minus(b, a);
    let length = (dot(d, d) + MEETING_M * MEETING_M).sqrt();
    (d.map(|v| v / length), length)
}

fn soft_length(shape: &Shape, run: usize, places: &[Vector]) -> f64 {
    shape
        .spans(run)
        .map(|(a, b)| soft_span(places[a], places[b]).1)
        .sum()
}

fn energy(shape: &Shape, places: &[Vector], spring: f64) -> f64 {
    (0..shape.graph.runs.len())
        .map(|run| {
            let length = soft_length(shape, run, places);
            match shape.holds(run) {
                Holds::Hauled { share } => share * length,
                Holds::Length(rest) => {
                    let over = (length - rest).max(0.0);
                    0.5 * spring * over * over
                }
            }
        })
        .sum()
}

/// One Newton step; false when there is nothing left to gain.
fn step(shape: &Shape, places: &mut [Vector], spring: f64) -> bool {
    let n = 3 * shape.moving;
    let (mut slope, mut bend) = (vec![0.0; n], vec![0.0; n * n]);
    for run in 0..shape.graph.runs.len() {
        let (tension, steep) = pull(shape, run, places, spring);
        if tension == 0.0 {
            continue;
        }
        let grow = add_run(shape, run, places, tension, (&mut slope, &mut bend));
        if steep > 0.0 {
            for i in (0..n).filter(|&i| grow[i] != 0.0) {
                for j in 0..n {
                    bend[i * n + j] += steep * grow[i] * grow[j];
                }
            }
        }
    }
    let worst = slope.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
    if worst.is_nan() || worst <= ENOUGH {
        return false;
    }
    // A node that nothing pulls on, or along whose line nothing bends, still
    // gets a step of its own.
    for i in 0..n {
        bend[i * n + i] += 1e-7 + 1e-3 * worst.min(1.0);
    }
    let Some(factored) = factor(n, bend) else {
        return false;
    };
    let way = factored.solve(&slope);
    let gain = slope.iter().zip(&way).map(|(s, w)| s * w).sum::<f64>();
    let before = energy(shape, places, spring);
    let mut share = 1.0;
    for _ in 0..40 {
        let tried = moved(shape, places, &way, -share);
        if energy(shape, &tried, spring) <= before - 1e-4 * share * gain {
            places.copy_from_slice(&tried);
            return true;
        }
        share *= 0.5;
    }
    false
}

/// Adds the pull of a run at `tension` and how it turns; gives back how the
/// run's length grows with each unknown.
fn add_run(
    shape: &Shape,
    run: usize,
    places: &[Vector],
    tension: f64,
    (slope, bend): (&mut [f64], &mut [f64]),
) -> Vec<f64> {
    let n = slope.len();
    let mut grow = vec![0.0; n];
    for (a, b) in shape.spans(run) {
        let (unit, length) = soft_span(places[a], places[b]);
        for (node, sign) in [(a, -1.0), (b, 1.0)] {
            let Some(slot) = shape.slot[node] else {
                continue;
            };
            for i in 0..3 {
                grow[3 * slot + i] += sign * unit[i];
                slope[3 * slot + i] += sign * tension * unit[i];
            }
            for (other, turn) in [(a, -sign), (b, sign)] {
                let Some(column) = shape.slot[other] else {
                    continue;
                };
                for i in 0..3 {
                    for j in 0..3 {
                        let flat = f64::from(i == j) - unit[i] * unit[j];
                        bend[(3 * slot + i) * n + 3 * column + j] += turn * tension * flat / length;
                    }
                }
            }
        }
    }
    grow
}

/// The places after `share` of a step.
pub(super) fn moved(shape: &Shape, places: &[Vector], way: &[f64], share: f64) -> Vec<Vector> {
    places
        .iter()
        .zip(&shape.slot)
        .map(|(place, slot)| match slot {
            Some(slot) => {
                let by = [way[3 * slot], way[3 * slot + 1], way[3 * slot + 2]];
                plus(*place, by, share)
            }
            None => *place,
        })
        .collect()
}
