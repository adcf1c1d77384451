//! The swing of a taut line, found in a log or honestly not.

mod common;

use common::Folder;
use steadypull_contract::answer::OscillationReadings;
use steadypull_testday::read;

/// Rows of the demo's logs a second.
const RATE_HZ: f64 = 1000.0;

fn swing(folder: &Folder) -> OscillationReadings {
    let answer = read(&folder.tests(), Some("dry-1"), folder).expect("it reads");
    answer.pulls[0].readings.oscillation.clone()
}

/// A tow that breaks out and then holds a load on which a wave of known frequency, damping and
/// size swings: each is read off the log.
#[test]
fn a_wave_that_was_put_in_is_found() {
    let (hertz, ratio, size_kn) = (6.0, 0.02, 1.5);
    let angular = core::f64::consts::TAU * hertz;
    let decay = ratio * angular / libm::sqrt(1.0 - ratio * ratio);
    let mut folder = Folder::demo();
    folder.change_loads("dry-1.csv", |row, load| {
        // Taut at 1.4 s, out at 1.7 s, slack at 3.0 s; what the log scatters is kept.
        let (time, scatter) = (row as f64 / RATE_HZ, (load * 1e3 % 97.0 - 48.0) / 1e3);
        let since = time - 1.75;
        let wave = size_kn * libm::exp(-decay * since) * libm::cos(angular * since);
        scatter
            + match time {
                ..1.4 => 0.0,
                ..1.7 => 40.0 * (time - 1.4) / 0.3,
                ..1.75 => 40.0 - 15.0 * (time - 1.7) / 0.05,
                ..2.6 => 25.0 + wave - size_kn * libm::exp(-40.0 * since),
                ..3.0 => 25.0 * (3.0 - time) / 0.4,
                _ => 0.0,
            }
    });
    let found = swing(&folder);
    for (what, measured, truth) in [
        ("frequency", &found.frequency_hz, hertz),
        ("damping", &found.damping_ratio, ratio),
    ] {
        let (low, high) = (measured.low.expect(what), measured.high.expect(what));
        assert!((low..=high).contains(&truth), "{what}: {low} to {high}");
    }
    let size = found.amplitude_n.value.expect("an amplitude");
    assert!((size / (size_kn * 1e3) - 1.0).abs() < 0.2, "{size}");
    let apart = found.resolution_hz.expect("a window");
    assert!((apart * (found.to_s - found.from_s) - 1.0).abs() < 0.01);
}

/// Where the recorder was at its end the tops are cut off: no size, no damping, no frequency.
#[test]
fn a_clipped_wave_is_not_told() {
    let mut folder = Folder::demo();
    folder.change_loads("dry-1.csv", |row, load| {
        let (time, scatter) = (row as f64 / RATE_HZ, (load * 1e3 % 97.0 - 48.0) / 1e3);
        let wave = 3.0 * libm::sin(40.0 * time);
        let held = match time {
            ..1.4 => 0.0,
            ..1.7 => 30.0 * (time - 1.4) / 0.3,
            ..2.6 => 30.0 + wave,
            ..3.0 => 30.0 * (3.0 - time) / 0.4,
            _ => 0.0,
        };
        (held + scatter).min(32.0)
    });
    let found = swing(&folder);
    for measured in [found.frequency_hz, found.damping_ratio, found.amplitude_n] {
        assert_eq!(measured.value, None);
        let why = measured.no_interval.unwrap_or_default();
        assert!(why.contains("end of its range"), "{why}");
    }
}

/// Smooth pulls swing not at all, however quiet the log: the shape of the way down must not
/// be taken for a wave.
#[test]
fn a_smooth_way_down_is_no_wave() {
    let folder = Folder::demo();
    let answer = read(&folder.tests(), None, &folder).expect("it reads");
    for pull in &answer.pulls {
        let frequency = &pull.readings.oscillation.frequency_hz;
        assert_eq!(frequency.value, None, "{}", pull.name);
        let why = frequency.no_interval.as_deref().unwrap_or_default();
        assert!(why.contains("two cycles"), "{why}");
    }
    let turn = core::f64::consts::PI;
    let shapes: [fn(f64, f64) -> f64; 4] = [
        |share, turn| libm::sin(turn * share),
        |share, turn| libm::pow(libm::sin(turn * share), 2.0),
        |share, turn| libm::pow(libm::sin(turn * share), 1.4),
        |share, turn| libm::sin(turn * libm::pow(share, 0.7)),
    ];
    for (which, shape) in shapes.into_iter().enumerate() {
        for noise_kn in [0.0, 0.001, 0.01, 0.1] {
            let mut folder = Folder::demo();
            let mut state = 1u32;
            folder.change_loads("dry-1.csv", |row, _| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let noise = noise_kn * (f64::from(state >> 8) / f64::from(1u32 << 24) - 0.5);
                let share = (row as f64 / RATE_HZ - 1.4) / 0.8;
                let load = if (0.0..1.0).contains(&share) {
                    40.0 * shape(share, turn)
                } else {
                    0.0
                };
                load + noise
            });
            let found = swing(&folder).frequency_hz;
            assert_eq!(found.value, None, "shape {which}, noise {noise_kn} kN");
        }
    }
}
