//! Standoff by rule.

use crate::check::{Tolerance, check, checks};
use crate::published::BLOCK_M;
use steadypull_engine::letgo::flight::{
    AIR_DENSITY_KG_M3, least_launch_energy, least_launch_speed,
};
use steadypull_engine::letgo::rig::thrown_block_speed;
use steadypull_engine::letgo::rule_distance::*;
use steadypull_engine::letgo::{LinePart, free_flight};
use steadypull_engine::line::{Law, Material};
use steadypull_engine::units::{Angle, Force, G, Length, Mass};

const RULE: &str = "the rule itself";

checks! {
    cv_dist_01 => check("CV-DIST-01", "rope recoil: 2 L for 25 m of wire paid out", MANUAL_SOURCE, "m")
        .values(
            [
                wire_recoil_distance(Length::new(25.0)).get(),
                rule_distance(&[LineInUse { length: Length::new(25.0), metal: true }]).get(),
            ],
            [50.0, 50.0],
            Tolerance::Exact,
            RULE,
        );
    cv_dist_02 => check("CV-DIST-02", "observers: one cable length of 18 m", MANUAL_SOURCE, "m")
        .values([observer_distance(Length::new(18.0)).get()], [18.0], Tolerance::Exact, RULE);
    cv_dist_02_side => check("CV-DIST-02", "observers: side", MANUAL_SOURCE, "-")
        .statements([
            ("pull to the left, observers right", observer_side(Angle::from_deg(20.0)) == Some(Side::Right)),
            ("pull to the right, observers left", observer_side(Angle::from_deg(-20.0)) == Some(Side::Left)),
            ("straight pull, neither", observer_side(Angle::ZERO).is_none()),
        ]);
    cv_dist_03 => check("CV-DIST-03", "people not involved: the longest cable of 9, 30 and 12 m", UNINVOLVED_SOURCE, "m")
        .values(
            [uninvolved_distance(&[9.0, 30.0, 12.0].map(Length::new)).get()],
            [30.0],
            Tolerance::Exact,
            RULE,
        );
    cv_dist_04 => {
        let (mass, reach) = thrown_block();
        check("CV-DIST-04", "block thrown 300 yd: mass kg, reach m, least speed m/s, energy J", MANUAL_SOURCE, "-")
            .values(
                [mass.get(), reach.get(), least_launch_speed(reach).get(), least_launch_energy(mass, reach).get()],
                [90.7185, 274.32, 51.867, 122_024.0],
                Tolerance::Rel(1e-5),
                "implied figures as printed",
            )
    };
    cv_dist_04_drag => check("CV-DIST-04", "the same block launched so, air and ground as ours", MANUAL_SOURCE, "m")
        .bands(
            [thrown_with_drag()],
            [BLOCK_M.band()],
            "an order of magnitude: worst case 150-400 m",
        )
        .note("0.07 m2 of drag area taken for a 0.3 m block; the launch is the one the reach implies");
    cv_dist_04_line => check("CV-DIST-04", "the same block at the bight of 60, 100 and 300 m of wire rope at its strength", MANUAL_SOURCE, "m")
        .bands(
            [60.0, 100.0, 300.0].map(thrown_by_wire),
            [BLOCK_M.band(); 3],
            "an order of magnitude: worst case 150-400 m",
        )
        .note("upper bound of the speed, best angle, air drag; both parts of line at 45 deg to the throw. Beyond some 90 m the end of the rope itself is no faster; 20 m throws it 90 m");
}

/// Where the block lands, launched at 45 degrees with the least speed for its
/// reach, through air.
fn thrown_with_drag() -> f64 {
    let (_, reach) = thrown_block();
    lands_at(least_launch_speed(reach).get())
}

/// Where it lands when `length` m of 40 t wire rope round it at strength throws it.
pub fn thrown_by_wire(length: f64) -> f64 {
    let (material, mbs) = (Material::WireRope, Force::from_tf(40.0));
    let Ok(curve) = material.curve() else {
        return f64::NAN;
    };
    let mass_per_length = material.mass_per_length(mbs);
    let law = Law::new(&curve, mbs, &Default::default(), material)
        .with_energy_return(material.preset().energy_return.2);
    let line = LinePart {
        length: Length::new(length),
        mass_per_length,
        unloading: law.unloading(law.strain_at(mbs.get())),
        diameter: material.diameter(mass_per_length),
        joint_mass: Mass::ZERO,
    };
    lands_at(thrown_block_speed(&[line], thrown_block().0, Angle::from_deg(45.0)).get())
}

fn lands_at(speed: f64) -> f64 {
    let (mass, _) = thrown_block();
    let level = speed / f64::sqrt(2.0);
    let drag_per_m = AIR_DENSITY_KG_M3 * 0.07 / (2.0 * mass.get());
    free_flight(
        [0.0; 3],
        [level, 0.0, level],
        drag_per_m,
        [0.0, 0.0, -G],
        0.5,
    )
    .map_or(f64::NAN, |flight| flight.lands_m.0)
}
