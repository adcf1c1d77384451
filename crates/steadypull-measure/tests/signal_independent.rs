//! Against a general-purpose signal library: `validation/independent/measure/README.md`.

use steadypull_measure::readings::{Reading, Spread, oscillation};
use steadypull_measure::signal::cfc::{Cfc, Filter};
use steadypull_measure::signal::{Channel, Quality, Series};

const FILTERED: &str = include_str!("../../../validation/independent/measure/filtered.csv");
const WAVE: &str = include_str!("../../../validation/independent/measure/wave.csv");
const WAVE_FIT: &str = include_str!("../../../validation/independent/measure/wave_fit.csv");

/// Rows after the note and the heading.
fn rows(file: &str) -> Vec<Vec<&str>> {
    let lines = file.lines().filter(|l| !l.starts_with('#')).skip(1);
    lines.map(|l| l.split(',').collect()).collect()
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

#[test]
fn filtered_records_agree_to_a_millionth() {
    let rows = rows(FILTERED);
    let mut compared = 0;
    for record in rows.chunk_by(|a, b| a[..3] == b[..3]) {
        let (cfc, rate_hz) = (number(record[0][1]), number(record[0][2]));
        let raw: Vec<f64> = record.iter().map(|r| number(r[4])).collect();
        let filter = Filter::new(Cfc::new(cfc).unwrap(), rate_hz).unwrap();
        let ours = filter.stretch(&raw).unwrap();
        let height = raw.iter().fold(0.0f64, |m, v| m.max(v.abs()));
        for (row, y) in record.iter().zip(&ours).filter(|(r, _)| !r[5].is_empty()) {
            let off = (y - number(row[5])).abs() / height;
            assert!(
                off < 1e-9,
                "{} CFC {cfc} at {rate_hz} Hz, sample {}: {off}",
                row[0],
                row[3]
            );
            compared += 1;
        }
    }
    assert!(compared > 900, "{compared} values were compared");
}

#[test]
fn a_fitted_wave_agrees_with_its_uncertainties() {
    let load: Vec<f64> = rows(WAVE).iter().map(|r| number(r[0])).collect();
    let theirs = |name: &str| {
        let fit = rows(WAVE_FIT);
        number(fit.iter().find(|r| r[0] == name).expect("listed")[1])
    };
    let channel = Channel {
        series: Series::new(0.0, 0.005, load).unwrap(),
        quality: Quality::of_noise(120.0),
    };
    let ours = oscillation(&channel, 0.0, 1.995, 1000.0);
    let close = |a: f64, b: f64, share: f64| (a - b).abs() <= share * b.abs();
    assert!(close(ours.frequency.value, theirs("frequency_hz"), 1e-6));
    assert!(close(ours.damping.value, theirs("damping"), 1e-4));
    assert!(close(ours.amplitude.value, theirs("amplitude_n"), 1e-5));
    // Ours widen for residuals that resemble their neighbours, so they are no smaller.
    let wider = |reading: &Reading, name: &str| match &reading.spread {
        Spread::Interval { uncertainty, .. } => uncertainty / theirs(name),
        Spread::None(why) => panic!("{why}"),
    };
    for ratio in [
        wider(&ours.frequency, "frequency_uncertainty_hz"),
        wider(&ours.damping, "damping_uncertainty"),
    ] {
        assert!((0.98..1.5).contains(&ratio), "{ratio}");
    }
    assert!((ours.resolution_hz - 1.0 / 1.995).abs() < 1e-9);
}
