//! Cleaning as a list of steps, and channels brought together.

use steadypull_measure::signal::align::{AlignError, Moment, by_event, by_likeness};
use steadypull_measure::signal::calibration::{
    Calibration, CalibrationFinding, Date, Iso376, Law, Stated,
};
use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::resample::Between;
use steadypull_measure::signal::steps::{Cause, Step, ZeroBy, clean};
use steadypull_measure::signal::{Series, zero};

/// Noise by counter, evenly between −1 and 1 (the mixing of splitmix64).
fn noise(i: usize) -> f64 {
    let mut z = (i as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
}

fn log() -> (Vec<f64>, Vec<f64>) {
    let times: Vec<f64> = (0..1500)
        .map(|i| i as f64 * 1e-3 + 1e-4 * noise(i))
        .collect();
    let values = times
        .iter()
        .enumerate()
        .map(|(i, t)| {
            let share = (t - 0.5) / 0.5;
            let pull = if (0.0..1.0).contains(&share) {
                libm::sin(core::f64::consts::PI * share)
            } else {
                0.0
            };
            -(2.0 * pull + 0.03 + 0.004 * noise(i))
        })
        .collect();
    (times, values)
}

fn cell() -> Step {
    let due = Date::new(2026, 2, 1).unwrap();
    let stated = Stated::Class(Iso376::Class1);
    Step::Calibrate {
        calibration: Calibration::new(Law::Gain(20e3), stated, "C-204", due, 60e3).unwrap(),
        tested: Date::new(2026, 2, 14).unwrap(),
    }
}

fn steps() -> Vec<Step> {
    vec![
        Step::Invert,
        Step::Zero(ZeroBy::QuietPart),
        cell(),
        Step::Resample {
            step_s: 1e-3,
            between: Between::Cubic,
            longest_gap_s: 2e-3,
        },
        Step::Shift {
            by_s: 10.0,
            uncertainty_s: 2e-4,
        },
        Step::Filter(Cfc::new(60.0).unwrap()),
        Step::Crop {
            from_s: 10.1,
            to_s: 11.4,
        },
    ]
}

#[test]
fn steps_run_in_order_and_the_log_is_not_touched() {
    let (times, values) = log();
    let (times_before, values_before) = (times.clone(), values.clone());
    let once = clean(&times, &values, &steps()).unwrap();
    assert_eq!((times, values), (times_before, values_before));
    let (times, values) = log();
    let again = clean(&times, &values, &steps()).unwrap();
    let bits = |v: &[f64]| v.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
    assert_eq!(
        bits(once.channel.series.values()),
        bits(again.channel.series.values())
    );
    assert_eq!(once.done, again.done);

    let series = &once.channel.series;
    assert!((series.start_s() - 10.1).abs() < 2e-3 && (series.end_s() - 11.4).abs() < 2e-3);
    let peak = series.values().iter().copied().fold(0.0, f64::max);
    assert!((peak / 40e3 - 1.0).abs() < 0.01);
    let quality = &once.channel.quality;
    assert!((quality.calibration.relative - 0.002 / 3f64.sqrt()).abs() < 1e-15);
    assert_eq!(quality.clock_s, 2e-4);
    assert!(quality.noise > 10.0 && quality.noise < 100.0);
    assert!(quality.zero > 0.0 && quality.zero < 20.0);
    assert_eq!(once.done.len(), 7);
    assert!(once.done[1].quiet.is_some() && once.done[1].words.contains("zero"));
    assert!(matches!(
        once.done[2].findings[..],
        [CalibrationFinding::Overdue { .. }]
    ));
    assert!(once.done[3].before == 1500 && once.done[3].after.abs_diff(1500) <= 1);
}

#[test]
fn wrong_orders_are_refused_with_their_number() {
    let (times, values) = log();
    let filter = Step::Filter(Cfc::new(60.0).unwrap());
    let early = clean(&times, &values, &[Step::Invert, filter.clone()]).unwrap_err();
    assert_eq!((early.number, &early.cause), (2, &Cause::Uneven));
    assert!(early.to_string().contains("step 2") && early.to_string().contains("resample"));
    let mut twice = steps();
    twice.push(filter);
    assert!(matches!(
        clean(&times, &values, &twice).unwrap_err().cause,
        Cause::Twice(_)
    ));
    let mut calibrated = steps();
    calibrated.insert(3, cell());
    assert_eq!(clean(&times, &values, &calibrated).unwrap_err().number, 4);
    let fast = Step::Filter(Cfc::new(600.0).unwrap());
    let mut too_slow = steps();
    too_slow[5] = fast;
    assert!(matches!(
        clean(&times, &values, &too_slow).unwrap_err().cause,
        Cause::Filter(_)
    ));
    let crop = Step::Crop {
        from_s: 5.0,
        to_s: 6.0,
    };
    assert!(matches!(
        clean(&times, &values, &[crop]).unwrap_err().cause,
        Cause::NothingLeft { .. }
    ));
    let nan = Step::Shift {
        by_s: f64::NAN,
        uncertainty_s: 0.0,
    };
    assert!(matches!(
        clean(&times, &values, &[nan]).unwrap_err().cause,
        Cause::NoNumber(_)
    ));
    assert_eq!(clean(&times, &values, &[]).unwrap_err().number, 1);
}

#[test]
fn what_is_removed_stays_away() {
    let (times, values) = log();
    let mut steps = steps();
    steps.insert(
        0,
        Step::Remove {
            from_s: 1.1,
            to_s: 1.12,
        },
    );
    let channel = clean(&times, &values, &steps).unwrap().channel;
    assert!(channel.series.at(11.11).is_none());
    assert!(channel.series.at(11.05).is_some() && channel.series.at(11.2).is_some());
}

/// A pulse that both channels show, the second scaled, raised and late by a part of a sample.
fn pulse(late_s: f64, gain: f64, noisy: f64, seed: usize) -> Series {
    let values = (0..600)
        .map(|i| {
            let t = i as f64 * 1e-3 - 0.3 - late_s;
            gain * libm::exp(-t * t / 0.0016) + 0.2 + noisy * noise(i + seed)
        })
        .collect();
    Series::new(4.0, 1e-3, values).unwrap()
}

#[test]
fn likeness_finds_a_part_of_a_sample() {
    for late_s in [0.0, 0.0123, -0.02047, 0.00951] {
        let shift =
            by_likeness(&pulse(0.0, 2.0, 0.0, 0), &pulse(late_s, 0.7, 0.0, 0), 0.05).unwrap();
        assert!(
            (shift.by_s + late_s).abs() < 2e-7,
            "{late_s}: {}",
            shift.by_s
        );
        assert!(shift.correlation.unwrap() > 0.99);
    }
}

#[test]
fn likeness_knows_how_sure_it_is() {
    let (mut square, mut claimed) = (0.0, 0.0);
    for k in 0..200 {
        let (a, b) = (
            pulse(0.0, 1.0, 0.02, k * 2000),
            pulse(0.0042, 1.0, 0.02, k * 2000 + 1000),
        );
        let shift = by_likeness(&a, &b, 0.02).unwrap();
        square += (shift.by_s + 0.0042) * (shift.by_s + 0.0042);
        claimed += shift.uncertainty_s * shift.uncertainty_s;
    }
    let ratio = libm::sqrt(square / claimed);
    assert!((0.85..1.15).contains(&ratio), "{ratio}");
}

#[test]
fn what_is_not_alike_is_not_aligned() {
    let flat = Series::new(0.0, 1e-3, (0..600).map(noise).collect()).unwrap();
    assert!(matches!(
        by_likeness(&pulse(0.0, 1.0, 0.0, 0), &flat, 0.05),
        Err(AlignError::NotAlike { .. })
    ));
    let other = Series::new(0.0, 2e-3, vec![0.0; 100]).unwrap();
    assert!(matches!(
        by_likeness(&flat, &other, 0.1),
        Err(AlignError::StepsDiffer { .. })
    ));
}

#[test]
fn events_align_with_both_doubts() {
    let moment = |time_s, uncertainty_s| Moment {
        time_s,
        uncertainty_s,
    };
    let shift = by_event(moment(3.0, 3e-3), moment(1.0, 4e-3));
    assert_eq!(shift.by_s, 2.0);
    assert!((shift.uncertainty_s - 5e-3).abs() < 1e-15);
}

#[test]
fn the_quiet_part_moves_with_the_clock() {
    let (times, values) = log();
    let cleaned = clean(&times, &values, &steps()).unwrap();
    let quiet = zero::find(&times, &values).unwrap();
    assert_eq!(cleaned.done[1].quiet.as_ref().unwrap().from_s, quiet.from_s);
}
