//! Whether intervals hold the truth as often as they say, on records of known truth.
//!
//! A pull: stretch `X sin(π t/T)`, load `k x` on the way up and `F (x/X)^p` on the way back with
//! `p` such that a stated share of the energy comes back. Closed forms: peak `k X`, energy in
//! `k X²/2`, back `F X/(p + 1)`. Each repeat draws its noise, the gains of both cells within
//! their certificates, the offset of the clocks and where between two samples the pull
//! begins. Invented data: they show that the arithmetic of doubt holds, not that a real cell
//! behaves like this.

use rand_chacha::ChaCha12Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use steadypull_engine::chance::normal_quantile;
use steadypull_measure::events::{self, Pull, Settings};
use steadypull_measure::readings::{Reading, peak, shape, stretch};
use steadypull_measure::signal::Channel;
use steadypull_measure::signal::calibration::{Calibration, Date, Law, Stated};
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::steps::{Step, ZeroBy, clean};

const GAIN_N: f64 = 1e4;
const GAIN_UNCERTAINTY: f64 = 0.0025;
const DISPLACEMENT_UNCERTAINTY: f64 = 0.003;
const CLOCK_UNCERTAINTY_S: f64 = 0.0003;
/// How long ends that move do so before taut and after slack, s.
const RUN_UP_S: f64 = 0.1;
const REPEATS: usize = 2000;

/// A pull of known truth.
#[derive(Clone, Copy)]
struct Truth {
    stretch_m: f64,
    stiffness: f64,
    time_s: f64,
    gives_back: f64,
    /// Whether the ends move apart before taut and together after slack, as after a run-up, or rest.
    ends_move: bool,
    rate_hz: f64,
    class: f64,
}

/// A thousand samples a second through CFC 60, ends at rest.
const USUAL: Truth = Truth {
    stretch_m: 0.6,
    stiffness: 70e3,
    time_s: 0.5,
    gives_back: 0.7,
    ends_move: false,
    rate_hz: 1000.0,
    class: 60.0,
};

struct Draws(ChaCha12Rng);

impl Draws {
    fn even(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        normal_quantile((self.even() + 1e-17).min(1.0 - 1e-16))
    }
}

impl Truth {
    fn peak(&self) -> f64 {
        self.stiffness * self.stretch_m
    }

    fn power(&self) -> f64 {
        2.0 / self.gives_back - 1.0
    }

    /// Stretch and load a time after taut.
    fn at(&self, t: f64) -> (f64, f64) {
        if !(0.0..=self.time_s).contains(&t) {
            let speed = self.stretch_m * core::f64::consts::PI / self.time_s;
            let since = if t < 0.0 { t } else { self.time_s - t };
            let on = if self.ends_move {
                since.max(-RUN_UP_S)
            } else {
                0.0
            };
            return (speed * on, 0.0);
        }
        let share = libm::sin(core::f64::consts::PI * t / self.time_s).max(0.0);
        let power = if t <= 0.5 * self.time_s {
            1.0
        } else {
            self.power()
        };
        (
            self.stretch_m * share,
            self.peak() * libm::pow(share, power),
        )
    }

    /// ∫ load dt by the midpoint rule, fine enough for 1e-7.
    fn impulse(&self) -> f64 {
        let n = 20_000;
        let step = self.time_s / f64::from(n);
        (0..n)
            .map(|i| step * self.at(step * (f64::from(i) + 0.5)).1)
            .sum()
    }

    fn rise_s(&self) -> f64 {
        self.time_s / core::f64::consts::PI * (libm::asin(0.9) - libm::asin(0.1))
    }
}

fn cell(gain: f64, uncertainty: f64) -> Step {
    let due = Date::new(2027, 1, 1).unwrap();
    let stated = Stated::Relative {
        expanded: 2.0 * uncertainty,
        factor: 2.0,
    };
    Step::Calibrate {
        calibration: Calibration::new(Law::Gain(gain), stated, "T-1", due, 1e5).unwrap(),
        tested: Date::new(2026, 5, 1).unwrap(),
    }
}

