//! Footage against scipy and dense solutions, laws of planes and splines, and known
//! motions with noise.
//!
//! Reference: `validation/independent/measure/footage.csv`, written by `footage.py` there
//! (numpy 2.4.6, scipy 1.17.1).

mod noise;

use noise::{normal, unit};
use proptest::prelude::*;
use steadypull_measure::footage::{Clock, Mark, Noise, Penalty, Plane, smooth, smooth_with, track};

const REFERENCE: &str = include_str!("../../../validation/independent/measure/footage.csv");

fn reference(what: &str) -> Vec<f64> {
    let rows = REFERENCE.lines().filter_map(|line| {
        let mut cells = line.split(',');
        (cells.next() == Some(what)).then(|| cells.nth(1).unwrap().parse().unwrap())
    });
    let values: Vec<f64> = rows.collect();
    assert!(!values.is_empty(), "{what}");
    values
}

fn greatest_gap(got: impl Iterator<Item = f64>, want: &[f64]) -> f64 {
    got.zip(want)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

#[test]
fn published_by_scipy_cubic_spline() {
    let (t, y, w) = (reference("t"), reference("y"), reference("w"));
    let lambda = reference("cubic_lam")[0];
    let ours = smooth_with(&t, &y, &w, Penalty::Acceleration, lambda).unwrap();
    let at = |k: usize| ours.derivatives.iter().map(move |d| d[k]);
    assert!(greatest_gap(at(0), &reference("cubic")) < 1e-10);
    assert!(greatest_gap(at(1), &reference("cubic_speed")) < 1e-8);
    for k in 0..2 {
        let roots = reference(&format!("cubic_root_{k}"));
        let own = ours.errors.iter().map(|e| e[k] / ours.noise);
        let worst = own
            .zip(&roots)
            .map(|(a, b)| (a / b - 1.0).abs())
            .fold(0.0, f64::max);
        assert!(worst < 1e-6, "{k} {worst}");
    }
    // Both find the least of the same score, each to its own tolerance.
    let chosen = smooth(&t, &y, &w, Penalty::Acceleration, Noise::Unknown).unwrap();
    let gap = greatest_gap(
        chosen.derivatives.iter().map(|d| d[0]),
        &reference("cubic_gcv"),
    );
    assert!(gap < 1e-4, "{gap}");
}

#[test]
fn published_by_dense_solution_quintic_spline() {
    let (t, y, w) = (reference("t"), reference("y"), reference("w"));
    let lambda = reference("quintic_lam")[0];
    let ours = smooth_with(&t, &y, &w, Penalty::Jerk, lambda).unwrap();
    for k in 0..3 {
        let want = reference(&format!("quintic_{k}"));
        let scale = want.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        let gap = greatest_gap(ours.derivatives.iter().map(|d| d[k]), &want);
        assert!(gap < 1e-6 * scale, "{k} {gap}");
        let roots = reference(&format!("quintic_root_{k}"));
        let own = ours.errors.iter().map(|e| e[k] / ours.noise);
        let worst = own
            .zip(&roots)
            .map(|(a, b)| (a / b - 1.0).abs())
            .fold(0.0, f64::max);
        assert!(worst < 1e-5, "{k} {worst}");
    }
}

const PIXELS: [[f64; 2]; 4] = [
    [102.0, 640.0],
    [1790.0, 702.0],
    [1604.0, 231.0],
    [311.0, 198.0],
];
const METRES: [[f64; 2]; 4] = [[0.0, 0.0], [6.0, 0.0], [6.0, 3.0], [0.0, 3.0]];

#[test]
fn published_by_scipy_homography() {
    let plane = Plane::from_points(&PIXELS, &METRES, 0.5).unwrap();
    for (k, p) in [[900.0, 450.0], [500.0, 300.0], [1900.0, 900.0]]
        .into_iter()
        .enumerate()
    {
        let want = reference(&format!("plane_{k}"));
        let got = plane.at_m(p[0], p[1]);
        assert!(
            (got[0] - want[0]).abs() < 1e-8 && (got[1] - want[1]).abs() < 1e-8,
            "{got:?}"
        );
    }
    assert!(plane.worst_fit_m() < 1e-9);
}

/// The plane's stated error is what clicking anew scatters by, here over 400 clickings of
/// the four points, and the mark's own likewise.
#[test]
fn stated_errors_are_the_scatter_of_clicks() {
    let plane = Plane::from_points(&PIXELS, &METRES, 1.5).unwrap();
    let stated = plane.place(1000.0, 500.0);
    let runs = 400;
    let mut squares = [0.0; 2];
    for run in 0..runs {
        let mut clicked = PIXELS;
        for (i, p) in clicked.as_flattened_mut().iter_mut().enumerate() {
            *p += 1.5 * normal(run, i as u64);
        }
        let again = Plane::from_points(&clicked, &METRES, 1.5)
            .unwrap()
            .at_m(1000.0, 500.0);
        for (square, (again, at)) in squares.iter_mut().zip(again.iter().zip(stated.at_m)) {
            *square += (again - at).powi(2);
        }
    }
    for (axis, squares) in squares.into_iter().enumerate() {
        let ratio = (squares / runs as f64).sqrt() / stated.plane_error_m[axis];
        // Three standard errors of a deviation from 400: 3/√800.
        assert!((ratio - 1.0).abs() < 3.0 / 800f64.sqrt(), "{axis} {ratio}");
    }
    assert!(stated.click_error_m[0] > 1e-3 && stated.click_error_m[0] < 1e-2);
}

#[test]
fn a_known_length_is_itself_and_its_error_carries() {
    let plane = Plane::from_length([100.0, 500.0], [700.0, 420.0], 3.0, 0.03, 0.0, 0.0).unwrap();
    let (a, b) = (plane.at_m(100.0, 500.0), plane.at_m(700.0, 420.0));
    assert!(a[0].abs() < 1e-12 && a[1].abs() < 1e-12);
    assert!((b[0] - 3.0).abs() < 1e-12 && b[1].abs() < 1e-12);
    let place = plane.place(700.0, 420.0);
    assert!((place.plane_error_m[0] - 0.03).abs() < 1e-12);
    // Up in the picture is up in the plane.
    assert!(plane.at_m(400.0, 100.0)[1] > 0.0);
    let short = Plane::from_length([100.0, 500.0], [101.0, 500.0], 3.0, 0.0, 0.0, 1.0);
    assert!(short.unwrap_err().to_string().contains("take a longer one"));
}

#[test]
fn points_on_a_line_make_no_plane() {
    let line = [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 3.0]];
    let said = Plane::from_points(&line, &METRES, 0.5)
        .unwrap_err()
        .to_string();
    assert!(said.contains("do not span a plane"), "{said}");
}

