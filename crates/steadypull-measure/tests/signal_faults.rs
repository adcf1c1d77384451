//! Faults put into a clean record are found, named and placed; a clean record has none.

use steadypull_measure::signal::cfc::Cfc;
use steadypull_measure::signal::faults::{Fault, FaultKind, Looking, look};
use steadypull_measure::signal::zero;

/// Noise that a plain congruence makes, about −1 to 1, no two runs alike.
fn noise(count: usize) -> Vec<f64> {
    let mut state = 12_345u64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    (0..count)
        .map(|_| next() + next() + next() + next() - 2.0)
        .collect()
}

/// Two seconds at 1 kHz: quiet, a pull of 40 000 in 0.8 s, quiet.
fn clean() -> (Vec<f64>, Vec<f64>) {
    let times: Vec<f64> = (0..2000).map(|i| 5.0 + i as f64 * 1e-3).collect();
    let values = times
        .iter()
        .zip(noise(2000))
        .map(|(t, n)| {
            let share = (t - 5.6) / 0.8;
            let pull = if (0.0..1.0).contains(&share) {
                40_000.0 * libm::sin(core::f64::consts::PI * share)
            } else {
                0.0
            };
            150.0 + pull + 60.0 * n
        })
        .collect();
    (times, values)
}

fn faults(times: &[f64], values: &[f64]) -> Vec<Fault> {
    let found = look(times, values, &Looking::default());
    for fault in &found {
        let words = fault.words(&|v| format!("{v} N"));
        assert!(words.len() > 40 && !words.contains("NaN"), "{words}");
    }
    found
}

#[test]
fn a_clean_record_has_none() {
    let (times, values) = clean();
    assert_eq!(faults(&times, &values), vec![]);
    let looking = Looking {
        filter: Some(Cfc::new(60.0).unwrap()),
        ends: Some((-1e5, 1e5)),
    };
    assert_eq!(look(&times, &values, &looking), vec![]);
}

#[test]
fn gaps_and_stamps() {
    let (mut times, mut values) = clean();
    times.drain(900..950);
    values.drain(900..950);
    let found = faults(&times, &values);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, FaultKind::Gap { missing: 50 });
    assert_eq!((found[0].place.first, found[0].place.last), (899, 900));

    let (mut times, values) = clean();
    times[500] = times[499];
    let kinds: Vec<_> = faults(&times, &values)
        .into_iter()
        .map(|f| f.kind)
        .collect();
    assert!(kinds.contains(&FaultKind::DuplicateStamp));

    let (mut times, values) = clean();
    times.swap(700, 701);
    let found = faults(&times, &values);
    assert!(
        found
            .iter()
            .any(|f| matches!(f.kind, FaultKind::TimeReversed { back_s }
        if (back_s - 1e-3).abs() < 1e-9)
                && f.place.last == 701)
    );

    let (mut times, values) = clean();
    times[1200..].iter_mut().for_each(|t| *t -= 3.0);
    let found = faults(&times, &values);
    assert_eq!(found.len(), 1);
    assert!(
        matches!(found[0].kind, FaultKind::ClockStep { back_s } if (back_s - 2.999).abs() < 1e-9)
    );
}

#[test]
fn jitter_is_measured() {
    let (mut times, values) = clean();
    for (t, n) in times.iter_mut().zip(noise(2000)) {
        *t += 3e-5 * n;
    }
    let found = faults(&times, &values);
    // Four even draws: σ = √(4/12) = 0.577; a step is off by two stamps: √2 · 0.577 · 3 %.
    let expected = 2f64.sqrt() * (1.0f64 / 3.0).sqrt() * 0.03;
    assert!(
        matches!(found[..], [Fault { kind: FaultKind::Jitter { share }, .. }]
        if (share / expected - 1.0).abs() < 0.1)
    );
}

#[test]
fn a_clipped_top_is_told_and_a_smooth_one_in_steps_is_not() {
    let (times, mut values) = clean();
    values.iter_mut().for_each(|v| *v = v.min(35_000.0));
    let found = faults(&times, &values);
    assert!(
        matches!(found[..], [Fault { kind: FaultKind::Saturated { at, high: true }, place }]
        if at == 35_000.0 && place.last - place.first > 200)
    );
    // Read in steps of 100 without noise: the top is flat for a dozen samples, and smooth.
    let stepped: Vec<f64> = clean()
        .0
        .iter()
        .map(|t| {
            let share = ((t - 5.6) / 0.8).clamp(0.0, 1.0);
            libm::round(400.0 * libm::sin(core::f64::consts::PI * share)) * 100.0
        })
        .collect();
    let saturated = |f: &Fault| matches!(f.kind, FaultKind::Saturated { .. });
    assert!(!faults(&times, &stepped).iter().any(saturated));
    // A recorder whose end is known.
    let looking = Looking {
        filter: None,
        ends: Some((-40_000.0, 40_000.0)),
    };
    assert!(look(&times, &stepped, &looking).iter().any(saturated));
}

