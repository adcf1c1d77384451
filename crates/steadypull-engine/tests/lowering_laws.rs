//! Laws that hold for any lowering: work, order, energy, frames.

use proptest::prelude::*;
use steadypull_engine::line::{Condition, Law, Material, Path};
use steadypull_engine::plan::{
    Holder, LineAnchor, LoweredBody, Lowering, MainLine, SlopePiece, Surface,
};
use steadypull_engine::pull::lowering::holding::{
    Draws, Held, Holding, balance, holding, line_point,
};
use steadypull_engine::pull::lowering::line_way::Terrain;
use steadypull_engine::pull::lowering::profile::Profile;
use steadypull_engine::pull::lowering::run_away::{CatchLine, End, RunAway, Setup, run_away};
use steadypull_engine::pull::lowering::stance::on_axles;
use steadypull_engine::units::{Angle, Force, G, Length, Mass, Speed};

const MASS: Mass = Mass::new(2400.0);

fn pieces(way: &[(f64, f64)]) -> Vec<SlopePiece> {
    let piece = |&(length, deg): &(f64, f64)| SlopePiece {
        length: Length::new(length),
        slope: Angle::from_deg(deg),
    };
    way.iter().map(piece).collect()
}

fn body() -> LoweredBody {
    LoweredBody {
        wheelbase: Length::new(2.8),
        cg_height: Length::new(0.75),
        front_share: 0.53,
        nose_down: true,
        overhang: Length::new(0.9),
        line_height: Length::new(0.65),
        clearance: Length::new(1.2),
        belly_friction: 0.4,
    }
}

fn lowering(way: &[(f64, f64)], rolling: f64) -> Lowering {
    Lowering {
        way: pieces(way),
        edge_radius: Length::new(2.0),
        from: Length::ZERO,
        to: Length::new(way.iter().map(|p| p.0).sum::<f64>() - 4.0),
        body: body(),
        surface: Surface::DryEarth,
        grip: 0.7,
        rolling,
        rolling_spread: 0.2,
        mass_spread: 0.05,
        own_hold: 0.0,
        edge_friction: 0.0,
        speed: Speed::from_kmh(2.0),
        main: MainLine {
            line: "rope".into(),
            point: "casualty.rear".into(),
            holder: Holder::Winch,
            anchor: LineAnchor {
                name: "tug".into(),
                holds: None,
                back: Length::new(8.0),
                height: Length::new(0.6),
            },
            through: Vec::new(),
            block_gives: Length::ZERO,
            tail: Length::ZERO,
        },
        belay: None,
    }
}

fn held(lowering: &Lowering) -> Holding {
    let profile = Profile::new(&lowering.way, lowering.edge_radius.get());
    let anchor = &lowering.main.anchor;
    let terrain = Terrain::new(&profile, anchor.back.get(), anchor.height.get());
    let on = Held {
        profile: &profile,
        terrain: &terrain,
        lowering,
        blocks: 1.0,
        mass: MASS,
        design_quantile: 0.95,
    };
    holding(&on, &Draws::new(lowering, 1))
}

#[test]
fn virtual_work_of_the_line_is_the_fall_of_the_weight() {
    // No friction, wheels on the ground all the way: T dL = -W dz of the centre of
    // gravity, over a rounded edge and through the foot, whatever the geometry.
    let low = lowering(&[(6.0, 3.0), (14.0, 31.0), (12.0, 6.0)], 1e-9);
    let profile = Profile::new(&low.way, 2.0);
    let terrain = Terrain::new(&profile, 8.0, 0.6);
    let at = |s: f64| {
        let stance = on_axles(&profile, &low.body, s);
        let line = terrain.line_to(line_point(&stance, &low.body));
        let tension = balance(&stance, &low.body, line.out, 0.0).tension;
        (tension, line.length_m, stance.centre(&low.body)[1])
    };
    // The line bends over eight chords of each arc, so steps are small against them.
    let (steps, from, to) = (40_000, 0.0, 26.0);
    let mut work = 0.0;
    let mut before = at(from);
    let start = before;
    for i in 1..=steps {
        let now = at(from + (to - from) * f64::from(i) / f64::from(steps));
        work += 0.5 * (now.0 + before.0) * (now.1 - before.1);
        before = now;
    }
    let fallen = start.2 - before.2;
    assert!(fallen > 5.0);
    assert!((work / fallen - 1.0).abs() < 1e-3, "{}", work / fallen);
}

#[test]
fn the_demo_bank_holds_what_an_instructor_expects() {
    // 2.4 t on 25 to 30 deg: W sin a less rolling, 9 to 11 kN.
    for (deg, rolling) in [(26.0, 0.06), (28.0, 0.08), (30.0, 0.09)] {
        let found = held(&lowering(&[(6.0, 3.0), (22.0, deg), (10.0, 2.0)], rolling));
        let a = Angle::from_deg(deg);
        let plain = MASS.weight().get() * (a.sin() - rolling * a.cos());
        let middle = &found.stations[found.stations.len() / 2];
        let got = middle.hold.median.get();
        assert!((got / plain - 1.0).abs() < 0.02, "{deg}: {got} and {plain}");
        assert!((8.5e3..11.5e3).contains(&got));
        assert!(found.peak().hold.design > found.peak().hold.median);
    }
}

#[test]
fn nose_up_with_the_weights_swapped_is_the_same() {
    let down = lowering(&[(6.0, 3.0), (14.0, 31.0), (12.0, 6.0)], 0.08);
    let mut up = down.clone();
    up.body.nose_down = false;
    up.body.front_share = 1.0 - down.body.front_share;
    let (a, b) = (held(&down), held(&up));
    for (a, b) in a.stations.iter().zip(&b.stations) {
        assert!((a.hold.median.get() - b.hold.median.get()).abs() < 1e-6);
    }
}

