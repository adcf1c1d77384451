//! Files that are missing, wrong or hard to read, and gear that is overdue.

mod common;

use common::{Folder, read, troubles};
use steadypull_contract::answer::Severity;
use steadypull_contract::plan_file::read_tests;
use steadypull_testday::{Drawing, compare, fit, levels, read as read_pulls, report};

#[test]
fn a_missing_log_and_a_missing_recipe_are_told_together() {
    let mut folder = Folder::demo();
    folder.0.remove("dry-2.csv");
    folder.0.remove("wet-4.csv");
    let found = troubles(read_pulls(&folder.tests(), None, &folder));
    let about: Vec<&str> = found.iter().map(|t| &t.about[..]).collect();
    assert_eq!(about, ["dry-2.csv", "wet-4.csv"]);
    assert!(found[0].hint.as_deref().unwrap().contains("pull.dry-2"));
    folder.0.remove("logger.toml");
    assert!(
        troubles(read_pulls(&folder.tests(), None, &folder))
            .iter()
            .all(|t| t.about == "logger.toml")
    );
}

#[test]
fn a_log_that_is_another_file_is_refused() {
    let folder = Folder::demo();
    let hash = read_pulls(&folder.tests(), Some("dry-1"), &folder)
        .unwrap()
        .pulls[0]
        .log
        .sha256
        .clone();
    let stated = |hash: &str| {
        folder.tests_with(
            "log = \"dry-1.csv\"",
            &format!("log = \"dry-1.csv\"\nsha256 = \"{hash}\""),
        )
    };
    let good = read_pulls(&stated(&hash), Some("dry-1"), &folder).unwrap();
    assert!(good.pulls[0].log.checked);
    let other = hash.replace(&hash[..1], if &hash[..1] == "0" { "1" } else { "0" });
    let found = troubles(read_pulls(&stated(&other), Some("dry-1"), &folder));
    assert!(found[0].message.contains(&hash), "{found:?}");
}

#[test]
fn an_overdue_cell_is_a_warning_and_its_numbers_stand() {
    let folder = Folder::demo();
    let test = folder.tests_with("due = 2031-11-30", "due = 2031-05-13");
    let answer = read_pulls(&test, Some("dry-1"), &folder).unwrap();
    assert!(answer.pulls[0].cell.as_ref().unwrap().overdue);
    let found = answer
        .findings
        .iter()
        .find(|f| f.code == "cell-overdue")
        .unwrap();
    assert_eq!(found.severity, Severity::Warning);
    assert!(found.message.contains("EF-0417") && found.message.contains("2031-05-13"));
    let on_the_day = folder.tests_with("due = 2031-11-30", "due = 2031-05-14");
    let answer = read_pulls(&on_the_day, Some("dry-1"), &folder).unwrap();
    assert!(answer.findings.iter().all(|f| f.code != "cell-overdue"));
}

#[test]
fn a_clipped_log_has_no_interval_and_is_left_out() {
    let mut folder = Folder::demo();
    folder.change_loads("dry-3.csv", |_, load| load.min(30.0));
    let answer = read_pulls(&folder.tests(), Some("dry-3"), &folder).unwrap();
    let peak = &answer.pulls[0].readings.peak_n;
    assert!(
        peak.low.is_none() && peak.no_interval.as_ref().unwrap().contains("range"),
        "{peak:?}"
    );
    assert!(
        answer.findings.iter().any(|f| f.code == "clipped"),
        "{:#?}",
        answer.findings
    );
    let compared = compare(&folder.tests(), &folder).unwrap();
    assert_eq!(compared.compared[0].setups[0].pulls, 4);
    assert!(compared.findings.iter().any(|f| f.code == "pulls-left-out"));
    let found = troubles(fit(&folder.tests(), &folder));
    assert!(found[0].message.contains("end of its range"), "{found:?}");
}

