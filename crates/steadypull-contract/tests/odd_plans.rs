//! No plan that can be read, however odd, panics, hangs or gives a number that
//! is none: `answer_plan` looks through its own answer, so an `Ok` says so.

use proptest::prelude::*;
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::{EXAMPLES, answer_plan};

/// A demo plan with one of its quantities replaced.
fn swapped(text: &str, key: &str, value: &str) -> String {
    text.lines()
        .map(|line| {
            if line.trim_start().starts_with(&format!("{key} =")) {
                format!("{key} = {value}")
            } else {
                line.to_string()
            }
        })
        .collect::<Vec<_>>()
        .join("\n")
}

const ODD: [(&str, &[&str]); 12] = [
    ("mass", &["\"300 kg\"", "\"60 t\"", "\"2.6 t\""]),
    ("slope_along", &["\"-44 deg\"", "\"44 deg\"", "\"0 deg\""]),
    ("sits_in", &["\"firm\"", "\"bog\"", "\"snow\"", "\"clay\""]),
    ("sunk_to", &["\"body\"", "\"wheel\""]),
    ("surface", &["\"ice\"", "\"dry-road\"", "\"mud\""]),
    ("power", &["\"1 kW\"", "\"900 kW\""]),
    ("length", &["\"1 m\"", "\"60 m\""]),
    ("mbs", &["\"1 t\"", "\"40 t\""]),
    ("place", &["\"0 %\"", "\"100 %\""]),
    ("height", &["\"0.1 m\"", "\"2 m\""]),
    ("run_up_speed", &["\"1 km/h\"", "\"40 km/h\""]),
    ("free_after", &["\"0.1 m\"", "\"50 m\""]),
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    #[test]
    fn odd_plans_are_answered_or_refused(
        example in 0..EXAMPLES.len(),
        swaps in prop::collection::vec((0..ODD.len(), 0usize..4), 1..4),
    ) {
        let mut text = EXAMPLES[example].1.to_string();
        for (which, value) in swaps {
            let (key, values) = ODD[which];
            text = swapped(&text, key, values[value % values.len()]);
        }
        if let Ok(plan) = read_plan(&text) {
            let answer = answer_plan(&plan);
            prop_assert!(answer.is_ok(), "{:?}\n{text}", answer.err());
        }
    }
}

#[test]
fn the_same_plan_gives_the_same_answer() {
    for (name, text) in EXAMPLES {
        let plan = read_plan(text).unwrap();
        assert_eq!(
            answer_plan(&plan).unwrap(),
            answer_plan(&plan).unwrap(),
            "{name}"
        );
    }
}

#[test]
fn the_demo_plans_say_what_an_instructor_would() {
    let answer = |wanted: &str| {
        let (_, text) = EXAMPLES
            .iter()
            .find(|(name, _)| name.starts_with(wanted))
            .unwrap();
        answer_plan(&read_plan(text).unwrap()).unwrap()
    };
    let clay = answer("guard-deep-clay");
    assert!(!clay.has_critical() && clay.verdict.within_policy);
    assert!((2.5..3.5).contains(&clay.situation.design_over_weight));
    let rock = answer("rock-held");
    assert!(rock.has_critical() && rock.situation.fixed_end && !rock.verdict.within_policy);
    assert!(
        rock.options
            .ladder
            .iter()
            .all(|r| r.shift_probability.is_none_or(|p| p == 0.0))
    );
    let sand = answer("uphill-sand");
    let pull = sand.pull.kinetic.unwrap();
    assert!(!pull.window.empty && pull.audit.error_share.abs() < 1e-3);
    for case in sand.let_go.cases.iter().chain(&clay.let_go.cases) {
        assert!(
            case.audit_error_share.abs() < 1e-3,
            "{}: {}",
            case.link,
            case.audit_error_share
        );
    }
}
