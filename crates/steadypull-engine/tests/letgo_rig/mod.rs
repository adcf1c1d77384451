//! Lines and set-ups shared by the let-go tests.
#![allow(dead_code)]

use steadypull_engine::letgo::{DamperOnLine, Hardware, LinePart, Setup};
use steadypull_engine::line::{Condition, Law, Material, Unloading};
use steadypull_engine::units::{Angle, Area, Duration, Force, Length, LineMass, Mass};

/// Case A: 9 m, 0.5 kg/m, EA 450 kN, strain 0.1, hence c e.
pub const CASE_A_C_E: f64 = 94.868_329_805_051_38;
pub const CASE_A_C: f64 = 948.683_298_050_513_8;

pub fn part(unloading: Unloading, line_kg_m: f64) -> LinePart {
    LinePart {
        length: Length::new(9.0),
        mass_per_length: LineMass::new(line_kg_m),
        unloading,
        diameter: Length::new(0.05),
        joint_mass: Mass::ZERO,
    }
}

pub fn hardware(kg: f64) -> Hardware {
    Hardware {
        mass: Mass::new(kg),
        drag_area: Area::new(0.004),
    }
}

/// Case A in empty space with `kg` at the free end, followed for `end_s`.
pub fn case_a(kg: f64, segments: usize, end_s: f64) -> Setup {
    let law = Law::linear_elastic(Force::new(450e3), Force::new(90e3)).unwrap();
    let mut setup = Setup::new(vec![part(law.unloading(0.1), 0.5)], hardware(kg)).in_empty_space();
    setup.segments = segments;
    setup.max_time = Duration::new(end_s);
    setup
}

/// A 9 m, 9 t nylon webbing strap parting at `tonnes`, over ground, in air.
pub fn strap(tonnes: f64, kg: f64) -> Setup {
    let material = Material::NylonWebbing;
    let law = Law::new(
        &material.curve().unwrap(),
        Force::from_tf(9.0),
        &Condition::default(),
        material,
    );
    let strain = law.strain_at(Force::from_tf(tonnes).get());
    Setup::new(vec![part(law.unloading(strain), 0.55)], hardware(kg))
}

pub fn damper(kg: f64, from_free_end: f64) -> DamperOnLine {
    DamperOnLine {
        mass: Mass::new(kg),
        from_free_end: Length::new(from_free_end),
        drag_area: Area::new(0.1),
        slips_at: Force::new(300.0),
        contact_radius: Length::new(0.15),
    }
}

pub fn thrown(mut setup: Setup, up_deg: f64, left_deg: f64) -> Setup {
    setup.elevation = Angle::from_deg(up_deg);
    setup.azimuth = Angle::from_deg(left_deg);
    setup
}
