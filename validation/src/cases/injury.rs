//! Injury and hazard.

use crate::check::{Tolerance, check, checks};
use steadypull_engine::letgo::injury::*;
use steadypull_engine::plan::Policy;
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Area, Length, Mass, Speed, kinetic_energy};

checks! {
    cv_inj_01 => check("CV-INJ-01", "hazardous fragment: ours, and the policy's default", FRAGMENT_SOURCE, "J")
        .values([HAZARDOUS_FRAGMENT.get(), Policy::default().injury_energy.get()], [79.0, 79.0], Tolerance::Exact, "as printed")
        .note("58 ft lbf is 78.6 J, printed as 79 J; 79 J is used");
    cv_inj_02 => check("CV-INJ-02", "speed at 79 J of 0.5, 1, 2, 5 kg", Source::new("sqrt(2 E/m)", Status::Computed), "m/s")
        .values(
            [0.5, 1.0, 2.0, 5.0].map(|m| speed_at_energy(Mass::new(m), HAZARDOUS_FRAGMENT).map_or(f64::NAN, Speed::get)),
            [17.7764, 12.5698, 8.8882, 5.6214],
            Tolerance::Abs(1e-4),
            "figures as printed",
        );
    cv_inj_03 => check("CV-INJ-03", "chance of being struck at 1/55.7 per m2; density for 1 %", FRAGMENT_SOURCE, "-; 1/m2")
        .values(
            [chance_of_being_struck(1.0 / 55.7, BODY_AREA), density_for_chance(0.01, BODY_AREA)],
            [0.0103589, 0.0173282],
            Tolerance::Rel(1e-5),
            "figures as printed",
        )
        .note("formula and area read; the density of 1 per 600 ft2 is from memory");
    cv_inj_06 => check("CV-INJ-06", "eye: published band (low, high); 0.25 g, 6 mm pellet at 99 m/s", EYE_SOURCE, "J/cm2")
        .bands(
            [EYE_J_PER_CM2.0, EYE_J_PER_CM2.1, pellet_j_per_cm2()],
            [(4.3, 4.3), (4.8, 4.8), (4.3, 4.8)],
            "band by source",
        );
    cv_inj_06_pellet => check("CV-INJ-06", "the pellet's energy over its face", Source::new("m v^2/2 over pi d^2/4", Status::Computed), "J/cm2")
        .values([pellet_j_per_cm2()], [4.333], Tolerance::Rel(2e-4), "printed to four figures");
    cv_inj_09 => check("CV-INJ-09", "first casualties among unprotected people", FIRST_CASUALTY_SOURCE, "J")
        .values([FIRST_CASUALTY.get()], [15.0], Tolerance::Exact, "as printed");
    cv_inj_10 => check("CV-INJ-10", "drag: sphere, cube face on, cube tumbling, cylinder across, chunky (low, high)", DRAG_SOURCE, "-")
        .values(
            [Shape::Sphere, Shape::CubeFaceOn, Shape::CubeTumbling, Shape::CylinderAcross, Shape::Chunky]
                .map(|shape| { let (low, high) = shape.drag_coefficient(); [low, high] })
                .concat(),
            [0.47, 0.47, 1.05, 1.05, 0.8, 0.8, 1.1, 1.2, 0.8, 1.0],
            Tolerance::Exact,
            "figures as stated; a body is within 10 % of them below the drag crisis",
        );
    cv_inj_12 => check("CV-INJ-12", "laminated windscreen: 2.26 kg ball dropped 4 m", WINDSCREEN_SOURCE, "J")
        .values([windscreen_test_energy().get()], [88.652], Tolerance::Rel(1e-5), "figures as printed")
        .note("says nothing of sharp hardware or faster hits");
}

fn pellet_j_per_cm2() -> f64 {
    let radius = Length::from_mm(3.0).get();
    let face = Area::new(core::f64::consts::PI * radius * radius);
    energy_per_cm2(kinetic_energy(Mass::new(0.25e-3), Speed::new(99.0)), face)
}
