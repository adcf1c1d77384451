//! The tests area: every command on the demo, and on files that are wrong.

mod common;
#[path = "common/schema.rs"]
mod schema;

use std::path::{Path, PathBuf};

use common::{check_golden, check_page, code_for, file, folder, run, run_with};

/// The demo in a fresh folder.
fn demo(name: &str) -> PathBuf {
    let folder = folder(name);
    let ran = run(&["tests", "example", "-o", &path(&folder)]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("tests.toml"), "{}", ran.out);
    folder
}

fn path(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn in_folder(folder: &Path, name: &str) -> String {
    path(&folder.join(name))
}

/// Commands with their file in the demo and their schema.
const COMMANDS: [(&str, &str, &str); 5] = [
    ("look", "dry-1.csv", "tests-look"),
    ("read", "tests.toml", "tests-read"),
    ("fit", "tests.toml", "tests-fit"),
    ("compare", "tests.toml", "tests-compare"),
    ("plan", "day.toml", "tests-plan"),
];

/// Words in one line: where they are broken hangs on the folder in which this runs.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn golden_reports_of_the_demo() {
    let demo = demo("tests-golden");
    for (command, name, _) in COMMANDS {
        let ran = run(&["tests", command, &in_folder(&demo, name)]);
        assert_eq!(ran.code, 0, "{command}: {}{}", ran.out, ran.err);
        check_page(&ran.out);
        assert!(ran.out.is_ascii(), "{command}: {}", ran.out);
        assert!(ran.out.contains("\nCAUTIONS"), "{command}");
        // The folder differs from machine to machine.
        let report = ran.out.replace(&in_folder(&demo, name), name);
        check_golden(&format!("tests-{command}.txt"), &report);
    }
}

#[test]
fn every_object_keeps_its_schema_and_imperial_fits() {
    let demo = demo("tests-schema");
    for (command, name, schema) in COMMANDS {
        let file = in_folder(&demo, name);
        let ran = run(&["tests", command, &file, "--json"]);
        let object = ran.json();
        assert_eq!(schema::faults(schema, &object), [""; 0], "{command}");
        assert!(object["cautions"].as_array().is_some_and(|c| !c.is_empty()));
        if command != "look" {
            assert_eq!(ran.code, code_for(&object), "{command}");
        }
        let imperial = run(&["tests", command, &file, "--units", "imperial"]);
        check_page(&imperial.out);
        let again = run(&["tests", command, &file, "--json"]);
        assert!(ran.out == again.out, "{command}: two runs differ");
    }
    let read = run(&[
        "tests",
        "read",
        &in_folder(&demo, "tests.toml"),
        "--units",
        "imperial",
    ]);
    assert!(read.out.contains(" lbf"), "{}", read.out);
}

/// The report of a test day is printed as a document; what it is drawn from has a schema too.
#[test]
fn the_report_of_the_demo_keeps_its_schema() {
    struct Demo(Vec<steadypull_testday::ExampleFile>);
    impl steadypull_testday::Files for Demo {
        fn read(&self, name: &str) -> Result<Vec<u8>, String> {
            let file = self.0.iter().find(|file| file.name == name);
            file.map(|file| file.text.clone().into_bytes())
                .ok_or_else(|| "is not there".into())
        }
    }
    let demo = Demo(steadypull_testday::example().expect("the demo"));
    let text = demo.0[0].text.clone();
    let test = steadypull_contract::plan_file::read_tests(&text).expect("the demo's test file");
    let report = steadypull_testday::report(&test, ("tests.toml", text.as_bytes()), &demo);
    let mut object = serde_json::to_value(report.expect("a report")).expect("JSON");
    assert_eq!(schema::faults("tests-report", &object), [""; 0]);
    assert!(
        object["fit"]["lines"]
            .as_array()
            .is_some_and(|lines| !lines.is_empty())
    );
    assert!(object["read"]["pulls"][8]["footage"]["clock"].is_object());
    // It would tell what does not belong.
    object["drawn"][0]["levels"]["from_s"] = serde_json::Value::Null;
    object["read"]["pulls"][8]["footage"]["clock"]["shift"] = 1.into();
    assert_eq!(schema::faults("tests-report", &object).len(), 2);
}

