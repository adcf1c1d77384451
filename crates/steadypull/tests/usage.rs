//! Help, bad usage, and the plan that is not there.

mod common;

use common::{check_page, demo, file, folder, run, run_with};

const COMMANDS: [&str; 19] = [
    "check",
    "chance",
    "situation",
    "options",
    "load-path",
    "rig",
    "pull",
    "let-go",
    "standoff",
    "lowering",
    "dampers",
    "tether",
    "sweep",
    "brief",
    "plot",
    "example",
    "schema",
    "tests",
    "serve",
];

#[test]
fn help_names_every_command_and_fits() {
    let help = run(&["--help"]);
    assert_eq!(help.code, 0);
    for command in COMMANDS {
        assert!(
            help.out.contains(&format!("  {command} ")),
            "{command}:\n{}",
            help.out
        );
        let own = run(&[command, "--help"]);
        assert_eq!(own.code, 0, "{command}");
        assert!(
            own.out.contains("--json") && own.out.contains("--units"),
            "{}",
            own.out
        );
        check_page(&own.out);
    }
    for code in [
        "0  worked",
        "1  bad input",
        "2  bad usage",
        "3  worked, with a critical",
    ] {
        assert!(help.out.contains(code), "{}", help.out);
    }
    check_page(&help.out);
    assert_eq!(
        run(&["--version"]).out,
        format!("steadypull {}\n", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn bad_usage_ends_in_2() {
    let plan = demo();
    let cases: [&[&str]; 23] = [
        &[],
        &["chek", &plan],
        &["check"],
        &["check", &plan, "extra"],
        &["check", &plan, "--units", "furlongs"],
        &["check", &plan, "--nonsense"],
        &["brief", &plan],
        &["brief", &plan, "-o", "brief.doc"],
        &["brief", &plan, "-o", "brief.pdf", "--date", "2023-02-29"],
        &["plot", &plan, "-o", "figures", "--figure", "nothing"],
        &["example", "nothing"],
        &["schema", "nothing"],
        &["chance"],
        &["chance", &plan, "--runs", "0"],
        &["chance", &plan, "--runs", "many"],
        &["chance", &plan, "--error", "2"],
        &["chance", &plan, "--error", "0%"],
        &["chance", &plan, "--runs", "64", "--error", "1%"],
        &["chance", &plan, "--threads", "0"],
        &["chance", &plan, "--seed", "-1"],
        &["chance", &plan, "--png"],
        &["serve", "extra"],
        &["serve", "--port", "65536"],
    ];
    for args in cases {
        let ran = run(args);
        assert_eq!(ran.code, 2, "{args:?}\n{}\n{}", ran.out, ran.err);
        assert!(ran.out.is_empty(), "{args:?} printed an answer");
        assert!(!ran.err.is_empty(), "{args:?} said nothing");
        assert!(!ran.err.contains('\u{1b}'), "{args:?}");
    }
    assert!(run(&["chek", &plan]).err.contains("check"), "no suggestion");
}

#[test]
fn an_unreadable_plan_is_said_plainly() {
    let here = folder("unreadable");
    let folder_name = here.to_string_lossy().into_owned();
    let missing = here.join("none.toml").to_string_lossy().into_owned();
    let cases = [
        (missing, "there is no such file"),
        (folder_name, "is a folder"),
        (file(&here, "empty.toml", b""), "the file is empty"),
        (file(&here, "blank.toml", b" \n\n"), "the file is empty"),
        (
            file(&here, "bytes.toml", b"title = \"x\"\n\xff\xfe"),
            "on line 2",
        ),
        (
            file(&here, "long.toml", &vec![b'#'; 3 << 20]),
            "too long for a plan",
        ),
    ];
    for (path, said) in cases {
        let ran = run(&["check", &path]);
        assert_eq!(ran.code, 1, "{path}");
        assert!(ran.out.is_empty(), "{path} printed an answer");
        let flat = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(said), "{said} in {}", ran.err);
        assert!(flat.contains("hint: "), "{}", ran.err);
    }
}

#[test]
fn standard_input_is_read() {
    let text = std::fs::read(demo()).expect("the demo plan");
    let piped = run_with(&["check", "-"], &text);
    let named = run(&["check", &demo()]);
    assert_eq!(piped.out, named.out);
    assert_eq!(piped.code, named.code);
    let empty = run_with(&["check", "-"], b"");
    assert_eq!(empty.code, 1);
    assert!(empty.err.contains("the file is empty"), "{}", empty.err);
    let broken = run_with(&["check", "-"], b"title = 3");
    assert!(
        broken.err.starts_with("standard input:1:"),
        "{}",
        broken.err
    );
}
