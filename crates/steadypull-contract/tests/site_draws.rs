//! Wind and bumps as they are drawn: what a draw changes, and what it leaves alone.

use steadypull_contract::plan_file::read_plan;
use steadypull_engine::chance::{Distribution, REPLICATES, Sampler};
use steadypull_engine::letgo::drawn::{LetGoDraw, StraightFlights};
use steadypull_engine::letgo::{Setup, SiteDraw};
use steadypull_engine::plan::{Gusts, Method, Plan};
use steadypull_engine::rig::find_path;
use steadypull_engine::units::{Angle, Force};

/// The demo of a kinetic pull on this site.
fn plan(site: &str) -> Plan {
    let path = format!(
        "{}/../../examples/uphill-sand.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(path).expect("the example is there");
    assert!(
        !text.contains("[site]"),
        "the demo says nothing of its site"
    );
    let text = format!("{text}\n[site]\n{site}");
    read_plan(&text).unwrap_or_else(|p| panic!("{}", p.report("plan.toml", &text)))
}

/// The runs of every thing that could fly in `draws` draws of the site alone.
fn setups(plan: &Plan, draws: u64) -> Vec<(SiteDraw, Setup)> {
    let path = find_path(plan, Method::Kinetic).expect("it has a rig");
    let flights = StraightFlights::new(plan, &path);
    let sampler = Sampler::sobol(3, 4, REPLICATES).expect("few inputs");
    let draw = |site: SiteDraw| LetGoDraw {
        pull: Force::from_kn(25.0),
        up: Angle::ZERO,
        left: Angle::ZERO,
        stretch: 1.0,
        energy_return: 0.5,
        hardware: 1.0,
        damper_grip: 1.0,
        tether_strength: 1.0,
        friction: 0.4,
        casualty_mass: 1.0,
        tug_mass: 1.0,
        site,
        along: 0.5,
    };
    (0..draws)
        .flat_map(|i| {
            let level = |k| sampler.level(i, k);
            let site = SiteDraw {
                gust: level(0),
                turn: level(1),
                bumps: [level(2), level(3)],
            };
            let flights = &flights;
            let one = draw(site);
            (0..flights.items.len()).map(move |item| (site, flights.setup(item, &one)))
        })
        .collect()
}

#[test]
fn a_draw_leaves_calm_air_and_even_ground_alone() {
    for (_, setup) in setups(&plan(""), 16) {
        assert_eq!(setup.wind_m_s, [0.0; 3]);
        assert_eq!(setup.ground.unwrap().roughness.phase, [0.0; 2]);
    }
}

#[test]
fn a_steady_wind_is_the_same_in_every_draw() {
    let site =
        "wind = \"9 m/s\"\nwind_from = \"30 deg\"\ngust_factor = 1\nwind_turns = \"0 deg\"\n";
    let from = Angle::from_deg(30.0);
    let (sin, cos) = (from.sin(), from.cos());
    for (_, setup) in setups(&plan(site), 16) {
        let [x, y, _] = setup.wind_m_s.map(f64::abs);
        assert!((x - 9.0 * cos).abs() < 1e-12 && (y - 9.0 * sin).abs() < 1e-12);
    }
}

#[test]
fn winds_and_bumps_are_spread_as_the_plan_says() {
    let site = "wind = \"10 m/s\"\ngust_factor = 1.6\nwind_turns = \"20 deg\"\nbumps = \"10 cm\"\n";
    let drawn = setups(&plan(site), 512);
    let speeds: Vec<f64> = drawn
        .iter()
        .map(|(_, s)| (s.wind_m_s[0] * s.wind_m_s[0] + s.wind_m_s[1] * s.wind_m_s[1]).sqrt())
        .collect();
    let count = speeds.len() as f64;
    let mean = speeds.iter().sum::<f64>() / count;
    let sd = (speeds.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / count).sqrt();
    assert!((mean - 10.0).abs() < 0.1, "{mean}");
    // A normal law of 0.24 cut off at 2.5 of its standard deviations has 0.95 of them.
    assert!((sd - 0.955 * 2.4).abs() < 0.1, "{sd}");
    assert!(
        speeds
            .iter()
            .all(|v| (4.0 - 1e-9..=16.0 + 1e-9).contains(v))
    );
    // Direction off its mean, which is across: one sixth lies a sigma or more to one side.
    let sigma = Angle::from_deg(20.0);
    let turned = |(_, s): &&(SiteDraw, Setup)| {
        let [x, y, _] = s.wind_m_s;
        x.abs() * sigma.cos() > y.abs() * sigma.sin()
    };
    let outside = drawn.iter().filter(turned).count() as f64 / count;
    assert!((outside - 0.317).abs() < 0.03, "{outside}");
    for (site, setup) in &drawn {
        assert_eq!(setup.ground.unwrap().roughness.phase, site.bumps);
    }
}

#[test]
fn defaults_of_a_wind_are_told_and_calm_air_has_none() {
    let keys = |site: &str| -> Vec<String> {
        let assumed = plan(site).assumed;
        assumed.into_iter().map(|a| a.key).collect()
    };
    let windy = keys("wind = \"5 m/s\"\n");
    for key in ["site.gust_factor", "site.wind_turns"] {
        assert!(windy.contains(&key.to_string()), "{windy:?}");
        assert!(!keys("").contains(&key.to_string()));
    }
    let gusts = plan("wind = \"5 m/s\"\n").site.gusts;
    assert_eq!(gusts.factor, 1.7);
    assert_eq!(plan("").site.gusts, Gusts::STEADY);
}

#[test]
fn a_gust_factor_beyond_two_has_lulls_to_calm_and_no_wind_backwards() {
    let Distribution::NormalWithin { low, high, .. } = (Gusts {
        factor: 2.6,
        turns: Angle::ZERO,
    })
    .speed() else {
        panic!("a gusty wind is spread");
    };
    assert_eq!((low, high), (0.0, 2.6));
}
