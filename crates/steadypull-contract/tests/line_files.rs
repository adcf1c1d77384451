//! Lines measured in tests, from files of their own: what a plan makes of them.

use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;

use proptest::prelude::*;
use serde_json::json;
use steadypull_contract::answer::{Answer, Chance, FitVerdict, Severity, SpeedChances};
use steadypull_contract::operation::{
    CarriesLines, Edit, EditRequest, LayOut, LiveRequest, OpenAsRig, PlanRequest, ReplayRequest,
    SetValue, edit, lay_out, live, open_as_rig, replay,
};
use steadypull_contract::plan_file::{
    LineFiles, ParsedPlan, Plan, PlanProblems, check_line_file, read_plan, read_plan_with,
};
use steadypull_contract::study::Study;
use steadypull_contract::{ChanceOptions, ChanceRuns, answer_plan, chance};
use steadypull_engine::plan::{Line, Part};

/// An invented line file.
const LINE: &str = include_str!("strap-dry.line.toml");

/// A plan whose line is `line`, for a pull by `method`.
fn plan(line: &str, method: &str) -> String {
    format!(
        r#"seed = 7
[casualty]
mass = "2.6 t"
sits_in = "clay"
sunk_to = "wheel"
[casualty.point.rear]
kind = "rated"
wll = "5 t"
[tug]
mass = "2.9 t"
surface = "dry-earth"
[tug.point.front]
kind = "rated"
wll = "5 t"
[line.strap]
{line}
[rig]
method = "{method}"
path = ["casualty.rear", "strap", "tug.front"]
"#
    )
}

const NAMED: &str = "file = \"strap-dry.line.toml\"";
/// The same line stated in the plan.
const STATED: &str = "material = \"nylon-webbing\"\nlength = \"9 m\"\nmbs = \"90 kN\"\n\
    stretch = [[\"4 %\", \"15 %\"], [\"10 %\", \"45 %\"], [\"19 %\", \"100 %\"]]\n\
    energy_return = \"66 %\"\nset = \"8 %\"\ncondition = \"new\"";

fn files(line: &str) -> LineFiles {
    LineFiles::from(&carried(line))
}

fn carried(line: &str) -> BTreeMap<String, String> {
    BTreeMap::from([("strap-dry.line.toml".to_string(), line.to_string())])
}

fn read(plan: &str, line: &str) -> Result<Plan, PlanProblems> {
    read_plan((plan, &files(line)))
}

fn sound(plan: &str, line: &str) -> Plan {
    read(plan, line).unwrap_or_else(|e| panic!("{}", e.report("plan.toml", plan)))
}

fn strap(plan: &Plan) -> &Line {
    match plan.kit.part("strap") {
        Some(Part::Line(line)) => line,
        other => panic!("no line: {other:?}"),
    }
}

fn answered(plan: &str, line: &str) -> Answer {
    answer_plan(&sound(plan, line)).expect("an answer")
}

