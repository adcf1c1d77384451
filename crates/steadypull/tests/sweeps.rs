//! Sweeps: tables that are the same however they come about, and that go on where
//! they stopped.

mod common;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::{Duration, Instant};

use common::{binary, check_page, file, folder, run};
use steadypull_contract::printed::{SweepList, SweepSummary};

/// A lowering answers soonest.
fn plan() -> String {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/steep-bank-lowering.toml");
    fs::read_to_string(path).expect("the demo plan")
}

const STUDY: &str = "plan = \"plan.toml\"\nruns = 6\n\
    want = [\"verdict.headline\", \"lowering.greatest_design_n\", \"pull.kinetic.peak_force_n\"]\n\
    [vary]\ncasualty.mass = \"2.2 t to 2.6 t\"\n\
    tug.screen_height = [\"1 m\", \"1.5 m\", \"3 m\"]\n";

/// A folder with a plan and a study of 18 points, 6 of them refused.
fn place(name: &str) -> (PathBuf, String) {
    let folder = folder(name);
    file(&folder, "plan.toml", plan().as_bytes());
    let study = file(&folder, "study.toml", STUDY.as_bytes());
    (folder, study)
}

fn sweep(study: &str, table: &Path, more: &[&str]) -> common::Ran {
    let table = table.to_string_lossy();
    run(&[&["sweep", study, "-o", &table], more].concat())
}

fn worked(study: &str, table: &Path, more: &[&str]) -> SweepSummary {
    let ran = sweep(study, table, &[more, &["--json"]].concat());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    serde_json::from_str(&ran.out).expect("a summary")
}

fn bytes(path: &Path) -> Vec<u8> {
    fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

#[test]
fn a_table_has_a_row_for_each_point() {
    let (folder, study) = place("sweep-rows");
    let table = folder.join("all.csv");
    let summary = worked(&study, &table, &[]);
    assert!(summary.complete);
    assert_eq!(
        (summary.points, summary.rows, summary.rows_found),
        (18, 18, 0)
    );
    assert_eq!((summary.ok, summary.refused, summary.failed), (12, 6, 0));
    assert_eq!((summary.runs, summary.seed), (6, Some(1)));
    let text = String::from_utf8(bytes(&table)).expect("UTF-8");
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 19);
    assert_eq!(
        lines[0],
        "index,casualty.mass [kg],tug.screen_height [m],verdict.headline,\
         lowering.greatest_design_n,pull.kinetic.peak_force_n,status,reason,study"
    );
    assert!(
        lines[1].starts_with("0,2") && lines[1].contains(",ok,,"),
        "{}",
        lines[1]
    );
    assert!(lines[18].starts_with("17,"), "{}", lines[18]);
    assert!(lines[18].contains(",refused,tug.roof_height is not above screen_height,"));
    assert!(!text.contains("NaN") && !text.contains("inf"));
    let again = worked(&study, &table, &[]);
    assert_eq!((again.rows, again.rows_found), (18, 18));
    let report = sweep(&study, &table, &[]);
    assert_eq!(report.code, 0);
    check_page(&report.out);
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let (folder, study) = place("sweep-threads");
    let tables = ["1", "2", "5"].map(|threads| {
        let table = folder.join(format!("{threads}.csv"));
        worked(&study, &table, &["--threads", threads]);
        bytes(&table)
    });
    assert!(tables.iter().all(|table| *table == tables[0]));
}

