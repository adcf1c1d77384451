//! Studies: what is varied, in which order, and what becomes a column.

use steadypull_contract::plan_file::PlanProblems;
use steadypull_contract::study::{Cell, Kind, Status, Study, StudyError};

/// A lowering answers soonest.
const PLAN: &str = include_str!("../../../examples/steep-bank-lowering.toml");

fn study(text: &str) -> Study<'static> {
    match Study::new(text, PLAN) {
        Ok(study) => study,
        Err(StudyError::Study(problems)) => panic!("{}", problems.report("study", text)),
        Err(other) => panic!("{other:?}"),
    }
}

fn problems(text: &str) -> PlanProblems {
    match Study::new(text, PLAN) {
        Err(StudyError::Study(problems)) => problems,
        other => panic!("{text}: {other:?}"),
    }
}

fn inputs(study: &Study, i: u64) -> Vec<f64> {
    study.row(i).inputs
}

const FEW: &str = "plan = \"p\"\nwant = [\"lowering.standoff_m\"]\n";

#[test]
fn lists_make_a_grid_the_first_changing_slowest() {
    let text = format!(
        "{FEW}[vary]\nlowering.grip = [0.3, 0.5]\n\
         \"casualty.mass\" = \"2.2 t to 2.6 t in 3 values\"\n"
    );
    let study = study(&text);
    assert_eq!((study.len(), study.runs()), (6, 1));
    let names: Vec<String> = study.columns().into_iter().map(|c| c.name).collect();
    let expected = [
        "index",
        "lowering.grip",
        "casualty.mass [kg]",
        "lowering.standoff_m",
        "status",
        "reason",
        "study",
    ];
    assert_eq!(names, expected);
    let all: Vec<Vec<f64>> = (0..6).map(|i| inputs(&study, i)).collect();
    let grid = [
        [0.3, 2200.0],
        [0.3, 2400.0],
        [0.3, 2600.0],
        [0.5, 2200.0],
        [0.5, 2400.0],
        [0.5, 2600.0],
    ];
    assert_eq!(all, grid);
}

#[test]
fn the_same_draws_are_made_at_each_point_of_the_grid() {
    for points in ["sobol", "latin-hypercube", "random"] {
        let text = format!(
            "{FEW}runs = 5\npoints = \"{points}\"\n[vary]\ncasualty.mass = \"2.2 t to 2.6 t\"\n\
             lowering.grip = \"0.3, 0.5\"\ntug.mass = {{ mean = \"2.8 t\", sd = \"0.1 t\" }}\n"
        );
        let study = study(&text);
        assert_eq!((study.len(), study.runs()), (10, 5));
        let (mut masses, mut tugs) = (Vec::new(), Vec::new());
        for draw in 0..5 {
            let [one, other] = [inputs(&study, draw), inputs(&study, 5 + draw)];
            assert_eq!((one[0], one[2]), (other[0], other[2]), "{points}");
            assert_eq!((one[1], other[1]), (0.3, 0.5));
            assert!((2200.0..=2600.0).contains(&one[0]));
            masses.push(one[0]);
            tugs.push(one[2]);
        }
        masses.sort_by(f64::total_cmp);
        masses.dedup();
        assert_eq!(masses.len(), 5, "{points}: {masses:?}");
        assert!(tugs.iter().any(|mass| *mass < 2800.0), "{points}: {tugs:?}");
    }
}

#[test]
fn a_lowering_is_swept_over_a_piece_of_its_way_and_its_turns() {
    let text = "plan = \"p\"\nwant = [\"lowering.greatest_design_n\", \
                \"lowering.pay_out.turns_needed\", \"lowering.belay.catches\"]\n\
                [vary]\nlowering.way.2.slope = \"20 deg to 35 deg in 4 values\"\n\
                lowering.main.turns = [2, 4]\n";
    let study = study(text);
    assert_eq!(study.len(), 8);
    let number = |row: u64, at: usize| match study.row(row).outputs[at] {
        Cell::Number(n) => n,
        ref other => panic!("{other:?}"),
    };
    let holds: Vec<f64> = (0..4).map(|i| number(2 * i, 0)).collect();
    assert!(holds.is_sorted_by(|a, b| a < b), "{holds:?}");
    for i in 0..4 {
        // What is asked of the holder does not go by its turns.
        assert_eq!(number(2 * i, 0), number(2 * i + 1, 0));
        assert_eq!(number(2 * i, 1), number(2 * i + 1, 1));
        assert!(number(2 * i, 2) == 1.0 || number(2 * i, 2) == 0.0);
    }
}

