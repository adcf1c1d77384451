//! The figure of damper set-ups, on invented answers.

use steadypull_brief::{damper_figure, png};
use steadypull_contract::answer::{
    ArrivalEnergies, DamperChoice, DamperDesign, DamperWish, EnergySpread, HungDamper, LoadPoint,
    Side, UsualSetUp,
};
use steadypull_contract::show::Units;

fn spread(median_j: f64) -> EnergySpread {
    EnergySpread {
        median_j,
        quantile_j: 1.6 * median_j,
        band_low_j: 1.3 * median_j,
        band_high_j: None,
    }
}

fn energies(hardware_j: f64, damper_j: f64) -> ArrivalEnergies {
    ArrivalEnergies {
        hardware: spread(hardware_j),
        damper: spread(damper_j),
        worst: spread(hardware_j.max(damper_j)),
        met_share: 0.2,
        met_low: 0.1,
        met_high: 0.4,
        arrives_share: 1.0,
        draws: 20,
        failed: 0,
    }
}

fn hung(mass_kg: f64) -> HungDamper {
    HungDamper {
        mass_kg,
        from_hardware_m: 4.5,
        from_hardware_share: 0.5,
    }
}

fn design(greatest_j: f64) -> DamperDesign {
    let names = ["none", "0.5 kg in the middle", "5 kg in the middle"];
    let at = |tension_n: f64, share: f64, own: bool| LoadPoint {
        tension_n,
        stored_energy_j: share * greatest_j,
        own,
        energies: (0..names.len())
            .map(|k| energies(share * greatest_j / (k + 1) as f64, share * 40.0 * k as f64))
            .collect(),
        advice: None,
    };
    DamperDesign {
        missing: None,
        wish: Some(DamperWish {
            link: "bow-1 & <co>".into(),
            worst: true,
            parts_at: Side::Casualty,
            flies: "bow-1".into(),
            hardware_mass_kg: 1.5,
            tension_n: 2e4,
            stored_energy_j: greatest_j,
            line_m: 9.0,
            under_j: 79.0,
            chance: 0.95,
            first_casualty_j: 15.0,
            most_kg: 15.0,
            grip_n: 200.0,
            drag_area_m2: 0.05,
        }),
        meets: false,
        headline: "No dampers up to 15.0 kg each will do".into(),
        bare: Some(energies(greatest_j, 0.0)),
        numbers: vec![DamperChoice {
            dampers: vec![hung(5.0)],
            total_kg: 5.0,
            meets: false,
            search: energies(300.0, 500.0),
            check: energies(300.0, 500.0),
        }],
        chosen: Some(0),
        other_links: Vec::new(),
        by_mass: Vec::new(),
        by_place: Vec::new(),
        placed_mass_kg: 5.0,
        by_grip: Vec::new(),
        by_load: vec![at(2e3, 0.0, false), at(2e4, 0.5, true), at(8e4, 1.0, false)],
        usual: names
            .iter()
            .map(|name| UsualSetUp {
                name: (*name).into(),
                dampers: Vec::new(),
            })
            .collect(),
        advice: Vec::new(),
        accuracy: None,
    }
}

#[test]
fn one_panel_a_set_up_and_one_for_the_answer() {
    for units in [Units::Metric, Units::Imperial] {
        let svg = damper_figure(&design(12_000.0), units).expect("a figure");
        let panels = ["A  None", "B  0.5 kg", "C  5 kg", "D  Of the answer"];
        for panel in panels.map(|p| p.split("  ").last().unwrap_or(p)) {
            assert!(svg.contains(panel), "{panel}");
        }
        // The link's name is text, not markup, in the words for those who cannot see it.
        assert!(svg.contains("bow-1 &amp; &lt;co&gt;"));
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
        assert!(png(&svg, 800).is_ok_and(|picture| picture.starts_with(b"\x89PNG")));
    }
}

#[test]
fn odd_numbers_and_nothing_at_all_draw_without_harm() {
    for greatest in [f64::NAN, f64::INFINITY, 0.0, 1e300] {
        let svg = damper_figure(&design(greatest), Units::Metric).expect("a figure");
        let shapes = svg.split("</desc>").last().unwrap_or_default();
        assert!(
            !shapes.contains("NaN") && !shapes.contains("inf\""),
            "{greatest}"
        );
    }
    let nothing = DamperDesign {
        wish: None,
        ..design(1.0)
    };
    assert_eq!(damper_figure(&nothing, Units::Metric), None);
    let unmapped = DamperDesign {
        by_load: Vec::new(),
        ..design(1.0)
    };
    assert_eq!(damper_figure(&unmapped, Units::Metric), None);
}
