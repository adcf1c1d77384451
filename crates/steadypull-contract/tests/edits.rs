//! A plan's text is changed where it is changed and nowhere else; its form says every key.

use proptest::prelude::*;
use serde_json::{Value, json};
use steadypull_contract::EXAMPLES;
use steadypull_contract::operation::{
    Edit, EditRequest, Edited, Field, FieldKind, Rename, SetValue, edit,
};
use steadypull_contract::plan_file::{read_plan, variables};
use steadypull_contract::printed::Errors;

fn path(text: &str) -> Vec<String> {
    text.split('.').map(String::from).collect()
}

fn set(at: &str, value: Value) -> Edit {
    Edit::Set(SetValue {
        path: path(at),
        value,
    })
}

fn edited(plan: &str, edits: Vec<Edit>) -> Result<Edited, Errors> {
    edit(&EditRequest {
        lines: Default::default(),
        plan: plan.into(),
        edits,
        units: Default::default(),
    })
}

fn example(name: &str) -> &'static str {
    let found = EXAMPLES.iter().find(|(known, _)| *known == name);
    found.expect("a demo plan").1
}

fn field<'f>(edited: &'f Edited, key: &str) -> &'f Field {
    let found = edited.form.fields.iter().find(|field| field.key == key);
    found.unwrap_or_else(|| panic!("no field {key}"))
}

#[test]
fn the_form_says_what_stands_there_and_what_is_filled_in() {
    let form = edited(example("tree-double-line"), Vec::new()).expect("a form");
    assert_eq!(form.errors, []);
    let mass = field(&form, "casualty.mass");
    assert_eq!(mass.kind, FieldKind::Quantity);
    assert_eq!(mass.written, json!("2.3 t"));
    assert_eq!(mass.filled, None);
    assert!(mass.needed);
    assert_eq!(mass.units[0], "kg");
    assert_eq!(mass.limits.as_deref(), Some("300 kg to 60 t"));
    let soil = field(&form, "casualty.sits_in");
    assert_eq!(soil.kind, FieldKind::Word);
    assert!(soil.words.contains(&"mud".to_string()));
    let grip = field(&form, "tug.grip");
    assert_eq!(grip.written, Value::Null);
    let filled = grip.filled.as_ref().expect("filled in");
    assert_eq!(
        (&filled.value[..], filled.reason.is_empty()),
        ("0.68", false)
    );
    assert!(!grip.needed);
    let run = field(&form, "rig.run.main.path");
    assert_eq!(run.kind, FieldKind::Parts);
    let there = |key: &str| form.form.tables.iter().find(|table| table.key == key);
    assert!(there("lowering").is_some_and(|table| !table.there && !table.named));
    assert!(there("line").is_some_and(|table| table.there && table.named));
    assert_eq!(form.form.fields[0].key, "title");
}

/// One source of truth: what may be varied and what is assumed is in the form too.
#[test]
fn every_number_and_every_default_of_the_demo_plans_is_a_field() {
    for (name, text) in EXAMPLES {
        let form = edited(text, Vec::new()).expect("a form").form;
        let has = |key: &str| form.fields.iter().any(|field| field.key == key);
        let within = |key: &str| {
            let parts: Vec<&str> = key.split('.').collect();
            (1..=parts.len()).any(|n| has(&parts[..n].join(".")))
        };
        // Numbers of tables that the file leaves out come with the table.
        let there = |key: &str| {
            let table = key.rsplit_once('.').map_or("", |(table, _)| table);
            let absent = form.tables.iter().filter(|t| !t.there);
            !absent.into_iter().any(|t| table.starts_with(&t.key))
        };
        for variable in variables(text).expect("a plan") {
            let key = &variable.key;
            assert!(within(key) || !there(key), "{name}: {key} is no field");
        }
        let silent = form.fields.iter().filter(|field| field.expected.is_empty());
        let silent: Vec<_> = silent.map(|field| &field.key).collect();
        assert!(silent.is_empty(), "{name}: {silent:?}");
        for field in &form.fields {
            assert_eq!(field.problem, None, "{name}");
            assert!(field.written.is_null() || field.filled.is_none(), "{name}");
        }
    }
}

#[test]
fn an_empty_plan_has_a_form_and_says_what_it_needs() {
    let form = edited("", Vec::new()).expect("a form");
    assert!(!form.errors.is_empty());
    assert!(field(&form, "casualty.mass").needed);
    let keys: Vec<_> = form
        .errors
        .iter()
        .filter_map(|e| e.key.as_deref())
        .collect();
    assert_eq!(keys, ["casualty", "tug"]);
}

