//! The line model fitted to pulls whose stretch is noisy too.

mod noise;
mod pulls;

use noise::normal;
use pulls::strap;
use steadypull_engine::line::{Curve, Law, Path, Rate};
use steadypull_engine::units::{Force, Length};
use steadypull_measure::fit::{
    LineFit, LineModel, Loss, Memory, PullRecord, RateTerm, Rules, StretchNoise, Term, fit_line,
};
use steadypull_measure::signal::Series;
use steadypull_measure::signal::cfc::{Cfc, Filter};

const STRAIGHT: LineModel = LineModel {
    levels: 1,
    energy_return: Term::Fitted,
    set_fraction: Term::Fitted,
    rate: RateTerm::None,
    breaking: Force::from_tf(9.0),
};
const PLAIN: Rules = Rules {
    loss: Loss::Squares,
    memory: Memory::None,
    confidence: 0.95,
};

/// A pull logged at 1 kHz, from before it comes taut to after it is slack.
struct Logged {
    time_s: Vec<f64>,
    stretch_m: Vec<f64>,
    force_n: Vec<f64>,
}

impl Logged {
    /// The engine's pull, run up to at `speed`; the ends part at that speed before it is taut.
    fn of(law: Law, speed: f64) -> Self {
        let pull = pulls::pulled(law.clone(), speed, 1);
        let mut path = Path::new(law.clone(), 0.0);
        let last = pull.time_s[pull.time_s.len() - 1];
        let mut logged = Self {
            time_s: vec![],
            stretch_m: vec![],
            force_n: vec![],
        };
        for i in -200.. {
            let time_s = f64::from(i) / 1000.0;
            if time_s > last {
                break;
            }
            let stretch_m = match i {
                ..0 => speed * time_s,
                _ => cubic(&pull.time_s, &pull.stretch_m, time_s),
            };
            let strain = stretch_m / 9.0;
            logged.time_s.push(time_s);
            logged.stretch_m.push(stretch_m);
            logged.force_n.push(match law.curve().rate {
                None => path.tension(strain),
                Some(_) if i < 0 => 0.0,
                Some(_) => cubic(&pull.time_s, &pull.force_n, time_s),
            });
            path.remember(strain);
        }
        logged
    }

    fn greatest_m(&self) -> f64 {
        self.stretch_m.iter().copied().fold(0.0, f64::max)
    }
}

/// The cubic through the four nearest values.
fn cubic(time_s: &[f64], values: &[f64], at_s: f64) -> f64 {
    let after = time_s.partition_point(|t| *t <= at_s);
    let from = after.saturating_sub(2).min(time_s.len() - 4);
    let (t, v) = (&time_s[from..from + 4], &values[from..from + 4]);
    let one = |j: usize| {
        let others = (0..4).filter(|k| *k != j);
        v[j] * others
            .map(|k| (at_s - t[k]) / (t[j] - t[k]))
            .product::<f64>()
    };
    (0..4).map(one).sum()
}

/// What a repeat reads.
#[derive(Clone, Copy)]
struct How {
    /// Noise of a load, N, and of a stretch, m, sample by sample.
    noise: (f64, f64),
    /// The class that the stretch goes through.
    class: Option<f64>,
    /// Samples to a reading.
    every: usize,
    /// Whether the fit is told of the stretch's noise.
    told: bool,
}

fn fit(log: &Logged, model: &LineModel, how: How, seed: u64) -> LineFit {
    let (force, stretch) = how.noise;
    let samples = 0..log.time_s.len();
    let noisy = samples
        .clone()
        .map(|i| log.stretch_m[i] + stretch * normal(seed, i as u64));
    let filter = how
        .class
        .map(|class| Filter::new(Cfc::new(class).unwrap(), 1000.0).unwrap());
    let series = Series::new(log.time_s[0], 0.001, noisy.collect()).unwrap();
    let series = filter.map_or(series.clone(), |filter| filter.run(&series).unwrap().series);
    let taken = samples.filter(|i| log.time_s[*i] >= 0.0).step_by(how.every);
    let (mut time_s, mut stretch_m, mut force_n) = (vec![], vec![], vec![]);
    for i in taken {
        time_s.push(log.time_s[i]);
        stretch_m.push(series.values()[i]);
        force_n.push(log.force_n[i] + force * normal(seed + 500_000_000, i as u64));
    }
    let correlation = filter.map_or(vec![], |filter| filter.noise_correlation(how.every));
    let share = filter.map_or(1.0, |filter| filter.noise_share());
    let record = PullRecord {
        time_s: &time_s,
        stretch_m: &stretch_m,
        stretch_noise: StretchNoise {
            deviation_m: if how.told { stretch * share } else { 0.0 },
            correlation: &correlation,
        },
        shared_m: &[],
        force_n: &force_n,
        rest_length: Length::new(9.0),
        strain_seen: 0.0,
    };
    fit_line(model, &[record], &PLAIN).unwrap()
}

