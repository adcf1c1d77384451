//! Runs the built binary and looks at what comes out.
#![allow(dead_code)] // Each test file uses its own part of this.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// The areas: command, and field of the answer.
pub const AREAS: [(&str, &str); 8] = [
    ("situation", "situation"),
    ("options", "options"),
    ("load-path", "load_path"),
    ("rig", "rig"),
    ("pull", "pull"),
    ("let-go", "let_go"),
    ("standoff", "standoff"),
    ("lowering", "lowering"),
];

/// What one run gave.
pub struct Ran {
    pub out: String,
    pub err: String,
    pub code: i32,
}

impl Ran {
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("no JSON: {e}\n{}", self.out))
    }
}

pub fn binary() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_steadypull"));
    command.stdin(Stdio::null());
    command
}

/// Runs the binary with `args`.
pub fn run(args: &[&str]) -> Ran {
    ran(binary().args(args).output().expect("the binary starts"))
}

/// Runs the binary with `args` and `input` on standard input.
pub fn run_with(args: &[&str], input: &[u8]) -> Ran {
    let mut child = binary()
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    // The binary may have read enough and gone.
    let _ = stdin.write_all(input);
    drop(stdin);
    ran(child.wait_with_output().expect("the binary ends"))
}

fn ran(output: Output) -> Ran {
    Ran {
        out: String::from_utf8(output.stdout).expect("UTF-8 on standard output"),
        err: String::from_utf8(output.stderr).expect("UTF-8 on standard error"),
        code: output.status.code().expect("the binary was not killed"),
    }
}

/// The demo plans: name and path.
pub fn demos() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut plans: Vec<(String, String)> = std::fs::read_dir(&folder)
        .expect("the examples folder is there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            (name, path.to_string_lossy().into_owned())
        })
        .collect();
    plans.sort();
    assert!(plans.len() >= 4, "demo plans: {plans:?}");
    plans
}

/// The first demo plan.
pub fn demo() -> String {
    demos().remove(0).1
}

/// A fresh folder for the files of one test.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a fresh folder");
    folder
}

/// Writes `bytes` to `name` in `folder` and gives its path.
pub fn file(folder: &Path, name: &str, bytes: &[u8]) -> String {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the file can be written");
    path.to_string_lossy().into_owned()
}

/// What every report for people holds to.
pub fn check_page(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "over 80 columns: {line}");
    }
    for bad in ["\u{1b}", "NaN", "inf ", "unknown kN", "\r"] {
        assert!(!text.contains(bad), "{bad:?} in:\n{text}");
    }
}

/// The exit code that belongs to an answer with these findings.
pub fn code_for(object: &Value) -> i32 {
    let findings = object["findings"].as_array().expect("findings");
    match findings
        .iter()
        .any(|finding| finding["severity"] == "critical")
    {
        true => 3,
        false => 0,
    }
}

/// Holds `report` against `tests/golden/NAME`; renews that where `BLESS` is set.
pub fn check_golden(name: &str, report: &str) {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(name);
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&golden, report).expect("the golden folder can be written");
    }
    let expected = std::fs::read_to_string(&golden).unwrap_or_default();
    let first = report
        .lines()
        .zip(expected.lines())
        .find(|(new, old)| new != old);
    assert!(
        report == expected,
        "{name} reads differently (BLESS=1 renews it); first difference: {first:?}"
    );
}