#[test]
fn dropouts_and_spikes() {
    let (times, mut values) = clean();
    let held = values[820];
    values[820..860].iter_mut().for_each(|v| *v = held);
    let found = faults(&times, &values);
    assert!(
        matches!(found[..], [Fault { kind: FaultKind::Stuck { at }, place }]
        if at == held && place.first == 820 && place.last == 859)
    );

    let (times, mut values) = clean();
    values[100..130].iter_mut().for_each(|v| *v = f64::NAN);
    let found = faults(&times, &values);
    assert!(
        matches!(found[..], [Fault { kind: FaultKind::Missing, place }]
        if (place.first, place.last) == (100, 129))
    );

    for wide in 1..=3 {
        let (times, mut values) = clean();
        values[300..300 + wide]
            .iter_mut()
            .for_each(|v| *v += 5000.0);
        // One on the steep rise as well.
        values[650] -= 4000.0;
        let found = faults(&times, &values);
        assert_eq!(found.len(), 2, "{wide}: {found:?}");
        assert!(
            matches!(found[0].kind, FaultKind::Spike { height } if (height - 5000.0).abs() < 300.0)
        );
        assert_eq!(
            (found[0].place.first, found[0].place.last),
            (300, 299 + wide)
        );
        assert!(matches!(found[1].kind, FaultKind::Spike { height } if height < -3000.0));
    }
}

#[test]
fn a_zero_that_drifts_and_a_rate_too_low() {
    let (times, mut values) = clean();
    values[1500..].iter_mut().for_each(|v| *v += 120.0);
    let found = faults(&times, &values);
    assert!(
        matches!(found[..], [Fault { kind: FaultKind::ZeroDrift { before, after }, .. }]
        if (after - before - 120.0).abs() < 10.0)
    );

    let (times, values) = clean();
    let looking = Looking {
        filter: Some(Cfc::new(180.0).unwrap()),
        ends: None,
    };
    let found = look(&times, &values, &looking);
    assert!(matches!(
        found[..],
        [Fault {
            kind: FaultKind::SlowForFilter {
                least_hz: 1800.0,
                ..
            },
            ..
        }]
    ));
}

#[test]
fn coarse_values_are_told() {
    let (times, values) = clean();
    let coarse: Vec<f64> = values
        .iter()
        .map(|v| libm::round(v / 500.0) * 500.0)
        .collect();
    let found = faults(&times, &coarse);
    assert!(
        found
            .iter()
            .any(|f| f.kind == FaultKind::Coarse { step: 500.0 }),
        "{found:?}"
    );
}

#[test]
fn nonsense_is_no_panic() {
    for (times, values) in [
        (vec![], vec![]),
        (vec![0.0], vec![1.0]),
        (vec![0.0, 1.0], vec![1.0]),
        (vec![0.0, f64::NAN], vec![1.0, 2.0]),
        (vec![0.0; 50], vec![0.0; 50]),
        ((0..50).map(f64::from).collect(), vec![f64::NAN; 50]),
        ((0..50).map(f64::from).collect(), vec![f64::INFINITY; 50]),
        ((0..50).rev().map(f64::from).collect(), vec![1.0; 50]),
    ] {
        let found = look(&times, &values, &Looking::default());
        assert!(
            found
                .iter()
                .all(|f| !f.words(&|v| format!("{v} N")).is_empty())
        );
        assert!(zero::find(&times, &values).is_err() || values.len() >= 32);
    }
}

#[test]
fn the_zero_is_found_with_its_doubt() {
    let (times, values) = clean();
    let quiet = zero::find(&times, &values).unwrap();
    assert!(quiet.from_s < 5.11 && quiet.to_s < 5.6 && quiet.to_s > 5.4);
    // σ = 60 · 0.577.
    assert!((quiet.scatter / 34.6 - 1.0).abs() < 0.1);
    assert!((quiet.level - 150.0).abs() < 3.0 * quiet.level_uncertainty);
    assert!(quiet.doubt.is_none());
    // Begins under load: the later part at rest is told.
    let (times, mut values) = clean();
    values[..500].iter_mut().for_each(|v| *v += 5000.0);
    assert!(
        zero::find(&times, &values)
            .unwrap()
            .doubt
            .unwrap()
            .contains("under load")
    );
    // By hand.
    let later = zero::within(&times, &values, 6.6, 6.9).unwrap();
    assert!((later.level - 150.0).abs() < 10.0 && later.count > 290);
    assert!(zero::within(&times, &values, 6.6, 6.601).is_err());
    assert!(zero::within(&times, &values, 8.0, 9.0).is_err());
}
