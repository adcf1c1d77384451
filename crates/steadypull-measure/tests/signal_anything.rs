//! Whatever a log holds, nothing panics and no reading is NaN.

use proptest::prelude::*;
use steadypull_measure::events::{Settings, find};
use steadypull_measure::readings::{Reading, Spread, oscillation, peak, shape, stretch};
use steadypull_measure::signal::Channel;
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::faults::{Looking, look};
use steadypull_measure::signal::resample::Between;
use steadypull_measure::signal::steps::{Step, ZeroBy, clean};

fn is_sound(reading: &Reading) -> bool {
    let spread = match &reading.spread {
        Spread::None(why) => !why.is_empty(),
        Spread::Interval { interval, .. } => {
            interval.low.is_finite()
                && interval.low <= interval.high
                && interval.contains(reading.value)
        }
    };
    reading.value.is_finite() && spread
}

fn steps(zero: bool, filter: bool) -> Vec<Step> {
    let mut steps = vec![Step::Resample {
        step_s: 1e-3,
        between: Between::Cubic,
        longest_gap_s: 4e-3,
    }];
    if zero {
        steps.push(Step::Zero(ZeroBy::QuietPart));
    }
    if filter {
        steps.push(Step::Filter(Cfc::new(60.0).unwrap()));
    }
    steps
}

fn read(load: &Channel) {
    let Ok(found) = find(load, &Settings::default()) else {
        return;
    };
    for pull in &found.pulls {
        let (top, shape) = (peak(load, pull), shape(load, pull));
        for reading in [
            &top.as_filtered,
            &top.load,
            &top.time,
            &top.width,
            &shape.rise,
            &shape.impulse,
            &shape.duration,
        ] {
            assert!(is_sound(reading), "{reading:?}");
        }
        if let Ok(both) = stretch(load, load, pull) {
            for reading in [
                &both.greatest,
                &both.energy_in,
                &both.energy_back,
                &both.hysteresis,
                &both.stiffness,
            ] {
                assert!(is_sound(reading), "{reading:?}");
            }
        }
        let wave = oscillation(load, pull.peak.time_s, pull.end.time_s, found.slack_under_n);
        assert!(is_sound(&wave.frequency) && is_sound(&wave.damping) && is_sound(&wave.amplitude));
        for event in [
            Some(pull.taut),
            Some(pull.peak),
            pull.break_out,
            pull.parting,
            Some(pull.end),
        ] {
            assert!(event.is_none_or(|e| e.time_s.is_finite() && e.uncertainty_s.is_finite()));
        }
    }
}

/// Stretches of levels, ramps, noise and nothing.
fn course() -> impl Strategy<Value = Vec<f64>> {
    let level = prop_oneof![Just(0.0), -1e3..6e4f64, Just(f64::NAN)];
    let part = (
        level,
        -500.0..500.0f64,
        prop_oneof![Just(0.0), 0.0..3e3f64],
        1usize..120,
    );
    prop::collection::vec(part, 1..12).prop_map(|parts| {
        let mut values = Vec::new();
        for (level, slope, noise, count) in parts {
            let wild = |i: usize| noise * libm::sin((i * i) as f64 * 0.37 + level.abs());
            values.extend((0..count).map(|i| level + slope * i as f64 + wild(i)));
        }
        values
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 2000, ..Default::default() })]

    #[test]
    fn nothing_panics_and_nothing_is_nan(
        values in course(),
        jumps in prop::collection::vec((0usize..1000, 1e-4..5e-2f64), 0..4),
        zero: bool,
        filter: bool,
    ) {
        let mut times: Vec<f64> = (0..values.len()).map(|i| i as f64 * 1e-3).collect();
        for (place, by) in jumps {
            times.iter_mut().skip(place).for_each(|t| *t += by);
        }
        for fault in look(&times, &values, &Looking::default()) {
            let words = fault.words(&|value| format!("{value} N"));
            prop_assert!(!words.contains("NaN"));
        }
        if let Ok(cleaned) = clean(&times, &values, &steps(zero, filter)) {
            read(&cleaned.channel);
        }
    }
}
