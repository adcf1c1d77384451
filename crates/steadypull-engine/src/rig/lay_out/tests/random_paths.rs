//! Any names in any order are laid out or refused, never worse.

use super::*;
use crate::plan::Plan;
use proptest::prelude::*;
use proptest::sample::select;

const NAMES: [&str; 26] = [
    "casualty.rear",
    "casualty.rear-left",
    "casualty.front",
    "tug.winch",
    "tug.front",
    "tug.rear",
    "tree-1",
    "tree-2",
    "wagon-3",
    "wagon-3.rear",
    "winch-line",
    "long-1",
    "long-2",
    "strap-1",
    "strap-2",
    "bow-1",
    "bow-2",
    "block-1",
    "block-2",
    "block-3",
    "ring-1",
    "ring-2",
    "bridle-e",
    "bridle-f",
    "tug-bridle",
    "nothing",
];
const METHODS: [Method; 7] = [
    Method::ClearAndDig,
    Method::AirDownAndBoards,
    Method::SteadyTow,
    Method::WinchSingle,
    Method::WinchMulti,
    Method::Kinetic,
    Method::Lower,
];

fn check(plan: &Plan) -> Result<(), TestCaseError> {
    match graph(plan) {
        Ok(graph) => {
            let hauled = |run: &GraphRun| matches!(run.holds, Holds::Hauled { .. });
            prop_assert!(graph.runs.iter().any(hauled));
            for node in &graph.nodes {
                prop_assert!(node.place_m.iter().all(|x| x.is_finite()), "{node:?}");
            }
            for run in &graph.runs {
                prop_assert_eq!(run.parts.len() + 1, run.stops.len());
                prop_assert!(run.rest_m > 0.0 && run.stiffness_n > 0.0, "{:?}", run);
                prop_assert!(run.rest_m.is_finite() && run.stiffness_n.is_finite());
            }
        }
        Err(faults) => {
            prop_assert!(!faults.is_empty());
            let told = |f: &RigFault| !f.message.is_empty() && !f.remedy.is_empty();
            prop_assert!(faults.iter().all(told));
        }
    }
    Ok(())
}

/// Two stations with a line and sometimes more between them.
fn likely_path() -> impl Strategy<Value = Vec<&'static str>> {
    let station = select(vec![
        "casualty.rear",
        "casualty.rear-left",
        "tug.winch",
        "tug.front",
        "tree-1",
        "tree-2",
        "wagon-3.rear",
        "block-1",
        "block-2",
        "ring-1",
        "bridle-e",
        "bridle-f",
        "tug-bridle",
    ]);
    let line = select(vec![
        "winch-line",
        "long-1",
        "long-2",
        "strap-1",
        "strap-2",
        "tow-1",
    ]);
    let round = prop::collection::vec(
        select(vec![
            "block-1", "block-2", "block-3", "ring-1", "ring-2", "tree-1",
        ]),
        0..4,
    );
    (station.clone(), line, round, station).prop_map(|(from, line, round, to)| {
        let mut path = vec![from, line];
        path.extend(round);
        path.push(to);
        path
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_paths_are_laid_out_or_refused(
        method in select(METHODS.to_vec()),
        paths in prop::collection::vec(prop::collection::vec(select(NAMES.to_vec()), 0..7), 0..4),
    ) {
        let names = ["a", "b", "c", "d"];
        let runs: Vec<(&str, &[&str])> = names.into_iter().zip(paths.iter().map(Vec::as_slice)).collect();
        check(&plan(method, &runs))?;
    }

    #[test]
    fn likely_rigs_are_laid_out_or_refused(
        method in select(METHODS.to_vec()),
        paths in prop::collection::vec(likely_path(), 1..5),
        x in -40.0..40.0f64,
        y in -40.0..40.0f64,
    ) {
        let names = ["a", "b", "c", "d"];
        let runs: Vec<(&str, &[&str])> = names.into_iter().zip(paths.iter().map(Vec::as_slice)).collect();
        let mut plan = plan(method, &runs);
        plan.kit.anchors[0] = scene::tree("tree-1", x, y);
        check(&plan)?;
    }
}
