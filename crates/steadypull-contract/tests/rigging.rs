//! Rigs made for the drawing board carry the loads of the rigs that they are made of.

use serde_json::{Value, json};
use steadypull_contract::EXAMPLES;
use steadypull_contract::answer::{LoadPath, MethodName};
use steadypull_contract::operation::{
    Edit, EditRequest, Edited, LayOut, LiveRequest, OpenAsRig, SetValue, edit, lay_out, live,
    open_as_rig,
};
use steadypull_contract::printed::Errors;

fn example(name: &str) -> String {
    let found = EXAMPLES.iter().find(|(known, _)| *known == name);
    found.expect("a demo plan").1.into()
}

fn with(plan: &str, edits: &[(&str, Value)]) -> String {
    let edits = edits.iter().map(|(path, value)| {
        Edit::Set(SetValue {
            path: path.split('.').map(String::from).collect(),
            value: value.clone(),
        })
    });
    let edits = edits.collect();
    let plan = plan.into();
    edit(&EditRequest {
        lines: Default::default(),
        plan,
        edits,
        units: Default::default(),
    })
    .expect("changed")
    .plan
}

fn opened(plan: &str, method: MethodName) -> Result<Edited, Errors> {
    open_as_rig(&OpenAsRig {
        lines: Default::default(),
        plan: plan.into(),
        method,
    })
}

/// The plan with everything that a line is made fast to at the same height.
fn level(plan: &str) -> String {
    let points = [
        "casualty.point.rear-left",
        "casualty.point.rear-right",
        "tug.point.rear",
        "tug.winch",
    ];
    let edits = points.map(|point| format!("{point}.height"));
    let edits: Vec<_> = edits.iter().map(|key| (&key[..], json!("0.6 m"))).collect();
    with(plan, &edits)
}

fn laid(plan: &str) -> Result<Edited, Errors> {
    lay_out(&LayOut {
        plan: plan.into(),
        lines: Default::default(),
    })
}

fn load_path(plan: &str) -> LoadPath {
    let found = live(&LiveRequest {
        lines: Default::default(),
        plan: plan.into(),
        edits: Vec::new(),
        units: Default::default(),
    });
    assert_eq!(found.errors, []);
    found.load_path.expect("a load path")
}

fn load_of(path: &LoadPath, link: &str) -> f64 {
    let found = path.links.iter().find(|found| found.name == link);
    found.unwrap_or_else(|| panic!("no link {link}")).load_n
}

/// Every link of `straight` carries the same in `on_ground`, within `share` of it.
fn same_loads(straight: &LoadPath, on_ground: &LoadPath, share: f64) {
    let same = |a: f64, b: f64| (a - b).abs() <= share * a.abs();
    assert!(same(straight.tension_n, on_ground.tension_n));
    for link in &straight.links {
        let found = load_of(on_ground, &link.name);
        assert!(
            same(link.load_n, found),
            "{}: {} N straight, {found} N on the ground",
            link.name,
            link.load_n
        );
    }
}

#[test]
fn a_straight_tow_lies_on_the_ground_under_the_same_load() {
    let plan = example("guard-deep-clay");
    let edited = laid(&plan).expect("laid out");
    assert_eq!(edited.errors, []);
    for kept in [
        "# The rig that the crew has in mind",
        "[rig.run.main]",
        "facing",
    ] {
        assert!(edited.plan.contains(kept), "{}", edited.plan);
    }
    // Points at unlike heights: the line rises by that, which a straight path leaves out.
    let rises = 1.0 / (1.0 - (0.1f64 / 9.0).powi(2)).sqrt() - 1.0;
    same_loads(&load_path(&plan), &load_path(&edited.plan), rises);
    let level = level(&plan);
    let on_ground = laid(&level).expect("laid out").plan;
    same_loads(&load_path(&level), &load_path(&on_ground), 1e-6);
    // It is laid out already.
    let again = laid(&edited.plan).expect("laid out");
    assert_eq!(again.plan, edited.plan);
}

#[test]
fn what_the_ladder_proposes_opens_as_the_plans_own_rig() {
    let methods = [
        MethodName::SteadyTow,
        MethodName::WinchSingle,
        MethodName::WinchMulti,
        MethodName::Kinetic,
    ];
    let mut opened_rigs = 0;
    for (name, text) in EXAMPLES {
        if *name == "steep-bank-lowering" {
            continue;
        }
        let bare = with(text, &[("rig", Value::Null)]);
        for method in methods {
            let Ok(edited) = opened(&bare, method) else {
                continue;
            };
            opened_rigs += 1;
            assert_eq!(edited.errors, [], "{name}");
            if method == MethodName::Kinetic {
                assert!(edited.plan.contains("method = \"kinetic\""), "{name}");
                continue;
            }
            let path = load_path(&edited.plan);
            assert_eq!(
                (path.method, path.proposed),
                (Some(method), false),
                "{name}"
            );
            let answered = steadypull_contract::plan_file::read_plan(&bare).expect("a plan");
            let answered = steadypull_contract::answer_plan(&answered).expect("an answer");
            let rung = answered.options.ladder.iter().find(|r| r.method == method);
            let proposed = &rung.expect("a rung").links;
            assert!(!proposed.is_empty(), "{name}");
            for link in proposed {
                let load = load_of(&path, &link.name);
                let same = (load - link.peak_load_n).abs() <= 1e-9 * link.peak_load_n.abs();
                assert!(
                    same,
                    "{name} {}: {load} N, proposed {} N",
                    link.name, link.peak_load_n
                );
            }
        }
    }
    assert!(opened_rigs > 8, "only {opened_rigs}");
}

#[test]
fn winch_pulls_lie_on_the_ground_with_the_wraps_that_must_stay() {
    let bare = with(&example("guard-deep-clay"), &[("rig", Value::Null)]);
    let bare = level(&bare);
    let point = json!({ "kind": "rated", "wll": "5 t", "mbs": "15 t", "height": "0.6 m" });
    let bare = with(&bare, &[("tug.point.front", point)]);
    for (method, share) in [
        (MethodName::WinchSingle, 1e-6),
        // The dead end lies beside the winch: the parts of line are all but in line.
        (MethodName::WinchMulti, 2e-3),
    ] {
        let straight = opened(&bare, method).expect("a rig").plan;
        let on_ground = laid(&straight).unwrap_or_else(|e| panic!("{method:?}: {e:?}"));
        same_loads(&load_path(&straight), &load_path(&on_ground.plan), share);
    }
}

#[test]
fn what_a_laid_out_rig_would_lose_is_refused_in_words() {
    let refused = |plan: &str| laid(plan).expect_err("refused").errors.remove(0).message;
    assert!(refused(&example("uphill-sand")).contains("kinetic"));
    let sloping = with(
        &example("guard-deep-clay"),
        &[("site.slope_along", "5 deg".into())],
    );
    assert!(refused(&sloping).contains("[site]"));
    let bare = with(&example("guard-deep-clay"), &[("rig", Value::Null)]);
    assert!(refused(&bare).contains("no rig"));
    let dig = opened(&bare, MethodName::ClearAndDig).expect_err("refused");
    assert!(dig.errors[0].message.contains("needs no rig"));
    let broken = with(&bare, &[("casualty.mass", "heavy".into())]);
    let broken = opened(&broken, MethodName::SteadyTow).expect_err("refused");
    assert_eq!(broken.errors[0].key.as_deref(), Some("casualty.mass"));
}
