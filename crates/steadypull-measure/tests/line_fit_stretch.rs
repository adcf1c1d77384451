//! The line model fitted to pulls whose stretch is noisy too.

mod noise;
mod pulls;

use noise::normal;
use pulls::{PLAIN, STRAIGHT, strap};
use steadypull_engine::line::{Curve, Law, Path, Rate};
use steadypull_engine::units::Length;
use steadypull_measure::fit::{LineFit, LineModel, PullRecord, RateTerm, StretchNoise, fit_line};
use steadypull_measure::signal::Series;
use steadypull_measure::signal::cfc::{Cfc, Filter};

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
        zero_n: 0.0,
        rest_length: Length::new(9.0),
        strain_seen: 0.0,
    };
    fit_line(model, &[record], &PLAIN).unwrap()
}

/// Of many repeats, of each parameter.
struct Kept {
    /// Mean over truth, less 1, and the standard error of that.
    bias: f64,
    bias_error: f64,
    /// Share of the intervals that hold the truth.
    held: f64,
}

fn repeats(log: &Logged, model: &LineModel, how: How, truth: &[f64], count: u64) -> Vec<Kept> {
    let mut sums = vec![(0.0, 0.0, 0.0); truth.len()];
    let (mut noise, mut near) = (0.0, 0);
    for seed in 0..count {
        let fit = fit(log, model, how, 40_000_000 + 10_000 * seed);
        noise += fit.noise.get();
        near += u32::from(fit.residual_check.like_noise());
        for ((sum, estimate), want) in sums.iter_mut().zip(&fit.estimates).zip(truth) {
            let off = estimate.value / want - 1.0;
            sum.0 += off;
            sum.1 += off * off;
            sum.2 += f64::from(estimate.interval.contains(*want));
        }
    }
    let n = count as f64;
    println!(
        "{how:?}: noise {:.0} N, like noise {near} of {count}",
        noise / n
    );
    let kept = |(off, square, held): (f64, f64, f64)| {
        let (bias, held) = (off / n, held / n);
        let deviation = (square / n - bias * bias).sqrt();
        let shown = [100.0 * bias, 100.0 * deviation, 100.0 * held];
        println!(
            "    bias {:+.3} %, deviation {:.2} %, held {:.2} %",
            shown[0], shown[1], shown[2]
        );
        let bias_error = deviation / n.sqrt();
        Kept {
            bias,
            bias_error,
            held,
        }
    };
    sums.into_iter().map(kept).collect()
}

impl std::fmt::Debug for How {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let (force, stretch) = self.noise;
        let told = if self.told { "told" } else { "not told" };
        write!(
            f,
            "{force} N, {:.2} mm, CFC {:?}, every {}, {told}",
            1e3 * stretch,
            self.class,
            self.every
        )
    }
}