#[test]
fn shards_joined_are_the_unsplit_run_to_the_bit() {
    let (folder, study) = place("sweep-shards");
    for ending in ["csv", "parquet"] {
        let whole = folder.join(format!("whole.{ending}"));
        worked(&study, &whole, &[]);
        let mut parts: Vec<String> = (1..=5)
            .map(|number| {
                let part = folder.join(format!("part-{number}.{ending}"));
                let shard = format!("{number}/5");
                let summary = worked(&study, &part, &["--shard", &shard]);
                assert_eq!(summary.shard, shard);
                part.to_string_lossy().into_owned()
            })
            .collect();
        parts.reverse();
        let merge: Vec<&str> = ["--merge"]
            .into_iter()
            .chain(parts.iter().map(|p| &p[..]))
            .collect();
        for joined in [
            format!("joined.{ending}"),
            format!("from-{ending}.csv"),
            format!("from-{ending}.parquet"),
        ] {
            let joined = folder.join(joined);
            let summary = worked(&study, &joined, &merge);
            assert_eq!((summary.rows, summary.ok, summary.refused), (18, 12, 6));
        }
        assert_eq!(
            bytes(&whole),
            bytes(&folder.join(format!("joined.{ending}"))),
            "{ending}"
        );
        assert!(!folder.join(format!("whole.{ending}.rows.csv")).exists());
        assert!(!folder.join(format!("joined.{ending}.part")).exists());
    }
    for ending in ["csv", "parquet"] {
        let whole = bytes(&folder.join(format!("whole.{ending}")));
        for from in ["csv", "parquet"] {
            assert_eq!(
                whole,
                bytes(&folder.join(format!("from-{from}.{ending}"))),
                "{from}"
            );
        }
    }
    assert_eq!(&bytes(&folder.join("whole.parquet"))[..4], b"PAR1");
}

