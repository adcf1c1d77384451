//! When a line comes taut and goes slack, on the engine's own pulls and on a load that stiffens:
//! whether the intervals hold the truth as often as they say. Invented noise: it shows the
//! arithmetic, not a cell.

mod noise;

use noise::{normal, unit};
use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::pull::kinetic::Drive;
use steadypull_engine::pull::{Setup, run};
use steadypull_engine::units::{Duration, Force, Length, Mass, Speed};
use steadypull_measure::events::{Event, Settings, find};
use steadypull_measure::readings::shape;
use steadypull_measure::signal::cfc::{Cfc, Filter};
use steadypull_measure::signal::{Channel, Quality, Series};

const REPEATS: u64 = 2000;
const LENGTH_M: f64 = 9.0;

/// A load by the time since taut, and how long it lasts, s.
struct Course {
    long_s: f64,
    load_n: Box<dyn Fn(f64) -> f64>,
}

/// Up by one power of a half sine and down by another.
fn half_sine(peak_n: f64, long_s: f64, up: f64, down: f64) -> Course {
    let load_n = move |t: f64| {
        let share = libm::sin(core::f64::consts::PI * t / long_s).max(0.0);
        peak_n * libm::pow(share, if t < 0.5 * long_s { up } else { down })
    };
    Course {
        long_s,
        load_n: Box::new(load_n),
    }
}

/// The engine's pull of a new line of 9 t: its strain by a cubic between its samples, its load by
/// the path law, to where the line hangs slack.
fn of_engine(material: Material, speed: f64, slide_n: f64) -> Course {
    let mbs = Force::from_tf(9.0);
    let law = Law::new(
        &material.curve().unwrap(),
        mbs,
        &Condition::default(),
        material,
    );
    let setup = Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(LENGTH_M),
        path: Path::new(law.clone(), 0.0),
        run_up_speed: Speed::new(speed),
        slack: Length::ZERO,
        drive: Drive::NONE,
        tug_grade: Force::ZERO,
        tug_rolling: Force::ZERO,
        slide: Force::new(slide_n),
        break_extra: Force::new(8e3),
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(1.5),
    };
    let all = run(&setup).unwrap().series;
    let first = all.iter().position(|s| s.force_n > 0.0).unwrap();
    let end = (first..all.len()).find(|i| all[*i].force_n <= 0.0).unwrap();
    let point = |i: usize| {
        (
            all[i].time_s - all[first].time_s,
            all[i].stretch_m / LENGTH_M,
        )
    };
    let mut points: Vec<(f64, f64)> = (first..=end).map(point).collect();
    let top = *points.iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    let mut path = Path::new(law.clone(), 0.0);
    path.remember(top.1);
    // The engine tells no stretch of a slack line.
    points[end - first].1 = path.strain_slack();
    let strain = move |t: f64| {
        let after = points.partition_point(|p| p.0 <= t);
        let four = after.clamp(2, points.len() - 2);
        cubic(&points[four - 2..four + 2], t)
    };
    let load_n = move |t: f64| match t < top.0 {
        true => law.tension(strain(t)),
        false => path.tension(strain(t).min(top.1)),
    };
    Course {
        long_s: all[end].time_s - all[first].time_s,
        load_n: Box::new(load_n),
    }
}

/// The cubic through four points (Lagrange).
fn cubic(points: &[(f64, f64)], t: f64) -> f64 {
    let weight = |i: usize| {
        let others = (0..points.len()).filter(|j| *j != i);
        others
            .map(|j| (t - points[j].0) / (points[i].0 - points[j].0))
            .product::<f64>()
    };
    (0..points.len()).map(|i| weight(i) * points[i].1).sum()
}

/// Once recorded, with noise and where between two samples it begins drawn from a seed.
fn recorded(course: &Course, quality: &Quality, rate_hz: f64, seed: u64) -> (Channel, f64) {
    let start_s = 0.35 + unit(seed + 77_000, 1) / rate_hz;
    let value = |i: usize| {
        let t = i as f64 / rate_hz - start_s;
        let pulls = (0.0..course.long_s).contains(&t);
        let load_n = if pulls { (course.load_n)(t) } else { 0.0 };
        load_n + quality.noise * normal(seed * 7 + 13_000_000, i as u64)
    };
    let count = ((course.long_s + 0.7) * rate_hz) as usize;
    let raw = Series::new(0.0, 1.0 / rate_hz, (0..count).map(value).collect()).unwrap();
    let channel = Channel {
        series: quality.filter.unwrap().run(&raw).unwrap().series,
        quality: quality.clone(),
    };
    (channel, start_s)
}

/// 95 % intervals of taut, slack and duration hold the truth 93 to 97 times in 100, and the mean
/// duration is right within half a per cent.
fn holds_its_word(course: &Course, rate_hz: f64, class: f64, noise_n: f64) {
    let mut quality = Quality::of_noise(noise_n);
    quality.filter = Some(Filter::new(Cfc::new(class).unwrap(), rate_hz).unwrap());
    let (mut held, mut error_s) = ([0; 3], 0.0);
    for seed in 0..REPEATS {
        let (channel, start_s) = recorded(course, &quality, rate_hz, seed);
        let pull = &find(&channel, &Settings::default()).unwrap().pulls[0];
        let duration = shape(&channel, pull).duration;
        let at =
            |event: Event, truth: f64| (event.time_s - truth).abs() <= 1.96 * event.uncertainty_s;
        held[0] += u64::from(at(pull.taut, start_s));
        held[1] += u64::from(at(pull.end, start_s + course.long_s));
        held[2] += u64::from(duration.interval().unwrap().contains(course.long_s));
        error_s += duration.value - course.long_s;
    }
    let bias = error_s / REPEATS as f64 / course.long_s;
    let shares = held.map(|held| held as f64 / REPEATS as f64);
    println!(
        "taut, slack, duration held {shares:?}, duration off by {:.3} %",
        100.0 * bias
    );
    for share in shares {
        assert!((0.93..=0.97).contains(&share), "{shares:?}");
    }
    assert!(bias.abs() < 0.005, "{bias}");
}

#[test]
fn webbing_in_the_engine() {
    holds_its_word(
        &of_engine(Material::NylonWebbing, 3.5, 30e3),
        1000.0,
        60.0,
        150.0,
    );
}

/// So quiet that the load's own course shows beside the law that is laid through it.
#[test]
fn webbing_that_is_quiet() {
    holds_its_word(
        &of_engine(Material::NylonWebbing, 3.5, 30e3),
        1000.0,
        60.0,
        25.0,
    );
}

#[test]
fn braid_in_the_engine() {
    holds_its_word(
        &of_engine(Material::NylonBraid, 2.5, 20e3),
        1000.0,
        60.0,
        150.0,
    );
}

#[test]
fn a_load_that_stiffens() {
    holds_its_word(&half_sine(35e3, 0.8, 1.5, 2.2), 2000.0, 180.0, 150.0);
}