#[test]
fn load_drops_on_the_chassis_and_jumps_once_it_is_off() {
    let mut low = lowering(&[(6.0, 2.0), (16.0, 35.0), (12.0, 2.0)], 0.08);
    low.edge_radius = Length::new(0.2);
    low.body.clearance = Length::new(0.2);
    let found = held(&low);
    let (first, last) = found.belly.expect("it bears on the edge");
    assert!(found.rocks.is_some() && first < last);
    let rock = found.rocks.expect("it rocks");
    assert!(rock.to_rad > rock.from_rad);
    let on = |d: f64| {
        let near = found.stations.iter().min_by(|a, b| {
            (a.distance_m - d)
                .abs()
                .total_cmp(&(b.distance_m - d).abs())
        });
        near.expect("a station").hold.median.get()
    };
    // The chassis drags on the edge and takes the load off the line; once the upper
    // axle is over the edge the line has all of it.
    assert!(on(first + 0.2) < 0.3 * on(first - 0.2));
    assert!(on(last + 1.0) > 2.0 * on(last - 0.2));
    assert!(rock.to_rad - rock.from_rad > 0.15);
    assert!(!found.pitches_over());
}

fn nylon(slack: f64, slips_at: Option<f64>) -> CatchLine {
    let material = Material::NylonBraid;
    let curve = material.curve().expect("the preset is a curve");
    let law = Law::new(
        &curve,
        Force::from_tf(11.0),
        &Condition::default(),
        material,
    );
    CatchLine {
        path: Path::new(law, 0.0),
        length: Length::new(18.0 + slack),
        slack: Length::new(slack),
        slips_at: slips_at.map(Force::new),
        tail: Length::new(8.0),
    }
}

fn run(way: &[(f64, f64)], c: f64, v: f64, start: f64, catch: Option<CatchLine>) -> RunAway {
    let profile = Profile::new(&pieces(way), 1.0);
    run_away(&Setup {
        profile: &profile,
        wheelbase: Length::new(2.8),
        mass: MASS,
        holds_back: c,
        start: Length::new(start),
        foot: Length::new(24.0),
        speed: Speed::new(v),
        catch,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn holding_force_rises_with_the_slope(deg in 10.0..45.0f64, more in 0.5..10.0f64) {
        let at = |deg| held(&lowering(&[(5.0, 2.0), (18.0, deg), (8.0, 2.0)], 0.08));
        let (low, high) = (at(deg), at(deg + more));
        let middle = |h: &Holding| h.stations[h.stations.len() / 2].hold.median;
        prop_assert!(middle(&high) > middle(&low));
        prop_assert!(low.stations.iter().all(|s| s.hold.low.get() >= 0.0));
        prop_assert!(low.stations.iter().all(|s| s.hold.low <= s.hold.median && s.hold.median <= s.hold.high));
    }

    #[test]
    fn belay_peak_rises_with_slack(deg in 15.0..40.0f64, slack in 0.0..2.0f64, more in 0.05..2.0f64) {
        let way = [(60.0, deg)];
        let law = nylon(0.0, None);
        // The same line but for its slack: a longer rest length would soften it.
        let peak = |slack: f64| {
            let catch = CatchLine { slack: Length::new(slack), ..law.clone() };
            run(&way, 0.06, 0.5, 2.0, Some(catch)).peak
        };
        prop_assert!(peak(slack + more) > peak(slack));
    }

    #[test]
    fn energy_is_never_made(
        deg in 5.0..45.0f64, foot in -10.0..10.0f64, c in 0.0..0.3f64, v in 0.0..1.5f64,
        start in 0.0..20.0f64, slack in 0.0..3.0f64, slip in prop::option::of(4e3..60e3f64),
    ) {
        let way = [(6.0, 3.0), (18.0, deg), (20.0, foot)];
        let out = run(&way, c, v, start, Some(nylon(slack, slip)));
        prop_assert!(out.audit.error_share().abs() < 1e-3, "{}", out.audit.error_share());
        // Never faster than a free fall from the start to the lowest ground in reach.
        let fall = 24.0 * Angle::from_deg(deg).sin() + 6.0 + 350.0 * Angle::from_deg(foot.max(0.0)).sin();
        let fastest = out.greatest_speed.get();
        prop_assert!(fastest * fastest <= v * v + 2.0 * G * fall + 1e-6);
        prop_assert!(out.series.iter().all(|s| s.speed_m_s.is_finite() && s.force_n >= 0.0));
        if let Some(slip) = slip {
            prop_assert!(out.peak.get() <= slip * 1.001);
        }
        if out.end == End::Caught {
            prop_assert!(out.stopping.is_some() && out.ran.is_some());
        }
    }

    #[test]
    fn a_way_cut_into_pieces_is_the_same_way(deg in 5.0..40.0f64, cut in 0.2..0.8f64, c in 0.0..0.2f64) {
        let whole = run(&[(6.0, 3.0), (18.0, deg), (40.0, -4.0)], c, 0.5, 5.0, None);
        let parts = [(6.0, 3.0), (9.0, deg), (9.0, deg), (40.0 * cut, -4.0), (40.0 * (1.0 - cut), -4.0)];
        let pieces = run(&parts, c, 0.5, 5.0, None);
        let same = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + a.abs());
        prop_assert!(same(whole.greatest_speed.get(), pieces.greatest_speed.get()));
        prop_assert_eq!(whole.end, pieces.end);
    }
}
