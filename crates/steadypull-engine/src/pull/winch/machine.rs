//! What a winch takes in and gives out at a load, whatever drives it.
//!
//! *Hydraulic*: pressure goes with pull, `p = p_relief F_1/F_rated`, and the pump
//! puts out the same flow until the relief valve opens, so speed is constant and
//! there is no pull beyond the rated one. Work in is `p Q`; what of it does not
//! reach the line is heat in the oil.
//!
//! *Hand*: the handle asks `F_1/ratio`. A person keeps up the no-load rate of
//! strokes until the power asked passes what they can keep up, then slows down.

use super::drum::winch_pull;
use super::motor::{Motor, PlateError, Turning};
use crate::plan::{HandPlate, HydraulicPlate, Line, Winch, WinchPlate};
use crate::units::{Force, Speed};

/// What limits a winch on a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitedBy {
    /// Its rated pull.
    Rating,
    /// What this battery and cable can turn.
    Supply,
    /// The relief valve.
    Relief,
    /// The person at the handle.
    Person,
}

/// A winch, ready to turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    pub(super) kind: Kind,
    rated_n: f64,
    idle_speed: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Electric(Box<Motor>),
    Hydraulic(HydraulicPlate),
    Hand(HandPlate),
}

/// Powers and readings while the winch turns.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reading {
    /// Line speed as on the first layer, m/s.
    pub(super) speed_first: f64,
    /// Current, A.
    pub current_a: f64,
    /// Voltage at the winch, V.
    pub volts_v: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Force on the handle, N.
    pub handle_n: f64,
    pub(super) battery_a: f64,
    pub(super) flows: Flows,
}

/// Where power comes from and where it goes, W.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Flows {
    pub battery: f64,
    pub alternator: f64,
    pub engine: f64,
    pub person: f64,
    pub battery_heat: f64,
    pub cable_heat: f64,
    pub winding_heat: f64,
    pub gear_heat: f64,
}

impl Machine {
    /// The machine of a plate; `rated` and `idle_speed` on the first layer.
    pub fn new(plate: &WinchPlate, rated: Force, idle_speed: Speed) -> Result<Self, PlateError> {
        let (rated_n, idle_speed) = (rated.get(), idle_speed.get());
        if !(rated_n > 0.0 && idle_speed > 0.0) {
            return Err(PlateError::NotPositive);
        }
        let kind = match plate {
            WinchPlate::Electric(plate) => {
                let reach = plate.rows.last().map_or(0.0, |r| r.pull.get());
                let motor = Motor::new(plate)?;
                if reach < rated_n * (1.0 - 1e-9) {
                    return Err(PlateError::ShortOfRated);
                }
                Kind::Electric(Box::new(motor))
            }
            WinchPlate::Hydraulic(plate) => {
                let in_w = plate.relief.get() * plate.flow.get();
                passes(rated_n, rated_n * idle_speed, in_w)?;
                positive(plate.engine_share)?;
                Kind::Hydraulic(*plate)
            }
            WinchPlate::Hand(plate) => {
                let out = plate.handle_ratio * plate.line_per_stroke.get();
                passes(rated_n, out, plate.handle_travel.get())?;
                positive(out.min(plate.handle_limit.get().min(plate.person_power.get())))?;
                Kind::Hand(*plate)
            }
        };
        Ok(Self {
            kind,
            rated_n,
            idle_speed,
        })
    }

    /// Greatest pull as on the first layer, and what sets it.
    pub fn most(&self, state_of_charge: f64) -> (Force, LimitedBy) {
        let (other_n, by) = match &self.kind {
            Kind::Electric(motor) => (motor.stall_pull_n(state_of_charge), LimitedBy::Supply),
            // The relief valve opens at the rated pull.
            Kind::Hydraulic(_) => return (Force::new(self.rated_n), LimitedBy::Relief),
            Kind::Hand(plate) => (
                plate.handle_limit.get() * plate.handle_ratio,
                LimitedBy::Person,
            ),
        };
        if other_n < self.rated_n {
            (Force::new(other_n), by)
        } else {
            (Force::new(self.rated_n), LimitedBy::Rating)
        }
    }