fn cleaned(
    times_s: &[f64],
    values: &[f64],
    (gain, uncertainty): (f64, f64),
    clock_s: f64,
    class: f64,
) -> Channel {
    let steps = [
        Step::Zero(ZeroBy::QuietPart),
        cell(gain, uncertainty),
        Step::Shift {
            by_s: 0.0,
            uncertainty_s: clock_s,
        },
        Step::Filter(Cfc::new(class).unwrap()),
    ];
    clean(times_s, values, &steps).unwrap().channel
}

/// One record of load and displacement, cleaned.
fn record(truth: &Truth, noise: f64, draws: &mut Draws) -> (Channel, Channel, f64) {
    let count = ((truth.time_s + 0.7) * truth.rate_hz) as usize;
    let start_s = 0.35 + draws.even() / truth.rate_hz;
    let clock_s = CLOCK_UNCERTAINTY_S * draws.normal();
    let load_gain = GAIN_N * (1.0 + GAIN_UNCERTAINTY * draws.normal());
    let way_gain = 1.0 + DISPLACEMENT_UNCERTAINTY * draws.normal();
    let times_s: Vec<f64> = (0..count).map(|i| i as f64 / truth.rate_hz).collect();
    let read = |t: &f64, draws: &mut Draws| {
        let load = truth.at(t - start_s).1 / load_gain;
        // Recorded in steps of 1e-3 of a unit read: 10 N.
        let read = load + 0.013 + noise / GAIN_N * draws.normal();
        libm::round(read * 1e3) / 1e3
    };
    let loads: Vec<f64> = times_s.iter().map(|t| read(t, draws)).collect();
    let ways: Vec<f64> = times_s
        .iter()
        .map(|t| 1.7 + truth.at(t - start_s + clock_s).0 / way_gain + 1e-3 * draws.normal())
        .collect();
    (
        cleaned(
            &times_s,
            &loads,
            (GAIN_N, GAIN_UNCERTAINTY),
            0.0,
            truth.class,
        ),
        cleaned(
            &times_s,
            &ways,
            (1.0, DISPLACEMENT_UNCERTAINTY),
            CLOCK_UNCERTAINTY_S,
            truth.class,
        ),
        start_s,
    )
}

/// How often the interval held the truth, and the mean error.
#[derive(Default, Clone)]
struct Tally {
    name: &'static str,
    held: usize,
    told: usize,
    error: f64,
    truth: f64,
}

impl Tally {
    fn add(&mut self, name: &'static str, reading: &Reading, truth: f64) {
        let interval = reading
            .interval()
            .unwrap_or_else(|| panic!("{name}: {:?}", reading.spread));
        self.name = name;
        self.told += 1;
        self.held += usize::from(interval.contains(truth));
        self.error += reading.value - truth;
        self.truth = truth;
    }

    fn share(&self) -> f64 {
        self.held as f64 / self.told as f64
    }

    fn bias(&self) -> f64 {
        self.error / self.told as f64 / self.truth
    }
}

fn only_pull(load: &Channel) -> Pull {
    let found = events::find(load, &Settings::default()).unwrap();
    assert_eq!(found.pulls.len(), 1);
    found.pulls[0].clone()
}

