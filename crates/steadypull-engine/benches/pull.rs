//! One kinetic pull: wagon and wagon, 9 t webbing with hysteresis, break-out and
//! sticking, followed to rest.

use steadypull_engine::line::{Condition, Curve, Law, Material, Path};
use steadypull_engine::pull::kinetic::{Drive, Setup, run, run_without_series};
use steadypull_engine::units::{Duration, Force, Length, Mass, Power, Speed};

fn main() {
    divan::main();
}

fn setup() -> Setup {
    let material = Material::NylonWebbing;
    let curve = material.curve().expect("the preset is a curve");
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), material);
    Setup {
        tug_mass: Mass::new(2900.0),
        casualty_mass: Some(Mass::new(2600.0)),
        length: Length::new(9.0),
        path: Path::new(law, 0.0),
        run_up_speed: Speed::new(3.5),
        slack: Length::ZERO,
        drive: Drive {
            greatest: Force::new(8e3),
            power: Power::from_kw(60.0),
            held: true,
        },
        tug_grade: Force::ZERO,
        tug_rolling: Force::new(500.0),
        slide: Force::new(30e3),
        break_extra: Force::new(8e3),
        break_length: Length::new(0.3),
        viscous_n_s_per_m: 0.0,
        parts_at: None,
        duration: Duration::new(2.0),
    }
}

#[divan::bench]
fn kinetic_pull(bencher: divan::Bencher) {
    let setup = setup();
    bencher.bench(|| run(&setup));
}

/// For studies of many pulls.
#[divan::bench]
fn kinetic_pull_without_series(bencher: divan::Bencher) {
    let setup = setup();
    bencher.bench(|| run_without_series(&setup));
}

/// The case "full" of `validation/independent`, whose `kinetic_speed.py` times scipy.
#[divan::bench]
fn independent_full_pull(bencher: divan::Bencher) {
    let curve = Curve::linear(0.18, 0.7, 0.1).expect("a straight line is a curve");
    let material = Material::NylonWebbing;
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), material);
    let setup = Setup {
        path: Path::new(law, 0.0),
        drive: Drive {
            power: Power::new(f64::MAX),
            ..setup().drive
        },
        tug_rolling: Force::ZERO,
        ..setup()
    };
    bencher.bench(|| run_without_series(&setup));
}

/// A thousand pulls, run-up speeds 2 to 5 m/s.
#[divan::bench(sample_count = 20)]
fn thousand_pulls(bencher: divan::Bencher) {
    let setups: Vec<Setup> = (0..1000)
        .map(|i| Setup {
            run_up_speed: Speed::new(2.0 + 0.003 * f64::from(i)),
            ..setup()
        })
        .collect();
    let peak = |setup| run_without_series(setup).map_or(f64::NAN, |pull| pull.peak_force.get());
    bencher.bench(|| setups.iter().map(peak).sum::<f64>());
}
