//! Broken plan files: each report stays as it is, byte for byte.
//!
//! `BLESS=1 cargo test -p steadypull-contract` renews the reports; read what
//! changed before keeping it.

use std::fs;
use std::path::{Path, PathBuf};

use steadypull_contract::plan_file::{LONGEST_PLAN, PlanProblems, read_plan};

fn broken_files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken");
    let entries = fs::read_dir(folder).expect("tests/broken");
    let mut files: Vec<_> = entries
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    files
}

fn problems(text: &str) -> PlanProblems {
    read_plan(text).expect_err("a broken plan")
}

#[test]
fn reports_stay_as_they_are() {
    let bless = std::env::var_os("BLESS").is_some();
    let files = broken_files();
    let laid_out = files
        .iter()
        .filter(|file| file.to_string_lossy().contains("laid-"));
    let laid_out = laid_out.count();
    assert!(laid_out >= 40, "{laid_out} broken rigs laid out");
    assert!(files.len() >= 25 + laid_out, "{} broken plans", files.len());
    for file in files {
        let text = fs::read_to_string(&file).expect("the plan");
        let name = file.file_name().and_then(|n| n.to_str()).expect("a name");
        let report = problems(&text).report(name, &text);
        let golden = file.with_extension("txt");
        if bless {
            fs::write(&golden, &report).expect("write the report");
        }
        let expected = fs::read_to_string(&golden).unwrap_or_default();
        assert_eq!(report, expected, "{name}");
        let widest = report.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        assert!(widest <= 80, "{name} is {widest} columns wide:\n{report}");
    }
}

#[test]
fn problems_print_as_json() {
    let problems = problems("[casualty]\nmass = 2600\n");
    let json = serde_json::to_value(&problems).expect("JSON");
    let second = &json["problems"][1];
    assert_eq!(
        (&second["line"], &second["column"]),
        (&2.into(), &8.into()),
        "{json:#}"
    );
    assert_eq!(second["found"], "2600");
    assert_eq!(json["more"], 0);
}

#[test]
fn too_many_mistakes_are_counted() {
    let text: String = (0..3000).map(|i| format!("nonsense-{i} = 1\n")).collect();
    let problems = problems(&text);
    assert_eq!(problems.problems.len(), PlanProblems::MOST);
    assert!(problems.more >= 2950, "{}", problems.more);
    let report = problems.report("many.toml", &text);
    assert!(
        report.contains(&format!("and {} more\n", problems.more)),
        "{report}"
    );
}

#[test]
fn a_file_of_another_kind_is_refused_at_once() {
    let text = "#".repeat(LONGEST_PLAN + 1);
    let report = problems(&text).report("huge.toml", &text);
    assert!(report.contains("too long for a plan"), "{report}");
    assert!(report.len() < 1000);
}

#[test]
fn line_breaks_of_any_sort_give_the_same_places() {
    let text = "[casualty]\nmass = \"2.6 stone\"\n\tsits_in = \"clai\"\n";
    let places = |text: &str| -> Vec<(u32, u32, u32)> {
        let all = problems(text).problems.into_iter();
        all.map(|p| (p.line, p.column, p.end_column)).collect()
    };
    let unix = places(text);
    assert!(
        unix.contains(&(2, 8, 19)) && unix.contains(&(3, 12, 18)),
        "{unix:?}"
    );
    assert_eq!(unix, places(&text.replace('\n', "\r\n")));
    assert_eq!(unix, places(&format!("\u{feff}{text}")));
}
