//! The channel frequency class filter: published values and laws.

use proptest::prelude::*;
use steadypull_measure::signal::cfc::{Cfc, CfcError, Filter};
use steadypull_measure::signal::{Series, SeriesError};

fn filter(class: f64, rate_hz: f64) -> Filter {
    Filter::new(Cfc::new(class).unwrap(), rate_hz).unwrap()
}

fn decibels(gain: f64) -> f64 {
    20.0 * libm::log10(gain)
}

/// Gain of both passes from the recursion's numbers, on the unit circle.
fn gain_of_recursion(filter: &Filter, frequency_hz: f64, rate_hz: f64) -> f64 {
    let c = filter.coefficients();
    let (sin, cos) = libm::sincos(core::f64::consts::TAU * frequency_hz / rate_hz);
    let (sin2, cos2) = (2.0 * sin * cos, 2.0 * cos * cos - 1.0);
    let square = |re: f64, im: f64| re * re + im * im;
    let top = square(c.a0 + c.a1 * cos + c.a2 * cos2, c.a1 * sin + c.a2 * sin2);
    let below = square(1.0 - c.b1 * cos - c.b2 * cos2, c.b1 * sin + c.b2 * sin2);
    top / below
}

/// CV-CFC-01: class, −3 dB frequency, stop band, least rate.
#[test]
fn published_classes() {
    for (class, hz, least, stop) in [
        (60.0, 100.0, 600.0, -30.0),
        (180.0, 300.0, 1800.0, -30.0),
        (600.0, 1000.0, 6000.0, -40.0),
        (1000.0, 1650.0, 10_000.0, -40.0),
    ] {
        let cfc = Cfc::new(class).unwrap();
        assert_eq!(cfc.least_rate_hz(), least);
        assert!((cfc.nominal_hz() - hz).abs() < 1e-9);
        // Where the stop band begins is not in the table: here at four times the −3 dB frequency.
        let gain = filter(class, 100_000.0).gain(4.0 * hz);
        assert!(decibels(gain) < stop, "{class}: {}", decibels(gain));
        assert!(matches!(
            Filter::new(cfc, 0.99 * least),
            Err(CfcError::TooSlow { .. })
        ));
        assert!(Filter::new(cfc, least).is_ok());
    }
}

/// The corridor of SAE J211/1 for a channel class, as far as the gain goes (from memory):
/// within +0.5 and −1 dB up to the class number, +0.5 and −4 dB at its −3 dB frequency, and from
/// there between lines that fall by 9 and by 24 dB an octave, here over two octaves.
#[test]
fn inside_the_corridor() {
    for (class, rate_hz) in [(60.0, 10_000.0), (180.0, 10_000.0), (600.0, 50_000.0)] {
        let filter = filter(class, rate_hz);
        let nominal_hz = class / 0.6;
        for k in 0..=100 {
            let share = f64::from(k) / 100.0;
            let db = decibels(filter.gain(class * share));
            assert!((-1.0..=0.5).contains(&db), "CFC {class}: {db} at {share}");
            let octaves = 2.0 * share;
            let db = decibels(filter.gain(nominal_hz * libm::exp2(octaves)));
            let corridor = -4.0 - 24.0 * octaves..=0.5 - 9.0 * octaves;
            assert!(
                corridor.contains(&db),
                "CFC {class}: {db} after {octaves} octaves"
            );
        }
    }
}