/// The report on the mistakes of a plan that names `line`.
fn mistakes(named: &str, line: &str) -> String {
    let text = plan(named, "steady-tow");
    let report = read(&text, line).expect_err("a mistake");
    let report = report.report("plan.toml", &text);
    report.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `LINE` with one piece replaced.
fn with(from: &str, to: &str) -> String {
    assert!(LINE.contains(from), "{from}");
    LINE.replacen(from, to, 1)
}

/// How the numbers of `LINE` go together, invented.
const CORRELATED: [&str; 3] = [
    "stretch.energy_return = -0.62",
    "stretch.set = 0.31",
    "energy_return.set = 0.18",
];

/// `LINE` with these pairs under `[correlation]`, which is its line 17.
fn pairs(pairs: &[&str]) -> String {
    with(
        "[fit]",
        &format!("[correlation]\n{}\n\n[fit]", pairs.join("\n")),
    )
}

/// A line file with `pairs` that read.
fn correlated() -> String {
    pairs(&CORRELATED)
}

#[test]
fn a_line_from_its_file_is_the_line_stated() {
    let stated = read_plan(&plan(STATED, "kinetic")).expect("a plan");
    let named = sound(&plan(NAMED, "kinetic"), LINE);
    assert_eq!(strap(&named), strap(&stated));
    let loads = |plan: &Plan| answer_plan(plan).expect("an answer").load_path;
    assert_eq!(loads(&named), loads(&stated));
    // What wears it since the tests comes off it still.
    let worn = sound(
        &plan(&format!("{NAMED}\ncondition = \"used\""), "kinetic"),
        LINE,
    );
    assert_eq!(strap(&worn).condition.wear, 0.3);
}

#[test]
fn the_answer_says_where_the_line_comes_from() {
    let answer = answered(&plan(NAMED, "steady-tow"), LINE);
    let [tested] = &answer.plan.tested[..] else {
        panic!("{:?}", answer.plan.tested);
    };
    assert_eq!((&tested.line[..], tested.pulls), ("strap", 2));
    assert_eq!(tested.date, "2031-05-14");
    assert_eq!(
        (tested.data_to_share, tested.verdict),
        (0.45, FitVerdict::Apart)
    );
    // SHA-256 of the invented file, by sha256sum (GNU coreutils 9.1).
    assert_eq!(tested.sha256, LINE_SHA256);
    let note = answer.findings.iter().find(|f| f.code == "line-from-tests");
    let note = note.expect("a note");
    for words in [
        "2 pulls of 2031-05-14",
        "up to 45.0 %",
        "strap-dry.line.toml",
    ] {
        assert!(note.message.contains(words), "{}", note.message);
    }
    let inputs = answer.plan.inputs.join("\n");
    assert!(
        inputs.contains("line strap: measured on 2031-05-14 in 2 pulls"),
        "{inputs}"
    );
    let keys: Vec<&str> = answer.plan.spreads.iter().map(|s| &s.key[..]).collect();
    assert_eq!(
        keys,
        [
            "line.strap.stretch",
            "line.strap.energy_return",
            "line.strap.set"
        ]
    );
    let stated = answer_plan(&read_plan(&plan(STATED, "steady-tow")).expect("a plan"));
    assert!(stated.expect("an answer").plan.tested.is_empty());
}

const LINE_SHA256: &str = "e180e602d31324ce5b6925c3d2c11296505a761bb82fafe83d3514e60a284fa0";

#[test]
fn what_the_tests_cannot_say_is_a_finding() {
    let found = |line: &str, code: &str| {
        let answer = answered(&plan(NAMED, "kinetic"), line);
        let found = answer.findings.into_iter().find(|f| f.code == code);
        found.map(|f| (f.severity, f.message))
    };
    // The pull loads it to more than 10 %, and to less than 99 %.
    let beyond = found(
        &with("data_to = \"45 %\"", "data_to = \"10 %\""),
        "beyond-line-data",
    );
    let (severity, message) = beyond.expect("loads beyond the data");
    assert_eq!(severity, Severity::Warning);
    assert!(message.contains("the tests went to 10.0 %"), "{message}");
    let within = with("data_to = \"45 %\"", "data_to = \"99 %\"");
    assert_eq!(found(&within, "beyond-line-data"), None);

    let overdue = with("overdue = false", "overdue = true");
    let (_, message) = found(&overdue, "line-cell-not-vouched-for").expect("a cell overdue");
    assert!(
        message.contains("certificate of yard had run out"),
        "{message}"
    );
    let no_cell = with("cell = \"yard\"\noverdue = false\n", "");
    let (_, message) = found(&no_cell, "line-cell-not-vouched-for").expect("no cell");
    assert!(message.contains("the loads of one pull"), "{message}");
    assert_eq!(found(LINE, "line-cell-not-vouched-for"), None);

    let used = with("[tests]", "[tests]\ncondition = \"used\"")
        .replace("set = \"8 %\"", "set = \"8 %\"\nwet = true");
    let (severity, message) = found(&used, "strength-as-stated").expect("a worn line");
    assert_eq!(severity, Severity::Warning);
    assert!(message.contains("tested used and wet"), "{message}");
    assert_eq!(found(LINE, "strength-as-stated"), None);

    let leaning = with("verdict = \"apart\"", "verdict = \"leaning\"");
    let open = with("verdict = \"apart\"", "verdict = \"open\"");
    let severity = |line| found(line, "line-not-told-apart").map(|found| found.0);
    assert_eq!(severity(LINE), None);
    assert_eq!(severity(&leaning), Some(Severity::Note));
    assert_eq!(severity(&open), Some(Severity::Warning));
    let held = with("program =", "held = [\"set\"]\nprogram =");
    let (_, message) = found(&held, "line-from-tests").expect("a note");
    assert!(message.contains("set held, not measured"), "{message}");
}

#[test]
fn nothing_is_stated_twice() {
    for key in [
        "material = \"hmpe\"",
        "length = \"9 m\"",
        "mbs = \"9 t\"",
        "stretch = \"18 %\"",
        "energy_return = \"70 %\"",
        "set = \"10 %\"",
        "rate = { stiffness_ratio = 1.2, relaxation = \"1 s\" }",
    ] {
        let said = mistakes(&format!("{NAMED}\n{key}"), LINE);
        let name = key.split(' ').next().unwrap_or_default();
        let wanted = format!("line.strap.{name} stands in the line file too");
        assert!(said.contains(&wanted), "{said}");
        assert!(said.contains("plan.toml:17:"), "{said}");
        assert!(said.contains("1 mistake in plan.toml"), "{said}");
    }
    // Tested wet: what water takes off must not come off twice.
    let wet = with("set = \"8 %\"", "set = \"8 %\"\nwet = true");
    let said = mistakes(&format!("{NAMED}\nwet = true"), &wet);
    assert!(
        said.contains("line.strap.wet stands in the line file too"),
        "{said}"
    );
    assert!(sound(&plan(&format!("{NAMED}\nwet = true"), "steady-tow"), LINE).tested[0].pulls == 2);
    let tested_wet = sound(&plan(NAMED, "steady-tow"), &wet);
    assert!(tested_wet.tested[0].wet && !strap(&tested_wet).condition.wet);
}

#[test]
fn a_line_file_that_is_none_is_told_where_the_plan_names_it() {
    let said = mistakes("file = \"other.line.toml\"", LINE);
    assert!(
        said.contains("plan.toml:16:8: line.strap.file names other.line.toml, and no"),
        "{said}"
    );
    let text = plan(NAMED, "steady-tow");
    let gone = LineFiles::fetched(&text, |name| Err(format!("{name} is gone")));
    let report = read_plan((&text[..], &gone)).expect_err("gone");
    assert!(
        report.problems[0]
            .message
            .ends_with("strap-dry.line.toml is gone")
    );
    for name in [
        "../a.line.toml",
        "/a.line.toml",
        "a.toml",
        "A.line.toml",
        "a/b.line.toml",
        "",
    ] {
        let said = mistakes(&format!("file = \"{name}\""), LINE);
        assert!(said.contains("is no name of a line file"), "{name}: {said}");
        assert_eq!(said.matches("line.strap.file").count(), 1, "{said}");
    }
    let said = mistakes("file = 3", LINE);
    assert!(said.contains("line.strap.file is a bare number"), "{said}");
}

#[test]
fn mistakes_in_a_line_file_have_its_name_line_and_column() {
    for (from, to, wanted) in [
        (
            "length = \"9 m\"",
            "length = 9",
            "line 5, column 10: line.length is a bare number",
        ),
        (
            "length = \"9 m\"",
            "lenght = \"9 m\"",
            "line 5, column 1: unknown key \"lenght\"",
        ),
        ("set = \"8 %\"\n", "", "line.set is missing"),
        (
            "set = \"8 %\"",
            "set = \"7 % to 9 %\"",
            "line 9, column 7: line.set is a spread",
        ),
        (
            "[\"10 %\", \"45 %\"]",
            "[\"3 %\", \"45 %\"]",
            "line.stretch is no curve",
        ),
        (
            "[\"64 %\", \"67 %\"]",
            "[\"67 %\", \"68 %\"]",
            "does not hold the line's own value",
        ),
        (
            "[\"64 %\", \"67 %\"]",
            "[\"67 %\", \"64 %\"]",
            "does not hold the line's own value",
        ),
        (
            "[\"64 %\", \"67 %\"]",
            "[\"64 %\"]",
            "interval.energy_return is no interval",
        ),
        (
            "set = [\"7.5 %\"",
            "relaxation = [\"1 s\", \"2 s\"]\nset = [\"7.5 %\"",
            "is of a rate, and [line] has none",
        ),
        (
            "confidence = \"95 %\"",
            "confidence = \"2 %\"",
            "interval.confidence is out of range",
        ),
        (
            "verdict = \"apart\"",
            "verdict = \"apert\"",
            "did you mean \"apart\"?",
        ),
        (
            "date = \"2031-05-14\"",
            "date = \"2031-02-30\"",
            "no day of the calendar",
        ),
        ("358b", "358", "tests.pull.dry-2.sha256 is no SHA-256"),
        (
            "overdue = false\n",
            "",
            "tests.pull.dry-1.overdue is missing",
        ),
        (
            "[interval]",
            "[intervall]",
            "line 11, column 2: unknown key \"intervall\"",
        ),
        (
            "title = \"One strap\"",
            "title = \"One strap",
            "closing quote is missing",
        ),
    ] {
        let said = mistakes(NAMED, &with(from, to));
        assert!(said.contains(wanted), "{from} -> {to}: {said}");
        assert!(
            said.contains("plan.toml:16:8: line.strap.file names strap-dry.line.toml, line "),
            "{said}"
        );
    }
    assert!(mistakes(NAMED, "").contains("the table [line] is missing"));
    assert!(mistakes(NAMED, &"# long\n".repeat(60_000)).contains("too long"));
    let none = LINE
        .find("[tests.pull")
        .map(|at| &LINE[..at])
        .unwrap_or_default();
    assert!(mistakes(NAMED, none).contains("tests.pull names no pull"));
}

#[test]
fn mistakes_in_how_numbers_go_together_have_their_place() {
    let [first, second, third] = CORRELATED;
    for (said, wanted) in [
        (
            vec![first, second, "energy_return.sett = 0.18"],
            "line 20, column 15: unknown key \"sett\" in [correlation.energy_return]",
        ),
        (
            vec![first, second, third, "mbs.set = 0.2"],
            "line 21, column 1: unknown key \"mbs\" in [correlation]",
        ),
        (
            vec![first, second, third, "set.set = 1.0"],
            "line 21, column 5: unknown key \"set\" in [correlation.set]",
        ),
        (
            vec!["stretch.energy_return = -1.02", second, third],
            "line 18, column 25: correlation.stretch.energy_return is out of range",
        ),
        (
            vec!["stretch.energy_return = nan", second, third],
            "line 18, column 25: correlation.stretch.energy_return is no finite number",
        ),
        (
            vec!["stretch.energy_return = \"-0.6\"", second, third],
            "line 18, column 25: correlation.stretch.energy_return is a text in quotes",
        ),
        (
            vec![
                "stretch.energy_return = { low = 0.1, high = 0.2 }",
                second,
                third,
            ],
            "line 18, column 25: correlation.stretch.energy_return is a table",
        ),
        (
            vec![first, second, third, "set.stretch = 0.31"],
            "line 21, column 15: correlation.set.stretch stands here as stretch.set too",
        ),
        (
            vec![first, second, third, second],
            "line 21, column 9: this name or key stands here a second time",
        ),
        (
            vec![first, second, third, "set.relaxation = 0.1"],
            "line 21, column 18: correlation.set.relaxation is of a number without an interval: \
             relaxation",
        ),
        (
            vec![first, third],
            "line 18, column 1: correlation.stretch.set is missing",
        ),
        (vec![], "correlation.stretch.energy_return is missing"),
        (
            vec!["stretch = 0.3", third],
            "line 18, column 11: correlation.stretch is a bare number",
        ),
        (
            vec![
                "stretch.energy_return = -0.9",
                "stretch.set = 0.9",
                "energy_return.set = 0.9",
            ],
            "line 17, column 1: correlation cannot be drawn from: these correlations cannot hold \
             together",
        ),
    ] {
        let told = mistakes(NAMED, &pairs(&said));
        let named = "line.strap.file names strap-dry.line.toml, ";
        assert!(told.contains(wanted), "{said:?}: {told}");
        assert!(told.contains(named), "{told}");
    }
    let list = with("[line]", "correlation = [0.1]\n[line]");
    assert!(mistakes(NAMED, &list).contains("line 2, column 15: correlation is a list"));
    // Of one number with an interval there is no pair.
    let alone = "energy_return = [\"64 %\", \"67 %\"]\nset = [\"7.5 %\", \"8.5 %\"]\n";
    let alone = with(alone, "").replace("[fit]", "[correlation]\n[fit]");
    let plan = sound(&plan(NAMED, "kinetic"), &alone);
    assert!(plan.tested[0].together.is_none() && plan.spreads.len() == 1);
}

/// A bell is as wide as the wider side of its interval: it never says too much.
#[test]
fn chance_draws_from_the_intervals() {
    let text = plan(NAMED, "kinetic");
    let plan = sound(&text, LINE);
    let quantile = |key: &str, level: f64| {
        let spread = plan.spreads.iter().find(|s| s.key == key);
        spread.expect(key).distribution.quantile(level)
    };
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
    let stretch = |level| quantile("line.strap.stretch", level);
    assert!(near(stretch(0.5), 0.19), "{}", stretch(0.5));
    // 18.6 % is further off than 19.2 %, in proportion: 19 x 19 / 18.6 stands at the other end.
    assert!(near(stretch(0.025), 0.186), "{}", stretch(0.025));
    assert!(
        near(stretch(0.975), 0.19 * 0.19 / 0.186),
        "{}",
        stretch(0.975)
    );
    let back = |level| quantile("line.strap.energy_return", level);
    assert!(near(back(0.025), 0.64) && near(back(0.975), 0.68));

    let options = ChanceOptions {
        runs: ChanceRuns::Count(64),
        drivers: false,
        ..ChanceOptions::default()
    };
    let lines = files(LINE);
    let never = AtomicBool::new(false);
    let told = chance((&text[..], &lines), &options, &mut |_| (), &never).expect("a study");
    for key in ["line.strap.stretch", "line.strap.energy_return"] {
        let variables: Vec<_> = told.variables.iter().filter(|v| v.key == key).collect();
        let [variable] = variables[..] else {
            panic!("{key}: {variables:?}");
        };
        assert!(!variable.assumed && variable.source.contains("strap-dry.line.toml"));
    }
    assert_eq!(told.plan.tested.len(), 1);
    assert!(told.findings.iter().any(|f| f.code == "line-from-tests"));
    // A line ten times as sure gives other draws.
    let sure = files(&with(
        "[\"18.6 %\", \"19.2 %\"]",
        "[\"18.97 %\", \"19.03 %\"]",
    ));
    let surer = chance((&text[..], &sure), &options, &mut |_| (), &never).expect("a study");
    assert_ne!(surer.peak_n, told.peak_n);
}

const NUMBERS: [&str; 3] = ["stretch", "energy_return", "set"];
/// Correlations of `CORRELATED`: stretch with energy return, stretch with set, the last two.
const TOGETHER: [f64; 3] = [-0.62, 0.31, 0.18];

#[test]
fn a_plan_says_whether_numbers_are_drawn_together() {
    for (line, together, words) in [
        (correlated(), true, "its ranges are drawn together"),
        (LINE.into(), false, "each of its ranges is drawn by itself"),
        // Nothing goes together here.
        (
            pairs(&[
                "stretch.energy_return = 0",
                "set.stretch = 0.0",
                "energy_return.set = 0.0",
            ]),
            false,
            "each of its ranges is drawn by itself",
        ),
    ] {
        let answer = answered(&plan(NAMED, "steady-tow"), &line);
        assert_eq!(answer.plan.tested[0].drawn_together, together);
        let note = answer.findings.iter().find(|f| f.code == "line-from-tests");
        let message = &note.expect("a note").message;
        assert!(message.contains(words), "{message}");
    }
    let leaning = correlated().replace("\"apart\"", "\"leaning\"");
    let answer = answered(&plan(NAMED, "kinetic"), &leaning);
    let note = answer
        .findings
        .iter()
        .find(|f| f.code == "line-not-told-apart");
    let help = &note.expect("a note").remedy;
    assert!(help.contains("draws them together"), "{help}");
}

/// A pair under either of its names, whole numbers and all, in any order.
#[test]
fn pairs_go_by_either_name() {
    let one = sound(&plan(NAMED, "kinetic"), &correlated());
    let turned = [
        "set.energy_return = 0.18",
        "set.stretch = 0.31",
        "energy_return.stretch = -0.62",
    ];
    let other = sound(&plan(NAMED, "kinetic"), &pairs(&turned));
    let [one, other] = [&one, &other].map(|plan| plan.tested[0].together.clone().expect("a set"));
    assert_eq!(one, other);
    assert_eq!(one.words, "line strap as measured");
    assert_eq!(one.keys, NUMBERS.map(|n| format!("line.strap.{n}")));
    let pairs = [(0, 1), (0, 2), (1, 2)];
    assert_eq!(pairs.map(|(a, b)| one.copula.between(a, b)), TOGETHER);
}

#[test]
fn what_is_drawn_together_has_one_share() {
    let study = |line: &str| {
        let (text, lines) = (plan(NAMED, "kinetic"), files(line));
        let options = ChanceOptions {
            runs: ChanceRuns::Count(128),
            ..ChanceOptions::default()
        };
        let never = AtomicBool::new(false);
        chance((&text[..], &lines), &options, &mut |_| (), &never).expect("a study")
    };
    let groups = |told: &Chance| {
        let of = told.variables.iter().filter(|v| v.key.starts_with("line."));
        of.map(|v| v.group.clone()).collect::<Vec<_>>()
    };
    let rows = |told: &Chance| {
        let peak = told.drivers.iter().find(|d| d.result == "greatest pull");
        let drivers = &peak.expect("drivers of the peak").drivers;
        let of = drivers.iter().filter(|d| d.what.contains("strap"));
        of.map(|d| d.what.clone()).collect::<Vec<_>>()
    };
    let together = study(&correlated());
    assert_eq!(groups(&together), ["line strap as measured"; 3]);
    assert_eq!(rows(&together), ["line strap as measured"]);
    let note = "Inputs are drawn independently, but for line strap as measured (drawn together)";
    assert!(
        together.notes.iter().any(|n| n.starts_with(note)),
        "{:?}",
        together.notes
    );

    let apart = study(LINE);
    let keys = NUMBERS.map(|n| format!("line.strap.{n}"));
    assert_eq!(groups(&apart), keys);
    let mut told = rows(&apart);
    told.sort();
    let mut keys = keys.to_vec();
    keys.sort();
    assert_eq!(told, keys);
    assert!(
        apart
            .notes
            .iter()
            .any(|n| n.starts_with("Inputs are drawn independently:"))
    );
    // Nothing that goes together is nothing that is drawn otherwise.
    let nothing = study(&pairs(&[
        "stretch.energy_return = 0.0",
        "stretch.set = 0.0",
        "energy_return.set = 0.0",
    ]));
    assert_eq!(
        (&nothing.peak_n, &nothing.drivers),
        (&apart.peak_n, &apart.drivers)
    );
    assert_ne!(together.peak_n, apart.peak_n);
    // Each by itself is what it was.
    for (a, b) in together.variables.iter().zip(&apart.variables) {
        assert_eq!(
            (&a.key, a.low, a.median, a.high),
            (&b.key, b.low, b.median, b.high)
        );
    }
}

/// The pull by probability draws the stretch and the energy return that were measured,
/// together where the file says how.
#[test]
fn the_window_goes_by_what_was_measured() {
    let chances = |line: &str| {
        let pull = answered(&plan(NAMED, "kinetic"), line).pull;
        pull.kinetic.expect("a pull").window.chances
    };
    let known = chances(LINE);
    let unsure = chances(&with("[\"18.6 %\", \"19.2 %\"]", "[\"12 %\", \"30 %\"]"));
    // At the highest speed a line that may be far stiffer lets go more often.
    let lets_go = |chances: &[SpeedChances]| chances.last().expect("a speed").lets_go;
    assert!(lets_go(&unsure).low > lets_go(&known).high);
    assert_ne!(known, chances(&correlated()));
}

#[test]
fn numbers_of_a_line_file_can_be_varied() {
    let text = plan(NAMED, "steady-tow");
    let lines = files(LINE);
    let parsed = ParsedPlan::new((&text[..], &lines)).expect("short");
    let listed = parsed.variables().expect("a plan");
    for key in ["length", "mbs", "stretch", "energy_return", "set"] {
        let key = format!("line.strap.{key}");
        assert!(listed.iter().any(|v| v.key == key && v.given), "{key}");
    }
    let set = [("line.strap.stretch".to_string(), 0.095)];
    let half = read_plan_with((&text[..], &lines), &set).expect("a plan");
    let points: Vec<_> = strap(&half).curve.points().collect();
    assert!(
        (points[1].0 - 0.02).abs() < 1e-12 && points[1].1 == 0.15,
        "{points:?}"
    );
    assert!(half.spreads.iter().all(|s| s.key != "line.strap.stretch"));
    // A study of it is another one where the line file is.
    let study = "plan = \"p\"\n[vary]\nline.strap.mbs = [\"8 t\", \"9 t\"]\n";
    let id = |line: &str| {
        let lines = files(line);
        let study = Study::new(study, (&text[..], &lines)).expect("a study");
        study.id().to_string()
    };
    assert_ne!(id(LINE), id(&with("66 %", "65 %")));
    assert_eq!(id(LINE), id(LINE));
}

#[test]
fn requests_carry_line_files() {
    let text = plan(NAMED, "steady-tow");
    let lines = carried(LINE);
    let asked = |lines: &BTreeMap<String, String>| EditRequest {
        plan: text.clone(),
        lines: lines.clone(),
        edits: Vec::new(),
        units: Default::default(),
    };
    let with = edit(&asked(&lines)).expect("a form");
    assert!(with.errors.is_empty(), "{:?}", with.errors);
    let without = edit(&asked(&BTreeMap::new())).expect("a form");
    assert_eq!(without.errors[0].key.as_deref(), Some("line.strap.file"));
    let field = with
        .form
        .fields
        .iter()
        .find(|f| f.path.join(".") == "line.strap.file");
    assert_eq!(
        field.expect("a field").written,
        json!("strap-dry.line.toml")
    );

    let lives = live(&LiveRequest {
        plan: plan(STATED, "steady-tow"),
        lines: lines.clone(),
        edits: vec![Edit::Set(SetValue {
            path: vec!["line".into(), "strap".into()],
            value: json!({ "file": "strap-dry.line.toml" }),
        })],
        units: Default::default(),
    });
    assert!(lives.errors.is_empty(), "{:?}", lives.errors);
    assert!(lives.findings.iter().any(|f| f.code == "line-from-tests"));

    let laid = lay_out(&LayOut {
        plan: text.clone(),
        lines: lines.clone(),
    });
    assert!(laid.expect("laid out").errors.is_empty());
    let opened = open_as_rig(&OpenAsRig {
        plan: text.clone(),
        lines: lines.clone(),
        method: steadypull_contract::answer::MethodName::Kinetic,
    });
    assert!(opened.expect("opened").errors.is_empty());
    let replayed = replay(&ReplayRequest {
        plan: text.clone(),
        lines: lines.clone(),
        rig: None,
        case: 0,
        flight: None,
        dampers: None,
        load_n: None,
        units: Default::default(),
    });
    assert!(replayed.is_ok(), "{replayed:?}");
}

#[test]
fn whoever_answers_adds_the_line_files_that_are_named() {
    let mut asked = PlanRequest {
        plan: plan(NAMED, "steady-tow"),
        lines: BTreeMap::from([("own.line.toml".into(), "mine".into())]),
        units: Default::default(),
    };
    asked.plan += "[bridle.b]\nfile = \"own.line.toml\"\n[line.up]\nfile = \"../up.line.toml\"\n";
    asked.add_lines(|name| Some(format!("theirs of {name}")));
    // What is carried holds, and nothing outside of the folder is asked for.
    let held: Vec<_> = asked.lines.iter().map(|(n, t)| (&n[..], &t[..])).collect();
    assert_eq!(
        held,
        [
            ("own.line.toml", "mine"),
            ("strap-dry.line.toml", "theirs of strap-dry.line.toml")
        ]
    );
    let mut edits = EditRequest {
        plan: plan(STATED, "steady-tow"),
        lines: BTreeMap::new(),
        edits: vec![Edit::Set(SetValue {
            path: vec!["line".into(), "strap".into()],
            value: json!({ "file": "new.line.toml", "knot": "none" }),
        })],
        units: Default::default(),
    };
    edits.add_lines(|name| Some(name.into()));
    assert_eq!(edits.lines.keys().collect::<Vec<_>>(), ["new.line.toml"]);
    // A request without line files is written as it always was.
    let bare = PlanRequest {
        plan: String::new(),
        lines: BTreeMap::new(),
        units: Default::default(),
    };
    let written = serde_json::to_value(&bare).expect("JSON");
    assert_eq!(written, json!({ "plan": "", "units": "metric" }));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever happens to a line file, it reads or says why, at the plan's key.
    #[test]
    fn any_line_file_reads_or_says_why(
        at in 0usize..LINE.len() + 90,
        cut in 0usize..60,
        put in "[ -~\n\u{e4}]{0,12}",
    ) {
        let line = correlated();
        let at = at.min(line.len());
        let from = (0..=at).rev().find(|i| line.is_char_boundary(*i)).unwrap_or(0);
        let to = (at + cut).min(line.len());
        let line = format!("{}{put}{}", &line[..from], &line[to..]);
        let text = plan(NAMED, "steady-tow");
        match read(&text, &line) {
            Ok(plan) => {
                prop_assert!(check_line_file("x", &line).is_ok());
                prop_assert!(strap(&plan).curve.strain_at_break().is_finite());
                for spread in &plan.spreads {
                    let ends = [0.001, 0.5, 0.999].map(|p| spread.distribution.quantile(p));
                    prop_assert!(ends.iter().all(|x| x.is_finite()), "{spread:?}");
                }
            }
            Err(problems) => {
                prop_assert!(check_line_file("x", &line).is_err());
                let key = Some("line.strap.file".to_string());
                prop_assert!(problems.problems.iter().all(|p| p.key == key), "{problems:?}");
            }
        }
    }
}