/// A camera at 240 frames a second, 2.6 mm a pixel, marks good to `noise_px`.
fn thrown(seed: u64, clock: &Clock, noise_px: f64) -> Vec<Mark> {
    (0..60)
        .map(|frame| {
            let i = u64::from(frame);
            // Seen late by its row, which moves little: solved by one more go.
            let mut y_px = 900.0;
            let (mut x, mut y) = (0.0, 0.0);
            for _ in 0..3 {
                let t = clock.time_s(&Mark {
                    frame,
                    x_px: 0.0,
                    y_px,
                });
                (x, y) = truth(t);
                y_px = 900.0 - y / 0.0026;
            }
            let _ = y;
            Mark {
                frame,
                x_px: x / 0.0026 + noise_px * normal(seed, 2 * i),
                y_px: y_px + noise_px * normal(seed, 2 * i + 1),
            }
        })
        .collect()
}

/// A smooth motion: 20 m/s falling off, and a throw upwards.
fn truth(t: f64) -> (f64, f64) {
    (
        20.0 * (t - 0.6 * t * t),
        2.0 * t - 4.903_325 * t * t + 0.3 * libm::sin(9.0 * t),
    )
}

fn truth_motion(t: f64) -> [[f64; 3]; 2] {
    let (x, y) = truth(t);
    [
        [x, 20.0 - 24.0 * t, -24.0],
        [
            y,
            2.0 - 9.806_65 * t + 2.7 * libm::cos(9.0 * t),
            -9.806_65 - 24.3 * libm::sin(9.0 * t),
        ],
    ]
}

