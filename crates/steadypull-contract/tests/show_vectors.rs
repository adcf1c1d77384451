//! Numbers with their texts, for the page to hold its own printing against: the file is
//! made here and read by the page's tests too, so the two cannot drift apart.

use std::path::PathBuf;

use serde_json::{Value, json};
use steadypull_contract::show::{
    Units, figures, gravities, likely, of_100, one_in, percent, seconds, tick,
};

const FOOT_M: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;
const POUND_FORCE_N: f64 = POUND_KG * 9.806_65;

/// What rounds badly: ties, what carries into another digit, powers of ten and their
/// neighbours, thresholds of the words, whole units of the other system; then a spread.
fn values() -> Vec<f64> {
    let mut values = vec![
        0.0,
        -0.0,
        0.5,
        1.5,
        2.5,
        12.5,
        0.125,
        0.25,
        0.375,
        1234.5,
        12_345.0,
        12_355.0,
        999.5,
        9995.0,
        99_950.0,
        99_949.999,
        0.1,
        0.099_999,
        99.95,
        99.949_999,
        0.9995,
        0.999_499_9,
        0.001,
        0.000_999_999,
        1e-4,
        9.99e-5,
        1e-6,
        9.99e-7,
        1e-9,
        9.99e-10,
        1e-13,
        1e-310,
        f64::MIN_POSITIVE,
        1e21,
        1e22,
        1.234e23,
        5e24,
        0.1 + 0.2,
        1.0 / 3.0,
        2.0 / 3.0,
        1.005,
        1.015,
        1.025,
        1.115,
        8.345,
        8.355,
        0.000_95,
        43.2,
        79.0,
        83.203_125,
        17_139.502_225_244,
        4_448.221_615_260_5,
        44_129.925,
    ];
    for k in [1.0, 3.0, 10.0, 100.0, 1000.0, 9995.0, 10_005.0, 12_345.0] {
        values.extend([
            k * FOOT_M,
            k * POUND_KG,
            k * POUND_FORCE_N,
            k / 3.6,
            k * 1.609_344 / 3.6,
        ]);
    }
    for exponent in -7..=9 {
        for lead in [
            "1",
            "0.99999999999",
            "1.005",
            "1.2345",
            "2.5",
            "4.995",
            "9.995",
            "9.9949999999",
            "9.996",
        ] {
            values.push(format!("{lead}e{exponent}").parse().expect("a number"));
        }
    }
    let negative: Vec<f64> = values.iter().step_by(3).map(|v| -v).collect();
    values.extend(negative);
    // A spread over fourteen decades (the generator of Knuth's MMIX, from memory).
    let mut state: u64 = 1;
    for _ in 0..150 {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = (state >> 11) as f64 / (1u64 << 53) as f64;
        let decade = (state % 14) as i32 - 6;
        values.push(share * 10f64.powi(decade));
    }
    values
}

fn in_units(units: Units, value: f64) -> Vec<String> {
    vec![
        units.force(value),
        units.hand_force(value),
        units.force_as_load(value),
        units.length(value),
        units.speed(value),
        units.flight_speed(value),
        units.energy(value),
        units.mass(value),
        units.line_speed(value),
        units.oil_pressure(value),
        units.temperature(value),
    ]
}

fn texts(value: f64) -> Vec<String> {
    let mut texts = vec![
        figures(value),
        percent(value),
        seconds(value),
        gravities(value),
        of_100(value),
        one_in(value),
    ];
    texts.extend(in_units(Units::Metric, value));
    texts.extend(in_units(Units::Imperial, value));
    texts
}

fn ticks() -> Vec<Value> {
    let mut rows = Vec::new();
    for step in [
        1e-10, 0.001, 0.02, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 2.5, 5.0, 20.0, 500.0, 2000.0, 1e6,
    ] {
        for count in [
            -3.0, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.5, 3.0, 7.0, 12.0, 33.0,
        ] {
            let value = count * step;
            rows.push(json!([value, step, tick(value, step)]));
        }
    }
    rows
}

fn likelies() -> Vec<Value> {
    let shares = [0.0, 1e-5, 0.000_4, 0.001, 0.0207, 0.5, 0.979, 0.9996, 1.0];
    let mut rows = Vec::new();
    for value in shares {
        for low in shares {
            for high in shares {
                rows.push(json!([value, low, high, likely(value, low, high)]));
            }
        }
    }
    rows
}

fn axes(units: Units) -> Value {
    let axes = [
        units.force_axis(),
        units.length_axis(),
        units.speed_axis(),
        units.energy_axis(),
        units.line_speed_axis(),
        units.oil_pressure_axis(),
        units.hand_force_axis(),
    ];
    axes.iter()
        .map(|axis| json!([axis.name, axis.si]))
        .collect()
}

/// One row a line, so that a change reads well.
fn file() -> String {
    let rows = |rows: Vec<Value>| {
        let lines: Vec<String> = rows.iter().map(|row| format!("  {row}")).collect();
        format!("[\n{}\n ]", lines.join(",\n"))
    };
    let numbers = values().into_iter().map(|v| json!([v, texts(v)])).collect();
    format!(
        "{{\n \"numbers\": {},\n \"ticks\": {},\n \"likely\": {},\n \"axes\": {}\n}}\n",
        rows(numbers),
        rows(ticks()),
        rows(likelies()),
        rows(vec![axes(Units::Metric), axes(Units::Imperial)]),
    )
}

#[test]
fn committed_numbers_read_as_printed() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../web/tests/numbers.json");
    let text = file();
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &text).expect("the page's tests can be written");
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    let first = committed.lines().zip(text.lines()).find(|(a, b)| a != b);
    assert!(
        committed == text,
        "numbers read differently (BLESS=1 renews it); first difference: {first:?}"
    );
}

#[test]
fn no_number_is_not_a_number() {
    for value in values() {
        for text in texts(value) {
            assert!(
                !text.contains("NaN") && !text.contains("inf"),
                "{value:e}: {text}"
            );
        }
    }
}
