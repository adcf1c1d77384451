//! Rigs laid out on the ground: what is read, and that a short form is the same
//! rig as its runs written out.

use steadypull_contract::plan_file::{inputs, read_plan};
use steadypull_contract::show::Units;
use steadypull_engine::plan::{Anchor, AnchorKind, Layout, Part, Place, Plan, Tree, TreeSort};
use steadypull_engine::rig::lay_out::graph;
use steadypull_engine::units::{Angle, Length};

const COMMON: &str = include_str!("laid_out/common.toml");

fn plan(rig: &str) -> Plan {
    let text = format!("{COMMON}{rig}");
    read_plan(&text).unwrap_or_else(|problems| panic!("{}", problems.report("rig", &text)))
}

fn layout(plan: &Plan) -> &Layout {
    let rig = plan.rig.as_ref().expect("a rig");
    assert!(rig.path.is_empty());
    rig.layout.as_ref().expect("a layout")
}

/// A short form is the same rig as its runs.
fn same(short: &str, written_out: &str) {
    let (short, written) = (plan(short), plan(written_out));
    assert_eq!(layout(&short), layout(&written));
    assert_eq!(graph(&short), graph(&written));
    assert!(graph(&short).is_ok());
}

const SINGLE: &str = r#"
[rig]
method = "winch-single"
layout = "single-line"
casualty_end = ["bow-1", "casualty.rear"]
"#;

#[test]
fn places_are_read() {
    let plan = plan(SINGLE);
    let Layout { casualty, tug, .. } = layout(&plan);
    assert_eq!(tug.at.metres(), [25.0, 0.0, 0.3]);
    assert_eq!(casualty.facing, Angle::from_deg(180.0));
    assert_eq!(
        plan.casualty.vehicle.recovery_points[0].forward,
        Length::new(-2.3)
    );
}

#[test]
fn what_a_laid_out_rig_takes_for_granted_is_listed() {
    let with = |rig: &str| {
        let assumed = plan(rig).assumed.into_iter();
        assumed.map(|a| (a.key, a.value)).collect::<Vec<_>>()
    };
    let laid = with(SINGLE);
    for (key, value) in [
        ("casualty.point.rear.forward", "-2.3 m"),
        ("tug.winch.forward", "2.3 m"),
        ("rig.shackle_length", "0.1 m"),
        ("rig.tug_end", "[\"tug.winch\"]"),
        ("rig.line", "winch-line"),
        ("ring.ring-1.friction", "0.15"),
    ] {
        assert!(
            laid.contains(&(key.into(), value.into())),
            "{key}: {laid:#?}"
        );
    }
    let unused = ["tug.point.front.forward", "rig.trunk_friction"];
    assert!(laid.iter().all(|(key, _)| !unused.contains(&key.as_str())));
    let straight = with(
        "[rig]\nmethod = \"winch-single\"\npath = [\"casualty.rear\", \"bow-1\", \"winch-line\", \"tug.winch\"]\n",
    );
    assert!(straight.iter().all(|(key, _)| !key.ends_with("forward")));
}

#[test]
fn a_ring_is_gone_round_with_friction() {
    let plan = plan(SINGLE);
    let Some(Part::Block(ring)) = plan.kit.part("ring-1") else {
        panic!("no ring")
    };
    assert_eq!(ring.ring_friction, Some(0.15));
    // CV-CAP-01: mu 0.15 round 180 deg, tension ratio 1.601978.
    assert!((ring.efficiency * 1.601_978 - 1.0).abs() < 1e-6);
}

#[test]
fn the_single_line_form() {
    same(
        SINGLE,
        r#"
[rig]
method = "winch-single"
[rig.run.main]
path = ["tug.winch", "winch-line", "bow-1", "casualty.rear"]
"#,
    );
}

#[test]
fn the_redirect_form() {
    same(
        r#"
[rig]
method = "winch-multi"
layout = "redirect"
redirect_block = "block-1"
redirect_at = ["bow-2", "strap-1", "tug.front-left"]
casualty_end = ["bow-1", "rear"]
"#,
        r#"
[rig]
method = "winch-multi"
[rig.run.main]
path = ["tug.winch", "winch-line", "block-1", "bow-1", "rear"]
[rig.run.redirect]
path = ["block-1", "bow-2", "strap-1", "tug.front-left"]
"#,
    );
}

