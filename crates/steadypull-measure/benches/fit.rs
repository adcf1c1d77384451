//! How long the line model takes to fit, alone and with its intervals.

#![allow(missing_docs)]

use divan::{Bencher, black_box};
use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::units::{Force, Length};
use steadypull_measure::fit::{
    LineFit, LineModel, Loss, Memory, PullRecord, RateTerm, Rules, StretchNoise, Term, fit_line,
};

fn main() {
    divan::main();
}

/// A pull up to 15 % and back, with a ripple for noise.
fn pull(readings: usize) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let material = Material::NylonWebbing;
    let curve = material.curve().unwrap();
    let law = Law::new(&curve, Force::from_tf(9.0), &Condition::default(), material);
    let mut path = Path::new(law, 0.0);
    let (mut time_s, mut stretch_m, mut force_n) = (vec![], vec![], vec![]);
    for i in 0..readings {
        let t = i as f64 / readings as f64;
        let strain = 0.15 * libm::sin(core::f64::consts::PI * t);
        time_s.push(t);
        stretch_m.push(9.0 * strain);
        let ripple = 300.0 * libm::sin(12.9898 * (i * i) as f64);
        force_n.push(path.tension(strain) + ripple);
        path.remember(strain);
    }
    (time_s, stretch_m, force_n)
}

fn fit(readings: usize, loss: Loss, memory: Memory) -> LineFit {
    let (time_s, stretch_m, force_n) = pull(readings);
    let record = PullRecord {
        time_s: &time_s,
        stretch_m: &stretch_m,
        stretch_noise: StretchNoise::NONE,
        shared_m: &[],
        force_n: &force_n,
        zero_n: 0.0,
        rest_length: Length::new(9.0),
        strain_seen: 0.0,
    };
    let model = LineModel {
        levels: 3,
        energy_return: Term::Fitted,
        set_fraction: Term::Fitted,
        rate: RateTerm::None,
        breaking: Force::from_tf(9.0),
    };
    let rules = Rules {
        loss,
        memory,
        confidence: 0.95,
    };
    fit_line(&model, &[record], &rules).unwrap()
}

/// Five parameters with profile intervals.
#[divan::bench(args = [100, 1000])]
fn squares(bencher: Bencher, readings: usize) {
    bencher.bench(|| fit(black_box(readings), Loss::Squares, Memory::None));
}

#[divan::bench(args = [100, 1000])]
fn huber(bencher: Bencher, readings: usize) {
    bencher.bench(|| fit(black_box(readings), Loss::Huber, Memory::None));
}

#[divan::bench(args = [100, 1000])]
fn squares_with_memory(bencher: Bencher, readings: usize) {
    bencher.bench(|| fit(black_box(readings), Loss::Squares, Memory::Found));
}
