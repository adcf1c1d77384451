//! Plans read again with some of their numbers replaced.

use proptest::prelude::*;

use steadypull_contract::EXAMPLES;
use steadypull_contract::plan_file::{ParsedPlan, Variable, read_plan, read_plan_with, variables};
use steadypull_engine::plan::{Part, Plan};

fn laid_out() -> String {
    [
        include_str!("laid_out/common.toml"),
        include_str!("laid_out/runs.toml"),
    ]
    .concat()
}

/// Every demo plan, one laid out on the ground, and the one of the documentation
/// that says everything.
fn plans() -> Vec<String> {
    let documented = include_str!("../../../docs/plan-file.md");
    let (_, after) = documented
        .split_once("## A plan with every key")
        .expect("the heading");
    let (_, after) = after.split_once("```toml\n").expect("its start");
    let (every_key, _) = after.split_once("```").expect("its end");
    let demos = EXAMPLES.iter().map(|(_, text)| text.to_string());
    demos.chain([laid_out(), every_key.to_string()]).collect()
}

/// What a plan says, without the list of what was filled in.
fn said(plan: Plan) -> Plan {
    Plan {
        units: Default::default(),
        assumed: Vec::new(),
        ..plan
    }
}

fn listed(text: &str) -> Vec<Variable> {
    variables(text).unwrap_or_else(|e| panic!("{}", e.report("plan", text)))
}

#[test]
fn a_key_set_to_its_own_value_changes_nothing() {
    for text in plans() {
        let parsed = ParsedPlan::new(&text).expect("short");
        let plain = said(parsed.plan().expect("a plan"));
        let all = listed(&text);
        assert!(all.len() > 40, "{} numbers", all.len());
        for one in &all {
            let set = [(one.key.clone(), one.value)];
            let again = parsed
                .plan_with(&set)
                .unwrap_or_else(|e| panic!("{}: {}", one.key, e.report("plan", &text)));
            assert_eq!(said(again), plain, "{}", one.key);
        }
        let every: Vec<_> = all.iter().map(|v| (v.key.clone(), v.value)).collect();
        assert_eq!(said(parsed.plan_with(&every).expect("all of them")), plain);
    }
}

#[test]
fn a_replaced_number_takes_its_followers_along() {
    let text = EXAMPLES[0].1;
    let plain = read_plan(text).expect("a plan");
    let heavier = read_plan_with(text, &[("tug.mass".into(), 4000.0)]).expect("a plan");
    assert_eq!(heavier.tug.vehicle.mass.get(), 4000.0);
    assert!(
        heavier.tug.max_drive.get() > plain.tug.max_drive.get(),
        "the drive taken from the mass follows"
    );
    // A key that the file leaves out.
    let set = [("tug.grip".to_string(), 0.61)];
    assert_eq!(read_plan_with(text, &set).expect("a plan").tug.grip, 0.61);
    // Of a key set twice the last holds.
    let set = [
        ("tug.grip".to_string(), 0.2),
        ("tug.grip".to_string(), 0.61),
    ];
    assert_eq!(read_plan_with(text, &set).expect("a plan").tug.grip, 0.61);
    // A depth stands in place of its class.
    assert!(text.contains("sunk_to"));
    let set = [("casualty.depth".to_string(), 0.21)];
    let sunk = read_plan_with(text, &set).expect("a plan").casualty.sunk;
    assert_eq!(sunk.map(|sunk| sunk.depth.get()), Some(0.21));
}

#[test]
fn the_shape_of_a_stretch_curve_is_kept() {
    let text = "[casualty]\nmass = \"2.4 t\"\nsits_in = \"clay\"\n\
                [tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n\
                [line.strap-1]\nmaterial = \"nylon-webbing\"\nlength = \"9 m\"\nmbs = \"9 t\"\n\
                stretch = [[\"5 %\", \"20 %\"], [\"20 %\", \"100 %\"]]\n";
    let curve = |set: &[(String, f64)]| {
        let plan = read_plan_with(text, set).expect("a plan");
        let Some(Part::Line(line)) = plan.kit.part("strap-1").cloned() else {
            panic!("a line");
        };
        line.curve
    };
    let (plain, longer) = (curve(&[]), curve(&[("line.strap-1.stretch".into(), 0.3)]));
    assert_eq!(longer.strain_at_break(), 0.3);
    for share in [0.1, 0.2, 0.5, 0.9] {
        let (before, after) = (
            plain.strain_for_share(share),
            longer.strain_for_share(share),
        );
        assert!(
            (after - 1.5 * before).abs() < 1e-9,
            "{share}: {before} to {after}"
        );
    }
}

#[test]
fn what_cannot_be_set_is_told() {
    let text = EXAMPLES[0].1;
    let told = |key: &str, value: f64| {
        let problems = read_plan_with(text, &[(key.into(), value)]).expect_err(key);
        assert_eq!(problems.problems.len(), 1, "{problems:?}");
        let first = &problems.problems[0];
        let hint = first.hint.clone().unwrap_or_default();
        format!("{}; {hint}", first.message)
    };
    assert_eq!(
        told("casualty.mas", 1.0),
        "\"casualty.mas\" is no number of this plan; did you mean \"casualty.mass\"?"
    );
    assert!(told("tug.name", 1.0).contains("is no number of this plan"));
    assert!(told("casualty", 1.0).contains("is no number of this plan"));
    assert!(told("boards", 1.0).contains("is no number of this plan"));
    assert_eq!(
        told("casualty.mass", 12.0),
        "casualty.mass is out of range; it was set to 12 kg, not by the file"
    );
    assert!(told("casualty.mass", f64::NAN).contains("is no finite number"));
    assert!(told("casualty.locked_wheels", 1.5).contains("cannot be this"));
    assert!(told("casualty.hub_height", 1.5).contains("is out of order"));
}

#[test]
fn a_replaced_spread_is_no_spread() {
    let text = EXAMPLES[0]
        .1
        .replace("mass = \"2.6 t\"", "mass = \"2.2 t to 2.8 t\"");
    assert_eq!(read_plan(&text).expect("a plan").spreads.len(), 1);
    let set = [("casualty.mass".to_string(), 2700.0)];
    let plan = read_plan_with(&text, &set).expect("a plan");
    assert!(plan.spreads.is_empty());
    assert_eq!(plan.casualty.vehicle.mass.get(), 2700.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_number_can_be_set_or_is_refused(
        which in 0..8usize,
        picks in prop::collection::vec((any::<prop::sample::Index>(), any::<f64>(), 0.0..1.0f64), 1..5),
    ) {
        let all_plans = plans();
        let text = &all_plans[which % all_plans.len()];
        let all = listed(text);
        let set: Vec<(String, f64)> = picks
            .iter()
            .map(|(at, odd, level)| {
                let one = &all[at.index(all.len())];
                let value = match one.limits {
                    Some((low, high)) => low + level * (high - low),
                    None => *odd,
                };
                (one.key.clone(), value)
            })
            .collect();
        match read_plan_with(text, &set) {
            Ok(plan) => {
                let text = format!("{plan:?}");
                prop_assert!(!text.contains("NaN"), "{text}");
            }
            Err(problems) => prop_assert!(!problems.problems.is_empty()),
        }
    }

    #[test]
    fn any_key_and_value_is_read_or_refused(key in "[a-z._0-9-]{0,24}", value: f64) {
        let set = [(key, value)];
        if let Err(problems) = read_plan_with(EXAMPLES[0].1, &set) {
            prop_assert!(!problems.problems.is_empty());
        }
    }
}