/// Pointwise 95 % intervals of position, speed and acceleration hold the truth in 92 to
/// 98 % of all points of 200 tracks (their word is on average over the points), with the
/// click error taken at its word.
#[test]
fn known_motion_lies_inside_its_errors() {
    let clock = Clock::even(240.0);
    let plane = Plane::from_length([0.0, 900.0], [1000.0, 900.0], 2.6, 0.0, 0.0, 0.6).unwrap();
    let mut held = [[0u32; 3]; 2];
    let mut points = 0;
    for seed in 0..200 {
        let marks = thrown(seed, &clock, 0.6);
        let track = track(&marks, &clock, &plane, true).unwrap();
        points += marks.len();
        for (axis, held) in held.iter_mut().enumerate() {
            for moment in &track.axes[axis] {
                let truth = truth_motion(moment.time_s)[axis];
                for k in 0..3 {
                    let off = (moment.motion[k] - truth[k]).abs();
                    held[k] += u32::from(off <= 1.959_964 * moment.error[k]);
                }
            }
        }
    }
    for (axis, held) in held.into_iter().enumerate() {
        for (k, held) in held.into_iter().enumerate() {
            let share = f64::from(held) / points as f64;
            println!("axis {axis} derivative {k}: {share}");
            assert!((0.92..=0.98).contains(&share), "{axis} {k} {share}");
        }
    }
}

/// A frame rate 1 % unsure makes the motion `g(t (1 + δ))`: the speed at a given second
/// is off by `δ (v + a t)`, the acceleration by `2 δ a` (it is even here); a length 2 %
/// unsure adds its 2 % to each, in squares.
#[test]
fn clock_and_length_carry_into_speed() {
    let clock = Clock {
        rate_error_hz: 2.4,
        ..Clock::even(240.0)
    };
    let plane = Plane::from_length([0.0, 900.0], [1000.0, 900.0], 2.6, 0.052, 0.0, 0.02).unwrap();
    let marks = thrown(1, &Clock::even(240.0), 0.02);
    let track = track(&marks, &clock, &plane, false).unwrap();
    for moment in &track.axes[0][10..50] {
        let [_, v, a] = moment.motion;
        let want = libm::hypot(0.01 * (v + a * moment.time_s), 0.02 * v);
        assert!(
            (moment.common_error[1] / want - 1.0).abs() < 0.02,
            "{moment:?} {want}"
        );
        let want = libm::hypot(0.02 * a, 0.02 * a);
        assert!(
            (moment.common_error[2] / want - 1.0).abs() < 0.15,
            "{moment:?} {want}"
        );
    }
}

/// A point that keeps its height: the smoothest curve through that is a straight line, however
/// many marks there are.
#[test]
fn many_marks_along_a_level_line_are_followed() {
    let plane = Plane::from_length([0.0, 500.0], [1000.0, 500.0], 2.0, 0.0, 0.0, 1.0).unwrap();
    let mark = |frame: u32| Mark {
        frame,
        x_px: 100.0 + 2.0 * f64::from(frame),
        y_px: 500.0 + 0.5 * normal(7, u64::from(frame)),
    };
    for count in [100, 480, 3000] {
        let marks: Vec<Mark> = (0..count).map(mark).collect();
        let [along, across] = track(&marks, &Clock::even(240.0), &plane, false)
            .unwrap()
            .axes;
        let speed = along[50].motion[1];
        assert!(
            (speed / (2.0 * 240.0 * 0.002) - 1.0).abs() < 0.01,
            "{count}: {speed}"
        );
        assert!(
            across[50].motion[1].abs() < 0.01,
            "{count}: {:?}",
            across[50]
        );
    }
}

