//! `chance` on a demo plan: report, object, figures, options.

mod common;

use common::{check_golden, check_page, code_for, demos, folder, run};

fn plan(wanted: &str) -> String {
    let found = demos().into_iter().find(|(name, _)| name == wanted);
    found.expect("the demo plan is there").1
}

#[test]
fn golden_report_of_a_study() {
    let ran = run(&["chance", &plan("side-slope-bridle"), "--runs", "128"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    check_page(&ran.out);
    check_golden("chance.txt", &ran.out);
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

/// The page with every run of white space as one space: where it breaks depends on how
/// long the path of the checkout is.
fn flat(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_cannot_be_studied_is_said() {
    let here = folder("chance-cannot");
    let write = |name: &str, text: &str| {
        let path = here.join(name);
        std::fs::write(&path, text).expect("the folder can be written");
        path.to_string_lossy().into_owned()
    };
    let lowering = std::fs::read_to_string(plan("steep-bank-lowering")).expect("it is there");
    let (from, to) = (
        lowering.find("\n[lowering]\n").expect("it lowers"),
        lowering.find("# The same rig").expect("it is laid out"),
    );
    let none = format!("{}\n{}", &lowering[..from], &lowering[to..]);
    let cases = [
        (
            write("no-lowering.toml", &none),
            "the plan describes none (`[lowering]`)",
        ),
        (
            write("two-blocks.toml", TWO_BLOCKS),
            "a straight path holds one block at most",
        ),
    ];
    for (path, why) in cases {
        let ran = run(&["chance", &path, "--runs", "128"]);
        assert_eq!(ran.code, 1, "{}", ran.out);
        let said = flat(&ran.err);
        assert!(
            ran.out.is_empty() && said.contains("the rig of the plan cannot be studied"),
            "{said}"
        );
        assert!(said.contains(why) && said.contains("hint:"), "{said}");
    }
}

/// A straight path with two blocks, which is not laid out.
const TWO_BLOCKS: &str = r#"
[casualty]
mass = "2.4 t"
sits_in = "mud"
depth = "0.2 m"

[casualty.point.front]
kind = "rated"
wll = "4 t"

[tug]
mass = "2.6 t"
surface = "grass"

[tug.winch]
rated_pull = "4 t"
line = "rope"

[line.rope]
material = "hmpe"
length = "25 m"
mbs = "9 t"

[block.near]
wll = "8 t"

[block.far]
wll = "8 t"

[rig]
method = "winch-multi"
path = ["casualty.front", "near", "far", "rope", "tug.winch"]
"#;

#[test]
fn a_lowering_and_a_plan_without_a_rig_are_studied() {
    let lowering = run(&["chance", &plan("steep-bank-lowering"), "--runs", "128"]);
    check_page(&lowering.out);
    for wanted in [
        "WILL IT HOLD",
        "It is held",
        "WILL THE BELAY HOLD",
        "CAN IT BREAK",
        "HOW FAR TO STAND",
        "greatest holding force",
        "lowerings",
    ] {
        assert!(lowering.out.contains(wanted), "{wanted}\n{}", lowering.out);
    }
    let here = folder("chance-no-rig");
    let path = here.join("no-rig.toml");
    std::fs::write(
        &path,
        "[casualty]\nmass = \"2.6 t\"\nsits_in = \"clay\"\nsunk_to = \"wheel\"\n\
         [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n",
    )
    .expect("the folder can be written");
    let path = path.to_string_lossy().into_owned();
    let bare = run(&["chance", &path, "--runs", "128", "--units", "imperial"]);
    check_page(&bare.out);
    assert_eq!(bare.code, 0, "{}", bare.err);
    for wanted in [
        "no rig: what the tug alone decides",
        "Steady tow, dug first",
        "NOT SAID",
        " lbf",
        "the rule alone stands",
    ] {
        assert!(bare.out.contains(wanted), "{wanted}\n{}", bare.out);
    }
    assert!(!bare.out.contains("IF A PART LETS GO"));
}
