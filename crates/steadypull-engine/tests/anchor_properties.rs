//! What must hold of anchors and deratings whatever the numbers.

use proptest::prelude::*;
use steadypull_engine::gear::anchor::{Hold, hold};
use steadypull_engine::gear::shackle::pin_tilt;
use steadypull_engine::line::{Condition, Curve, Material};
use steadypull_engine::plan::{
    Anchor, AnchorGround, AnchorKind, AnchorVehicle, Deadman, GroundPlate, Hitch, Line, Pickets,
    Place, PointKind, Pose, RecoveryPoint, Shackle, ShackleKind, StatedAnchor, Tree, TreeSort,
};
use steadypull_engine::rig::derating::{
    bend_factor, bend_thickness, hitch_factor, hitch_share, shackle_factors,
};
use steadypull_engine::rig::yielding::yielding;
use steadypull_engine::show::Units;
use steadypull_engine::units::{Angle, Force, Length, Mass};

fn ground() -> impl Strategy<Value = AnchorGround> {
    prop_oneof![
        Just(AnchorGround::Hard),
        Just(AnchorGround::Loam),
        Just(AnchorGround::Wet)
    ]
}

fn sort() -> impl Strategy<Value = TreeSort> {
    prop_oneof![
        Just(TreeSort::Pine),
        Just(TreeSort::Spruce),
        Just(TreeSort::Redcedar),
        Just(TreeSort::Hemlock),
        Just(TreeSort::Other)
    ]
}

fn tree() -> impl Strategy<Value = AnchorKind> {
    (0.08..1.5, 0.0..10.0, sort(), any::<bool>()).prop_map(|(d, h, sort, sound)| {
        AnchorKind::Tree(Tree {
            stem_diameter: Length::new(d),
            strap_height: Length::new(h),
            height: Length::new(100.0 * d),
            sort,
            sound,
        })
    })
}

fn pickets() -> impl Strategy<Value = AnchorKind> {
    (prop::collection::vec(1u8..9, 1..6), any::<bool>(), ground()).prop_map(
        |(banks, steel, ground)| {
            AnchorKind::Pickets(Pickets {
                banks,
                steel,
                ground,
            })
        },
    )
}

fn deadman() -> impl Strategy<Value = AnchorKind> {
    let sizes = (0.3..5.0, 0.0..1.0, 0.05..2.0, 0.3..10.0, 0.05..2.0);
    (sizes, any::<bool>(), ground()).prop_map(
        |((depth, slope, face, length, trench), log, ground)| {
            AnchorKind::Deadman(Deadman {
                depth: Length::new(depth),
                line_slope: slope,
                face: Length::new(face),
                length: Length::new(length),
                trench: Length::new(trench),
                log,
                ground,
            })
        },
    )
}

fn vehicle(facing_deg: f64, v: (f64, f64, f64, f64, f64, bool)) -> AnchorVehicle {
    let (mass, grip, spread, slope_deg, height, chocked) = v;
    AnchorVehicle {
        pose: Pose {
            at: Place::default(),
            facing: Angle::from_deg(facing_deg),
        },
        mass: Mass::new(mass),
        grip,
        grip_spread: spread,
        slope_along: Angle::from_deg(slope_deg),
        chocked,
        tows: false,
        recovery_points: vec![RecoveryPoint {
            name: "front".into(),
            kind: PointKind::Rated,
            wll: None,
            mbs: None,
            torn_off_mass: Mass::ZERO,
            height: Length::new(height),
            offset: Length::ZERO,
            forward: Length::ZERO,
            side_angle: Angle::ZERO,
        }],
    }
}

fn vehicle_inputs() -> impl Strategy<Value = (f64, f64, f64, f64, f64, bool)> {
    (
        300.0..60e3,
        0.02..1.5,
        0.0..1.0,
        -45.0..45.0,
        0.0..3.0,
        any::<bool>(),
    )
}

fn kind() -> impl Strategy<Value = AnchorKind> {
    prop_oneof![
        tree(),
        pickets(),
        deadman(),
        (1u8..20, ground())
            .prop_map(|(pins, ground)| AnchorKind::Plate(GroundPlate { pins, ground })),
        (-360.0..360.0, vehicle_inputs()).prop_map(|(f, v)| AnchorKind::Vehicle(vehicle(f, v))),
        (100.0..5e6, 0.0..1.0).prop_map(|(holds, spread)| {
            AnchorKind::Stated(StatedAnchor {
                what: "ring bolt".into(),
                holds: Force::new(holds),
                spread,
            })
        }),
    ]
}

fn direction() -> impl Strategy<Value = [f64; 3]> {
    [-1.0..1.0, -1.0..1.0, -1.0..1.0]
}

fn named(kind: AnchorKind) -> Anchor {
    Anchor {
        name: "a".into(),
        place: Place::default(),
        kind,
    }
}

fn turned([x, y, z]: [f64; 3], deg: f64) -> [f64; 3] {
    let a = Angle::from_deg(deg);
    [x * a.cos() - y * a.sin(), x * a.sin() + y * a.cos(), z]
}

fn alike(a: &Hold, b: &Hold) -> bool {
    let near = |x: Force, y: Force| (x - y).abs().get() <= 1e-9 * x.abs().get().max(1.0);
    near(a.low, b.low) && near(a.median, b.median) && near(a.high, b.high)
}

fn line(material: Material, hitch: Hitch, mbs_t: f64) -> Line {
    let mbs = Force::from_tf(mbs_t);
    Line {
        name: "line".into(),
        material,
        kinetic: false,
        length: Length::new(3.0),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: Curve::new(&[(0.0, 0.0), (0.1, 1.0)], 0.9, 0.0).unwrap(),
        condition: Condition::default(),
        labelled: true,
        hitch,
        parts_at: None,
    }
}

