//! No text, however odd, panics or hangs the reader, and a plan that comes out
//! holds only finite numbers.

use proptest::prelude::*;
use proptest::sample::Index;

use steadypull_contract::EXAMPLES;
use steadypull_contract::plan_file::{inputs, read_plan};
use steadypull_contract::show::Units;
use steadypull_engine::plan::Plan;

/// The plan as text, without what stands in quotes: names may say anything.
fn numbers_of(plan: &Plan) -> String {
    let text = format!("{plan:?}").replace("\\\"", "");
    text.split('"').step_by(2).collect()
}

fn check(text: &str) -> Result<(), TestCaseError> {
    match read_plan(text) {
        Ok(plan) => {
            let numbers = numbers_of(&plan);
            for odd in ["NaN", "(inf", "(-inf", " inf,", "-inf"] {
                prop_assert!(!numbers.contains(odd), "{odd} in {numbers}");
            }
            prop_assert!(!inputs(&plan, Units::Metric).concat().contains("NaN"));
        }
        Err(problems) => {
            prop_assert!(!problems.problems.is_empty());
            for problem in &problems.problems {
                prop_assert!(problem.line >= 1 && problem.column >= 1);
                prop_assert!(problem.end_column > problem.column);
                prop_assert!(!problem.message.contains("could not be read"), "{text}");
            }
            let report = problems.report("plan.toml", text);
            prop_assert!(report.chars().all(|c| c == '\n' || !c.is_control()));
        }
    }
    Ok(())
}

/// Plans to spoil: the demos, and rigs laid out on the ground.
fn sound_plan(which: usize) -> String {
    const COMMON: &str = include_str!("laid_out/common.toml");
    const LAID_OUT: [&str; 2] = [
        include_str!("laid_out/double-line.toml"),
        include_str!("laid_out/runs.toml"),
    ];
    match EXAMPLES.get(which) {
        Some((_, text)) => (*text).into(),
        None => format!(
            "{COMMON}{}",
            LAID_OUT[(which - EXAMPLES.len()) % LAID_OUT.len()]
        ),
    }
}

/// How many there are.
const SOUND_PLANS: usize = EXAMPLES.len() + 2;

/// The start of the character at or before a chosen byte.
fn boundary(text: &str, at: Index) -> usize {
    let at = at.index(text.len() + 1);
    (0..=at)
        .rev()
        .find(|&i| text.is_char_boundary(i))
        .unwrap_or(0)
}

/// Values that are wrong in most places, or at the edge of what is right.
const ODD_VALUES: [&str; 41] = [
    "nan",
    "-inf",
    "1e308",
    "\"1e308 t\"",
    "\"nan t\"",
    "\"-0 m\"",
    "\"0 t\"",
    "\"0.0000001 m\"",
    "\"99999999999999999999 kN\"",
    "\"-1 in 0\"",
    "\"90 deg\"",
    "[]",
    "[[[[]]]]",
    "{}",
    "true",
    "\"\"",
    "\"\\u0000\"",
    "\"\\u202e\"",
    "[\"0 %\", \"0 %\"]",
    "0x7f",
    "1979-05-27T07:32:00Z",
    "\"100 %\"",
    "\"casualty.rear\"",
    "\"\u{221e} t\"",
    "[\"0 m\", \"0 m\"]",
    "[\"25 m\", \"0 m\"]",
    "[\"2000 m\", \"-2000 m\", \"1e-300 m\"]",
    "[\"block-1\", \"block-1\"]",
    "[\"casualty.rear\", \"winch-line\", \"tug.winch\"]",
    "[\"block-2\", \"bow-4\", \"tree-1\"]",
    "\"redirect\"",
    "\"1 m to 2 m\"",
    "\"1 t to 1e300 t, likely 2 t\"",
    "\" to \"",
    "\"+/-\"",
    "\"2.4 t +/- 200 %\"",
    "\"8 deg +/- 1 in 0\"",
    "\"0.3 to 0.5, likely\"",
    "{ low = \"1 m\", high = nan }",
    "{ median = 0.4, spread = \"40 %\" }",
    "{ mean = \"0 deg\", sd = \"1 deg\" }",
];