    /// Pull as on the first layer at which it stops turning, rating or not.
    pub fn stall(&self, state_of_charge: f64) -> Force {
        match &self.kind {
            Kind::Electric(motor) => Force::new(motor.stall_pull_n(state_of_charge)),
            Kind::Hydraulic(_) => Force::new(self.rated_n),
            Kind::Hand(plate) => plate.handle_limit * plate.handle_ratio,
        }
    }

    /// State of charge it starts with; full where there is no battery.
    pub fn charge_at_start(&self) -> f64 {
        match &self.kind {
            Kind::Electric(motor) => motor.supply.battery.state_of_charge,
            _ => 1.0,
        }
    }

    /// The winch under `pull_n` as on the first layer, if it turns.
    pub(super) fn turn(&self, pull_n: f64, state_of_charge: f64) -> Option<Reading> {
        match &self.kind {
            Kind::Electric(motor) => motor.turn(pull_n, state_of_charge).map(electric),
            Kind::Hydraulic(plate) => Some(self.hydraulic(plate, pull_n)),
            Kind::Hand(plate) => Some(self.by_hand(plate, pull_n)),
        }
    }

    fn hydraulic(&self, plate: &HydraulicPlate, pull_n: f64) -> Reading {
        let pressure_pa = plate.relief.get() * pull_n / self.rated_n;
        let speed_first = self.idle_speed * plate.engine_share;
        let engine = pressure_pa * plate.flow.get() * plate.engine_share;
        Reading {
            speed_first,
            pressure_pa,
            flows: Flows {
                engine,
                gear_heat: engine - pull_n * speed_first,
                ..Flows::default()
            },
            ..Reading::default()
        }
    }

    fn by_hand(&self, plate: &HandPlate, pull_n: f64) -> Reading {
        let handle_n = pull_n / plate.handle_ratio;
        let travel_per_line = plate.handle_travel / plate.line_per_stroke;
        let kept_up = plate.person_power.get() / (handle_n * travel_per_line).max(1e-9);
        let speed_first = self.idle_speed.min(kept_up);
        let person = handle_n * travel_per_line * speed_first;
        Reading {
            speed_first,
            handle_n,
            flows: Flows {
                person,
                gear_heat: person - pull_n * speed_first,
                ..Flows::default()
            },
            ..Reading::default()
        }
    }
}

/// What `winch` can pull on the layer in use as the haul begins: the lesser of
/// its rating and what its supply or its person can turn.
pub fn pull_in_use(winch: &Winch, line: &Line) -> Force {
    let rated = winch_pull(winch, winch.diameter_of(line));
    match Machine::new(&winch.plate, winch.rated_pull, winch.line_speed) {
        Ok(machine) => {
            let (most, _) = machine.most(machine.charge_at_start());
            rated * (most / winch.rated_pull)
        }
        // A plate that makes no sense is refused where it is read.
        Err(_) => rated,
    }
}

fn electric(turning: Turning) -> Reading {
    let drawn = turning.drawn;
    Reading {
        speed_first: turning.speed_first,
        current_a: turning.current_a,
        volts_v: drawn.winch_v,
        battery_a: drawn.battery_a,
        flows: Flows {
            battery: drawn.battery_w,
            alternator: drawn.alternator_w,
            battery_heat: drawn.battery_heat_w,
            cable_heat: drawn.cable_heat_w,
            winding_heat: turning.winding_heat_w,
            gear_heat: turning.gear_heat_w,
            ..Flows::default()
        },
        ..Reading::default()
    }
}

fn positive(value: f64) -> Result<(), PlateError> {
    if value.is_finite() && value > 0.0 {
        Ok(())
    } else {
        Err(PlateError::NotPositive)
    }
}

/// Work out is no more than work in, in the same unit.
fn passes(pull_n: f64, work_out: f64, work_in: f64) -> Result<(), PlateError> {
    if work_out <= work_in * (1.0 + 1e-9) {
        return Ok(());
    }
    Err(PlateError::CreatesEnergy {
        pull_kn: pull_n / 1e3,
        times: work_out / work_in,
    })
}
