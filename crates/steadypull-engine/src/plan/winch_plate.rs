//! The figures on a winch's data-plate, and what feeds it.

use crate::units::{
    Area, Charge, Current, Duration, Flow, Force, Length, Power, Pressure, Resistance, Speed,
    Temperature, Voltage,
};

/// One row of an electric winch's data-plate, on the first layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateRow {
    /// Line pull.
    pub pull: Force,
    /// Line speed at that pull.
    pub speed: Speed,
    /// Current at that pull.
    pub current: Current,
}

/// The battery that feeds a winch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Rated capacity.
    pub capacity: Charge,
    /// State of charge at the start, 0 to 1.
    pub state_of_charge: f64,
    /// Internal resistance.
    pub resistance: Resistance,
}

/// The copper cable from battery to winch and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cable {
    /// Length one way; the current goes out and comes back.
    pub length: Length,
    /// Section of the copper.
    pub section: Area,
}

/// How the motor's winding heats and cools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindingHeat {
    /// Time from `air` to `limit` at the last row of the plate.
    pub hot_after: Duration,
    /// Time in which its excess over the air falls to 37 %.
    pub cools_in: Duration,
    /// Temperature at which the pull stops for a rest.
    pub limit: Temperature,
    /// Temperature down to which it rests.
    pub rest_until: Temperature,
    /// Temperature of the air, and of the winding at the start.
    pub air: Temperature,
}

/// An electric winch.
#[derive(Debug, Clone, PartialEq)]
pub struct ElectricPlate {
    /// Voltage at the winch for which the rows hold.
    pub volts: Voltage,
    /// Rows from no load up: pull rises, speed falls, current rises.
    pub rows: Vec<PlateRow>,
    /// Power on the line over power in the armature at the last row, 0 to 1.
    pub gear_efficiency: f64,
    /// Its battery.
    pub battery: Battery,
    /// What the alternator gives to spare while the winch works; 0 for none.
    pub alternator: Current,
    /// Its cable.
    pub cable: Cable,
    /// Its winding.
    pub heat: WindingHeat,
}

/// A hydraulic winch; its line speed is that of [`super::Winch::line_speed`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HydraulicPlate {
    /// Flow of the pump at the engine speed for which the line speed holds.
    pub flow: Flow,
    /// Pressure at which the relief valve opens: the rated pull, first layer.
    pub relief: Pressure,
    /// Engine speed over the one for which flow and line speed hold.
    pub engine_share: f64,
}

/// A hand winch; its line speed is that of a lever moved at no load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandPlate {
    /// Line hauled in by one stroke (lever there and back), first layer.
    pub line_per_stroke: Length,
    /// Way of the hand in one stroke.
    pub handle_travel: Length,
    /// Line pull on the first layer over the force on the handle, friction in.
    pub handle_ratio: f64,
    /// Greatest force a person can keep up on the handle.
    pub handle_limit: Force,
    /// Power a person can keep up.
    pub person_power: Power,
}

/// What the data-plate says, by what drives the winch.
#[derive(Debug, Clone, PartialEq)]
pub enum WinchPlate {
    /// A battery-fed motor.
    Electric(ElectricPlate),
    /// A hydraulic motor.
    Hydraulic(HydraulicPlate),
    /// A lever moved by hand.
    Hand(HandPlate),
}

impl WinchPlate {
    /// The plate of a like winch that pulls `pull` times as hard at `speed` times
    /// the line speed: like machines take current and flow in proportion to power.
    pub fn scaled(&self, pull: f64, speed: f64) -> Self {
        let power = pull * speed;
        match self {
            Self::Electric(plate) => {
                let row = |r: &PlateRow| PlateRow {
                    pull: r.pull * pull,
                    speed: r.speed * speed,
                    current: r.current * power,
                };
                Self::Electric(ElectricPlate {
                    rows: plate.rows.iter().map(row).collect(),
                    ..plate.clone()
                })
            }
            Self::Hydraulic(plate) => Self::Hydraulic(HydraulicPlate {
                flow: plate.flow * power,
                ..*plate
            }),
            Self::Hand(plate) => Self::Hand(HandPlate {
                line_per_stroke: plate.line_per_stroke / pull,
                handle_ratio: plate.handle_ratio * pull,
                ..*plate
            }),
        }
    }
}