/// Repeats asked for by `FIT_REPEATS`, or so many.
fn asked(usual: u64) -> u64 {
    let asked = std::env::var("FIT_REPEATS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(usual)
}

const TRUTH: [f64; 3] = [0.18, 0.7, 0.1];

/// Noise of half a per cent of the greatest stretch, one pull of 58 readings: of 2000 repeats the intervals
/// hold the truth in 93 to 97 %, the means lie within half a per cent of it. By a fit that takes the
/// stretch as exact they do not.
#[test]
fn a_noisy_stretch_is_weighed() {
    let log = Logged::of(strap(), 3.0);
    let how = How {
        noise: (120.0, 0.005 * log.greatest_m()),
        class: None,
        every: 12,
        told: true,
    };
    for kept in repeats(&log, &STRAIGHT, how, &TRUTH, asked(2000)) {
        assert!(kept.bias.abs() < 0.005, "{}", kept.bias);
        assert!((0.93..=0.97).contains(&kept.held), "{}", kept.held);
    }
    let as_exact = repeats(&log, &STRAIGHT, How { told: false, ..how }, &TRUTH, 400);
    assert!(as_exact[1].held < 0.9 && as_exact[2].bias > 0.02);
}

/// The same with a rate effect, through the filter: each parameter within the share of 93 to 97 % and half a per cent of
/// bias that so few repeats leave open (2.33 standard errors). With a path smoothed for least risk and freed of noise by
/// the stretches alone the set was off by −1.8, the relaxation time by +1.5 % (3000 repeats).
#[test]
fn so_it_is_with_a_rate_effect() {
    let (log, model, truth) = with_a_rate();
    let how = How {
        noise: (120.0, 0.005 * log.greatest_m()),
        class: Some(60.0),
        every: 12,
        told: true,
    };
    let repeats_made = asked(600);
    let error = |share: f64| 2.33 * (share * (1.0 - share) / repeats_made as f64).sqrt();
    let kept = repeats(&log, &model, how, &truth, repeats_made);
    for kept in &kept {
        let told = (0.93 - error(0.93)..=0.97 + error(0.97)).contains(&kept.held);
        assert!(told, "{}", kept.held);
    }
    for kept in &kept {
        let bound = 0.005 + 2.33 * kept.bias_error;
        assert!(kept.bias.abs() < bound, "{}", kept.bias);
    }
}

fn with_a_rate() -> (Logged, LineModel, [f64; 5]) {
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
    (log, model, [0.18, 0.7, 0.1, 1.4, 0.08])
}

/// Noise of 0.2, 0.5 and 1 % of the greatest stretch, white and through CFC 60, with and without being told.
///
/// docs/models.md section 13 has what it measured.
#[test]
#[ignore = "a quarter of an hour of one core"]
fn over_all_sizes() {
    let log = Logged::of(strap(), 3.0);
    let rated = with_a_rate();
    for share in [0.002, 0.005, 0.01] {
        for class in [None, Some(60.0)] {
            for told in [false, true] {
                let noise = (120.0, share * log.greatest_m());
                let how = How {
                    noise,
                    class,
                    every: 8,
                    told,
                };
                repeats(&log, &STRAIGHT, how, &TRUTH, asked(2000));
                repeats(&rated.0, &rated.1, how, &rated.2, asked(1000));
            }
        }
    }
}

/// Three pulls, of each where its stretch begins and its zero drawn as unsure as told: the readings narrow
/// both, and the intervals hold the truth in the share of 93 to 97 % that so few repeats leave open.
#[test]
fn what_a_pull_shares_is_narrowed_as_far_as_it_can_be() {
    const REPEATS: u64 = 400;
    let logs = [3.02, 2.95, 3.06].map(|speed| Logged::of(strap(), speed));
    let (begins_m, zero_n, noise_n) = (0.003, 20.0, 200.0);
    let (mut held, mut squares, mut stated) = ([0; 3], [0.0; 3], [0.0; 3]);
    let mut moved = 0.0;
    for seed in 0..asked(REPEATS) {
        let (mut records, mut shared) = (vec![], vec![]);
        for (which, log) in logs.iter().enumerate() {
            let seed = 90_000_000 + 10_000 * (3 * seed + which as u64);
            let (late_m, off_n) = (
                begins_m * normal(seed, 1_000_000),
                zero_n * normal(seed, 1_000_001),
            );
            let taken: Vec<usize> = (0..log.time_s.len())
                .filter(|i| log.time_s[*i] >= 0.0)
                .step_by(6)
                .collect();
            let of = |values: &[f64]| -> Vec<f64> { taken.iter().map(|i| values[*i]).collect() };
            let force = taken
                .iter()
                .map(|i| log.force_n[*i] + off_n + noise_n * normal(seed, *i as u64));
            shared.push(vec![vec![begins_m; taken.len()]]);
            let stretch: Vec<f64> = of(&log.stretch_m).iter().map(|x| x - late_m).collect();
            records.push((
                of(&log.time_s),
                stretch,
                force.collect::<Vec<f64>>(),
                late_m,
            ));
        }
        let pulls: Vec<PullRecord> = records
            .iter()
            .zip(&shared)
            .map(|((time_s, stretch_m, force_n, _), shared_m)| PullRecord {
                time_s,
                stretch_m,
                stretch_noise: StretchNoise::NONE,
                shared_m,
                force_n,
                zero_n,
                rest_length: Length::new(9.0),
                strain_seen: 0.0,
            })
            .collect();
        let fit = fit_line(&STRAIGHT, &pulls, &PLAIN).unwrap();
        for (k, (estimate, want)) in fit.estimates.iter().zip(TRUTH).enumerate() {
            held[k] += u64::from(estimate.interval.contains(want));
            squares[k] += (estimate.value - want) * (estimate.value - want);
            stated[k] += fit.covariance[k][k];
        }
        for (found, (.., late_m)) in fit.shared.iter().zip(&records) {
            moved += (found[0] * begins_m - late_m) * (found[0] * begins_m - late_m);
        }
    }
    let n = asked(REPEATS) as f64;
    let left_m = (moved / 3.0 / n).sqrt();
    let wide = [0, 1, 2].map(|k: usize| (squares[k] / stated[k]).sqrt());
    println!(
        "held {held:?} of {n}, left of beginnings {:.2} mm, scatter over stated {wide:?}",
        1e3 * left_m
    );
    assert!(left_m < 0.3 * begins_m, "{left_m}");
    for (held, wide) in held.into_iter().zip(wide) {
        let error = |share: f64| 2.33 * (share * (1.0 - share) / n).sqrt();
        let told = (0.93 - error(0.93)..=0.97 + error(0.97)).contains(&(held as f64 / n));
        assert!(told && (wide - 1.0).abs() < 0.12, "{held} {wide}");
    }
}

const ODR: &str = include_str!("../../../validation/independent/measure/line_odr.csv");
const ODR_FIT: &str = include_str!("../../../validation/independent/measure/line_odr_fit.csv");

/// Numbers of the rows after the note and the heading.
fn rows(file: &str) -> Vec<Vec<f64>> {
    let lines = file.lines().filter(|l| !l.starts_with('#')).skip(1);
    lines
        .map(|l| l.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect()
}

/// `validation/independent/measure/line_odr.py`: orthogonal distance regression by scipy on a line that swings
/// below what it has seen, where the law is one smooth curve.
#[test]
fn orthogonal_distances_agree() {
    let records = rows(ODR);
    for theirs in rows(ODR_FIT) {
        let of = |column: usize| -> Vec<f64> {
            let own = records.iter().filter(|r| r[0] == theirs[0]);
            own.map(|r| r[column]).collect()
        };
        let (time_s, stretch_m, force_n) = (of(1), of(2), of(3));
        let record = PullRecord {
            time_s: &time_s,
            stretch_m: &stretch_m,
            stretch_noise: StretchNoise {
                deviation_m: theirs[1],
                correlation: &[],
            },
            shared_m: &[],
            force_n: &force_n,
            zero_n: 0.0,
            rest_length: Length::new(9.0),
            strain_seen: 0.12,
        };
        let fit = fit_line(&STRAIGHT, &[record], &PLAIN).unwrap();
        assert!(
            (fit.noise.get() / theirs[2] - 1.0).abs() < 0.02,
            "{} {}",
            fit.noise.get(),
            theirs[2]
        );
        for (k, estimate) in fit.estimates.iter().enumerate() {
            let (value, error) = (theirs[3 + 2 * k], theirs[4 + 2 * k]);
            let ours = fit.covariance[k][k].sqrt();
            println!(
                "{} {:?}: off by {:.4} errors, error {:.4} of theirs",
                theirs[0],
                estimate.parameter,
                (estimate.value - value) / error,
                ours / error
            );
            assert!((estimate.value - value).abs() < 0.05 * error);
            assert!((ours / error - 1.0).abs() < 0.03);
        }
    }
}