#[test]
fn mistakes_stand_beside_their_field() {
    let text = example("tree-double-line").replace("\"2.3 t\"", "\"2.3 T\"");
    let text = text.replace("\"bow-2\", \"winch-line\"", "\"bow-9\", \"winch-line\"");
    let form = edited(&text, vec![set("tug.colour", "red".into())]).expect("a form");
    let mass = field(&form, "casualty.mass")
        .problem
        .as_deref()
        .expect("a problem");
    assert!(
        mass.contains("unknown unit") && mass.contains("hint: did you mean"),
        "{mass}"
    );
    let run = field(&form, "rig.run.main.path").problem.as_deref();
    assert!(run.is_some_and(|said| said.contains("bow-9")));
    let keys: Vec<_> = form.errors.iter().map(|e| e.key.as_deref()).collect();
    assert!(keys.contains(&Some("tug.colour")), "{keys:?}");
}

#[test]
fn a_part_that_goes_leaves_an_editable_plan_with_its_mistakes_said() {
    let text = example("tree-double-line");
    let without = edited(text, vec![set("block.moving", Value::Null)]).expect("changed");
    assert!(!without.plan.contains("[block.moving]"));
    let named = |e: &&steadypull_contract::printed::InputError| e.message.contains("\"moving\"");
    assert_eq!(
        without.errors.iter().filter(named).count(),
        2,
        "{:?}",
        without.errors
    );
    let back =
        json!({ "wll": "8 t", "efficiency": "95 %", "sheave_diameter": "100 mm", "mass": "3 kg" });
    let back = edited(&without.plan, vec![set("block.moving", back)]).expect("changed");
    assert_eq!(back.errors, []);
    let same = read_plan(text).expect("a plan").kit.part("moving").cloned();
    let again = read_plan(&back.plan)
        .expect("a plan")
        .kit
        .part("moving")
        .cloned();
    assert_eq!(again, same);
}

fn rename(at: &str, name: &str) -> Edit {
    Edit::Rename(Rename {
        path: path(at),
        rename: name.into(),
    })
}

#[test]
fn a_new_name_goes_wherever_the_old_one_stood() {
    let cases = [
        ("tree-double-line", "block.moving", "snatch", 3),
        ("tree-double-line", "anchor.gum-1", "old-gum", 2),
        ("tree-double-line", "line.winch-line", "drum-line", 3),
        ("side-slope-bridle", "anchor.wagon-5", "wagon-9", 3),
        (
            "side-slope-bridle",
            "anchor.wagon-5.point.front",
            "bull-bar",
            2,
        ),
        ("side-slope-bridle", "casualty.point.front-left", "left", 2),
    ];
    for (plan, at, name, lines) in cases {
        let text = example(plan);
        let old = path(at).pop().expect("a name");
        let changed = edited(text, vec![rename(at, name)]).expect(at);
        assert_eq!(changed.errors, [], "{at}");
        let differ = text
            .lines()
            .zip(changed.plan.lines())
            .filter(|(a, b)| a != b);
        assert_eq!(differ.count(), lines, "{at}\n{}", changed.plan);
        let parent = path(at)[..path(at).len() - 1].join(".");
        let back = edited(
            &changed.plan,
            vec![rename(&format!("{parent}.{name}"), &old)],
        );
        assert_eq!(back.expect("back").plan, text, "{at}");
    }
}

#[test]
fn a_name_that_cannot_be_is_refused() {
    let text = example("tree-double-line");
    for (at, name, why) in [
        ("line.winch-line", "a b", "cannot be a name"),
        ("line.winch-line", "tug", "meaning of its own"),
        ("line.winch-line", "trunk-strap-1", "already"),
        ("line.nothing", "x", "no line.nothing"),
        ("casualty", "x", "no name of the plan's own"),
        ("casualty.mass", "x", "no name of the plan's own"),
    ] {
        let errors = edited(text, vec![rename(at, name)]).expect_err(at).errors;
        assert!(
            errors[0].message.contains(why),
            "{at}: {}",
            errors[0].message
        );
    }
}

#[test]
fn a_text_that_is_no_toml_is_refused_and_still_has_a_form() {
    let text = "[casualty]\nmass = 2.6 t\nname = \"x\"\n";
    let refused = edited(text, vec![set("casualty.name", "y".into())]).expect_err("refused");
    assert!(refused.errors[0].message.contains("does not read"));
    assert_eq!(refused.errors[1].line, Some(2));
    let form = edited(text, Vec::new()).expect("a form");
    assert_eq!(field(&form, "casualty.name").written, json!("x"));
    assert_eq!(form.plan, text);
}