fn tallies(truth: &Truth, noise: f64, seed: u64) -> Vec<Tally> {
    let mut draws = Draws(ChaCha12Rng::seed_from_u64(seed));
    let mut all = vec![Tally::default(); 11];
    let energy_in = 0.5 * truth.peak() * truth.stretch_m;
    let impulse = truth.impulse();
    for _ in 0..REPEATS {
        let (load, displacement, start_s) = record(truth, noise, &mut draws);
        let pull = only_pull(&load);
        let top = peak(&load, &pull);
        let shape = shape(&load, &pull);
        let both = stretch(&load, &displacement, &pull).unwrap();
        all[0].add("peak as filtered", &top.as_filtered, truth.peak());
        all[1].add("peak", &top.load, truth.peak());
        all[2].add("time of the peak", &top.time, start_s + 0.5 * truth.time_s);
        all[3].add("impulse", &shape.impulse, impulse);
        all[4].add("rise", &shape.rise, truth.rise_s());
        all[5].add("energy in", &both.energy_in, energy_in);
        all[6].add(
            "energy back",
            &both.energy_back,
            truth.gives_back * energy_in,
        );
        all[7].add("hysteresis", &both.hysteresis, 1.0 - truth.gives_back);
        all[8].add("stiffness", &both.stiffness, truth.stiffness);
        all[10].add("duration", &shape.duration, truth.time_s);
        all[9].add("greatest stretch", &both.greatest, truth.stretch_m);
    }
    all
}

/// 95 % means 93 to 97 here, and the mean of many is right within half a per cent.
fn holds_its_word(truth: &Truth, noise: f64, seed: u64) {
    for tally in tallies(truth, noise, seed) {
        let (share, bias) = (tally.share(), tally.bias());
        let told = format!(
            "{}: held {share:.4}, mean off by {:.3} %",
            tally.name,
            100.0 * bias
        );
        println!("{told}");
        assert!((0.93..=0.97).contains(&share), "{told}");
        assert!(bias.abs() < 0.005, "{told}");
    }
}

/// Half a second, noise a quarter of a per cent of the peak.
#[test]
fn quick_pull() {
    holds_its_word(&USUAL, 100.0, 1);
}

/// Noise that remembers for 5 ms (each value 0.82 of the one before): peak and impulse are
/// still held, since the quiet part shows that its means wander more than white noise's.
#[test]
fn noise_with_memory() {
    let truth = USUAL;
    let mut draws = Draws(ChaCha12Rng::seed_from_u64(5));
    let (mut top, mut total) = (Tally::default(), Tally::default());
    let impulse = truth.impulse();
    for _ in 0..600 {
        let start_s = 1.0 + draws.even() / truth.rate_hz;
        let gain = 1.0 + 0.0005 * draws.normal();
        let mut slow = 0.0;
        let times_s: Vec<f64> = (0..2200).map(|i| i as f64 / truth.rate_hz).collect();
        let loads: Vec<f64> = times_s
            .iter()
            .map(|t| {
                slow = 0.82 * slow + 200.0 * draws.normal();
                truth.at(t - start_s).1 / gain + slow
            })
            .collect();
        let load = cleaned(&times_s, &loads, (1.0, 0.0005), 0.0, truth.class);
        let found = events::find(&load, &Settings::default()).unwrap();
        let highest = |a: &&Pull, b: &&Pull| {
            let at = |p: &Pull| load.series.at(p.peak.time_s).unwrap();
            at(a).total_cmp(&at(b))
        };
        let pull = found.pulls.iter().max_by(highest).unwrap();
        top.add("peak", &peak(&load, pull).load, truth.peak());
        total.add("impulse", &shape(&load, pull).impulse, impulse);
    }
    for tally in [top, total] {
        let (share, bias) = (tally.share(), tally.bias());
        assert!(
            share >= 0.92 && bias.abs() < 0.005,
            "{}: {share} {bias}",
            tally.name
        );
    }
}

/// A second and more, softer, with more hysteresis and noise of three quarters of a per cent.
#[test]
fn slow_pull() {
    let truth = Truth {
        stretch_m: 0.9,
        stiffness: 30e3,
        time_s: 1.2,
        gives_back: 0.55,
        ..USUAL
    };
    holds_its_word(&truth, 200.0, 1);
}

/// Ends that come at speed and go on, recorded twice as fast through CFC 180.
#[test]
fn pull_after_a_run_up() {
    let truth = Truth {
        stretch_m: 0.8,
        stiffness: 45e3,
        time_s: 0.8,
        gives_back: 0.62,
        ends_move: true,
        rate_hz: 2000.0,
        class: 180.0,
    };
    holds_its_word(&truth, 150.0, 1);
}