/// CV-CFC-03, CV-CFC-04 and `cfc_coefficients.csv`.
#[test]
fn published_coefficients() {
    #[rustfmt::skip]
    let rows = [
        (60.0, 1000.0, [0.0971846252794, 0.194369250559, 0.0971846252794, 0.945574009062, -0.334312510179], 101.7278),
        (60.0, 2000.0, [0.0298060720398, 0.0596121440796, 0.0298060720398, 1.45572821391, -0.574952502066], 100.3552),
        (60.0, 5000.0, [0.00551330976918, 0.0110266195384, 0.00551330976918, 1.77924762664, -0.801300865719], 99.9714),
        (60.0, 10_000.0, [0.00145236747355, 0.00290473494711, 0.00145236747355, 1.88934322422, -0.895152694116], 99.9166),
        (180.0, 2000.0, [0.185874043305, 0.37174808661, 0.185874043305, 0.466875270547, -0.210371443767], 312.0432),
        (180.0, 10_000.0, [0.0117962710998, 0.0235925421996, 0.0117962710998, 1.67011746327, -0.717302547667], 300.1882),
        (600.0, 10_000.0, [0.0971846252794, 0.194369250559, 0.0971846252794, 0.945574009062, -0.334312510179], 1017.2780),
        (600.0, 20_000.0, [0.0298060720398, 0.0596121440796, 0.0298060720398, 1.45572821391, -0.574952502066], 1003.5521),
        (1000.0, 10_000.0, [0.219231417219, 0.438462834438, 0.219231417219, 0.311896544996, -0.188822213872], 1749.6026),
        (1000.0, 20_000.0, [0.0718930970684, 0.143786194137, 0.0718930970684, 1.11158617616, -0.39915856443], 1686.1395),
    ];
    for (class, rate_hz, published, minus_3db_hz) in rows {
        let filter = filter(class, rate_hz);
        let c = filter.coefficients();
        for (ours, theirs) in [c.a0, c.a1, c.a2, c.b1, c.b2].into_iter().zip(published) {
            assert!((ours - theirs).abs() < 1e-11, "CFC {class} at {rate_hz}");
        }
        // CV-CFC-06.
        assert!(((c.a0 + c.a1 + c.a2) / (1.0 - c.b1 - c.b2) - 1.0).abs() < 1e-12);
        // CV-CFC-08.
        assert!((filter.minus_3db_hz() - minus_3db_hz).abs() < 1e-4);
        let recursion = gain_of_recursion(&filter, filter.minus_3db_hz(), rate_hz);
        assert!((decibels(recursion) + 3.0).abs() < 1e-9);
    }
}

/// CV-CFC-07, by the closed form and by the recursion's numbers.
#[test]
fn published_two_pass_gain() {
    let filter = filter(60.0, 10_000.0);
    for (hz, db) in [
        (60.0, -0.45350),
        (100.0, -3.00848),
        (124.65, -6.02060),
        (210.0, -19.16761),
        (600.0, -55.00933),
    ] {
        assert!((decibels(filter.gain(hz)) - db).abs() < 1e-5);
        let recursion = gain_of_recursion(&filter, hz, 10_000.0);
        assert!((decibels(recursion) - db).abs() < 1e-5);
    }
}

/// CV-CFC-09: half-sine of height 1 through CFC 60 at 10 kHz, 0.2 s margins.
#[test]
fn published_half_sine_peaks() {
    for (ms, peak) in [
        (5, 0.702384),
        (10, 0.950788),
        (20, 0.999176),
        (50, 0.999959),
    ] {
        let (margin, length) = (2000, ms * 10);
        let mut raw = vec![0.0; 2 * margin + length + 1];
        for i in 0..=length {
            raw[margin + i] = libm::sin(core::f64::consts::PI * i as f64 / length as f64);
        }
        let smooth = filter(60.0, 10_000.0).stretch(&raw).unwrap();
        let place = (0..smooth.len())
            .max_by(|a, b| smooth[*a].total_cmp(&smooth[*b]))
            .unwrap();
        assert!(
            (smooth[place] - peak).abs() < 1e-6,
            "{ms} ms: {}",
            smooth[place]
        );
        assert_eq!(place, margin + length / 2);
    }
}

