//! Anchors of a plan: read, loaded, and what is said of them.

use steadypull_contract::anchors::{anchors, findings};
use steadypull_contract::answer::AnchorKind;
use steadypull_contract::plan_file::{inputs, read_plan};
use steadypull_contract::show::Units;
use steadypull_engine::finding::Severity;
use steadypull_engine::gear::anchor::{hold, vehicle::tug_hold};
use steadypull_engine::plan::{AnchorKind as Kind, Hitch, Layout, Method, Part, Plan, Pose, Rig};
use steadypull_engine::rig::LinkKind;
use steadypull_engine::rig::links::{Side, anchor_link, strap_link};
use steadypull_engine::rig::loads::load_links;
use steadypull_engine::situation::tug_ability;
use steadypull_engine::units::{Angle, Length};

const PLAN: &str = r#"
[casualty]
mass = "2.6 t"
sits_in = "clay"
sunk_to = "wheel"

[tug]
mass = "2.9 t"
surface = "grass"

[line.trunk]
material = "polyester-webbing"
length = "3 m"
mbs = "12 t"
hitch = "choke"

[shackle.bow-1]
kind = "bow"
wll = "4.75 t"
pin_gap = "12 mm"

[anchor.gum]
kind = "tree"
at = ["12 m", "3 m", "1 m"]
stem_diameter = "420 mm"
sound = true

[anchor.row]
kind = "pickets"
at = ["14 m", "-3 m"]
banks = [3, 2, 1]
ground = "loam"

[anchor.log]
kind = "deadman"
at = ["20 m", "0 m"]
depth = "1.5 m"
line_slope = "1 in 4"
face = "0.35 m"
length = "1.6 m"
ground = "loam"

[anchor.base]
kind = "plate"
at = ["16 m", "0 m"]
pins = 9
ground = "wet"

[anchor.wagon-3]
kind = "vehicle"
at = ["18 m", "4 m"]
facing = "180 deg"
mass = "2.4 t"
surface = "dry-earth"
chocked = true
slope_along = "5 deg"

[anchor.wagon-3.point.front]
kind = "rated"
wll = "5 t"

[anchor.bolt]
kind = "stated"
at = ["9 m", "9 m"]
what = "ring bolt in the rock"
holds = "8 t"
"#;

fn plan() -> Plan {
    read_plan(PLAN).unwrap_or_else(|problems| panic!("{}", problems.report("anchors", PLAN)))
}

fn laid_out() -> Plan {
    let mut plan = plan();
    let mut casualty = Pose::default();
    casualty.at.x = Length::new(2.0);
    let mut tug = casualty;
    tug.at.x = Length::new(-60.0);
    plan.rig = Some(Rig {
        method: Method::WinchSingle,
        path: Vec::new(),
        layout: Some(Layout {
            casualty,
            tug,
            runs: Vec::new(),
        }),
        run_up_speed: None,
        slack: Length::ZERO,
    });
    plan
}

/// A load of `n` newton from the anchor towards the casualty, level.
fn towards_casualty(name: &str, n: f64) -> Vec<(String, [f64; 3])> {
    vec![(name.to_string(), [-n, 0.0, 0.0])]
}

#[test]
fn every_kind_reads_and_says_what_was_assumed() {
    let plan = plan();
    assert_eq!(plan.kit.anchors.len(), 6);
    let gum = plan.kit.anchor("gum").unwrap();
    assert_eq!(gum.place.metres(), [12.0, 3.0, 1.5]);
    let Kind::Vehicle(wagon) = &plan.kit.anchor("wagon-3").unwrap().kind else {
        panic!("no vehicle")
    };
    assert_eq!(
        (wagon.grip, wagon.pose.facing),
        (0.68, Angle::from_deg(180.0))
    );
    let assumed = |key: &str| {
        let found = plan.assumed.iter().find(|a| a.key == key);
        found.unwrap_or_else(|| panic!("{key}")).value.clone()
    };
    assert_eq!(assumed("anchor.gum.height"), "42 m");
    assert_eq!(assumed("anchor.gum.sort"), "other");
    assert_eq!(assumed("anchor.row.steel"), "false");
    assert_eq!(assumed("anchor.log.trench"), "0.3 m");
    assert_eq!(assumed("anchor.wagon-3.tows"), "false");
    assert_eq!(assumed("anchor.bolt.spread"), "0.3");
    let lines = inputs(&plan, Units::Metric);
    let said = |start: &str| lines.iter().any(|line| line.starts_with(start));
    assert!(
        said("anchor gum at 12") && said("anchor wagon-3 at 18"),
        "{lines:#?}"
    );
    assert!(lines.iter().any(|l| l.contains("rigged as a choke")));
    assert!(lines.iter().any(|l| l.contains("mm free on its pin")));
}