/// One log with a pull and, long after, another.
#[test]
fn of_two_pulls_in_one_log_none_is_guessed() {
    let mut folder = Folder::demo();
    let (first, second) = (folder.text("dry-1.csv"), folder.text("dry-2.csv"));
    let rows = first.lines().count() - 1;
    let later = second.lines().skip(1).enumerate().map(|(row, line)| {
        let (_, rest) = line.split_once(';').unwrap();
        format!("{:.3};{rest}\r\n", (rows + row) as f64 / 1000.0)
    });
    let both = first + &later.collect::<String>();
    folder.0.insert("dry-1.csv".into(), both.into_bytes());
    let found = troubles(read_pulls(&folder.tests(), Some("dry-1"), &folder));
    assert!(found[0].message.contains("2 pulls"), "{found:?}");
    assert!(found[0].hint.as_ref().unwrap().contains("which = 1"));
    for (which, twin) in [(1, "dry-1"), (2, "dry-2")] {
        let test = folder.tests_with(
            "log = \"dry-1.csv\"",
            &format!("log = \"dry-1.csv\"\nwhich = {which}"),
        );
        let answer = read_pulls(&test, Some("dry-1"), &folder).unwrap();
        let alone = read_pulls(&Folder::demo().tests(), Some(twin), &Folder::demo()).unwrap();
        let peak = |a: &steadypull_contract::answer::TestsReadAnswer| {
            a.pulls[0].readings.peak_n.value.unwrap()
        };
        assert!((peak(&answer) - peak(&alone)).abs() < 100.0, "{which}");
        assert!(answer.pulls[0].others.iter().any(|o| !o.rebound));
    }
    let three = folder.tests_with("log = \"dry-1.csv\"", "log = \"dry-1.csv\"\nwhich = 3");
    assert!(
        troubles(read_pulls(&three, Some("dry-1"), &folder))[0]
            .message
            .contains("2 pulls")
    );
}

#[test]
fn one_pull_gives_no_verdict() {
    let folder = Folder::demo();
    let text = folder.text("tests.toml");
    let mut kept = text.clone();
    for gone in ["wet-2", "wet-3", "wet-4", "wet-5"] {
        let at = kept.find(&format!("[pull.{gone}]")).unwrap();
        let end = at + kept[at..].find("setup = \"wet\"").unwrap() + "setup = \"wet\"".len();
        kept.replace_range(at..end, "");
    }
    let answer = compare(&read(&kept), &folder).unwrap();
    let peak = &answer.compared[0];
    assert_eq!(peak.setups[1].pulls, 1);
    assert!(peak.setups[1].deviation.is_none() && peak.setups[1].no_tolerance.is_some());
    let pair = &peak.pairs[0];
    assert!(pair.verdict.is_none() && pair.low.is_none() && pair.permutation_p.is_none());
    assert!(pair.difference.is_some() && pair.says.contains("pulled once"));
}

#[test]
fn a_prediction_that_is_too_low_is_critical() {
    let folder = Folder::demo();
    let test = folder.tests_with("peak = \"38 kN\"", "peak = \"20 kN\"");
    let answer = compare(&test, &folder).unwrap();
    assert_eq!(answer.predicted[0].agrees, Some(false));
    assert!(
        answer
            .findings
            .iter()
            .any(|f| f.code == "above-prediction" && f.severity == Severity::Critical)
    );
    let plan = folder.tests_with("peak = \"38 kN\"", "plan = \"plan.toml\"");
    let mut folder = folder;
    assert!(troubles(compare(&plan, &folder))[0].about == "plan.toml");
    folder.0.insert("plan.toml".into(), b"title = 3".to_vec());
    assert!(
        troubles(compare(&plan, &folder))[0]
            .message
            .contains("mistake")
    );
    let (_, text) = steadypull_contract::EXAMPLES[0];
    folder
        .0
        .insert("plan.toml".into(), text.as_bytes().to_vec());
    let answer = compare(&plan, &folder).unwrap();
    assert_eq!(answer.predicted.len(), 2);
    assert!(
        answer
            .predicted
            .iter()
            .all(|p| p.from == "plan.toml" && p.predicted > 0.0)
    );
}