/// Step: 10 to 90 % against the closed form of the ideal two-pass filter,
/// `h(t) = w/(2√2) e^(−w|t|/√2) (cos(w t/√2) + sin(w|t|/√2))`, whose integral was inverted
/// here by bisection; impulse: its height `w/(2√2)`, its sum 1.
#[test]
fn step_and_impulse_responses() {
    let (class, rate_hz) = (60.0, 200_000.0);
    let filter = filter(class, rate_hz);
    let w = core::f64::consts::TAU * 2.0775 * class;
    let response = filter.impulse_response();
    let highest = response[filter.pad()];
    assert!((highest * rate_hz / (w / 8f64.sqrt()) - 1.0).abs() < 1e-4);
    assert!((response.iter().sum::<f64>() - 1.0).abs() < 1e-8);
    // Share of the step reached at t ≥ 0: 1 − e^(−u) cos(u)/2, u = w t/√2.
    let reached = |u: f64| 1.0 - 0.5 * libm::exp(-u) * libm::cos(u);
    let (mut low, mut high) = (0.0, 1.4);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if reached(middle) < 0.9 {
            low = middle
        } else {
            high = middle
        }
    }
    let rise_s = 2.0 * low * 2f64.sqrt() / w;
    assert!((filter.rise_time_s() / rise_s - 1.0).abs() < 1e-3);
    // Noise share: ∫ |H|⁴ df over the band, B(1/4, 7/4)/4 of the design frequency.
    let band = 2.0 * class * 2.0775 / rate_hz * 0.75 * core::f64::consts::PI / 8f64.sqrt();
    assert!((filter.noise_share() / libm::sqrt(band) - 1.0).abs() < 1e-3);
}

#[test]
fn gaps_stay_and_short_stretches_are_told() {
    let filter = filter(60.0, 1000.0);
    let mut values: Vec<f64> = (0..400).map(|i| libm::sin(0.05 * f64::from(i))).collect();
    values[200] = f64::NAN;
    values[220] = f64::NAN;
    let series = Series::new(0.0, 0.001, values.clone()).unwrap();
    let filtered = filter.run(&series).unwrap();
    assert_eq!(filtered.left_out, 19);
    let ours = filtered.series.values();
    assert_eq!(ours.len(), 400);
    assert!((200..=220).all(|i| ours[i].is_nan()));
    assert_eq!(ours[..200], filter.stretch(&values[..200]).unwrap()[..]);
    assert_eq!(ours[221..], filter.stretch(&values[221..]).unwrap()[..]);
    let short = Series::new(0.0, 0.001, vec![1.0; 20]).unwrap();
    assert!(matches!(filter.run(&short), Err(CfcError::TooShort { .. })));
    assert!(Cfc::new(f64::NAN).is_err() && Cfc::new(-60.0).is_err());
    assert_eq!(Series::new(0.0, 1.0, vec![]), Err(SeriesError::TooShort(0)));
}

fn record() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(-1.0..1.0f64, 200..400)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

    /// Twice the one and three times the other filter to twice and three times.
    #[test]
    fn linear(a in record(), b in record(), k in -5.0..5.0f64) {
        let filter = filter(60.0, 2000.0);
        let n = a.len().min(b.len());
        let mixed: Vec<f64> = (0..n).map(|i| a[i] + k * b[i]).collect();
        let (fa, fb, fm) = (filter.stretch(&a[..n]), filter.stretch(&b[..n]), filter.stretch(&mixed));
        let (fa, fb, fm) = (fa.unwrap(), fb.unwrap(), fm.unwrap());
        for i in 0..n {
            prop_assert!((fm[i] - fa[i] - k * fb[i]).abs() < 1e-12 * (1.0 + k.abs()) * 10.0);
        }
    }

    /// Backwards in, backwards out: nothing is delayed.
    #[test]
    fn the_same_either_way_in_time(a in record()) {
        let filter = filter(60.0, 2000.0);
        let there = filter.stretch(&a).unwrap();
        let reversed: Vec<f64> = a.iter().rev().copied().collect();
        let back = filter.stretch(&reversed).unwrap();
        for (x, y) in there.iter().zip(back.iter().rev()) {
            prop_assert!((x - y).abs() < 1e-8);
        }
    }

    /// A level stays, at any rate and class.
    #[test]
    fn a_level_passes_whole(level in -1e5..1e5f64, class in 10.0..1000.0f64, over in 1.0..50.0f64) {
        let filter = filter(class, 10.0 * class * over);
        let values = vec![level; filter.pad() + 50];
        for v in filter.stretch(&values).unwrap() {
            prop_assert!((v - level).abs() <= 1e-9 * level.abs());
        }
    }
}