/// What a run can pass.
const NAMES: [&str; 16] = [
    "casualty.rear",
    "casualty.rear-left",
    "tug.winch",
    "tug.front",
    "winch-line",
    "strap-1",
    "strap-2",
    "tow-1",
    "bow-1",
    "bow-2",
    "block-1",
    "block-2",
    "ring-1",
    "rear",
    "front",
    "tree-1",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        check(&text)?;
    }

    #[test]
    fn any_lines_are_read_or_refused(
        lines in prop::collection::vec("[a-z\\[\\]._\"={},%#0-9 \t-]{0,40}", 0..20)
    ) {
        check(&lines.join("\n"))?;
    }

    #[test]
    fn a_cut_demo_plan_is_read_or_refused(which in 0..SOUND_PLANS, from: Index, to: Index) {
        let text = sound_plan(which);
        let (a, b) = (boundary(&text, from), boundary(&text, to));
        check(&text[..a.min(b)])?;
        let mut without = text.clone();
        without.replace_range(a.min(b)..a.max(b), "");
        check(&without)?;
    }

    #[test]
    fn a_scrambled_demo_plan_is_read_or_refused(
        which in 0..SOUND_PLANS,
        edits in prop::collection::vec((any::<Index>(), "[\\PC\n\t\r]{0,3}"), 1..6)
    ) {
        let mut text = sound_plan(which);
        for (at, put) in edits {
            let at = boundary(&text, at);
            text.insert_str(at, &put);
        }
        check(&text)?;
    }

    #[test]
    fn odd_values_are_read_or_refused(
        which in 0..SOUND_PLANS,
        edits in prop::collection::vec((any::<Index>(), any::<Index>()), 1..4)
    ) {
        let mut lines: Vec<String> = sound_plan(which).lines().map(str::to_string).collect();
        let keyed: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].contains(" = ")).collect();
        for (line, value) in edits {
            let at = keyed[line.index(keyed.len())];
            let value = ODD_VALUES[value.index(ODD_VALUES.len())];
            if let Some((key, _)) = lines[at].split_once(" = ") {
                lines[at] = format!("{key} = {value}");
            }
        }
        check(&lines.join("\n"))?;
    }

    #[test]
    fn any_runs_are_read_or_refused(
        paths in prop::collection::vec(prop::collection::vec(0..NAMES.len(), 0..7), 1..5),
        x in -60.0..60.0f64,
    ) {
        let mut text = sound_plan(SOUND_PLANS - 1);
        let runs = text.find("[rig.run").expect("runs");
        text.truncate(runs);
        for (i, path) in paths.iter().enumerate() {
            let names: Vec<&str> = path.iter().map(|name| NAMES[*name]).collect();
            text += &format!("[rig.run.r{i}]\npath = {names:?}\n");
        }
        check(&text.replace("\"25 m\"", &format!("\"{x} m\"")))?;
    }

    #[test]
    fn any_number_with_any_unit_is_finite(number: f64, unit in "[a-zA-Z%/0-9 ]{0,6}") {
        let text = EXAMPLES[0].1.replace("\"2.6 t\"", &format!("\"{number} {unit}\""));
        check(&text)?;
    }
}

#[test]
fn the_plans_to_spoil_are_sound() {
    for which in 0..SOUND_PLANS {
        assert!(read_plan(&sound_plan(which)).is_ok(), "{which}");
    }
}

#[test]
fn a_crowd_of_runs_ends_soon() {
    let mut text = sound_plan(SOUND_PLANS - 1);
    for i in 0..30 {
        text += &format!("[rig.run.r{i}]\npath = [\"casualty.rear\", \"strap-1\"");
        text += &", \"block-3\", \"ring-2\"".repeat(18);
        text += ", \"tug.front\"]\n";
    }
    assert!(read_plan(&text).is_err());
}

#[test]
fn deep_and_wide_files_end_soon() {
    let deep = format!("a = {}", "[".repeat(100_000));
    let wide = "[line.x]\n".repeat(100_000);
    let dotted = format!("{} = 1", vec!["a"; 50_000].join("."));
    let one_line = format!("title = \"{}\"", "x = 2.6 t, ".repeat(80_000));
    let names: String = (0..40_000)
        .map(|i| format!("[line.l{i}]\nmas = 1\n"))
        .collect();
    for text in [deep, wide, dotted, one_line, names] {
        let refused = read_plan(&text).is_err();
        assert!(refused, "{}", &text[..20]);
    }
}