fn bow(wll_t: f64, gap_mm: f64) -> Shackle {
    Shackle {
        name: "bow".into(),
        kind: ShackleKind::Bow,
        wll: Some(Force::from_tf(wll_t)),
        mbs: Force::from_tf(5.0 * wll_t),
        mass: Mass::new(1.3),
        side_angle: Angle::ZERO,
        pin_gap: Some(Length::from_mm(gap_mm)),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    #[test]
    fn a_hold_is_a_range_of_numbers(kind in kind(), pull in direction()) {
        let hold = hold(&named(kind), pull, Units::Metric);
        for force in [hold.low, hold.median, hold.high] {
            prop_assert!(force.is_finite() && force >= Force::ZERO);
        }
        prop_assert!(hold.low <= hold.median && hold.median <= hold.high);
        prop_assert!(hold.spread.is_finite() && hold.spread >= 0.0);
        prop_assert!(hold.source().is_some() && !hold.method().is_empty());
    }

    #[test]
    fn a_greater_load_is_never_less_likely_to_move_it(
        kind in kind(), pull in direction(), load in 0.0..1e6, more in 0.0..1e6,
    ) {
        let hold = hold(&named(kind), pull, Units::Metric);
        let (a, b) = (
            hold.yield_probability(Force::new(load)),
            hold.yield_probability(Force::new(load + more)),
        );
        prop_assert!((0.0..=1.0).contains(&a) && a <= b + 1e-12 && b <= 1.0);
    }

    #[test]
    fn the_frame_changes_nothing(kind in kind(), pull in direction(), deg in -180.0..180.0) {
        let here = hold(&named(kind.clone()), pull, Units::Metric);
        let there = match kind {
            AnchorKind::Vehicle(mut v) => {
                v.pose.facing = v.pose.facing + Angle::from_deg(deg);
                AnchorKind::Vehicle(v)
            }
            other => other,
        };
        prop_assert!(alike(&here, &hold(&named(there.clone()), turned(pull, deg), Units::Metric)));
        let mirrored = match there {
            AnchorKind::Vehicle(mut v) => {
                v.pose.facing = -v.pose.facing;
                AnchorKind::Vehicle(v)
            }
            other => other,
        };
        let [x, y, z] = turned(pull, deg);
        prop_assert!(alike(&here, &hold(&named(mirrored), [x, -y, z], Units::Metric)));
    }

    #[test]
    fn a_pull_in_proportion_yields_in_proportion(
        kind in kind(), pull in direction(), times in 0.1..10.0,
    ) {
        let anchors = [named(kind)];
        let of = |k: f64| yielding(&anchors, &[("a".into(), pull.map(|f| f * k))], Units::Metric).remove(0);
        let (one, more) = (of(1.0), of(times));
        if let (Some(a), Some(b)) = (one.pull_at(0.5), more.pull_at(0.5)) {
            prop_assert!((a - b * times).abs().get() <= 1e-9 * a.get().max(1.0));
        }
    }

    #[test]
    fn a_bend_takes_more_the_sharper_it_is(
        which in 0..Material::ALL.len(), mbs in 1.0..30.0, over in 0.001..2.0, more in 0.0..1.0,
    ) {
        let line = line(Material::ALL[which], Hitch::Straight, mbs);
        let left = |m: f64| bend_factor(&line, Length::new(m), "it").map(|f| f.left);
        if let (Some(sharp), Some(gentle)) = (left(over), left(over + more)) {
            prop_assert!(sharp > 0.0 && sharp <= gentle && gentle <= 1.0);
            prop_assert!(bend_thickness(&line) > Length::ZERO);
        } else {
            prop_assert_eq!(line.material, Material::Chain);
        }
    }

    #[test]
    fn a_side_pull_takes_more_the_further_it_is(
        wll in 0.3..20.0, gap in 0.0..40.0, deg in 0.0..120.0, more in 0.0..30.0,
    ) {
        let shackle = bow(wll, gap);
        let left = |deg: f64| -> (f64, bool) {
            let (factors, refused) = shackle_factors(&shackle, Angle::from_deg(deg), None);
            assert!(factors.iter().all(|f| (0.0..=1.0).contains(&f.left) && !f.source.is_empty()));
            (factors.iter().map(|f| f.left).product(), refused.is_some())
        };
        let (near, far) = (left(deg), left(deg + more));
        prop_assert!(far.0 <= near.0 + 1e-12);
        prop_assert!(far.1 || !near.1, "refused nearer but not further");
        let tilt = pin_tilt(Force::from_tf(wll), Length::from_mm(gap)).to_deg();
        prop_assert_eq!(near.1, deg + tilt > 90.0 + 1e-9);
    }

    #[test]
    fn a_hitch_never_adds_and_a_wider_basket_never_eases(deg in 0.0..90.0, more in 0.0..30.0) {
        let at = Angle::from_deg;
        for hitch in [Hitch::Straight, Hitch::Choke, Hitch::Basket] {
            let strap = line(Material::PolyesterWebbing, hitch, 8.0);
            let left = hitch_factor(&strap, at(deg)).map_or(1.0, |f| f.left);
            prop_assert!(left > 0.0 && left <= 1.0);
            match (hitch_share(&strap, at(deg)), hitch_share(&strap, at(deg + more))) {
                (Some(near), Some(far)) => prop_assert!(0.5 < near && near <= far && far <= 1.0),
                (None, far) => prop_assert!(far.is_none()),
                (Some(_), None) => {}
            }
        }
    }
}
