//! The demo plans and the page on the plan file are read as they stand.

use steadypull_contract::EXAMPLES;
use steadypull_contract::plan_file::{inputs, read_plan};
use steadypull_contract::show::Units;
use steadypull_engine::plan::{Method, Part, Plan, Policy};
use steadypull_engine::units::{Force, Length, Mass};

fn plan(name: &str, text: &str) -> Plan {
    read_plan(text).unwrap_or_else(|problems| panic!("{}", problems.report(name, text)))
}

fn example(name: &str) -> Plan {
    let (_, text) = EXAMPLES.iter().find(|(n, _)| *n == name).expect(name);
    plan(name, text)
}

#[test]
fn every_demo_plan_reads() {
    for (name, text) in EXAMPLES {
        let plan = plan(name, text);
        let rig = plan.rig.as_ref();
        let rigged = rig.is_some_and(|rig| rig.path.len() >= 3 || rig.layout.is_some());
        assert!(
            rigged || plan.lowering.is_some(),
            "{name} has a rig or a lowering"
        );
        assert!(!plan.assumed.is_empty(), "{name} lists its defaults");
        for assumed in &plan.assumed {
            assert!(
                !assumed.value.is_empty() && !assumed.reason.is_empty(),
                "{}",
                assumed.key
            );
        }
        for units in [Units::Metric, Units::Imperial] {
            let lines = inputs(&plan, units);
            assert!(
                lines.iter().any(|l| l.starts_with("casualty mass ")),
                "{lines:#?}"
            );
            assert!(
                lines
                    .iter()
                    .any(|l| l.starts_with("rig for ") || l.starts_with("lowering line ")),
                "{lines:#?}"
            );
            assert!(lines.iter().all(|l| !l.contains("unknown")), "{lines:#?}");
        }
    }
}

#[test]
fn the_numbers_are_the_ones_written() {
    let plan = example("guard-deep-clay");
    assert_eq!(plan.casualty.vehicle.mass, Mass::new(2600.0));
    assert_eq!(plan.casualty.sunk.map(|s| s.depth), Some(Length::new(0.6)));
    let Some(Part::Line(strap)) = plan.kit.part("kinetic-9t") else {
        panic!("no strap")
    };
    assert_eq!(strap.mbs, Force::from_tf(9.0));
    assert!(strap.kinetic && strap.condition.wear == 0.3);
    let Some(Part::Shackle(bow)) = plan.kit.part("bow-1") else {
        panic!("no shackle")
    };
    let ratio = bow.mbs / Force::from_tf(4.75);
    assert!((ratio - 5.0).abs() < 1e-6, "CV-SHK-02: {ratio}");
    let Some(Part::Bridle(bridle)) = plan.kit.part("rear") else {
        panic!("no bridle")
    };
    assert!(
        (bridle.span.get() - 0.84).abs() < 1e-12,
        "from the points' offsets"
    );
    assert_eq!(plan.policy, Policy::default());
    let places: Vec<f64> = plan.kit.dampers.iter().map(|d| d.place).collect();
    assert_eq!(places, [0.0, 0.5, 1.0]);
}

#[test]
fn published_strap_rule_holds_in_the_demo() {
    // CV-STRAP-01: MBS two to three times the gross mass of the lighter vehicle.
    for (name, strap) in [
        ("guard-deep-clay", "kinetic-9t"),
        ("uphill-sand", "kinetic-8t"),
    ] {
        let plan = example(name);
        let Some(Part::Line(line)) = plan.kit.part(strap) else {
            panic!("no strap")
        };
        let lighter = plan
            .casualty
            .vehicle
            .gross_mass
            .min(plan.tug.vehicle.gross_mass);
        let ratio = line.mbs / lighter.weight();
        assert!((2.0..=3.0 + 1e-12).contains(&ratio), "{name}: {ratio}");
    }
}

#[test]
fn the_held_casualty_is_a_fixed_end() {
    let plan = example("rock-held");
    assert!(
        plan.casualty
            .held_by
            .is_some_and(|hold| hold.yields_at.is_none())
    );
    assert_eq!(plan.rig.map(|rig| rig.method), Some(Method::Kinetic));
}

const PAGE: &str = include_str!("../../../docs/plan-file.md");

/// The TOML blocks of the page.
fn blocks() -> Vec<&'static str> {
    PAGE.split("```toml\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect()
}

#[test]
fn the_smallest_plan_of_the_page_reads() {
    let plan = plan("the page", blocks()[0]);
    assert!(plan.rig.is_none());
    assert_eq!(plan.policy, Policy::default());
}

#[test]
fn the_whole_plan_of_the_page_assumes_nothing() {
    let plan = plan("the page", blocks()[1]);
    assert_eq!(plan.assumed, [], "every default can be replaced by a key");
}

#[test]
fn the_page_states_every_default_of_the_policy() {
    let plan = plan("the page", blocks()[0]);
    let policy: Vec<_> = plan
        .assumed
        .iter()
        .filter_map(|a| Some((a.key.strip_prefix("policy.")?, &a.value)))
        .collect();
    assert_eq!(policy.len(), 15);
    for (key, value) in policy {
        let row = PAGE
            .lines()
            .find(|l| l.starts_with(&format!("| `{key}` |")));
        let default = row.and_then(|row| row.split('|').nth(4)).expect(key);
        assert!(
            default.trim().starts_with(value.as_str()),
            "{key}: {value}, not {default}"
        );
    }
}

#[test]
fn the_page_names_every_key_that_is_filled_in() {
    for (name, text) in EXAMPLES {
        for assumed in plan(name, text).assumed {
            let key = assumed.key.rsplit('.').next().expect("a key").to_string();
            let said = PAGE.contains(&format!("`{key}`")) || PAGE.contains(&format!(".{key}`"));
            assert!(said, "{}", assumed.key);
        }
    }
}
