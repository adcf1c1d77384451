//! Events in loads of known course.

use proptest::prelude::*;
use steadypull_measure::events::{
    ByHand, Event, EventKind, EventsError, Found, Moved, SetBy, Settings, find, set_by_hand,
};
use steadypull_measure::signal::cfc::{Cfc, Filter};
use steadypull_measure::signal::{Channel, Quality, Series};

const STEP_S: f64 = 1e-3;

/// Noise by counter, evenly between −1 and 1 (the mixing of splitmix64).
fn noise(i: usize) -> f64 {
    let mut z = (i as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
}

/// A course of load with even noise of 60 N to either side, through CFC 60.
fn channel(start_s: f64, seconds: f64, course: impl Fn(f64) -> f64) -> Channel {
    let count = (seconds / STEP_S) as usize;
    let raw = (0..count)
        .map(|i| course(i as f64 * STEP_S) + 60.0 * noise(i))
        .collect();
    let raw = Series::new(start_s, STEP_S, raw).unwrap();
    let filter = Filter::new(Cfc::new(60.0).unwrap(), 1000.0).unwrap();
    let mut quality = Quality::of_noise(60.0 / 3f64.sqrt());
    quality.filter = Some(filter);
    Channel {
        series: filter.run(&raw).unwrap().series,
        quality,
    }
}

/// Half a sine from a time on.
fn swing(t: f64, from_s: f64, long_s: f64, peak_n: f64) -> f64 {
    let share = (t - from_s) / long_s;
    if (0.0..1.0).contains(&share) {
        peak_n * libm::sin(core::f64::consts::PI * share)
    } else {
        0.0
    }
}

fn found(channel: &Channel) -> Found {
    find(channel, &Settings::default()).unwrap()
}

/// Within four standard uncertainties, which are themselves small.
fn at(event: &Event, time_s: f64, sure_s: f64) {
    let off = (event.time_s - time_s).abs();
    assert!(
        off <= 4.0 * event.uncertainty_s && event.uncertainty_s <= sure_s,
        "{event:?} against {time_s}"
    );
}

#[test]
fn several_pulls_and_a_rebound() {
    let load = channel(0.0, 8.0, |t| {
        swing(t, 1.0, 0.5, 40e3)
            + swing(t, 1.9, 0.3, 9e3)
            + swing(t, 4.0, 0.6, 30e3)
            + swing(t, 6.0, 0.6, 45e3)
    });
    let found = found(&load);
    let rebounds: Vec<bool> = found.pulls.iter().map(|p| p.rebound).collect();
    assert_eq!(rebounds, [false, true, false, false]);
    for (pull, (from, long)) in
        found
            .pulls
            .iter()
            .zip([(1.0, 0.5), (1.9, 0.3), (4.0, 0.6), (6.0, 0.6)])
    {
        at(&pull.taut, from, 0.003);
        at(&pull.peak, from + 0.5 * long, 0.01);
        at(&pull.end, from + long, 0.003);
        assert!(
            pull.parting.is_none() && pull.break_out.is_none(),
            "{pull:?}"
        );
        assert!(!pull.begins_under_load && !pull.ends_under_load);
    }
    assert!(found.threshold_n >= 8.0 * load.quality.noise_after_filter());
}

/// Up in 0.3 s to 42 kN, down in 0.1 s to 25 kN, which stays for 0.8 s, then slowly away.
fn broken_out(t: f64) -> f64 {
    match t {
        t if t < 1.0 => 0.0,
        t if t < 1.3 => 42e3 * (t - 1.0) / 0.3,
        t if t < 1.4 => 42e3 - 17e3 * (t - 1.3) / 0.1,
        t if t < 2.2 => 25e3 + 800.0 * libm::sin(20.0 * t),
        t if t < 2.5 => 25e3 * (2.5 - t) / 0.3,
        _ => 0.0,
    }
}

#[test]
fn a_break_out_is_a_fall_to_a_plateau() {
    let load = channel(0.0, 3.5, broken_out);
    let found = found(&load);
    assert_eq!(found.pulls.len(), 1);
    let event = found.pulls[0].break_out.expect("a break-out");
    assert!((event.time_s - 1.3).abs() < 0.004);
    assert!(found.pulls[0].parting.is_none());
}

#[test]
fn a_parting_is_a_fall_no_line_could_make() {
    // 35 kN reached in 0.35 s, held for 0.3 s, gone in 12 ms.
    let course = |t: f64| match t {
        t if t < 1.0 => 0.0,
        t if t < 1.35 => 35e3 * (t - 1.0) / 0.35,
        t if t < 1.65 => 35e3,
        t if t < 1.662 => 35e3 * (1.662 - t) / 0.012,
        _ => 0.0,
    };
    let parted = channel(0.0, 3.0, course);
    let event = found(&parted).pulls[0].parting.expect("a parting");
    assert!((event.time_s - 1.65).abs() < 0.006, "{event:?}");
    // The same load let down in 0.2 s, and a line that is known to unload within 5 ms.
    let slow = channel(0.0, 3.0, |t| {
        if t < 1.65 {
            course(t)
        } else {
            (35e3 * (1.85 - t) / 0.2).max(0.0)
        }
    });
    assert!(found(&slow).pulls[0].parting.is_none());
    let settings = Settings {
        fastest_unload_s: Some(0.002),
        ..Settings::default()
    };
    assert!(find(&parted, &settings).unwrap().pulls[0].parting.is_none());
}

#[test]
fn logs_that_begin_or_end_under_load_say_so() {
    let load = channel(0.0, 1.2, |t| {
        swing(t, -0.2, 0.5, 40e3) + swing(t, 0.9, 0.8, 40e3)
    });
    let pulls = found(&load).pulls;
    assert!(pulls[0].begins_under_load && !pulls[0].ends_under_load);
    assert!(!pulls[1].begins_under_load && pulls[1].ends_under_load);
}

#[test]
fn nothing_is_found_in_noise() {
    let load = channel(0.0, 4.0, |_| 0.0);
    assert!(matches!(
        find(&load, &Settings::default()),
        Err(EventsError::NothingPulls { .. })
    ));
    let upside_down = channel(0.0, 4.0, |t| -swing(t, 1.0, 1.0, 4e4));
    let error = find(&upside_down, &Settings::default()).unwrap_err();
    assert!(error.to_string().contains("sign"));
    let settings = Settings {
        plateau_s: f64::NAN,
        ..Settings::default()
    };
    assert!(matches!(
        find(&load, &settings),
        Err(EventsError::BadSetting(_))
    ));
}

#[test]
fn a_hand_moves_events_and_cannot_cross_them() {
    let load = channel(0.0, 3.5, broken_out);
    let found = found(&load);
    let moved = |kind, to| Moved { pull: 0, kind, to };
    let to = |time_s| ByHand::At {
        time_s,
        uncertainty_s: 0.002,
    };
    let set = set_by_hand(
        &found,
        &[
            moved(EventKind::Taut, to(0.98)),
            moved(EventKind::BreakOut, ByHand::Away),
            moved(EventKind::Parting, to(2.4)),
        ],
        &load.series,
    )
    .unwrap();
    let pull = &set.pulls[0];
    assert_eq!(
        (pull.taut.time_s, pull.taut.set_by, pull.loaded_s.0),
        (0.98, SetBy::Hand, 0.98)
    );
    assert!(pull.break_out.is_none() && pull.parting.unwrap().set_by == SetBy::Hand);
    assert_eq!(pull.peak, found.pulls[0].peak);
    for bad in [
        moved(EventKind::Taut, to(2.9)),
        moved(EventKind::Taut, to(-1.0)),
        moved(EventKind::Peak, ByHand::Away),
        moved(EventKind::End, to(f64::NAN)),
        Moved {
            pull: 7,
            kind: EventKind::Taut,
            to: to(1.0),
        },
    ] {
        assert!(matches!(
            set_by_hand(&found, &[bad], &load.series),
            Err(EventsError::CannotBe { .. })
        ));
    }
}

#[test]
fn no_pull_reaches_across_a_gap() {
    let load = channel(0.0, 3.0, |t| swing(t, 1.0, 1.0, 40e3));
    let mut values = load.series.values().to_vec();
    values[1500..1520].iter_mut().for_each(|v| *v = f64::NAN);
    let load = Channel {
        series: Series::new(0.0, STEP_S, values).unwrap(),
        quality: load.quality,
    };
    let pulls = found(&load).pulls;
    assert_eq!(pulls.len(), 2);
    assert!(pulls[0].ends_under_load && pulls[1].begins_under_load);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 48, ..Default::default() })]

    /// The same pulls whenever the clock was started.
    #[test]
    fn splitting_does_not_depend_on_the_clock(
        by_s in -1000.0..1000.0f64,
        pulls in prop::collection::vec((0.1..0.6f64, 3e3..5e4f64), 1..5),
    ) {
        let course = |t: f64| {
            pulls.iter().enumerate().map(|(i, (long, peak))| swing(t, 0.5 + 1.2 * i as f64, *long, *peak)).sum()
        };
        let (here, there) = (channel(0.0, 7.0, course), channel(by_s, 7.0, course));
        let (here, there) = (found(&here), found(&there));
        prop_assert_eq!(here.pulls.len(), pulls.len());
        prop_assert_eq!(there.pulls.len(), pulls.len());
        for (a, b) in here.pulls.iter().zip(&there.pulls) {
            prop_assert_eq!(a.rebound, b.rebound);
            for (a, b) in [(a.taut, b.taut), (a.peak, b.peak), (a.end, b.end)] {
                prop_assert!((b.time_s - a.time_s - by_s).abs() < 1e-9);
                prop_assert!((b.uncertainty_s - a.uncertainty_s).abs() < 1e-9);
            }
        }
    }
}
