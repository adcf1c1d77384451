//! Named situations shared by checks. Invented vehicles: they set the scene of
//! a check and are never themselves compared with anything.

use steadypull_engine::plan::{Casualty, DrivenWheels, Soil, Sunk, Vehicle};
use steadypull_engine::units::{Angle, Duration, Length, Mass, Pressure};

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