#[test]
fn shards_that_do_not_make_a_whole_are_refused() {
    let (folder, study) = place("sweep-odd-shards");
    let part = |number: u64| {
        let part = folder.join(format!("part-{number}.csv"));
        worked(&study, &part, &["--shard", &format!("{number}/3")]);
        part.to_string_lossy().into_owned()
    };
    let parts = [part(1), part(2), part(3)];
    let table = folder.join("all.csv");
    let joined = |files: &[&str]| {
        let ran = sweep(&study, &table, &[&["--merge"], files].concat());
        assert_eq!(ran.code, 1, "{}", ran.out);
        assert!(!table.exists());
        // Where a line of it is folded hangs on how long the folder's name is.
        ran.err.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(joined(&[&parts[0], &parts[2]]).contains("points 6 to 11 are in none"));
    assert!(joined(&[&parts[0], &parts[1]]).contains("points 12 to 17 are in none"));
    assert!(joined(&[&parts[0], &parts[1], &parts[1], &parts[2]]).contains("another shard"));
    assert!(joined(&[&parts[0], "nowhere.csv"]).contains("no such file"));
    let torn = String::from_utf8(bytes(Path::new(&parts[1]))).expect("UTF-8");
    fs::write(&parts[1], &torn[..torn.len() - 9]).expect("write");
    let told = joined(&[&parts[0], &parts[1], &parts[2]]);
    assert!(
        told.contains("torn row") && told.contains("goes on"),
        "{told}"
    );
    fs::write(&parts[1], torn.replace("ok,,", "ok,,x")).expect("write");
    assert!(joined(&[&parts[0], &parts[1], &parts[2]]).contains("another study"));
}

/// Wherever a run was cut, the same command makes the same table of it.
#[test]
fn a_table_cut_anywhere_goes_on() {
    let (folder, study) = place("sweep-cut");
    let whole = folder.join("whole.csv");
    worked(&study, &whole, &[]);
    let whole = bytes(&whole);
    let table = folder.join("cut.csv");
    let line_ends: Vec<usize> = (0..whole.len()).filter(|i| whole[*i] == b'\n').collect();
    let mut cuts = vec![
        0,
        1,
        line_ends[0],
        line_ends[0] + 1,
        line_ends[7],
        line_ends[7] + 1,
    ];
    cuts.extend([
        line_ends[7] + 5,
        line_ends[12] - 1,
        whole.len() - 1,
        whole.len(),
    ]);
    for cut in cuts {
        fs::write(&table, &whole[..cut]).expect("write");
        let summary = worked(&study, &table, &[]);
        assert!(summary.rows_found <= summary.rows);
        assert_eq!(bytes(&table), whole, "cut at {cut}");
    }
    // A last line of rubbish is dropped too, whole or not.
    for rubbish in ["\u{0}\u{0}\u{0}", "7,8\n"] {
        let mut spoilt = whole[..line_ends[9] + 1].to_vec();
        spoilt.extend(rubbish.as_bytes());
        fs::write(&table, &spoilt).expect("write");
        assert_eq!(worked(&study, &table, &[]).rows_found, 9);
        assert_eq!(bytes(&table), whole);
    }
}

#[test]
fn a_killed_run_goes_on() {
    let (folder, study) = place("sweep-killed");
    let many = STUDY.replace("runs = 6", "runs = 20");
    fs::write(&study, many).expect("write");
    let whole = folder.join("whole.parquet");
    worked(&study, &whole, &[]);
    let table = folder.join("killed.parquet");
    let growing = folder.join("killed.parquet.rows.csv");
    for _ in 0..3 {
        let mut child = binary()
            .args(["sweep", &study, "-o", &table.to_string_lossy()])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the binary starts");
        let before = fs::metadata(&growing).map_or(0, |about| about.len());
        wait_until(|| {
            child.try_wait().expect("a state").is_some()
                || fs::metadata(&growing).map_or(0, |about| about.len()) > before + 600
        });
        let _ = child.kill();
        child.wait().expect("it ends");
    }
    let summary = worked(&study, &table, &[]);
    assert_eq!(summary.rows, 60);
    assert_eq!(bytes(&table), bytes(&whole));
    assert!(!growing.exists());
}

fn wait_until(mut done: impl FnMut() -> bool) {
    let start = Instant::now();
    while !done() {
        assert!(start.elapsed() < Duration::from_secs(300), "too long");
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_a_good_table_and_says_how_to_go_on() {
    let (folder, study) = place("sweep-interrupted");
    let many = STUDY.replace("runs = 6", "runs = 60");
    fs::write(&study, many).expect("write");
    let table = folder.join("stopped.csv");
    let child = binary()
        .args(["sweep", &study, "-o", &table.to_string_lossy()])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    wait_until(|| fs::metadata(&table).map_or(0, |about| about.len()) > 1500);
    let pid = child.id().to_string();
    let told = std::process::Command::new("kill")
        .args(["-INT", &pid])
        .status();
    assert!(told.expect("kill runs").success());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(1));
    let report = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(
        report.contains("stopped early") && report.contains("same command again"),
        "{report}"
    );
    let text = String::from_utf8(bytes(&table)).expect("UTF-8");
    assert!(text.ends_with('\n'));
    let rows = text.lines().count() as u64 - 1;
    let shard = worked(&study, &table, &["--threads", "2"]);
    assert_eq!((shard.rows_found, shard.rows), (rows, 180));
}

#[test]
fn tables_of_different_studies_never_mix() {
    let (folder, study) = place("sweep-mixed");
    for ending in ["csv", "parquet"] {
        let table = folder.join(format!("all.{ending}"));
        fs::write(&study, STUDY).expect("write");
        worked(&study, &table, &[]);
        let before = bytes(&table);
        for (from, to) in [
            ("runs = 6", "runs = 7"),
            ("2.6 t", "2.7 t"),
            ("verdict.headline", "verdict.first_method"),
        ] {
            fs::write(&study, STUDY.replace(from, to)).expect("write");
            let ran = sweep(&study, &table, &[]);
            assert_eq!(ran.code, 1, "{to}");
            assert!(
                ran.err.contains("another table") && ran.err.contains("--force"),
                "{}",
                ran.err
            );
            assert_eq!(bytes(&table), before);
        }
        assert_eq!(worked(&study, &table, &["--force"]).rows, 18);
        assert_ne!(bytes(&table), before);
    }
    // Another shard of the same study.
    let table = folder.join("part.csv");
    worked(&study, &table, &["--shard", "2/3"]);
    let ran = sweep(&study, &table, &["--shard", "1/3"]);
    assert_eq!(ran.code, 1);
    let told = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("holds point 6 where point 0 belongs"),
        "{told}"
    );
}

#[test]
fn a_plan_can_be_swept_without_a_study() {
    let (folder, _) = place("sweep-quick");
    let plan = folder.join("plan.toml").to_string_lossy().into_owned();
    let table = folder.join("quick.csv");
    let vary = [
        "--vary",
        "lowering.grip=0.3, 0.5",
        "--vary",
        "casualty.mass = 2.2 t to 2.6 t",
    ];
    let more = [
        "--runs",
        "3",
        "--points",
        "random",
        "--seed",
        "5",
        "--want",
        "lowering.standoff_m",
    ];
    let summary = worked(&plan, &table, &[&vary[..], &more].concat());
    assert_eq!((summary.points, summary.ok), (6, 6));
    assert_eq!(
        (summary.sampling.as_deref(), summary.seed),
        (Some("random"), Some(5))
    );
    let ran = run(&["sweep", &plan, "--list", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let list: SweepList = serde_json::from_str(&ran.out).expect("a list");
    assert!(
        list.inputs
            .iter()
            .any(|one| one.key == "casualty.mass" && one.value == "2400 kg")
    );
    assert!(
        list.outputs
            .iter()
            .any(|one| one.path == "lowering.standoff_m")
    );
    let ran = run(&["sweep", &plan, "--list"]);
    assert_eq!(ran.code, 0);
    check_page(&ran.out);
}

#[test]
fn the_help_fits() {
    let help = run(&["sweep", "--help"]);
    assert_eq!(help.code, 0);
    for word in ["--vary", "--shard", "--merge", "--list", "--json"] {
        assert!(help.out.contains(word), "{}", help.out);
    }
    check_page(&help.out);
}

#[test]
fn mistakes_are_told() {
    let (folder, study) = place("sweep-mistakes");
    let plan = folder.join("plan.toml").to_string_lossy().into_owned();
    let table = folder.join("none.csv");
    let told = |args: &[&str]| {
        let ran = sweep(args[0], &table, &args[1..]);
        assert_eq!(ran.code, 1, "{args:?}: {}{}", ran.out, ran.err);
        assert!(!table.exists() && ran.out.is_empty());
        ran.err.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(told(&[&plan]).contains("nothing is varied"));
    assert!(told(&[&plan, "--vary", "casualty.mass"]).contains("names no values"));
    assert!(
        told(&[&plan, "--vary", "casualty.mas=2 t"]).contains("did you mean \"casualty.mass\"?")
    );
    assert!(told(&[&plan, "--vary", "casualty.mass=2 kN"]).contains("is in kN"));
    assert!(told(&[&study, "--runs", "3"]).contains("is a study"));
    fs::write(&study, "runs = 3\n[vary]\ncasualty.mass = \"2 t to 3 t\"\n").expect("write");
    assert!(told(&[&study]).contains("plan is missing"));
    fs::write(&study, STUDY.replace("plan.toml", "no-plan.toml")).expect("write");
    assert!(told(&[&study]).contains("no such file"));
    fs::write(&study, STUDY).expect("write");
    fs::write(&plan, "[casualty]\nmass = 2\n").expect("write");
    let of_plan = told(&[&study]);
    assert!(
        of_plan.contains("plan.toml:2:8") && of_plan.contains("no plan was read"),
        "{of_plan}"
    );
    for bad in [
        &["sweep", &study][..],
        &["sweep", &study, "-o", "table.txt"],
        &["sweep", &study, "-o", "t.csv", "--shard", "4/3"],
        &[
            "sweep", &study, "-o", "t.csv", "--shard", "1/3", "--merge", "a.csv",
        ],
        &["sweep", &study, "-o", "t.csv", "--threads", "0"],
    ] {
        assert_eq!(run(bad).code, 2, "{bad:?}");
    }
}
