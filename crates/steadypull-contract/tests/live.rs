//! The quick answer tells the same as the whole one, and less of it.

use steadypull_contract::answer::{Answer, PlanPoint};
use steadypull_contract::operation::{Edit, Live, LiveRequest, SetValue, live};
use steadypull_contract::plan_file::read_plan;
use steadypull_contract::{EXAMPLES, answer_plan};

fn quick(text: &str, edits: Vec<Edit>) -> Live {
    live(&LiveRequest {
        lines: Default::default(),
        plan: text.into(),
        edits,
        units: Default::default(),
    })
}

fn whole(text: &str) -> Answer {
    answer_plan(&read_plan(text).expect("a plan")).expect("an answer")
}

/// Whether a point lies in a polygon, its edge included.
fn inside(corners: &[PlanPoint], point: &PlanPoint) -> bool {
    let mut inside = false;
    let mut nearest = f64::INFINITY;
    for (i, a) in corners.iter().enumerate() {
        let b = &corners[(i + 1) % corners.len()];
        let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
        let (px, py) = (point.x_m - a.x_m, point.y_m - a.y_m);
        if (a.y_m > point.y_m) != (b.y_m > point.y_m)
            && point.x_m < a.x_m + dx * (point.y_m - a.y_m) / dy
        {
            inside = !inside;
        }
        let along = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
        let (ax, ay) = (px - along * dx, py - along * dy);
        nearest = nearest.min((ax * ax + ay * ay).sqrt());
    }
    inside || nearest < 1e-6
}

#[test]
fn what_it_tells_is_what_the_whole_answer_tells() {
    for (name, text) in EXAMPLES {
        let (quick, whole) = (quick(text, Vec::new()), whole(text));
        assert_eq!(quick.errors, [], "{name}");
        assert_eq!(quick.plan, *text, "{name}");
        assert_eq!(quick.situation.as_ref(), Some(&whole.situation), "{name}");
        assert!(!quick.quick.is_empty(), "{name}");
        let Some(load_path) = &quick.load_path else {
            assert!(quick.quick[0].contains("kinetic"), "{name}");
            assert_eq!((&quick.rig, &quick.standoff), (&None, &None), "{name}");
            continue;
        };
        assert_eq!(load_path, &whole.load_path, "{name}");
        assert_eq!(quick.rig, whole.rig, "{name}");
        for finding in &quick.findings {
            let known = |f: &&steadypull_contract::answer::Finding| {
                f.code == finding.code && f.subject == finding.subject
            };
            let same = whole.findings.iter().find(known);
            let same = same.unwrap_or_else(|| panic!("{name}: {} is new", finding.code));
            assert!(
                finding == same || finding.code == "bystanders-close",
                "{name}"
            );
        }
        let (rule, told) = (quick.standoff.expect("a standoff"), &whole.standoff);
        assert_eq!(rule.rule_m, told.rule_m, "{name}");
        assert_eq!(rule.rule, told.rule, "{name}");
        assert_eq!(rule.rule_zone, told.rule_zone, "{name}");
        assert_eq!(rule.outlines, told.outlines, "{name}");
        assert_eq!((rule.runs, rule.computed_reach_m), (0, 0.0), "{name}");
        assert_eq!(rule.places, [], "{name}");
        assert!(quick.quick[0].contains("can only grow"), "{name}");
        for corner in &rule.zone {
            assert!(
                inside(&told.zone, corner),
                "{name}: the zone shrank at {corner:?}"
            );
        }
        for area in &rule.danger_areas {
            let later = told.danger_areas.iter().find(|a| a.name == area.name);
            let later = later.unwrap_or_else(|| panic!("{name}: no {}", area.name));
            assert!(
                area.corners.iter().all(|c| inside(&later.corners, c)),
                "{name}"
            );
        }
        assert!(
            rule.behind_casualty_m <= told.behind_casualty_m + 1e-9,
            "{name}"
        );
        assert!(rule.behind_tug_m <= told.behind_tug_m + 1e-9, "{name}");
        assert!(rule.beside_m <= told.beside_m + 1e-9, "{name}");
    }
}

/// The demo plans without their rig: the quick answer shows the rig that is proposed.
#[test]
fn a_rig_that_is_proposed_is_the_same_or_left_out() {
    for (name, text) in EXAMPLES {
        let without = Edit::Set(SetValue {
            path: vec!["rig".into()],
            value: serde_json::Value::Null,
        });
        let quick = quick(text, vec![without]);
        let whole = whole(&quick.plan);
        assert_eq!(quick.errors, [], "{name}");
        match &quick.load_path {
            Some(load_path) => assert_eq!(load_path, &whole.load_path, "{name}"),
            None => assert!(quick.quick[0].contains("kinetic"), "{name}"),
        }
    }
}

#[test]
fn a_drag_moves_the_loads_and_a_mistake_is_said() {
    let (_, text) = EXAMPLES
        .iter()
        .find(|(name, _)| *name == "tree-double-line")
        .expect("a demo plan");
    let moved = |y: &str| {
        let edit = Edit::Set(SetValue {
            path: ["anchor", "gum-2", "at", "1"].map(String::from).to_vec(),
            value: y.into(),
        });
        quick(text, vec![edit])
    };
    let there = moved("-4 m");
    assert!(there.plan.contains("at = [\"23 m\", \"-4 m\"]"));
    assert_eq!(
        there.load_path.as_ref(),
        Some(&whole(&there.plan).load_path)
    );
    assert_ne!(there.rig, quick(text, Vec::new()).rig);
    let wrong = moved("over there");
    assert_eq!(wrong.errors[0].key.as_deref(), Some("anchor.gum-2.at"));
    assert_eq!((wrong.load_path, wrong.situation), (None, None));
    assert!(wrong.plan.contains("over there"));
}