#[test]
fn the_double_line_form_with_a_bridle_and_a_redirect() {
    same(
        r#"
[rig]
method = "winch-multi"
layout = "double-line"
tug_end = ["tug.winch"]
line = "winch-line"
redirect_block = "ring-1"
redirect_at = ["bow-2", "strap-1", "tug.front-left"]
blocks = ["block-1"]
casualty_end = ["bow-1", "rear"]
dead_end = ["bow-3", "tug.front-right"]
"#,
        r#"
[rig]
method = "winch-multi"
[rig.run.main]
path = ["tug.winch", "winch-line", "ring-1", "block-1", "bow-3", "tug.front-right"]
[rig.run.redirect]
path = ["ring-1", "bow-2", "strap-1", "tug.front-left"]
[rig.run.moving]
path = ["block-1", "bow-1", "rear"]
"#,
    );
}

#[test]
fn the_triple_line_form() {
    same(
        r#"
[rig]
method = "winch-multi"
layout = "triple-line"
blocks = ["block-1", "block-2"]
casualty_end = ["bow-1", "casualty.rear"]
fixed_at = ["bow-2", "tug.front"]
dead_end = ["bow-3", "block-1"]
"#,
        r#"
[rig]
method = "winch-multi"
[rig.run.main]
path = ["tug.winch", "winch-line", "block-1", "block-2", "bow-3", "block-1"]
[rig.run.moving]
path = ["block-1", "bow-1", "casualty.rear"]
[rig.run.fixed]
path = ["block-2", "bow-2", "tug.front"]
"#,
    );
}

#[test]
fn a_tow_with_a_bridle_at_either_end() {
    same(
        r#"
[rig]
method = "steady-tow"
layout = "single-line"
tug_end = ["front", "bow-2"]
line = "tow-1"
casualty_end = ["bow-1", "rear"]
"#,
        r#"
[rig]
method = "steady-tow"
[rig.run.main]
path = ["front", "bow-2", "tow-1", "bow-1", "rear"]
"#,
    );
}

const PAGE: &str = include_str!("../../../docs/plan-file.md");

/// The blocks of the page with this tag.
fn blocks(tag: &str) -> Vec<&'static str> {
    let fence = format!("```toml {tag}\n");
    let blocks = PAGE.split(fence.as_str()).skip(1);
    blocks.filter_map(|rest| rest.split("```").next()).collect()
}

#[test]
fn the_rigs_of_the_page_are_laid_out() {
    let rigs = blocks("rig");
    assert_eq!(rigs.len(), 5);
    for rig in rigs {
        let mut plan = plan(rig);
        assert!(!layout(&plan).runs.is_empty());
        if plan.kit.anchors.is_empty() {
            plan.kit.anchors.push(tree());
        }
        assert!(graph(&plan).is_ok(), "{rig}\n{:#?}", graph(&plan));
    }
}

/// The tree of the page, where its line bears on it.
fn tree() -> Anchor {
    let metres = Length::new;
    Anchor {
        name: "tree-1".into(),
        place: Place {
            x: metres(12.0),
            y: metres(8.0),
            z: metres(0.6),
        },
        kind: AnchorKind::Tree(Tree {
            stem_diameter: metres(0.45),
            height: metres(15.0),
            strap_height: metres(0.6),
            sort: TreeSort::Other,
            sound: true,
        }),
    }
}

#[test]
fn the_places_and_the_ring_of_the_page_are_read() {
    let [places] = blocks("places")[..] else {
        panic!("the places")
    };
    assert!(read_plan(places).is_ok());
    let [ring] = blocks("ring")[..] else {
        panic!("the ring")
    };
    assert!(
        plan(&format!("{SINGLE}{ring}"))
            .kit
            .part("turn-1")
            .is_some()
    );
}

#[test]
fn the_page_names_every_key_that_a_laid_out_rig_fills_in() {
    // These two are no keys: the page gives their figures in words.
    let no_keys = ["rig.shackle_length", "rig.trunk_friction"];
    for assumed in plan(SINGLE).assumed {
        let key = assumed.key.rsplit('.').next().expect("a key");
        let said = PAGE.contains(&format!("`{key}`")) || PAGE.contains(&format!(".{key}`"));
        assert!(
            said || no_keys.contains(&assumed.key.as_str()),
            "{}",
            assumed.key
        );
    }
}

#[test]
fn a_laid_out_rig_is_listed_among_the_inputs() {
    for units in [Units::Metric, Units::Imperial] {
        let lines = inputs(&plan(SINGLE), units);
        for said in [
            "rig for winch-single: laid out on the ground",
            "casualty stands at ",
            "tug.winch lies ",
            "casualty.rear lies ",
            "run main: tug.winch - winch-line - bow-1 - casualty.rear",
            "ring ring-1: ",
        ] {
            assert!(
                lines.iter().any(|l| l.starts_with(said)),
                "{said}: {lines:#?}"
            );
        }
    }
}