/// Of many repeats, for each parameter: mean over truth less 1, and share held.
fn repeats(
    log: &Logged,
    model: &LineModel,
    how: How,
    truth: &[f64],
    count: u64,
) -> Vec<(f64, f64)> {
    let mut sums = vec![(0.0, 0.0, 0.0); truth.len()];
    let (mut noise, mut near) = (0.0, 0);
    for seed in 0..count {
        let fit = fit(log, model, how, 40_000_000 + 10_000 * seed);
        noise += fit.noise.get();
        near += u32::from(fit.residual_check.like_noise());
        for ((sum, estimate), want) in sums.iter_mut().zip(&fit.estimates).zip(truth) {
            let off = estimate.value / want - 1.0;
            sum.0 += off;
            sum.2 += off * off;
            sum.1 += f64::from(estimate.interval.contains(*want));
        }
    }
    let n = count as f64;
    let spread = |s: &(f64, f64, f64)| 100.0 * (s.2 / n - (s.0 / n) * (s.0 / n)).sqrt();
    let sd: Vec<f64> = sums.iter().map(spread).collect();
    let got: Vec<(f64, f64)> = sums
        .into_iter()
        .map(|(bias, held, _)| (bias / n, held / n))
        .collect();
    println!("{how:?} noise {:.0} like noise {near}", noise / n);
    for (bias, held) in &got {
        println!(
            "    bias {:+.3} %  held {:.2} %",
            100.0 * bias,
            100.0 * held
        );
    }
    got
}

impl std::fmt::Debug for How {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let (force, stretch) = self.noise;
        let told = if self.told { "told" } else { "not told" };
        write!(
            f,
            "{force} N, {:.2} mm, {:?}, every {}, {told}",
            1e3 * stretch,
            self.class,
            self.every
        )
    }
}

#[test]
#[ignore]
fn measured() {
    let count = std::env::var("REPEATS").map_or(200, |n| n.parse().unwrap());
    let log = Logged::of(strap(), 3.0);
    println!("greatest {}", log.greatest_m());
    for share in [0.002, 0.005, 0.01] {
        for class in [None, Some(60.0)] {
            for told in [false, true] {
                let how = How {
                    noise: (120.0, share * log.greatest_m()),
                    class,
                    every: 8,
                    told,
                };
                repeats(&log, &STRAIGHT, how, &[0.18, 0.7, 0.1], count);
            }
        }
    }
}

#[test]
#[ignore]
fn measured_rate() {
    let count = std::env::var("REPEATS").map_or(200, |n| n.parse().unwrap());
    let mut curve = Curve::linear(0.18, 0.7, 0.1).unwrap();
    curve.rate = Some(Rate {
        stiffness_ratio: 1.4,
        relaxation_s: 0.08,
    });
    let log = Logged::of(pulls::of_curve(&curve), 3.0);
    let model = LineModel {
        rate: RateTerm::Fitted,
        ..STRAIGHT
    };
    for share in [0.0, 0.002, 0.005, 0.01] {
        for class in [None, Some(60.0)] {
            for told in [false, true] {
                let how = How {
                    noise: (120.0, share * log.greatest_m()),
                    class,
                    every: 8,
                    told,
                };
                repeats(&log, &model, how, &[0.18, 0.7, 0.1, 1.4, 0.08], count);
            }
        }
    }
}

#[test]
#[ignore]
fn looked() {
    let count = std::env::var("REPEATS").map_or(200, |n| n.parse().unwrap());
    let log = Logged::of(strap(), 3.0);
    for every in [1, 2, 4, 8] {
        let how = How {
            noise: (0.01, 0.0),
            class: None,
            every,
            told: false,
        };
        repeats(&log, &STRAIGHT, how, &[0.18, 0.7, 0.1], 1);
    }
    for (f, x) in [(120.0, 0.0), (5.0, 3.5e-3), (30.0, 3.5e-3), (120.0, 3.5e-3)] {
        let how = How {
            noise: (f, x),
            class: None,
            every: 8,
            told: true,
        };
        repeats(&log, &STRAIGHT, how, &[0.18, 0.7, 0.1], count);
    }
}