/// A rolling shutter of 4 ms, known, is taken out; not known, it stands in the error.
#[test]
fn a_rolling_shutter_is_taken_out_or_stated() {
    let rolling = Clock {
        readout_s: 4e-3,
        height_px: 1080.0,
        ..Clock::even(240.0)
    };
    let plane = Plane::from_length([0.0, 900.0], [1000.0, 900.0], 2.6, 0.0, 0.0, 0.6).unwrap();
    let marks = thrown(2, &rolling, 0.6);
    let known = track(&marks, &rolling, &plane, true).unwrap();
    let middle = known.axes[0][30];
    let truth = truth_motion(middle.time_s)[0];
    assert!((middle.motion[0] - truth[0]).abs() < 4.0 * middle.error[0]);
    // What is left is the clicks on the known length.
    assert!(middle.common_error[0] < 3e-3);
    let unsure = Clock {
        readout_s: 2e-3,
        readout_error_s: 2e-3 / 3f64.sqrt(),
        ..rolling
    };
    let stated = track(&marks, &unsure, &plane, true).unwrap().axes[0][30];
    // 20 m/s for 1.15 ms × the row's share of the picture.
    let share = marks[30].y_px / 1080.0;
    let want = stated.motion[1] * 2e-3 / 3f64.sqrt() * share;
    assert!(
        (stated.common_error[0] / want - 1.0).abs() < 0.2,
        "{stated:?} {want}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(11),
        ..ProptestConfig::default()
    })]

    #[test]
    fn splines_reproduce_what_costs_nothing(
        a in -5.0f64..5.0, b in -5.0f64..5.0, c in -5.0f64..5.0, seed in 0u64..1000,
        exponent in -6.0f64..6.0,
    ) {
        let t: Vec<f64> = (0..20).map(|i| 0.1 * f64::from(i as u32) + 0.05 * unit(seed, i)).collect();
        let w: Vec<f64> = (0..20).map(|i| 0.5 + unit(seed + 1, i)).collect();
        let line: Vec<f64> = t.iter().map(|t| a + b * t).collect();
        let parabola: Vec<f64> = t.iter().map(|t| a + b * t + c * t * t).collect();
        let lambda = libm::pow(10.0, exponent);
        let straight = smooth_with(&t, &line, &w, Penalty::Acceleration, lambda * 1e-3).unwrap();
        let bent = smooth_with(&t, &parabola, &w, Penalty::Jerk, lambda * 1e-5).unwrap();
        for i in 0..20 {
            prop_assert!((straight.derivatives[i][0] - line[i]).abs() < 1e-7);
            prop_assert!((straight.derivatives[i][1] - b).abs() < 1e-6);
            prop_assert!((bent.derivatives[i][0] - parabola[i]).abs() < 1e-6);
            prop_assert!((bent.derivatives[i][2] - 2.0 * c).abs() < 1e-4);
        }
    }

    #[test]
    fn a_plane_and_back_is_where_it_was(
        dx in prop::array::uniform8(-40.0f64..40.0), x in 200.0f64..1700.0, y in 200.0f64..700.0,
    ) {
        let mut pixels = PIXELS;
        for (p, d) in pixels.as_flattened_mut().iter_mut().zip(dx) {
            *p += d;
        }
        let plane = Plane::from_points(&pixels, &METRES, 0.5).unwrap();
        for (p, m) in pixels.iter().zip(METRES) {
            let at = plane.at_m(p[0], p[1]);
            prop_assert!((at[0] - m[0]).abs() < 1e-8 && (at[1] - m[1]).abs() < 1e-8);
        }
        let back = plane.at_px(plane.at_m(x, y)).unwrap();
        prop_assert!((back[0] - x).abs() < 1e-6 && (back[1] - y).abs() < 1e-6);
    }
}
