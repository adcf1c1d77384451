//! Reports and objects of every command on every demo plan.

mod common;
#[path = "common/schema.rs"]
mod schema;

use common::{AREAS, check_golden, check_page, code_for, demo, demos, file, folder, run};

#[test]
fn golden_reports_of_the_demo_plans() {
    for (name, path) in demos() {
        let ran = run(&["check", &path]);
        assert!(matches!(ran.code, 0 | 3), "{name}: {}", ran.err);
        check_golden(&format!("{name}.txt"), &ran.out);
    }
}

#[test]
fn every_report_fits_and_ends_in_the_cautions() {
    for (name, path) in demos() {
        let cautions = run(&["check", &path, "--json"]).json()["cautions"].clone();
        for command in AREAS.map(|(command, _)| command) {
            check_report(&[command, &path], &cautions);
        }
        check_report(&["check", &path], &cautions);
        check_report(&["check", &path, "--units", "imperial"], &cautions);
        assert_eq!(
            cautions.as_array().map(Vec::is_empty),
            Some(false),
            "{name}"
        );
    }
}

fn check_report(args: &[&str], cautions: &serde_json::Value) {
    let ran = run(args);
    assert!(matches!(ran.code, 0 | 3), "{args:?}: {}", ran.err);
    assert!(ran.err.is_empty(), "{args:?}: {}", ran.err);
    check_page(&ran.out);
    let (_, end) = ran
        .out
        .rsplit_once("\nCAUTIONS")
        .expect("cautions at the end");
    let flat = end.split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in cautions.as_array().expect("cautions") {
        // Each stands behind its mark.
        let caution = format!("! {}", caution.as_str().expect("text"));
        assert!(flat.contains(&caution), "{args:?}: {caution}");
    }
}

#[test]
fn every_answer_keeps_the_contract() {
    for (name, path) in demos() {
        let ran = run(&["check", &path, "--json"]);
        let answer = ran.json();
        assert_eq!(schema::faults("answer", &answer), [""; 0], "{name}");
        assert_eq!(ran.code, code_for(&answer), "{name}");
        assert!(ran.err.is_empty(), "{name}: {}", ran.err);
    }
}

#[test]
fn an_area_is_cut_from_the_answer_with_its_findings() {
    let path = demo();
    let answer = run(&["check", &path, "--json"]).json();
    for (command, field) in AREAS {
        let ran = run(&[command, &path, "--json"]);
        let object = ran.json();
        assert_eq!(schema::faults(command, &object), [""; 0], "{command}");
        assert_eq!(ran.code, code_for(&object), "{command}");
        for same in [field, "contract_version", "findings", "cautions"] {
            assert_eq!(object[same], answer[same], "{command} {same}");
        }
    }
}

#[test]
fn units_change_what_people_read_and_two_runs_nothing() {
    // That they change no number: the contract's tests of imperial units.
    let path = demo();
    let metric = run(&["check", &path, "--json"]);
    assert!(matches!(metric.code, 0 | 3), "{}", metric.err);
    assert!(
        metric.out == run(&["check", &path, "--json"]).out,
        "two runs differ"
    );
    let imperial = run(&["check", &path, "--json", "--units", "imperial"]);
    assert!(!metric.out.contains(" lbf") && imperial.out.contains(" lbf"));
    let read = run(&["situation", &path, "--units", "imperial"]).out;
    assert!(read.contains(" lbf"), "{read}");
}

#[test]
fn a_refused_attachment_ends_in_3() {
    let text = std::fs::read_to_string(demo()).expect("the demo plan");
    let refused = text.replace("kind = \"rated\"", "kind = \"tow-ball\"");
    assert_ne!(text, refused, "the demo has a rated point to swap");
    let path = file(&folder("refused"), "tow-ball.toml", refused.as_bytes());
    for command in ["check", "standoff"] {
        let ran = run(&[command, &path]);
        assert_eq!(ran.code, 3, "{command}: {}\n{}", ran.out, ran.err);
        assert!(ran.out.contains("CRITICAL"), "{}", ran.out);
    }
    assert_eq!(run(&["check", &path, "--json"]).code, 3);
}
