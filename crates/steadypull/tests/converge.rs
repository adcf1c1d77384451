//! `let-go --converge`: whether the let-go's numbers have settled.

mod common;
#[path = "common/schema.rs"]
mod schema;

use common::{check_page, code_for, demos, run};
use serde_json::Value;

fn plan(name: &str) -> String {
    let found = demos().into_iter().find(|(demo, _)| demo == name);
    found.expect("a demo plan of that name").1
}

/// Straight, laid out and lowered: the answer keeps its schema and agrees with itself.
#[test]
fn demo_plans_are_followed_finer() {
    for name in ["uphill-sand", "tree-double-line", "steep-bank-lowering"] {
        let ran = run(&["let-go", "--converge", "--json", &plan(name)]);
        let answer = ran.json();
        assert_eq!(schema::faults("let-go-converge", &answer), [""; 0]);
        assert_eq!(ran.code, code_for(&answer), "{name}");
        let found = &answer["convergence"];
        assert!(found["missing"].is_null(), "{name}: {found}");
        let cases = found["cases"].as_array().expect("cases");
        assert_eq!(Some(cases.len() as u64), found["of_cases"].as_u64());
        assert!(!cases.is_empty(), "{name}");
        cases.iter().for_each(agrees);
        let open = cases.iter().filter(|case| case["settled"] == false);
        let findings = answer["findings"].as_array().expect("findings");
        let told = findings
            .iter()
            .filter(|f| f["code"] == "let-go-not-settled");
        assert_eq!(open.count(), told.count(), "{name}");
    }
}

fn agrees(case: &Value) {
    let level = |k: usize, field: &str| case["levels"][k][field].as_f64().expect("a number");
    for (k, times) in [(1, 2.0), (2, 4.0), (3, 1.0)] {
        assert_eq!(level(k, "segments"), times * level(0, "segments"), "{case}");
    }
    assert_eq!(2.0 * level(3, "step_share"), level(0, "step_share"));
    assert!(level(3, "steps") > 1.5 * level(0, "steps"), "{case}");
    let beside = |k: usize| level(0, "speed_m_s") / level(k, "speed_m_s") - 1.0;
    let left = 4.0 / 3.0 * beside(2).abs() + beside(3).abs();
    let told = case["speed_error_share"].as_f64().expect("an error");
    assert!((told - left).abs() < 1e-9, "{case}");
}

#[test]
fn the_table_fits_the_page() {
    let ran = run(&["let-go", "--converge", &plan("tree-double-line")]);
    check_page(&ran.out);
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["segments step steps speed", "error left", "CAUTIONS"] {
        assert!(flat.contains(words), "{words}:\n{}", ran.out);
    }
}
