//! How long a long record takes to clean, to read off and to draw.

use divan::{Bencher, black_box};
use steadypull_measure::events::{Settings, find};
use steadypull_measure::levels::Levels;
use steadypull_measure::readings::{peak, shape};
use steadypull_measure::signal::cfc::{Cfc, Filter};
use steadypull_measure::signal::faults::{Looking, look};
use steadypull_measure::signal::steps::{Step, ZeroBy, clean};
use steadypull_measure::signal::{Channel, Grid, Quality, Series, Stamps};

const RATE_HZ: f64 = 10_000.0;
const COUNT: usize = 10_000_000;

fn main() {
    divan::main();
}

/// Pulls of 3 s every 6 s to 40 kN, noise of a congruence of 100 N.
fn record() -> Series {
    let mut state = 1u64;
    let mut noise = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 11) as f64 / (1u64 << 53) as f64 - 0.5
    };
    let values = (0..COUNT)
        .map(|i| 40e3 * libm::sin(i as f64 / RATE_HZ).max(0.0) + 350.0 * noise())
        .collect();
    Series::new(0.0, 1.0 / RATE_HZ, values).expect("a series")
}

fn filter() -> Filter {
    Filter::new(Cfc::new(60.0).expect("a class"), RATE_HZ).expect("fast enough")
}

/// CFC 60 forward and backward, events, and peak, rise, impulse and duration of each of 160
/// pulls.
#[divan::bench(sample_count = 5)]
fn ten_million_samples(bencher: Bencher) {
    let (raw, filter) = (record(), filter());
    bencher.bench_local(|| {
        let mut quality = Quality::of_noise(101.0);
        quality.filter = Some(filter);
        let channel = Channel {
            series: filter.run(black_box(&raw)).expect("long enough").series,
            quality,
        };
        let found = find(&channel, &Settings::default()).expect("pulls");
        let read = |pull| (peak(&channel, pull), shape(&channel, pull));
        found.pulls.iter().map(read).collect::<Vec<_>>()
    });
}

/// The filter alone.
#[divan::bench(sample_count = 5)]
fn ten_million_samples_filtered(bencher: Bencher) {
    let (raw, filter) = (record(), filter());
    bencher.bench_local(|| filter.run(black_box(&raw)));
}

/// Looking for faults.
#[divan::bench(sample_count = 3)]
fn ten_million_samples_looked_over(bencher: Bencher) {
    let raw = record();
    let times: Vec<f64> = (0..COUNT).map(|i| raw.time_s(i)).collect();
    bencher.bench_local(|| look(&times, black_box(raw.values()), &Looking::default()));
}

/// Zero, CFC 60 and faults of a log whose times are a grid.
#[divan::bench(sample_count = 5)]
fn ten_million_samples_cleaned(bencher: Bencher) {
    let raw = record();
    let grid = Grid::new(0, 1, RATE_HZ, (1.0, 1.0), COUNT).expect("a grid");
    let steps = [
        Step::Zero(ZeroBy::QuietPart),
        Step::Filter(Cfc::new(60.0).expect("a class")),
    ];
    bencher.bench_local(|| clean(Stamps::Even(grid), black_box(raw.values()), &steps));
}

/// The levels above ten million samples.
#[divan::bench(sample_count = 5)]
fn levels_built(bencher: Bencher) {
    let raw = record();
    bencher.bench_local(|| Levels::new(black_box(raw.values())));
}

/// One window of 2000 pixels.
#[divan::bench]
fn levels_asked(bencher: Bencher) {
    let raw = record();
    let levels = Levels::new(raw.values());
    bencher.bench_local(|| levels.query(raw.values(), black_box(1234..9_876_543), 2000));
}