#[test]
fn an_event_by_hand_is_marked_and_one_off_the_record_refused() {
    let folder = Folder::demo();
    let by_hand = |more: &str| {
        folder.tests_with(
            "[pull.wet-1]",
            &format!("[pull.dry-1.events]\n{more}\nuncertainty = \"4 ms\"\n\n[pull.wet-1]"),
        )
    };
    let answer = read_pulls(&by_hand("taut = \"1.402 s\""), Some("dry-1"), &folder).unwrap();
    let event = &answer.pulls[0].events[0];
    assert_eq!((event.time_s, event.uncertainty_s), (1.402, 0.004));
    assert_eq!(event.set_by, steadypull_contract::answer::SetBy::Hand);
    let found = troubles(read_pulls(
        &by_hand("taut = \"99 s\""),
        Some("dry-1"),
        &folder,
    ));
    assert!(found[0].about.contains("dry-1.events"), "{found:?}");
}

#[test]
fn channels_are_named_or_refused() {
    let folder = Folder::demo();
    for (to, says) in [
        ("displacement = \"Apartt\"", "no channel"),
        ("displacement = \"Load\"", "no length"),
        ("displacement = \"Apart\"\nforce = \"Apart\"", "no load"),
    ] {
        let test = folder.tests_with("displacement = \"Apart\"", to);
        let found = troubles(read_pulls(&test, Some("dry-1"), &folder));
        assert!(found[0].message.contains(says), "{to}: {found:?}");
    }
}

fn drawing(pull: &str, parts: usize) -> Drawing<'_> {
    Drawing {
        pull,
        from_s: None,
        to_s: None,
        parts,
    }
}

#[test]
fn levels_hold_the_peak_at_any_width() {
    let folder = Folder::demo();
    let greatest = |pixels| {
        let drawn = levels(&folder.tests(), drawing("dry-1", pixels), &folder).unwrap();
        assert_eq!((drawn.least_n.len(), drawn.gap.len()), (pixels, pixels));
        drawn
            .greatest_n
            .iter()
            .flatten()
            .copied()
            .fold(0.0, f64::max)
    };
    assert_eq!(greatest(7), greatest(900));
    assert!(greatest(7) > 30e3);
    assert!(
        troubles(levels(&folder.tests(), drawing("dry-9", 9), &folder))[0]
            .hint
            .is_some()
    );
}

/// Every mistake at once, each with its place.
#[test]
fn mistakes_of_the_file_come_together() {
    let text = Folder::demo().text("tests.toml");
    let broken = text
        .replace("range = \"100 kN\"", "range = \"100\"")
        .replace("date = 2031-05-14", "date = \"2031-02-30\"")
        .replacen("cell = \"yard\"", "cell = \"yrad\"", 1)
        .replace("cfc = 60", "cfcc = 60")
        .replacen("setup = \"wet\"", "setup = 3", 1)
        .replace("reading = \"energy-in\"", "reading = \"energy\"");
    let problems = read_tests(&broken).unwrap_err();
    let said: Vec<&str> = problems.problems.iter().map(|p| &p.message[..]).collect();
    for (at, words) in [
        "date is no day of the calendar",
        "cell.yard.range has no unit",
        "unknown key \"cfcc\" in [clean]",
        "pull.dry-1.cell names \"yrad\"",
        "pull.wet-1.setup is a bare number",
        "compare.energy.reading is not a known word",
    ]
    .iter()
    .enumerate()
    {
        assert!(said[at].contains(words), "{at} {words}: {said:#?}");
        assert!(problems.problems[at].line > 1);
    }
    assert_eq!(said.len(), 6, "{said:#?}");
    let hint = problems.problems[3].hint.as_deref();
    assert_eq!(hint, Some("did you mean \"yard\"?"));
}

#[test]
fn a_pull_is_not_counted_twice() {
    let folder = Folder::demo();
    let test = folder.tests_with("log = \"dry-2.csv\"", "log = \"dry-1.csv\"");
    for found in [
        troubles(compare(&test, &folder)),
        troubles(fit(&test, &folder)),
        troubles(read_pulls(&test, None, &folder)),
    ] {
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].about == "pull dry-2" && found[0].message.contains("pull dry-1"));
    }
}