#[test]
fn spreads_of_the_plan_are_drawn_with_the_others_or_named() {
    let plan = PLAN.replacen("mass = \"2.4 t\"", "mass = \"2.3 t to 2.5 t\"", 1);
    let grid = format!("{FEW}[vary]\nlowering.grip = [0.3, 0.5]\n");
    let at_middle = Study::new(&grid, &plan).expect("a study");
    assert_eq!(at_middle.left_at_middle(), ["casualty.mass"]);
    assert_eq!(at_middle.inputs().len(), 1);
    let drawn = format!("runs = 4\n{grid}");
    let drawn = Study::new(&drawn, &plan).expect("a study");
    assert!(drawn.left_at_middle().is_empty());
    assert_eq!((drawn.inputs().len(), drawn.len()), (2, 8));
}

#[test]
fn outputs_go_by_their_path() {
    let text = "plan = \"p\"\nwant = [\"verdict.headline\", \"verdict.within_policy\", \
                \"load_path.links.greatest.load_n\", \"load_path.links.ironbark.load_n\", \
                \"load_path.links.1.name\", \"load_path.links.casualty.rear-left.load_n\", \
                \"options.ladder.kinetic.verdict\", \"weakest.design_factor\", \
                \"pull.kinetic.peak_force_n\", \"lowering.series.hold_n.greatest\", \
                \"load_path.links.no-such-part.load_n\", \"findings.critical\"]\n\
                [vary]\nlowering.grip = [0.4]\n";
    let study = study(text);
    let row = study.row(0);
    assert_eq!(row.status, Status::Ok, "{}", row.reason);
    let is_number = |at: usize| matches!(row.outputs[at], Cell::Number(n) if n > 0.0);
    assert!(matches!(&row.outputs[0], Cell::Text(text) if text.contains("ower")));
    assert!(matches!(row.outputs[1], Cell::Number(n) if n == 0.0 || n == 1.0));
    for at in [2, 3, 5, 7, 9] {
        assert!(is_number(at), "{at}: {:?}", row.outputs);
    }
    assert!(matches!(&row.outputs[4], Cell::Text(_)));
    assert!(matches!(&row.outputs[6], Cell::Text(_)));
    assert_eq!(
        (&row.outputs[8], &row.outputs[10]),
        (&Cell::Missing, &Cell::Missing)
    );
    assert!(matches!(row.outputs[11], Cell::Number(n) if n >= 0.0));
    let kinds: Vec<Kind> = study
        .columns()
        .into_iter()
        .map(|column| column.kind)
        .collect();
    assert_eq!(kinds[0], Kind::Whole);
    assert_eq!((kinds[2], kinds[3]), (Kind::Text, Kind::Number));
}

#[test]
fn the_usual_outputs_are_there_for_every_demo() {
    for (name, plan) in steadypull_contract::EXAMPLES {
        let text = "plan = \"p\"\n[vary]\npeople.crew = [3]\n";
        let study = Study::new(text, plan).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        let columns = study.columns();
        assert!(columns.len() > 20, "{name}: {columns:?}");
        assert!(
            columns
                .iter()
                .any(|column| column.name == "weakest.design_factor")
        );
    }
}

#[test]
fn the_documented_study_is_one() {
    let page = include_str!("../../../docs/sweeps.md");
    let (_, after) = page.split_once("```toml\n").expect("its start");
    let (text, _) = after.split_once("```").expect("its end");
    let (_, plan) = steadypull_contract::EXAMPLES
        .iter()
        .find(|(name, _)| text.contains(&format!("{name}.toml")))
        .expect("a demo plan");
    let study = match Study::new(text, plan) {
        Ok(study) => study,
        Err(StudyError::Study(problems)) => panic!("{}", problems.report("study", text)),
        Err(other) => panic!("{other:?}"),
    };
    assert_eq!((study.len(), study.runs()), (3 * 3 * 64, 64));
    assert_eq!(study.columns().len(), 1 + 3 + 4 + 3);
}

#[test]
fn a_point_that_makes_no_plan_says_why() {
    let text = format!("{FEW}[vary]\ntug.screen_height = [\"1 m\", \"3 m\"]\n");
    let study = study(&text);
    assert_eq!(study.row(0).status, Status::Ok);
    let refused = study.row(1);
    assert_eq!(refused.status, Status::Refused);
    assert!(
        refused
            .reason
            .contains("roof_height is not above screen_height"),
        "{refused:?}"
    );
    assert_eq!(refused.outputs, [Cell::Missing]);
    assert_eq!(refused.inputs, [3.0]);
}

