//! A plan with mistakes: all of them at once, for people and for programs.

mod common;
#[path = "common/schema.rs"]
mod schema;

use common::{check_page, demo, file, folder, run};

/// A demo plan with three mistakes in it.
fn broken_plan(name: &str) -> String {
    let text = std::fs::read_to_string(demo()).expect("the demo plan");
    let mass = text
        .lines()
        .find(|line| line.starts_with("mass ="))
        .expect("a mass");
    let broken = text.replacen(mass, "mass = 2600\nmas = \"2 t\"", 1);
    let broken = broken.replacen("title =", "titel =", 1);
    file(&folder(name), "broken.toml", broken.as_bytes())
}

#[test]
fn people_see_every_mistake_with_its_place() {
    let path = broken_plan("broken_text");
    let ran = run(&["check", &path]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.is_empty(),
        "an answer to a broken plan:\n{}",
        ran.out
    );
    for said in ["titel", "mas", "2600", "hint:", "no plan was read"] {
        assert!(ran.err.contains(said), "{said}:\n{}", ran.err);
    }
    assert!(ran.err.matches("broken.toml:").count() >= 3, "{}", ran.err);
    assert!(!ran.err.contains('\u{1b}'));
}

#[test]
fn programs_get_the_errors_object() {
    let path = broken_plan("broken_json");
    for command in [
        "check",
        "situation",
        "options",
        "load-path",
        "rig",
        "pull",
        "let-go",
        "standoff",
    ] {
        let ran = run(&[command, &path, "--json"]);
        assert_eq!(ran.code, 1, "{command}");
        assert!(ran.err.is_empty(), "{command} also said:\n{}", ran.err);
        let object = ran.json();
        assert_eq!(schema::faults("errors", &object), [""; 0], "{command}");
        let errors = object["errors"].as_array().expect("errors");
        assert!(errors.len() >= 3, "{object:#}");
        for error in errors {
            assert_eq!(error["file"], path.as_str());
            assert!(error["line"].as_u64() > Some(0), "{error}");
        }
    }
}

#[test]
fn a_missing_file_is_an_errors_object_too() {
    for args in [
        &["check", "no-such-plan.toml", "--json"][..],
        &["brief", "no-such-plan.toml", "-o", "none.pdf", "--json"],
        &["plot", "no-such-plan.toml", "-o", "none", "--json"],
    ] {
        let ran = run(args);
        assert_eq!(ran.code, 1, "{args:?}");
        let object = ran.json();
        assert_eq!(schema::faults("errors", &object), [""; 0], "{args:?}");
        assert_eq!(object["errors"][0]["file"], "no-such-plan.toml");
        assert!(object["errors"][0]["line"].is_null());
    }
}

#[test]
fn a_hostile_name_cannot_reach_the_terminal() {
    let ran = run(&["check", "no\u{1b}[2Jsuch.toml"]);
    assert_eq!(ran.code, 1);
    check_page(&ran.err);
}
