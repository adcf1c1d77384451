//! Copies of certificates that are kept with a test: read, hashed, held to the hash that the
//! test file states, and told wherever the loads go.

mod common;

use common::{Folder, read, troubles};
use steadypull_contract::answer::KeptCertificate;
use steadypull_contract::plan_file::read_tests;
use steadypull_testday::{fit, read as read_pulls, report};

const FILE: &str = "EF-0417.txt";
const NAMED: &str = "certificate_file = \"EF-0417.txt\"";

fn stated() -> String {
    let text = Folder::demo_text("tests.toml");
    let at = text
        .lines()
        .find(|line| line.starts_with("certificate_sha256"));
    at.expect("the demo states it").to_string()
}

fn kept(folder: &Folder, test: &steadypull_contract::plan_file::TestFile) -> KeptCertificate {
    let answer = read_pulls(test, Some("dry-1"), folder).expect("readings");
    let cell = answer.pulls[0].cell.clone().expect("a cell");
    cell.certificate_file.expect("a copy")
}

#[test]
fn it_is_hashed_and_held_to_its_hash() {
    let mut folder = Folder::demo();
    let told = kept(&folder, &folder.tests());
    assert_eq!(told.file, FILE);
    assert_eq!(told.bytes, folder.0[FILE].len() as u64);
    assert!(told.checked && stated().contains(&told.sha256), "{told:?}");
    // Unstated, whatever lies there is taken, and that is said.
    let unstated = folder.tests_with(&stated(), "");
    assert!(!kept(&folder, &unstated).checked);
    folder.0.insert(FILE.into(), b"another".to_vec());
    let other = kept(&folder, &unstated);
    assert_ne!(other.sha256, told.sha256);
    // Stated, another file is refused before any load is read.
    let found = troubles(read_pulls(&folder.tests(), None, &folder));
    assert_eq!(found.len(), 1, "one cell, one trouble: {found:?}");
    assert!(
        found[0].about == FILE
            && found[0].message.contains(&other.sha256)
            && found[0].message.contains("[cell.yard] states"),
        "{found:?}"
    );
    let of_fit = troubles(fit(&folder.tests(), &folder));
    assert_eq!(of_fit, found, "nor is a line fitted");
}

#[test]
fn one_that_is_missing_or_empty_is_told() {
    let mut folder = Folder::demo();
    let unstated = folder.tests_with(&stated(), "");
    folder.0.insert(FILE.into(), Vec::new());
    let found = troubles(read_pulls(&unstated, None, &folder));
    assert!(found[0].message.contains("empty"), "{found:?}");
    folder.0.remove(FILE);
    let found = troubles(read_pulls(&unstated, None, &folder));
    assert_eq!(found.len(), 1);
    let hint = found[0].hint.as_deref().expect("what to do");
    assert!(
        found[0].about == FILE && hint.contains("[cell.yard]"),
        "{found:?}"
    );
    // A cell that took no pull stops nobody.
    let text = folder.text("tests.toml").replace("cell = \"yard\"", "");
    read_pulls(&read(&text), Some("dry-1"), &folder).expect("no pull names the cell");
}

#[test]
fn without_a_copy_the_certificate_is_named_alone() {
    let folder = Folder::demo();
    let text = folder.text("tests.toml").replace(&stated(), "");
    let test = read(&text.replace(NAMED, ""));
    let answer = read_pulls(&test, Some("dry-1"), &folder).expect("readings");
    let cell = answer.pulls[0].cell.as_ref().expect("a cell");
    assert_eq!(
        (cell.certificate.as_str(), &cell.certificate_file),
        ("EF-0417", &None)
    );
}

#[test]
fn it_goes_on_into_the_report_and_the_line_file() {
    let folder = Folder::demo();
    let (test, text) = (folder.tests(), folder.text("tests.toml"));
    let hash = kept(&folder, &test).sha256;
    let made = report(&test, ("tests.toml", text.as_bytes()), &folder).expect("a report");
    let listed: Vec<_> = made.beside.iter().filter(|f| f.file == FILE).collect();
    assert_eq!(listed.len(), 1, "once, however many pulls");
    assert_eq!(listed[0].sha256, hash);
    assert!(listed[0].holds.contains("yard"), "{listed:?}");
    let answer = fit(&test, &folder).expect("a line");
    let written = &answer.lines[0].line_toml;
    assert!(
        written.contains(&format!("certificate_sha256 = \"{hash}\"")),
        "{written}"
    );
}

#[test]
fn its_mistakes_have_their_place() {
    let text = Folder::demo_text("tests.toml");
    let wrong = |from: &str, to: &str| {
        assert!(text.contains(from));
        let problems = read_tests(&text.replacen(from, to, 1)).expect_err("a mistake");
        let first = &problems.problems[0];
        (first.message.clone(), first.line as usize)
    };
    let line = |key: &str| {
        let at = text.lines().position(|line| line.starts_with(key));
        at.expect("in the demo") + 1
    };
    let (message, at) = wrong(NAMED, "");
    assert_eq!(message, "cell.yard.certificate_sha256 is of no file");
    assert_eq!(at, line("certificate_sha256"));
    let (message, at) = wrong(&stated(), "certificate_sha256 = \"abc\"");
    assert_eq!(message, "cell.yard.certificate_sha256 is no SHA-256");
    assert_eq!(at, line("certificate_sha256"));
}