#[test]
fn the_anchors_are_shown_with_the_pull_at_which_they_yield() {
    let plan = laid_out();
    let mut loads = towards_casualty("gum", 20e3);
    loads.push(("wagon-3.front".into(), [-10e3, 0.0, 0.0]));
    let shown = anchors(&plan, &loads, Some([8e3, 0.0, 0.0]), 30e3);
    let kinds: Vec<AnchorKind> = shown.iter().map(|a| a.kind).collect();
    assert_eq!(
        kinds,
        [AnchorKind::Tree, AnchorKind::Vehicle, AnchorKind::Tug]
    );
    for anchor in &shown {
        let at = anchor.yields_at_median_n.unwrap();
        assert!((at * anchor.share / anchor.median_hold_n - 1.0).abs() < 1e-9);
        assert!(anchor.yields_at_low_n.unwrap() < at && at < anchor.yields_at_high_n.unwrap());
        assert!(!anchor.method.is_empty() && !anchor.source.is_empty());
    }
    assert_eq!(shown.iter().filter(|a| a.yields_first).count(), 1);
    assert!(shown[2].when_it_yields.contains("walks"));
    assert_eq!(shown[0].falls_within_m, Some(42.0));
    assert_eq!(anchors(&plan, &loads, None, 0.0), []);
    assert_eq!(anchors(&plan, &loads, None, f64::NAN), []);
}

#[test]
fn the_tug_as_an_anchor_agrees_with_what_the_situation_says_of_it() {
    let mut plan = plan();
    for deg in [0.0, 8.0, -8.0] {
        plan.tug.slope_along = Angle::from_deg(deg);
        let sampled = tug_ability(&plan.tug, 1).anchor;
        // The line lies along the slope, down it when the slope is positive.
        let slope = plan.tug.slope_along;
        let held = tug_hold(
            &plan.tug,
            None,
            [slope.cos(), 0.0, -slope.sin()],
            plan.units,
        );
        for (exact, of_samples) in [
            (held.low, sampled.low),
            (held.median, sampled.median),
            (held.high, sampled.high),
        ] {
            assert!(
                (exact / of_samples - 1.0).abs() < 2e-3,
                "{deg} deg: {exact:?} {of_samples:?}"
            );
        }
    }
}

#[test]
fn a_tree_that_can_reach_the_casualty_and_an_anchor_loaded_too_far_are_told() {
    let plan = laid_out();
    let loads = towards_casualty("gum", 60e3);
    let found = findings(&plan, &loads, None, 60e3);
    let of = |code: &str| found.iter().find(|f| f.code == code).unwrap();
    assert_eq!(of("anchor-over-loaded").severity, Severity::Critical);
    let tree = of("tree-falls");
    assert!(tree.severity == Severity::Warning && tree.message.contains("the casualty"));
    assert!(!tree.message.contains("the tug"), "{}", tree.message);
    let light = findings(&plan, &towards_casualty("bolt", 1e3), None, 1e3);
    assert_eq!(light, []);
}

#[test]
fn links_of_straps_and_anchors_stand_in_a_load_path() {
    let plan = plan();
    let Some(Part::Line(trunk)) = plan.kit.part("trunk") else {
        panic!("no strap")
    };
    assert_eq!(trunk.hitch, Hitch::Choke);
    let strap = strap_link(trunk, Side::Between, Angle::ZERO);
    assert!(
        strap
            .factors
            .iter()
            .any(|f| f.what == "choked" && f.left == 0.8)
    );
    let anchor = plan.kit.anchor("bolt").unwrap();
    let held = hold(anchor, [1.0, 0.0, 0.0], Units::Metric);
    let link = anchor_link(anchor, &held, Units::Metric, Side::Between);
    assert_eq!(link.kind, LinkKind::Anchor);
    let loaded = load_links(&[link], held.median, Method::WinchSingle, &plan.policy);
    assert!((loaded[0].parting_probability.unwrap() - 0.5).abs() < 1e-9);
    // What lets go at once is held to the policy's chance of parting.
    let at = |chance: f64| {
        let links = [loaded[0].link.clone()];
        load_links(
            &links,
            held.quantile(chance),
            Method::WinchSingle,
            &plan.policy,
        )[0]
        .state
    };
    use steadypull_engine::rig::LinkState;
    assert_eq!(
        at(0.99 * plan.policy.parting_probability),
        LinkState::Within
    );
    assert_eq!(
        at(1.01 * plan.policy.parting_probability),
        LinkState::OverPolicy
    );
}