#[test]
fn files_are_written_and_never_over_others() {
    let demo = demo("tests-written");
    let (recipe, line, sheet) = (
        in_folder(&demo, "guessed.toml"),
        in_folder(&demo, "strap-dry.line.toml"),
        in_folder(&demo, "sheet.csv"),
    );
    let commands = [
        ("look", "dry-1.csv", "-o", &recipe),
        ("fit", "tests.toml", "--use", &line),
        ("plan", "day.toml", "-o", &sheet),
    ];
    for (command, name, option, output) in commands {
        let file = in_folder(&demo, name);
        let ran = run(&["tests", command, &file, option, output]);
        assert_eq!(ran.code, 0, "{command}: {}", ran.err);
        assert!(ran.out.starts_with("wrote "), "{}", ran.out);
        let again = run(&["tests", command, &file, option, output]);
        assert_eq!(again.code, 1, "{command}");
        assert!(again.err.contains("--force"), "{}", again.err);
        assert_eq!(
            run(&["tests", command, &file, option, output, "--force"]).code,
            0
        );
    }
    // The guessed recipe reads the logs as the demo's own does.
    let text = std::fs::read_to_string(demo.join("tests.toml")).expect("the test file");
    let guessed = file(
        &demo,
        "guessed-tests.toml",
        text.replace("logger.toml", "guessed.toml").as_bytes(),
    );
    let peak = |file: &str| {
        run(&["tests", "read", file, "--pull", "dry-1", "--json"]).json()["pulls"][0]["readings"]
            .clone()
    };
    assert_eq!(peak(&guessed), peak(&in_folder(&demo, "tests.toml")));
    assert!(
        run(&["tests", "example", "-o", &path(&demo)]).code == 1,
        "nothing is written over"
    );
}

/// The first demo plan, its kinetic line taken from the line file beside it.
fn naming_the_line(demo: &Path) -> String {
    let plan = std::fs::read_to_string(common::demo()).expect("a demo plan");
    let stated = "material = \"nylon-webbing\"\nkinetic = true\nlength = \"9 m\"\n\
                  mbs = \"9 t\"                       # 3 x the gross mass of the lighter vehicle\n\
                  condition = \"used\"\n";
    assert!(plan.contains(stated));
    let named = plan.replacen(stated, "file = \"strap-dry.line.toml\"\n", 1);
    file(demo, "plan.toml", named.as_bytes())
}

/// Every command on a plan finds the line file beside it, and says that it is used.
#[test]
fn a_plan_names_the_line_that_was_fitted() {
    let demo = demo("tests-use");
    let (tests, line) = (
        in_folder(&demo, "tests.toml"),
        in_folder(&demo, "strap-dry.line.toml"),
    );
    let plan = naming_the_line(&demo);
    let missing = run(&["check", &plan]);
    assert_eq!(missing.code, 1);
    let said = flat(&missing.err);
    assert!(
        said.contains("there is no such file beside the plan"),
        "{said}"
    );

    assert_eq!(run(&["tests", "fit", &tests, "--use", &line]).code, 0);
    let checked = run(&["check", &plan, "--json"]).json();
    assert_eq!(schema::faults("answer", &checked), [""; 0]);
    assert_eq!(checked["plan"]["tested"][0]["file"], "strap-dry.line.toml");
    assert_eq!(checked["plan"]["tested"][0]["pulls"], 3);
    let from_tests = |object: &serde_json::Value| {
        let findings = object["findings"].as_array().expect("findings");
        findings.iter().any(|f| f["code"] == "line-from-tests")
    };
    for command in ["check", "load-path", "dampers"] {
        assert!(
            from_tests(&run(&[command, &plan, "--json"]).json()),
            "{command}"
        );
    }
    let report = run(&["check", &plan]).out;
    assert!(report.contains("strap-dry.line.toml"), "{report}");
    check_page(&report);
    let chances = run(&["chance", &plan, "--runs", "64", "--json"]).json();
    assert_eq!(schema::faults("chance", &chances), [""; 0]);
    assert!(from_tests(&chances));
    let page = in_folder(&demo, "brief.html");
    assert!(matches!(run(&["brief", &plan, "-o", &page]).code, 0 | 3));
    let page = std::fs::read_to_string(&page).expect("the brief");
    assert!(page.contains("strap-dry.line.toml"), "the brief says it");

    // A table of one line is no table of another, though the plan has not changed.
    let table = in_folder(&demo, "table.csv");
    let swept = [
        "sweep",
        &plan,
        "--vary",
        "tug.mass=2.8 t, 2.9 t",
        "-o",
        &table,
    ];
    assert_eq!(run(&swept).code, 0);
    assert_eq!(run(&swept).code, 0, "the same again");
    let text = std::fs::read_to_string(&line).expect("the line file");
    let less = |line: &str| match line {
        line if line.starts_with("energy_return = \"") => "energy_return = \"68 %\"".into(),
        line if line.starts_with("energy_return = [") => {
            "energy_return = [\"67.5 %\", \"68.5 %\"]".into()
        }
        line => line.to_string(),
    };
    let other: Vec<String> = text.lines().map(less).collect();
    let other = other.join("\n");
    assert_ne!(other, text);
    file(&demo, "strap-dry.line.toml", other.as_bytes());
    let mixed = run(&swept);
    assert_eq!(mixed.code, 1, "{}", mixed.out);

    // A broken one is told at the plan's key, with its own place.
    file(
        &demo,
        "strap-dry.line.toml",
        text.replace("length = \"9 m\"", "length = 9").as_bytes(),
    );
    let broken = run(&["check", &plan]);
    let said = flat(&broken.err);
    assert!(
        said.contains("names strap-dry.line.toml, line 8, column 10: line.length"),
        "{said}"
    );
    // However long the folder is in which this runs.
    check_page(&broken.err.replace(&plan, "plan.toml"));
}

