//! Sentences are told in the units asked for; numbers stay SI.

mod common;

use common::Folder;
use steadypull_contract::plan_file::read_day;
use steadypull_contract::show::Units;
use steadypull_testday::{plan, read};

#[test]
fn no_finding_keeps_kilonewtons_when_pounds_are_asked_for() {
    let folder = Folder::demo();
    let small = folder.tests_with("range = \"100 kN\"", "range = \"30 kN\"");
    let metric = read(&small, None, &folder).expect("it reads");
    let imperial = read(&small.said_in(Units::Imperial), None, &folder).expect("it reads");
    assert!(
        metric
            .findings
            .iter()
            .any(|f| f.message.contains("30.0 kN"))
    );
    for finding in &imperial.findings {
        assert!(!finding.message.contains("kN"), "{}", finding.message);
    }
    let range = imperial.findings.iter().find(|f| f.code == "cell-range");
    assert!(range.is_some_and(|f| f.message.contains("6740 lbf")));
    assert_eq!(metric.pulls, imperial.pulls);
    let law = imperial
        .test
        .assumed
        .iter()
        .find(|a| a.key.ends_with("load_per_unit"));
    assert!(law.is_some_and(|a| a.value.ends_with("lbf")), "{law:?}");
}

/// Values of the log in a sentence have their unit, the one that is asked for.
#[test]
fn faults_of_a_log_are_told_with_the_unit_asked_for() {
    let mut folder = Folder::demo();
    folder.change_loads("dry-1.csv", |_, load| load.min(30.0));
    for (units, words) in [
        (Units::Metric, "flat at 30.0 kN"),
        (Units::Imperial, "flat at 6740 lbf"),
    ] {
        let answer = read(&folder.tests().said_in(units), Some("dry-1"), &folder);
        let answer = answer.expect("it reads");
        let clipped = answer.findings.iter().find(|f| f.code == "clipped");
        let said = &clipped.expect("it is clipped").message;
        assert!(said.contains(words), "{said}");
        let faults = &answer.pulls[0].faults;
        assert!(faults.iter().any(|f| f.says.contains(words)), "{faults:?}");
    }
}

#[test]
fn the_day_stops_and_is_written_down_in_pounds_and_feet() {
    let day = read_day(&Folder::demo().text("day.toml")).expect("it reads");
    let answer = plan(&day.said_in(Units::Imperial), &Folder::demo()).expect("a day");
    let said = answer.stop_rules.join("; ") + &answer.sheet[0].join("; ");
    assert!(!said.contains("kN") && !said.contains(" m;"), "{said}");
    let inside = format!("inside {}", Units::Imperial.length(answer.standoff_m));
    assert!(inside.ends_with(" ft"), "{inside}");
    for words in ["7640 lbf or more", &inside, "peak (lbf)"] {
        assert!(said.contains(words), "{words}: {said}");
    }
}