#[test]
fn the_word_for_a_study_follows_all_that_changes_it() {
    let base = format!("{FEW}runs = 4\nseed = 1\n[vary]\ncasualty.mass = \"2.2 t to 2.6 t\"\n");
    let id = |text: &str| study(text).id().to_string();
    let first = id(&base);
    assert_eq!(
        first,
        id(&base.replace("plan = \"p\"", "plan = \"q\"   # renamed"))
    );
    for (from, to) in [
        ("runs = 4", "runs = 5"),
        ("seed = 1", "seed = 2"),
        ("2.6 t", "2.7 t"),
        ("standoff_m", "greatest_design_n"),
        ("seed = 1", "seed = 1\npoints = \"random\""),
    ] {
        assert_ne!(first, id(&base.replace(from, to)), "{to}");
    }
    let plan = format!("{PLAN}\n# another plan\n");
    let other = Study::new(&base, &plan).expect("a study");
    assert_ne!(first, other.id());
}

#[test]
fn mistakes_are_told_with_their_place() {
    let cases = [
        (
            "[vary]\ncasualty.mas = [\"2 t\"]",
            "\"casualty.mas\" is no number",
            "did you mean \"casualty.mass\"?",
        ),
        (
            "[vary]\ncasualty.mass = [2]",
            "casualty.mass is a bare number",
            "\"2 kg\"",
        ),
        (
            "[vary]\ncasualty.mass = \"2.6 kN\"",
            "casualty.mass is in kN",
            "",
        ),
        (
            "[vary]\ncasualty.mass = \"100 t\"",
            "has a value out of range",
            "",
        ),
        (
            "[vary]\ncasualty.mass = \"2 t to 100 t\"",
            "reaches out of range",
            "",
        ),
        (
            "[vary]\ncasualty.mass = \"2 t to 3 t in 1 values\"",
            "asks for 1 values",
            "",
        ),
        (
            "[vary]\ncasualty.mass = \"3 t to 2 t in 4 values\"",
            "is no range",
            "low end first",
        ),
        ("[vary]\ncasualty.mass = []", "has 0 values", ""),
        (
            "[vary]\nlowering.grip = \"0,5\"",
            "has a comma in its number",
            "0.5",
        ),
        (
            "[vary]\ncasualty.locked_wheels = \"0 to 2\"",
            "only one whole number",
            "",
        ),
        (
            "[vary]\ncasualty.locked_wheels = [1.5]",
            "is no whole number",
            "",
        ),
        (
            "[vary]\ncasualty.name = \"x\"",
            "is no number of this plan",
            "",
        ),
        ("[vary]\nseed = [1]\n\"seed\" = [2]", "second time", ""),
        ("[vary]\ncasualty = 3", "is no number of this plan", ""),
        (
            "want = [\"lowering.standof_m\"]\n[vary]\nseed = [1]",
            "no \"standof_m\" there",
            "standoff_m",
        ),
        (
            "want = [\"lowering\"]\n[vary]\nseed = [1]",
            "neither a number nor a word",
            "go on with",
        ),
        (
            "want = [\"load_path.links.greatest.name\"]\n[vary]\nseed = [1]",
            "load_path",
            "",
        ),
        (
            "want = [\"seed\"]\n[vary]\nseed = [1]",
            "no \"seed\" there",
            "--list",
        ),
        (
            "runs = 0\n[vary]\ncasualty.mass = \"2 t to 3 t\"",
            "runs is out of range",
            "",
        ),
        (
            "points = \"sobel\"\n[vary]\ncasualty.mass = \"2 t to 3 t\"",
            "not a known word",
            "sobol",
        ),
        (
            "ruins = 4\n[vary]\ncasualty.mass = \"2 t to 3 t\"",
            "unknown key \"ruins\"",
            "runs",
        ),
    ];
    for (text, message, hint) in cases {
        let text = format!("plan = \"p\"\n{text}\n");
        let report = problems(&text).report("study.toml", &text);
        let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(message), "{text}\n{report}");
        assert!(flat.contains(hint), "{text}\n{report}");
        assert!(report.starts_with("study.toml:"), "{report}");
        assert!(
            report.lines().all(|line| line.chars().count() <= 80),
            "{report}"
        );
    }
    for (text, message) in [
        ("plan = \"p\"\n", "nothing is varied"),
        (
            "plan = \"p\"\nruns = 3\n[vary]\nseed = [1, 2]\n",
            "nothing is drawn",
        ),
    ] {
        match Study::new(text, PLAN) {
            Err(StudyError::Whole(found)) => assert!(found.contains(message), "{found}"),
            other => panic!("{text}: {other:?}"),
        }
    }
}