#[test]
fn a_line_file_holds_one_line_under_a_name_that_plans_can_give() {
    let demo = demo("tests-use-which");
    let tests = in_folder(&demo, "tests.toml");
    for name in ["line.toml", "Strap.line.toml", ".line.toml"] {
        let ran = run(&["tests", "fit", &tests, "--use", &in_folder(&demo, name)]);
        assert_eq!(ran.code, 2, "{name}: {}", ran.err);
    }
    let text = std::fs::read_to_string(&tests).expect("the test file");
    let wet = "[fit.strap-wet]\npulls = [\"wet-1\", \"wet-2\"]\nmaterial = \"nylon-webbing\"\n\
               length = \"9 m\"\nmbs = \"9 t\"\n";
    let two = file(&demo, "two.toml", format!("{text}\n{wet}").as_bytes());
    let line = in_folder(&demo, "wet.line.toml");
    let which = run(&["tests", "fit", &two, "--use", &line]);
    assert_eq!(which.code, 1);
    assert!(
        flat(&which.err).contains("--fit: strap-dry, strap-wet"),
        "{}",
        which.err
    );
    let none = run(&["tests", "fit", &two, "--fit", "strap"]);
    assert!(
        none.code == 1 && flat(&none.err).contains("strap-dry, strap-wet"),
        "{}",
        none.err
    );
    let ran = run(&["tests", "fit", &two, "--use", &line, "--fit", "strap-wet"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let written = std::fs::read_to_string(&line).expect("the line file");
    assert!(written.contains("name = \"strap-wet\"") && written.contains("wet = true"));
    assert!(!ran.out.contains("LINE strap-dry"), "{}", ran.out);
}

#[test]
fn what_is_in_the_way_is_told_with_exit_code_1() {
    let demo = demo("tests-wrong");
    std::fs::remove_file(demo.join("dry-2.csv")).expect("a log to lose");
    let tests = in_folder(&demo, "tests.toml");
    let ran = run(&["tests", "read", &tests]);
    assert_eq!(ran.code, 1);
    assert!(
        flat(&ran.err).contains("dry-2.csv: there is no such file beside the test file"),
        "{}",
        ran.err
    );
    check_page(&ran.err.replace(&tests, "tests.toml"));
    let errors = run(&["tests", "read", &tests, "--json"]);
    assert_eq!(errors.code, 1);
    assert_eq!(schema::faults("errors", &errors.json()), [""; 0]);
    assert_eq!(errors.json()["errors"][0]["file"], "dry-2.csv");
    let broken = file(
        &demo,
        "broken.toml",
        b"title = \"x\"\ndate = \"2031-02-30\"\n[pull.a]\nlogg = 3\n",
    );
    let ran = run(&["tests", "compare", &broken]);
    assert_eq!(ran.code, 1);
    let said = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["no day of the calendar", "logg", "broken.toml:2:8"] {
        assert!(said.contains(words), "{words}: {}", ran.err);
    }
    assert_eq!(
        run(&["tests", "look", &in_folder(&demo, "none.csv")]).code,
        1
    );
    let empty = file(&demo, "empty.csv", b"");
    let said = run(&["tests", "look", &empty]).err;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("there is nothing in the file"), "{said}");
    assert_eq!(run(&["tests"]).code, 2);
}

/// A file that is not there, or holds nothing, is met with how to get a test day, not a plan.
#[test]
fn hints_name_the_demo_of_the_tests_area() {
    let demo = demo("tests-hints");
    let nothing = file(&demo, "nothing.toml", b" \n");
    for command in ["read", "fit", "compare", "plan"] {
        for name in [in_folder(&demo, "none.toml"), nothing.clone()] {
            let said = run(&["tests", command, &name]).err;
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(said.contains("`steadypull tests example"), "{said}");
            assert!(!said.contains("`steadypull example"), "{said}");
        }
    }
    assert!(
        run(&["check", &nothing])
            .err
            .contains("`steadypull example")
    );
}

#[test]
fn a_measured_peak_above_its_prediction_ends_in_3() {
    let demo = demo("tests-critical");
    let text = std::fs::read_to_string(demo.join("tests.toml")).expect("the test file");
    let low = text.replace("peak = \"38 kN\"", "peak = \"20 kN\"");
    assert_ne!(text, low);
    let low = file(&demo, "low.toml", low.as_bytes());
    let ran = run(&["tests", "compare", &low]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    assert!(ran.out.contains("CRITICAL"), "{}", ran.out);
}

/// The report is written in both forms, twice the same, and refuses in words what it cannot do.
#[test]
fn a_report_is_written_that_can_be_repeated() {
    let demo = demo("tests-report");
    let tests = in_folder(&demo, "tests.toml");
    for (ending, start) in [("html", &b"<!DOCTYPE html>"[..]), ("pdf", b"%PDF-")] {
        let written = |name: &str| {
            let output = in_folder(&demo, &format!("{name}.{ending}"));
            let ran = run(&["tests", "report", &tests, "-o", &output]);
            assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
            assert!(ran.out.starts_with("wrote "), "{}", ran.out);
            check_page(&ran.out);
            std::fs::read(&output).expect("the report")
        };
        let first = written("first");
        assert!(first.starts_with(start));
        assert!(first == written("second"), "{ending}: two runs differ");
        let again = in_folder(&demo, &format!("first.{ending}"));
        let ran = run(&["tests", "report", &tests, "-o", &again]);
        assert!(ran.code == 1 && ran.err.contains("--force"), "{}", ran.err);
        let forced = ["tests", "report", &tests, "-o", &again, "--force", "--json"];
        let object = run(&forced).json();
        assert_eq!(schema::faults("written", &object), [""; 0]);
        assert_eq!(object["written"][0]["kind"], ending);
    }
    let refused = |output: &str| run(&["tests", "report", &tests, "-o", output]);
    let odd = refused(&in_folder(&demo, "report.docx"));
    assert!(
        odd.code == 2 && flat(&odd.err).contains("NAME.pdf or NAME.html"),
        "{}",
        odd.err
    );
    let nowhere = refused(&in_folder(&demo, "none/report.pdf"));
    assert!(nowhere.code == 1 && flat(&nowhere.err).contains("its folder is not there"));
    std::fs::remove_file(demo.join("wet-3.csv")).expect("a log to lose");
    let lost = refused(&in_folder(&demo, "lost.pdf"));
    assert!(lost.code == 1 && flat(&lost.err).contains("wet-3.csv: there is no such file"));
    assert!(!demo.join("lost.pdf").exists());
}

/// A report with a critical finding is written, says so first, and ends in 3.
#[test]
fn a_critical_report_is_written_and_ends_in_3() {
    let demo = demo("tests-report-critical");
    let text = std::fs::read_to_string(demo.join("tests.toml")).expect("the test file");
    let low = text.replace("peak = \"38 kN\"", "peak = \"20 kN\"");
    let low = file(&demo, "low.toml", low.as_bytes());
    let output = in_folder(&demo, "low.html");
    let ran = run(&["tests", "report", &low, "-o", &output]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    assert!(ran.out.contains("CRITICAL"), "{}", ran.out);
    let page = std::fs::read_to_string(&output).expect("the report");
    assert!(page.contains("<h2 id=\"verdict\">CRITICAL: READ THIS FIRST</h2>"));
}

#[test]
fn files_come_on_standard_input_too() {
    let demo = demo("tests-stdin");
    let day = std::fs::read_to_string(demo.join("day.toml")).expect("the day file");
    let typed = day.replace("plan = \"strap.toml\"", "standoff = \"60 m\"");
    let ran = run_with(&["tests", "plan", "-"], typed.as_bytes());
    assert!(ran.code == 0 && flat(&ran.out).contains("as the day file states it"));
    // Nothing lies beside standard input but what lies here.
    let ran = run_with(&["tests", "plan", "-"], day.as_bytes());
    assert!(
        ran.code == 1 && ran.err.contains("strap.toml"),
        "{}",
        ran.err
    );
    let log = std::fs::read(demo.join("wet-1.csv")).expect("a log");
    let ran = run_with(&["tests", "look", "-"], &log);
    assert!(
        ran.code == 0 && ran.out.contains("RECIPE"),
        "{}{}",
        ran.out,
        ran.err
    );
}
