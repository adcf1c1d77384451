//! Data-plates to start from: usual figures under invented model numbers.
//!
//! None is a product. Currents lie in the band of CV-AMP-01 (common practice: 60
//! to 100 A idle and 350 to 450 A at rated pull at 12 V, about a minute of hard
//! pulling, then minutes of rest); every other figure is assumed.

use crate::plan::{
    Battery, Cable, ElectricPlate, HandPlate, HydraulicPlate, PlateRow, WinchDrive, WinchPlate,
    WindingHeat,
};
use crate::source::{Source, Status};
use crate::units::{
    Area, Charge, Current, Duration, Flow, Force, Length, Power, Pressure, Resistance, Speed,
    Temperature, Voltage,
};

/// Where the figures come from.
pub const PRESET_SOURCE: Source = Source::new(
    "common practice for the currents (CV-AMP-01), the rest assumed",
    Status::Assumed,
);

/// A winch to start from.
#[derive(Debug, Clone, PartialEq)]
pub struct Preset {
    /// Its invented model number.
    pub name: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// What drives it.
    pub drive: WinchDrive,
    /// Rated pull on the first layer.
    pub rated_pull: Force,
    /// Line speed at no load.
    pub line_speed: Speed,
    /// Its data-plate.
    pub plate: WinchPlate,
}

/// Names of the presets.
pub const NAMES: [&str; 4] = ["WG-E42", "WG-E42-24", "WG-H80", "WG-L15"];

/// The preset taken for a winch of which only the drive is known.
pub fn usual(drive: WinchDrive) -> &'static str {
    match drive {
        WinchDrive::Electric => "WG-E42",
        WinchDrive::Hydraulic => "WG-H80",
        WinchDrive::Hand => "WG-L15",
    }
}

/// The preset called `name`.
pub fn preset(name: &str) -> Option<Preset> {
    match name {
        "WG-E42" => Some(electric(
            "WG-E42",
            "4.2 t electric winch, 12 V, 75 Ah battery",
            12.0,
        )),
        "WG-E42-24" => Some(electric(
            "WG-E42-24",
            "4.2 t electric winch, 24 V, 75 Ah battery",
            24.0,
        )),
        "WG-H80" => Some(hydraulic()),
        "WG-L15" => Some(lever()),
        _ => None,
    }
}

fn per_minute(metres: f64) -> Speed {
    Speed::new(metres / 60.0)
}

fn electric(name: &'static str, words: &'static str, volts: f64) -> Preset {
    // Pull in t, speed in m/min, current in A at 12 V.
    let rows = [
        (0.0, 9.0, 70.0),
        (1.0, 4.2, 160.0),
        (2.0, 3.0, 240.0),
        (3.0, 2.1, 315.0),
        (4.2, 1.3, 400.0),
    ];
    let banks = volts / 12.0;
    let row = |(pull, speed, current): (f64, f64, f64)| PlateRow {
        pull: Force::from_tf(pull),
        speed: per_minute(speed),
        current: Current::new(current / banks),
    };
    Preset {
        name,
        words,
        drive: WinchDrive::Electric,
        rated_pull: Force::from_tf(4.2),
        line_speed: per_minute(9.0),
        plate: WinchPlate::Electric(ElectricPlate {
            volts: Voltage::new(volts),
            rows: rows.map(row).to_vec(),
            // Three planetary stages, common practice.
            gear_efficiency: 0.65,
            battery: Battery {
                capacity: Charge::from_ah(75.0),
                state_of_charge: 0.9,
                resistance: Resistance::from_mohm(5.0 * banks),
            },
            alternator: Current::new(60.0 / banks),
            cable: Cable {
                length: Length::new(2.0),
                section: Area::from_cm2(0.5),
            },
            heat: WindingHeat {
                hot_after: Duration::from_min(1.0),
                cools_in: Duration::from_min(10.0),
                limit: Temperature::new(160.0),
                rest_until: Temperature::new(80.0),
                air: Temperature::new(30.0),
            },
        }),
    }
}

fn hydraulic() -> Preset {
    Preset {
        name: "WG-H80",
        words: "8 t hydraulic winch, 45 L/min at 140 bar",
        drive: WinchDrive::Hydraulic,
        rated_pull: Force::from_tf(8.0),
        line_speed: per_minute(5.0),
        plate: WinchPlate::Hydraulic(HydraulicPlate {
            flow: Flow::from_l_per_min(45.0),
            relief: Pressure::from_bar(140.0),
            engine_share: 1.0,
        }),
    }
}

fn lever() -> Preset {
    Preset {
        name: "WG-L15",
        words: "1.5 t lever winch for one person",
        drive: WinchDrive::Hand,
        rated_pull: Force::from_tf(1.5),
        line_speed: per_minute(0.5),
        plate: WinchPlate::Hand(HandPlate {
            line_per_stroke: Length::from_mm(20.0),
            handle_travel: Length::new(1.3),
            handle_ratio: 50.0,
            handle_limit: Force::new(350.0),
            person_power: Power::new(100.0),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_a_preset_that_works() {
        for name in NAMES {
            let preset = preset(name).expect(name);
            assert_eq!(preset.name, name);
            assert!(
                super::super::Machine::new(&preset.plate, preset.rated_pull, preset.line_speed)
                    .is_ok(),
                "{name}"
            );
            assert!(NAMES.contains(&usual(preset.drive)));
        }
        assert!(super::preset("E-1").is_none());
    }
}
