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

#[test]
fn the_day_stops_and_is_written_down_in_pounds_and_feet() {
    let day = read_day(&Folder::demo().text("day.toml")).expect("it reads");
    let answer = plan(&day.said_in(Units::Imperial)).expect("a day");
    let said = answer.stop_rules.join("; ") + &answer.sheet[0].join("; ");
    assert!(!said.contains("kN") && !said.contains(" m;"), "{said}");
    for words in ["10 100 lbf or more", "inside 82.0 ft", "peak (lbf)"] {
        assert!(said.contains(words), "{words}: {said}");
    }
}
