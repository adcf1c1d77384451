//! A day whose standoff comes from the let-go of a plan, and what is held against it.

mod common;

use common::{Folder, troubles};
use steadypull_contract::answer::{Severity, TestsPlanAnswer};
use steadypull_contract::answer_plan;
use steadypull_contract::plan_file::{DayFile, read_day, read_plan};
use steadypull_testday::{TestsError, plan};

fn day(folder: &Folder, from: &str, to: &str) -> DayFile {
    let text = folder.text("day.toml");
    assert!(text.contains(from), "{from}");
    read_day(&text.replacen(from, to, 1)).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn planned(folder: &Folder, from: &str, to: &str) -> Result<TestsPlanAnswer, TestsError> {
    plan(&day(folder, from, to), folder)
}

fn codes(answer: &TestsPlanAnswer) -> Vec<(&str, Severity)> {
    let told = answer.findings.iter().map(|f| (&f.code[..], f.severity));
    told.collect()
}

#[test]
fn the_standoff_is_the_largest_of_the_plans_own() {
    let folder = Folder::demo();
    let answer = planned(&folder, "limit", "limit").unwrap();
    let text = folder.text("strap.toml");
    let own = answer_plan(&read_plan(&text[..]).unwrap()).unwrap();
    let sides = &own.standoff;
    let largest = sides
        .behind_casualty_m
        .max(sides.behind_tug_m)
        .max(sides.beside_m);
    assert_eq!(answer.standoff_m, largest);
    assert_eq!(answer.standoff_stated_m, None);
    let of_plan = answer.standoff_of_plan.as_ref().expect("from the plan");
    assert_eq!(
        (of_plan.distance_m, &of_plan.file[..]),
        (largest, "strap.toml")
    );
    // A straight kinetic pull: everything in its path carries its peak.
    let peak = own.pull.kinetic.expect("a pull").peak_force_n;
    assert!((of_plan.load_n / peak - 1.0).abs() < 1e-9, "{of_plan:?}");
    assert_eq!(of_plan.parts, 5);
    assert_eq!(codes(&answer), []);
    // People stand back for the load that is planned, and no higher one.
    for stop in [
        format!("inside {largest:.0} m"),
        "a load of 34.0 kN or more".into(),
    ] {
        assert!(
            answer.stop_rules.iter().any(|rule| rule.contains(&stop)),
            "{:?}",
            answer.stop_rules
        );
    }
}

#[test]
fn a_load_over_that_of_the_let_go_is_a_do_not() {
    let folder = Folder::demo();
    // Where no highest load is said, it is the limit.
    let kept = "highest_load = \"34 kN\"";
    let answer = planned(&folder, kept, "").unwrap();
    assert_eq!(answer.highest_load_n, 44e3);
    assert_eq!(codes(&answer), [("load-over-let-go", Severity::Critical)]);
    assert!(
        answer.findings[0]
            .message
            .contains("DO NOT PULL to 44.0 kN")
    );
    // Pulls that stay under it are planned for, whatever the ratings would bear.
    let limit = "limit = \"44 kN\"";
    assert_eq!(
        codes(&planned(&folder, limit, "limit = \"70 kN\"").unwrap()),
        []
    );
    let text = folder.text("day.toml");
    let problems = read_day(&text.replacen(kept, "highest_load = \"45 kN\"", 1));
    let problems = problems.expect_err("over the limit");
    assert!(
        problems.problems[0].message.contains("over the limit"),
        "{problems:?}"
    );
}

/// A rig that its own plan is against is no better for people who stand back.
#[test]
fn what_the_plan_says_not_to_do_the_day_does_too() {
    let mut folder = Folder::demo();
    let weak = folder
        .text("strap.toml")
        .replace("mbs = \"9 t\"", "mbs = \"4 t\"");
    folder
        .0
        .insert("strap.toml".into(), weak.clone().into_bytes());
    let answer = planned(&folder, "34 kN", "20 kN").unwrap();
    let own = answer_plan(&read_plan(&weak[..]).unwrap()).unwrap();
    assert!(own.verdict.headline.starts_with("DO NOT PULL"));
    let worst = own
        .findings
        .iter()
        .find(|f| f.severity == Severity::Critical);
    let said = &answer.findings[0];
    assert_eq!(
        (&said.code[..], said.severity),
        ("plan-says-do-not", Severity::Critical)
    );
    assert!(said.message.contains(&own.verdict.headline), "{said:?}");
    assert!(
        said.message.contains(&worst.expect("why").message),
        "{said:?}"
    );
    assert!(answer.standoff_m > 0.0, "and how far is told all the same");
}

#[test]
fn of_a_typed_standoff_and_the_plans_the_larger_is_taken() {
    let folder = Folder::demo();
    let limit = "limit = \"44 kN\"";
    let near = planned(&folder, limit, &format!("standoff = \"25 m\"\n{limit}")).unwrap();
    assert_eq!(codes(&near), [("standoff-under-model", Severity::Warning)]);
    assert_eq!(near.standoff_stated_m, Some(25.0));
    assert_eq!(near.standoff_m, near.standoff_of_plan.unwrap().distance_m);
    let far = planned(&folder, limit, &format!("standoff = \"400 m\"\n{limit}")).unwrap();
    assert_eq!((far.standoff_m, &codes(&far)[..]), (400.0, &[][..]));
}

#[test]
fn what_gives_no_standoff_is_told() {
    let mut folder = Folder::demo();
    let (named, text) = ("plan = \"strap.toml\"", folder.text("day.toml"));
    let problems = read_day(&text.replacen(named, "", 1)).expect_err("nothing says how far");
    assert!(
        problems.problems[0].message.contains("standoff is missing"),
        "{problems:?}"
    );
    let lost = troubles(planned(&folder, "strap.toml", "lost.toml"));
    assert_eq!(lost[0].about, "lost.toml");
    let strap = folder.text("strap.toml");
    let without = strap
        .split("[rig]")
        .next()
        .unwrap()
        .replace("[line.strap]", "[line.strap]\nwll = 3");
    folder.0.insert("strap.toml".into(), without.into_bytes());
    let broken = troubles(planned(&folder, named, named));
    assert_eq!(broken[0].about, "strap.toml");
    // By hand no file is opened.
    folder.0.remove("strap.toml");
    let typed = planned(&folder, named, "standoff = \"60 m\"").unwrap();
    assert_eq!((typed.standoff_m, typed.standoff_of_plan), (60.0, None));
}
