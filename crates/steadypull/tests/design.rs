//! `dampers` and `tether`: dampers and tethers by design.

mod common;
#[path = "common/schema.rs"]
mod schema;

use common::{check_golden, check_page, code_for, demos, folder, run};

fn plan(name: &str) -> String {
    let found = demos().into_iter().find(|(demo, _)| demo == name);
    found.expect("a demo plan of that name").1
}

#[test]
fn golden_report_of_the_dampers_of_a_demo_plan() {
    let drawn = folder("dampers");
    let dir = drawn.to_string_lossy().into_owned();
    let ran = run(&["dampers", &plan("guard-deep-clay"), "-o", &dir]);
    assert!(matches!(ran.code, 0 | 3), "{}", ran.err);
    let (wrote, report) = ran.out.split_once('\n').expect("the file written first");
    assert!(
        wrote.starts_with("wrote ") && wrote.ends_with("damper-set-ups.svg"),
        "{wrote}"
    );
    let svg = std::fs::read_to_string(drawn.join("damper-set-ups.svg")).expect("the figure");
    assert!(svg.starts_with("<svg") && !svg.contains("NaN"));
    check_page(report);
    assert!(report.contains("\nCAUTIONS"), "{report}");
    check_golden("dampers-guard-deep-clay.txt", report);
}

#[test]
fn a_wish_that_nothing_keeps_ends_in_3() {
    // One kilogram each against a strap at its greatest: the plan of the rock shelf.
    let ran = run(&["dampers", &plan("rock-held"), "--most", "1 kg", "--json"]);
    let answer = ran.json();
    assert_eq!(schema::faults("dampers", &answer), [""; 0]);
    assert_eq!(answer["dampers"]["meets"], false, "{}", ran.out);
    assert_eq!((ran.code, code_for(&answer)), (3, 3));
    let codes: Vec<&str> = answer["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter_map(|f| f["code"].as_str())
        .collect();
    assert!(codes.contains(&"no-damper-will-do"), "{codes:?}");
    for choice in answer["dampers"]["numbers"].as_array().expect("numbers") {
        assert_eq!(choice["meets"], false);
        let worst = choice["check"]["worst"]["quantile_j"].as_f64();
        assert!(worst.is_some_and(|j| j > 79.0), "{choice}");
    }
}

#[test]
fn a_tether_and_the_point_that_must_take_it() {
    let path = plan("guard-deep-clay");
    let ran = run(&["tether", &path, "--at", "tug", "--length", "2 m", "--json"]);
    let answer = ran.json();
    assert_eq!(schema::faults("tether", &answer), [""; 0]);
    assert_eq!(ran.code, code_for(&answer));
    let tether = &answer["tether"];
    assert_eq!(tether["wish"]["parts_at"], "tug");
    assert_eq!(
        tether["cells"].as_array().map(Vec::len),
        Some(4),
        "four stretches"
    );
    let least = &tether["least"];
    let of = |key: &str| least[key].as_f64().expect("a number");
    assert!(of("peak_n") <= of("mbs_n"), "{least}");
    // Another point of the tug than the one that the line is on can be had.
    let free = tether["points"].as_array().expect("points").iter();
    assert!(free.filter(|p| p["in_use"] == false).count() > 0);
}

#[test]
fn what_is_not_covered_is_said() {
    for command in ["dampers", "tether"] {
        let laid_out = run(&[command, &plan("tree-double-line")]);
        let flat = laid_out
            .out
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        assert!(
            flat.contains("covers straight rigs alone"),
            "{}",
            laid_out.out
        );
        check_page(&laid_out.out);
        let lowering = run(&[command, &plan("steep-bank-lowering")]);
        assert!(
            lowering.out.contains("nothing is pulled"),
            "{}",
            lowering.out
        );
    }
}

#[test]
fn a_bad_question_is_said_before_any_work() {
    let path = plan("guard-deep-clay");
    for (option, value, words) in [
        ("--chance", "100 %", "50 % to 99 %"),
        ("--under", "79", "has no unit"),
        ("--most", "5 kN", "the unit of a force"),
    ] {
        let ran = run(&["dampers", &path, option, value]);
        assert_eq!(ran.code, 2, "{option}");
        assert!(ran.err.contains(words), "{option}: {}", ran.err);
    }
    let ran = run(&["dampers", &path, "--link", "bow-9"]);
    assert_eq!(ran.code, 1);
    let flat = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("no link `bow-9` could let go there; there are:"),
        "{flat}"
    );
    assert!(flat.contains("soft-1"), "{flat}");
}

#[test]
fn a_brief_with_its_studies() {
    let dir = folder("brief-studies");
    let file = dir.join("brief.html").to_string_lossy().into_owned();
    let path = plan("side-slope-bridle");
    let ran = run(&[
        "brief",
        &path,
        "-o",
        &file,
        "--chance",
        "--dampers",
        "--json",
    ]);
    let written = ran.json();
    assert_eq!(schema::faults("written", &written), [""; 0]);
    assert_eq!(ran.code, code_for(&written), "{}", ran.err);
    let page = std::fs::read_to_string(&file).expect("the brief");
    for words in ["By chance", "tornado-wide", "Dampers by design"] {
        assert!(page.contains(words), "{words}");
    }
    // The rule sets its zone all round: the plan view shows it already.
    assert!(page.contains("plan-view-wide") && !page.contains("zone-map"));
    // A rig on the ground has no dampers designed for it: that is said, not drawn.
    assert!(page.contains("covers straight rigs alone"));
    assert!(!page.contains("damper-set-ups"));
}
