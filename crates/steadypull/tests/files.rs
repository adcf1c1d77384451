//! Commands that write files, and the pipe that closes early.

mod common;
#[path = "common/schema.rs"]
mod schema;

use std::io::Read;
use std::process::Stdio;

use common::{binary, check_page, code_for, demo, demos, folder, run};

#[test]
fn briefs_of_every_demo_plan() {
    let here = folder("briefs");
    for (name, path) in demos() {
        for (ending, starts) in [("pdf", "%PDF-"), ("html", "<!doctype html")] {
            let to = here.join(format!("{name}.{ending}"));
            let to_name = to.to_string_lossy().into_owned();
            let args = [
                "brief",
                &path,
                "-o",
                &to_name,
                "--date",
                "2031-05-09",
                "--json",
            ];
            let ran = run(&args);
            let object = ran.json();
            assert_eq!(schema::faults("written", &object), [""; 0], "{name}");
            assert_eq!(ran.code, code_for(&object), "{name}");
            assert_eq!(object["written"][0]["file"], to_name.as_str());
            assert_eq!(object["written"][0]["kind"], ending);
            let bytes = std::fs::read(&to).expect("the brief was written");
            let start = String::from_utf8_lossy(&bytes[..starts.len().min(bytes.len())]);
            assert!(
                start.eq_ignore_ascii_case(starts),
                "{name}.{ending} starts with {start:?}"
            );
        }
    }
}

#[test]
fn a_dated_brief_is_the_same_every_time() {
    let here = folder("dated");
    let [once, again] = ["once.pdf", "again.pdf"].map(|name| {
        let to = here.join(name);
        let to_name = to.to_string_lossy().into_owned();
        let ran = run(&["brief", &demo(), "-o", &to_name, "--date", "2031-05-09"]);
        assert!(matches!(ran.code, 0 | 3), "{}", ran.err);
        std::fs::read(&to).expect("the brief was written")
    });
    assert!(once == again, "two briefs differ");
}

#[test]
fn figures_of_every_demo_plan() {
    for (name, path) in demos() {
        let here = folder(&format!("figures-{name}")).join("made");
        let to = here.to_string_lossy().into_owned();
        let ran = run(&["plot", &path, "-o", &to, "--json"]);
        let object = ran.json();
        assert_eq!(schema::faults("written", &object), [""; 0], "{name}");
        assert_eq!(ran.code, code_for(&object), "{name}");
        let written = object["written"].as_array().expect("files");
        let skipped = object["skipped"].as_array().expect("figures left out");
        assert_eq!(written.len() + skipped.len(), 10, "{name}: {object:#}");
        for file in written {
            let text = std::fs::read_to_string(file["file"].as_str().expect("a path"));
            assert!(text.expect("the figure").contains("<svg"), "{file}");
        }
    }
}

#[test]
fn one_figure_as_a_picture() {
    let here = folder("picture");
    let to = here.to_string_lossy().into_owned();
    let ran = run(&[
        "plot",
        &demo(),
        "-o",
        &to,
        "--png",
        "--figure",
        "resistance",
    ]);
    assert!(matches!(ran.code, 0 | 3), "{}", ran.err);
    check_page(&ran.out.replace(&to, "figures"));
    let picture = std::fs::read(here.join("resistance.png")).expect("the picture");
    assert_eq!(&picture[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(std::fs::read_dir(&here).expect("the folder").count(), 2);
}

#[test]
fn demo_plans_are_listed_printed_and_written() {
    let list = run(&["example", "--list", "--json"]).json();
    assert_eq!(schema::faults("example-list", &list), [""; 0]);
    let listed = run(&["example", "--list"]).out;
    check_page(&listed);
    for (name, path) in demos() {
        assert!(listed.contains(&name), "{listed}");
        let text = std::fs::read_to_string(&path).expect("the demo plan");
        assert_eq!(run(&["example", &name]).out, text, "{name}");
        let object = run(&["example", &name, "--json"]).json();
        assert_eq!(schema::faults("example", &object), [""; 0], "{name}");
        assert_eq!(object["plan"], text.as_str());
    }
    let entries = list["examples"].as_array().expect("examples");
    assert!(entries.iter().all(|entry| entry["about"] != ""), "{list:#}");
}

#[test]
fn a_plan_is_never_written_over_unasked() {
    let path = folder("example").join("plan.toml");
    let to = path.to_string_lossy().into_owned();
    assert_eq!(run(&["example", "-o", &to]).code, 0);
    let first = std::fs::read_to_string(&path).expect("the plan was written");
    std::fs::write(&path, "mine").expect("the plan can be changed");
    let refused = run(&["example", "-o", &to]);
    assert_eq!(refused.code, 1);
    assert!(refused.err.contains("--force"), "{}", refused.err);
    assert_eq!(std::fs::read_to_string(&path).expect("still there"), "mine");
    let object = run(&["example", "-o", &to, "--json"]).json();
    assert_eq!(schema::faults("errors", &object), [""; 0]);
    let forced = run(&["example", "-o", &to, "--force", "--json"]);
    assert_eq!(forced.code, 0);
    assert_eq!(schema::faults("written", &forced.json()), [""; 0]);
    assert_eq!(std::fs::read_to_string(&path).expect("rewritten"), first);
}

#[test]
fn every_schema_can_be_printed() {
    let names = [
        "answer",
        "situation",
        "options",
        "load-path",
        "rig",
        "pull",
        "let-go",
        "standoff",
        "written",
        "example-list",
        "example",
        "errors",
    ];
    for name in names {
        let ran = run(&["schema", name]);
        assert_eq!(ran.code, 0, "{name}");
        assert!(
            ran.json() == schema::committed(name),
            "{name} is not as committed"
        );
    }
    assert_eq!(run(&["schema"]).out, run(&["schema", "answer"]).out);
}

#[test]
fn a_pipe_closed_early_is_no_panic() {
    let expected = run(&["check", &demo(), "--json"]).code;
    assert!(matches!(expected, 0 | 3));
    let mut child = binary()
        .args(["check", &demo(), "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    drop(child.stdout.take());
    let mut said = String::new();
    let mut stderr = child.stderr.take().expect("a pipe");
    stderr.read_to_string(&mut said).expect("text");
    let status = child.wait().expect("the binary ends");
    assert_eq!(said, "");
    assert_eq!(status.code(), Some(expected));
}