/// The peak of dry-1 with a cell that reads `written`: rows of the log in that unit, `per_unit`
/// kN each, and the cell's law as `law`.
fn peak_by(written: &str, per_unit: f64, law: &str) -> (f64, Vec<String>) {
    let mut folder = Folder::demo();
    let log = folder.text("dry-1.csv");
    let rows = log.split("\r\n").enumerate().map(|(row, line)| {
        let cells: Vec<&str> = line.split(';').collect();
        match cells[..] {
            [time, _, apart] if row == 0 => format!("{time};Cell ({written});{apart}"),
            [time, load, apart] => {
                let load: f64 = load.parse().expect("a load");
                format!("{time};{:.9};{apart}", load / per_unit)
            }
            _ => line.into(),
        }
    });
    let rows = rows.collect::<Vec<_>>().join("\r\n");
    folder.0.insert("dry-1.csv".into(), rows.into_bytes());
    let quantity = if written == "kN" { "force" } else { "other" };
    let recipe = folder
        .text("logger.toml")
        .replace("Load (kN)", &format!("Cell ({written})"))
        .replace("unit = \"kN\"", &format!("unit = \"{written}\""))
        .replace("\"force\"", &format!("\"{quantity}\""));
    folder.0.insert("logger.toml".into(), recipe.into_bytes());
    let test = folder
        .text("tests.toml")
        .replace("[cell.yard]", &format!("[cell.yard]\n{law}"))
        .replace(
            "log = \"dry-1.csv\"",
            "log = \"dry-1.csv\"\nforce = \"Load\"",
        );
    let test = common::read(&test);
    let answer = read_pulls(&test, Some("dry-1"), &folder).unwrap();
    let codes = answer.findings.iter().map(|f| f.code.clone()).collect();
    (answer.pulls[0].readings.peak_n.value.unwrap(), codes)
}

#[test]
fn a_cell_makes_loads_of_what_the_log_writes() {
    let (as_logged, _) = peak_by("kN", 1.0, "");
    assert!(as_logged > 20e3, "{as_logged}");
    for (written, per_unit, law) in [
        ("kN", 1.0, "load_per_unit = \"1 kN\""),
        ("mV", 12.5, "load_per_unit = \"12.5 kN\""),
        ("V", 12.5, "load_per_unit = \"12.5 kN\""),
        ("mV", 12.5, "polynomial = [\"0 N\", \"12.5 kN\"]"),
    ] {
        let (peak, codes) = peak_by(written, per_unit, law);
        assert!(
            (peak / as_logged - 1.0).abs() < 1e-6,
            "{written}, {law}: {peak} beside {as_logged}"
        );
        assert!(codes.iter().all(|code| code != "cell-hardly-loaded"));
    }
    let (peak, codes) = peak_by("mV", 12.5, "load_per_unit = \"12.5 N\"");
    assert!((peak / as_logged * 1e3 - 1.0).abs() < 1e-6, "{peak}");
    assert!(codes.iter().any(|code| code == "cell-hardly-loaded"));
}

#[test]
fn a_day_without_a_pull_reads_and_says_what_is_missing() {
    let folder = Folder::demo();
    let text = folder.text("tests.toml");
    let (head, _) = text.split_once("# The pulls").expect("the demo's pulls");
    let test = read(head);
    assert_eq!(
        (test.cells.len(), test.setups.len(), test.pulls.len()),
        (1, 2, 0)
    );
    let drawing = Drawing {
        pull: "dry-1",
        from_s: None,
        to_s: None,
        parts: 10,
    };
    let all = [
        troubles(read_pulls(&test, None, &folder)),
        troubles(read_pulls(&test, Some("dry-1"), &folder)),
        troubles(fit(&test, &folder)),
        troubles(compare(&test, &folder)),
        troubles(levels(&test, drawing, &folder)),
        troubles(report(&test, ("tests.toml", head.as_bytes()), &folder)),
    ];
    for said in all {
        assert_eq!(said[0].message, "describes no pull yet");
        assert!(
            said[0]
                .hint
                .as_ref()
                .is_some_and(|hint| hint.contains("[pull.first]"))
        );
    }
}