#[test]
fn all_edits_or_none() {
    let text = example("rock-held");
    let edits = vec![set("title", "x".into()), set("casualty.mass.x", 1.into())];
    let refused = edited(text, edits).expect_err("refused");
    assert_eq!(refused.errors[0].key.as_deref(), Some("casualty.mass.x"));
    assert!(refused.errors[0].message.contains("single value"));
}

/// Any value that can be written.
fn value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        (-1e12..1e12f64).prop_map(Value::from),
        "[ -~äöµ\t\n\u{7f}\u{1f600}]{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::from),
            prop::collection::btree_map("[a-z \"]{0,5}", inner, 0..3)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

fn lines(text: &str) -> Vec<&str> {
    text.lines().collect()
}

/// Lines of `text` that are not, in order, lines of `other`.
fn lost(text: &str, other: &str) -> usize {
    let (a, b) = (lines(text), lines(other));
    let mut best = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for i in 0..a.len() {
        for j in 0..b.len() {
            let both = if a[i] == b[j] { best[i][j] + 1 } else { 0 };
            best[i + 1][j + 1] = both.max(best[i][j + 1]).max(best[i + 1][j]);
        }
    }
    a.len() - best[a.len()][b.len()]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_value_and_back_gives_the_text_again(which in 0usize..1000, new in value()) {
        let (_, text) = EXAMPLES[which % EXAMPLES.len()];
        let form = edited(text, Vec::new()).expect("a form").form;
        let written: Vec<&Field> = form.fields.iter().filter(|f| !f.written.is_null()).collect();
        let field = written[which / EXAMPLES.len() % written.len()];
        prop_assume!(new != field.written);
        let with = |value: Value| Edit::Set(SetValue { path: field.path.clone(), value });
        let changed = edited(text, vec![with(new)]).expect("changed").plan;
        prop_assert!(lost(text, &changed) <= 1, "{changed}");
        let back = edited(&changed, vec![with(field.written.clone())]).expect("back").plan;
        prop_assert_eq!(back, text);
    }

    #[test]
    fn what_is_added_and_taken_away_leaves_the_text_as_it_was(
        which in 0usize..1000, name in "[a-z]{1,8}x7", deeper in "[a-z]{1,8}", new in value(),
        crlf: bool, cut: bool,
    ) {
        let (_, text) = EXAMPLES[which % EXAMPLES.len()];
        let text = if cut { text.trim_end() } else { text };
        let text = if crlf { text.replace('\n', "\r\n") } else { text.into() };
        let tables = edited(&text, Vec::new()).expect("a form").form.tables;
        // A heading made on the way stays, as for [tug.point] above [tug.point.rear].
        let headed = |key: &str| text.contains(&format!("[{key}]"));
        let tables: Vec<_> = tables.iter().filter(|t| headed(&t.key)).collect();
        let table = &tables[which / EXAMPLES.len() % tables.len()].path;
        let key: Vec<String> = table.iter().cloned().chain([name.clone()]).collect();
        let inner: Vec<String> = key.iter().cloned().chain([deeper]).collect();
        for (at, taken) in [(&key, &key), (&inner, &key)] {
            let add = Edit::Set(SetValue { path: at.clone(), value: new.clone() });
            let take = Edit::Set(SetValue { path: taken.clone(), value: Value::Null });
            let more = edited(&text, vec![add]).expect("added").plan;
            prop_assert_eq!(lost(&text, &more), 0, "{}", more);
            prop_assert_eq!(&edited(&more, vec![take]).expect("taken").plan, &text, "{}", more);
        }
    }

    #[test]
    fn no_text_and_no_path_makes_it_fall_over(
        text in "[\\[\\]{}=.,\"'#a-c0-9 \n\r\u{e4}]{0,60}",
        at in prop::collection::vec("[a-c0-9.\"\u{e4}]{0,2}", 0..4),
        new in prop_oneof![Just(Value::Null), value()],
    ) {
        if let Ok(changed) = edited(&text, vec![Edit::Set(SetValue { path: at.clone(), value: new })]) {
            prop_assert!(!changed.errors.is_empty());
        }
        let _named = edited(&text, vec![Edit::Rename(Rename { path: at, rename: "d".into() })]);
    }
}
