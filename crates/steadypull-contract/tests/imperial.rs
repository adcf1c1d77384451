//! In imperial units no sentence of an answer keeps a metric amount, and no number of it
//! changes: numbers are SI whatever people read.

use serde_json::Value;
use steadypull_contract::answer::{Answer, Chance};
use steadypull_contract::operation::{EditRequest, ReadUnits, edit};
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::show::Units;
use steadypull_contract::{ChanceOptions, ChanceRuns, EXAMPLES, answer_plan, chance};

const METRIC: [&str; 15] = [
    "kN", "N", "t", "kg", "m", "mm", "cm", "km/h", "m/s", "m/min", "J", "kJ", "kPa", "bar", "C",
];
/// Who is quoted keeps their own units: sources (of a line's curve too), reasons of
/// defaults, what the plan says.
const QUOTED: [&str; 4] = ["source", "reason", "text", "line_model"];

fn answer(text: &str, units: Units) -> Answer {
    answer_plan(&read_plan(text).expect("a demo reads").said_in(units)).expect("an answer")
}

fn drawn(text: &str, units: Units) -> Chance {
    let options = ChanceOptions {
        runs: ChanceRuns::Count(64),
        drivers: false,
        units,
        ..ChanceOptions::default()
    };
    let goes_on = std::sync::atomic::AtomicBool::new(false);
    chance(text, &options, &mut |_| (), &goes_on).expect("a study")
}

/// Amounts with a metric unit, such as `4.5 kg`.
fn metric_amounts(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let bare = |word: &str| {
        word.trim_matches(|c: char| "()[];:,<>\"'".contains(c) || c == '.')
            .to_string()
    };
    let pairs = words.windows(2).map(|pair| (bare(pair[0]), bare(pair[1])));
    pairs
        .filter(|(number, unit)| number.parse::<f64>().is_ok() && METRIC.contains(&&unit[..]))
        .map(|(number, unit)| format!("{number} {unit}"))
        .collect()
}

fn metric_in(value: &Value, path: &str, found: &mut Vec<String>) {
    match value {
        Value::String(text) => {
            let amounts = metric_amounts(text);
            if !amounts.is_empty() {
                found.push(format!("{path}: {amounts:?} in: {text}"));
            }
        }
        Value::Array(all) => all.iter().for_each(|one| metric_in(one, path, found)),
        Value::Object(fields) => {
            for (key, field) in fields.iter().filter(|(key, _)| !QUOTED.contains(&&key[..])) {
                metric_in(field, &format!("{path}.{key}"), found);
            }
        }
        _ => {}
    }
}

/// The same with every sentence gone.
fn numbers(value: Value) -> Value {
    match value {
        Value::String(_) => Value::Null,
        Value::Array(all) => all.into_iter().map(numbers).collect(),
        Value::Object(all) => all.into_iter().map(|(k, v)| (k, numbers(v))).collect(),
        other => other,
    }
}

fn json(of: &impl serde::Serialize) -> Value {
    serde_json::to_value(of).expect("it serialises")
}

#[test]
fn metric_amounts_are_found() {
    assert_eq!(
        metric_amounts("the end with 1.3 kg on it, at (25.9 m/s), kinetic-8t: 9 lbf"),
        ["1.3 kg", "25.9 m/s"]
    );
}

#[test]
fn every_sentence_of_every_demo_is_in_imperial_units() {
    let mut found = Vec::new();
    for (name, text) in EXAMPLES {
        metric_in(&json(&answer(text, Units::Imperial)), name, &mut found);
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn units_change_no_number() {
    for (name, text) in EXAMPLES {
        let [metric, imperial] = [Units::Metric, Units::Imperial].map(|u| json(&answer(text, u)));
        assert_ne!(metric, imperial, "{name}");
        assert_eq!(numbers(metric), numbers(imperial), "{name}");
    }
}

#[test]
fn a_study_by_chance_is_told_in_imperial_units() {
    for (name, text) in [EXAMPLES[0], EXAMPLES[EXAMPLES.len() - 1]] {
        let study = drawn(text, Units::Imperial);
        let mut found = Vec::new();
        metric_in(&json(&study), name, &mut found);
        assert!(found.is_empty(), "{found:#?}");
        assert_eq!(study.sample.draws, drawn(text, Units::Metric).sample.draws);
    }
}

#[test]
fn the_form_tells_defaults_and_limits_in_imperial_units() {
    for (name, text) in EXAMPLES {
        let form = |units| {
            let request = EditRequest {
                lines: Default::default(),
                plan: (*text).into(),
                edits: Vec::new(),
                units,
            };
            edit(&request).expect("a demo reads").form
        };
        let fields = form(ReadUnits::Imperial).fields;
        for field in &fields {
            let told = [field.limits.clone(), field.filled.clone().map(|f| f.value)];
            for text in told.into_iter().flatten() {
                let mut metric = metric_amounts(&text);
                // A plan file knows no other scale of temperature.
                metric.retain(|amount| !amount.ends_with(" C"));
                assert!(metric.is_empty(), "{name}: {}: {text}", field.key);
            }
        }
        assert!(
            fields
                .iter()
                .any(|f| f.limits.as_deref() == Some("0 ft to 9.84 ft"))
        );
        assert_ne!(fields, form(ReadUnits::Metric).fields);
    }
}
