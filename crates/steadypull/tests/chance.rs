//! `chance` on a demo plan: report, object, figures, options.

mod common;

use std::path::Path;

use common::{check_page, code_for, demos, folder, run};

fn plan(wanted: &str) -> String {
    let found = demos().into_iter().find(|(name, _)| name == wanted);
    found.expect("the demo plan is there").1
}

#[test]
fn golden_report_of_a_study() {
    let ran = run(&["chance", &plan("side-slope-bridle"), "--runs", "128"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    check_page(&ran.out);
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/chance.txt");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&golden, &ran.out).expect("the golden folder can be written");
    }
    let expected = std::fs::read_to_string(&golden).unwrap_or_default();
    let mut lines = ran.out.lines().zip(expected.lines());
    let first = lines.find(|(new, old)| new != old);
    assert!(
        ran.out == expected,
        "it reads differently (BLESS=1 renews it); first difference: {first:?}"
    );
}

#[test]
fn the_first_things_come_first_and_the_cautions_last() {
    let out = run(&["chance", &plan("tree-double-line"), "--runs", "128"]).out;
    let heads = [
        "VERDICT",
        "WILL IT MOVE",
        "CAN IT BREAK",
        "HOW FAR TO STAND",
        "WHAT DRIVES THE ANSWER",
        "NUMBERS",
        "IF A PART LETS GO",
        "DRAWN",
        "NOTES",
        "FINDINGS",
        "CAUTIONS",
    ];
    let at: Vec<usize> = heads
        .iter()
        .map(|head| out.find(&format!("\n{head}")).expect(head))
        .collect();
    assert!(at.windows(2).all(|pair| pair[0] < pair[1]), "{out}");
    let imperial = run(&[
        "chance",
        &plan("tree-double-line"),
        "--runs",
        "128",
        "--units",
        "imperial",
    ]);
    check_page(&imperial.out);
    assert!(imperial.out.contains(" lbf") && imperial.out.contains(" ft"));
}

#[test]
fn the_object_has_its_code_and_seed_and_threads_change_nothing() {
    let path = plan("side-slope-bridle");
    let with = |more: &[&str]| {
        let args = [&["chance", path.as_str(), "--runs", "128", "--json"], more].concat();
        run(&args)
    };
    let one = with(&["--threads", "1", "--seed", "7"]);
    let two = with(&["--threads", "2", "--seed", "7"]);
    assert_eq!(one.out, two.out);
    assert_ne!(one.out, with(&["--seed", "8"]).out);
    let object = one.json();
    assert_eq!(one.code, code_for(&object));
    assert_eq!(object["sample"]["draws"], 128);
    assert_eq!(object["sample"]["seed"], 7);
    assert_eq!(object["sample"]["stopped"], "count");
}

#[test]
fn it_stops_by_itself_and_at_the_most() {
    let path = plan("side-slope-bridle");
    let rough = ["chance", &path, "--error", "20%", "--json"];
    let object = run(&rough).json();
    assert_eq!(object["sample"]["stopped"], "error");
    let most = [
        "chance",
        &path,
        "--error",
        "0.01%",
        "--most-runs",
        "256",
        "--json",
    ];
    let object = run(&most).json();
    assert_eq!(object["sample"]["stopped"], "most-draws");
    assert_eq!(object["sample"]["draws"], 256);
}

#[test]
fn figures_are_written() {
    let here = folder("chance-figures");
    let to = here.join("new").to_string_lossy().into_owned();
    let path = plan("side-slope-bridle");
    let ran = run(&["chance", &path, "--runs", "128", "-o", &to, "--png"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for name in ["tornado", "zone-map"] {
        for ending in ["svg", "png"] {
            let file = format!("{to}/{name}.{ending}");
            assert!(ran.out.contains(&file), "{}", ran.out);
            let bytes = std::fs::read(&file).expect("it was written");
            assert!(bytes.len() > 1000, "{file}");
        }
    }
}

#[test]
fn what_cannot_be_studied_is_said() {
    let ran = run(&["chance", &plan("steep-bank-lowering"), "--runs", "128"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.is_empty() && ran.err.contains("steadypull lowering"),
        "{}",
        ran.err
    );
}
