//! Named situations shared by checks. Invented vehicles: they set the scene of
//! a check and are never themselves compared with anything.

use steadypull_engine::line::{Condition, Material};
use steadypull_engine::plan::{
    BodyShape, Casualty, DrivenWheels, Line, Soil, Sunk, Vehicle, Winch, WinchDrive,
};
use steadypull_engine::pull::winch::preset::preset;
use steadypull_engine::units::{Angle, Duration, Force, Length, Mass, Pressure};

/// Heights of hub, guard and body of the wagon, m.
pub const CLASS_HEIGHTS_M: [f64; 3] = [0.38, 0.72, 0.95];

/// How deep the wagon sits.
pub fn sunk(depth_m: f64) -> Sunk {
    let [hub, guard, body] = CLASS_HEIGHTS_M.map(Length::new);
    Sunk {
        depth: Length::new(depth_m),
        hub_height: hub,
        guard_height: guard,
        body_height: body,
    }
}

/// A 2 t wagon in `soil` at a depth, on the level, engine off.
pub fn wagon(soil: Soil, depth_m: f64) -> Casualty {
    Casualty {
        vehicle: Vehicle {
            name: "wagon".into(),
            mass: Mass::from_t(2.0),
            gross_mass: Mass::from_t(2.8),
            driven: DrivenWheels::All,
            tyre_pressure: Pressure::from_kpa(240.0),
            road_tyre_pressure: Pressure::from_kpa(240.0),
            recovery_points: Vec::new(),
            shape: BodyShape::wagon(),
        },
        sunk: Some(sunk(depth_m)),
        soil,
        stuck_for: Duration::from_min(60.0),
        contact_area: None,
        slope_along: Angle::ZERO,
        slope_across: Angle::ZERO,
        held_by: None,
        locked_wheels: 0,
        own_drive: false,
        back_along_tracks: false,
        overturned: false,
        free_after: Length::new(5.0),
    }
}

/// 28 m of fibre line on a winch.
pub fn winch_line() -> Line {
    let material = Material::Hmpe;
    let mbs = Force::from_tf(9.0);
    Line {
        name: "winch line".into(),
        material,
        kinetic: false,
        length: Length::new(28.0),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: material.curve().expect("a preset curve"),
        condition: Condition::default(),
        labelled: true,
        hitch: Default::default(),
        parts_at: None,
    }
}

/// A 12 V electric winch on a usual drum, 10 mm line, 24 m paid out.
pub fn haul_winch() -> Winch {
    let preset = preset("WG-E42").expect("a preset");
    Winch {
        drive: WinchDrive::Electric,
        rated_pull: preset.rated_pull,
        layer: 1,
        drum_diameter: Length::from_mm(64.0),
        drum_width: Length::from_mm(230.0),
        line: "winch line".into(),
        line_speed: preset.line_speed,
        height: Length::new(0.7),
        forward: Length::new(2.0),
        mount_mass: Mass::new(35.0),
        mount_mbs: None,
        flange_diameter: None,
        line_diameter: Some(Length::from_mm(10.0)),
        packing: 0.8,
        least_wraps: 10,
        paid_out: Length::new(24.0),
        plate: preset.plate,
        preset: Some(preset.name.into()),
    }
}
