//! Deratings of the parts of a rig, as its links show them.

use crate::check::{Tolerance, check, checks};
use crate::reference;
use steadypull_engine::gear::block::{BLOCK_SOURCE, unequal_load};
use steadypull_engine::gear::{shackle, sling, wire_rope};
use steadypull_engine::line::{Condition, Material};
use steadypull_engine::plan::{Hitch, Line, Shackle, ShackleKind};
use steadypull_engine::rig::derating::{bend_factor, bend_thickness, hitch_factor, hitch_share, shackle_factors};
use steadypull_engine::units::{Angle, Force, Length, Mass};

const TABLE: &str = "table as printed";

checks! {
    cv_wire_04_link => {
        let table = reference::bend_dd();
        let rope = line(Material::WireRope, Hitch::Straight);
        let got: Vec<f64> = table
            .numbers("D_over_d")
            .iter()
            .map(|&ratio| {
                let over = bend_thickness(&rope) * ratio;
                bend_factor(&rope, over, "a sheave").map_or(f64::NAN, |f| 100.0 * f.left)
            })
            .collect();
        check("CV-WIRE-04", "bending factor of a wire rope link, D/d 1 to 40", wire_rope::BEND_SOURCE, "%")
            .values(got, table.numbers("efficiency_percent"), Tolerance::Rel(1e-9), TABLE)
            .note("fibre lines borrow this table, marked assumed: none was found for them")
    };
    cv_sling_02_strap => check("CV-SLING-02", "trunk strap: choked; basket at 45 and 60 deg as strap rating over its load", sling::MODE_SOURCE, "-")
        .values(
            {
                let basket = |deg: f64| {
                    let strap = line(Material::PolyesterWebbing, Hitch::Basket);
                    hitch_share(&strap, Angle::from_deg(deg)).map_or(f64::NAN, |share| 1.0 / share)
                };
                let choked = hitch_factor(&line(Material::PolyesterWebbing, Hitch::Choke), Angle::ZERO);
                [choked.map_or(f64::NAN, |f| f.left), basket(45.0), basket(60.0)]
            },
            [0.8, 1.4, 1.0],
            Tolerance::Rel(1e-12),
            TABLE,
        );
    cv_shk_05_link => check("CV-SHK-05", "a shackle link pulled at 0, 45, 90 deg", shackle::SIDE_LOAD_SOURCE, "x WLL")
        .values([0.0, 45.0, 90.0].map(|deg| left(deg, None)), [1.0, 0.7, 0.5], Tolerance::Rel(1e-12), TABLE);
    cv_shk_06_link => check("CV-SHK-06", "a shackle link with two legs in its bow", shackle::SIDE_LOAD_SOURCE, "-")
        .statements([
            ("120 deg apart it keeps all of its rating", left(0.0, Some(120.0)) == 1.0),
            ("120 deg apart it is not refused", refused(120.0).is_none()),
            ("121 deg apart it is refused", refused(121.0).is_some()),
        ]);
    cv_block_01_unequal => check("CV-BLOCK-01", "a block with friction: vector sum of 1 and 0.9 at 0, 60, 90, 180 deg", BLOCK_SOURCE, "x T")
        .values(
            [0.0, 60.0, 90.0, 180.0].map(|deg| {
                unequal_load(Force::new(1.0), Force::new(0.9), Angle::from_deg(deg)).get()
            }),
            // Cosine rule by hand: 1.9; sqrt(2.71); sqrt(1.81); 0.1.
            [1.9, 1.646208, 1.345362, 0.1],
            Tolerance::Abs(1e-6),
            "vector sum",
        );
}

fn line(material: Material, hitch: Hitch) -> Line {
    let mbs = Force::from_tf(9.0);
    let curve = steadypull_engine::line::Curve::new(&[(0.0, 0.0), (0.1, 1.0)], 0.9, 0.0);
    Line {
        name: "line".into(),
        material,
        kinetic: false,
        length: Length::new(3.0),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: curve.expect("a straight curve"),
        condition: Condition::default(),
        labelled: true,
        hitch,
        parts_at: None,
    }
}

fn bow() -> Shackle {
    Shackle {
        name: "bow".into(),
        kind: ShackleKind::Bow,
        wll: Some(Force::from_tf(4.75)),
        mbs: Force::from_tf(23.75),
        mass: Mass::new(1.3),
        side_angle: Angle::ZERO,
        pin_gap: None,
    }
}

fn left(side_deg: f64, legs_deg: Option<f64>) -> f64 {
    let legs = legs_deg.map(Angle::from_deg);
    let (factors, _) = shackle_factors(&bow(), Angle::from_deg(side_deg), legs);
    factors.iter().map(|f| f.left).product()
}

fn refused(legs_deg: f64) -> Option<String> {
    shackle_factors(&bow(), Angle::ZERO, Some(Angle::from_deg(legs_deg))).1
}
