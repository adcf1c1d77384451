//! Draws of a sweep whose plan has a line that was measured in tests.

use crate::drawn_together::{
    APART, NUMBERS, PAIRS, as_ever, files, go_together, plan, scores, together,
};
use crate::plan_file::read_plan;
use crate::study::Study;

const RUNS: usize = 2048;
const MASS: &str = "casualty.mass = \"2.4 t to 2.8 t\"";

/// What a sweep of `vary` draws of every input, by the last word of its key.
fn swept(line: &str, points: &str, vary: &str) -> impl Fn(&str) -> Vec<f64> + use<> {
    let (text, lines) = (plan(), files(line));
    let study = format!("plan = \"p\"\nruns = {RUNS}\npoints = \"{points}\"\n[vary]\n{vary}\n");
    let study = Study::new(&study, (&text[..], &lines)).expect("a study");
    let set = |i| study.grid.set(&study.inputs, i);
    let all: Vec<Vec<(String, f64)>> = (0..RUNS as u64).map(set).collect();
    move |key| {
        let is = |set: &&(String, f64)| set.0.rsplit('.').next() == Some(key);
        let one = |set: &Vec<(String, f64)>| set.iter().find(is).expect("an input").1;
        all.iter().map(one).collect()
    }
}

#[test]
fn what_was_measured_together_is_drawn_together() {
    for points in ["sobol", "latin-hypercube", "random"] {
        for (line, sign) in [(together(), 1.0), (APART.to_string(), 0.0)] {
            let drawn = swept(&line, points, MASS);
            let plan = read_plan((&plan()[..], &files(&line))).expect("a plan");
            let columns = NUMBERS.map(|key| scores(&plan, key, &drawn(key)));
            for ((a, b), wanted) in PAIRS {
                go_together(&columns[a], &columns[b], sign * wanted);
            }
            columns.iter().for_each(|column| as_ever(column));
        }
        // The first of them, and whatever is not among them, keeps its very draws.
        let [apart, together] = [APART, &together()].map(|line| swept(line, points, MASS));
        for key in ["stretch", "mass"] {
            assert_eq!(apart(key), together(key));
        }
        assert_ne!(apart("set"), together("set"));
    }
}

#[test]
fn what_a_study_varies_itself_leaves_the_set() {
    let line = together();
    let plan = read_plan((&plan()[..], &files(&line))).expect("a plan");
    for (vary, spread) in [
        ("line.strap.stretch = [\"18 %\"]", false),
        ("line.strap.stretch = \"17 % to 19 %\"", true),
    ] {
        let drawn = swept(&line, "sobol", vary);
        let [back, set] = ["energy_return", "set"].map(|key| scores(&plan, key, &drawn(key)));
        go_together(&back, &set, 0.18);
        if spread {
            go_together(&drawn("stretch"), &back, 0.0);
        }
    }
}
