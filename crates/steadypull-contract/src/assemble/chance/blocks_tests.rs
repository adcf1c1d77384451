//! Draws of a study whose plan has a line that was measured in tests.

use super::*;
use crate::assemble::chance::rigged::choose;
use crate::drawn_together::{
    APART, NUMBERS, PAIRS, as_ever, files, go_together, plan, scores, together,
};

/// What `look` sees of the study of a plan with the line file `line`.
fn with_study<R>(line: &str, look: impl Fn(&Study) -> R) -> R {
    let (text, lines) = (plan(), files(line));
    let parsed = ParsedPlan::new((&text[..], &lines)).expect("short");
    let plan = parsed.plan().expect("a plan");
    let rig = choose(&plan, Some(1)).expect("a rig");
    let options = ChanceOptions::default();
    look(&Study::new((&parsed, &plan), &rig, 3, &options).expect("a study"))
}

fn place(study: &Study, number: &str) -> usize {
    let key = format!("line.strap.{number}");
    let found = study.variables.iter().position(|v| v.key == key);
    found.expect("a variable")
}

#[test]
fn both_halves_of_a_row_are_drawn_together() {
    with_study(&together(), |study| {
        for from in [0, study.variables.len()] {
            let rows: Vec<Vec<f64>> = (0..2048).map(|row| study.levels(row, from)).collect();
            let columns = NUMBERS.map(|number| {
                let at = place(study, number);
                let distribution = study.variables[at].distribution;
                let value = |row: &Vec<f64>| distribution.quantile(row[at]);
                scores(
                    study.plan,
                    number,
                    &rows.iter().map(value).collect::<Vec<f64>>(),
                )
            });
            for ((a, b), wanted) in PAIRS {
                go_together(&columns[a], &columns[b], wanted);
            }
            columns.iter().for_each(|column| as_ever(column));
        }
    });
}

/// Only what goes together moves, and within it the first does not.
#[test]
fn all_others_keep_their_levels() {
    let levels = |line: &str| {
        with_study(line, |study| {
            let moved = ["energy_return", "set"].map(|number| place(study, number));
            let mut levels = study.levels(9, study.variables.len());
            moved.iter().for_each(|at| levels[*at] = 0.5);
            (levels, study.joined.len())
        })
    };
    let (apart, none) = levels(APART);
    let (together, one) = levels(&together());
    assert_eq!((none, one), (0, 1));
    assert_eq!(apart, together);
}

/// What is drawn together is one group, all others are what they were: a row changes it
/// whole.
#[test]
fn a_set_is_one_group() {
    let groups = |line: &str| with_study(line, |study| study.groups.clone());
    let (apart, together) = (groups(APART), groups(&together()));
    assert_eq!(apart.len(), together.len() + 2);
    let whole = together
        .iter()
        .find(|g| g.words == "line strap as measured");
    assert_eq!(whole.expect("a group").members.len(), 3);
}
