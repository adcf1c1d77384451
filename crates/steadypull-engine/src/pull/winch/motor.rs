//! An electric winch from the rows of its data-plate.
//!
//! The plate gives pull, speed and current on the first layer at one voltage.
//! Between rows current goes straight with torque, and so with the pull at the
//! first layer `F_1 = F D_n/D_1`. The armature turns by its back-EMF
//! `E = V − I R_w`: at another voltage and the same torque (so the same current
//! and field) speed goes as `E`,
//!
//! `v_1(F_1, V) = v_plate(F_1) (V − I R_w)/(V_plate − I R_w)`.
//!
//! `R_w` follows from the last row and the gear's efficiency there:
//! `(V I − F v/eta)/I^2`, which is `V/I` for a row at stall. Heat goes
//! `I^2 R_w` into the winding; what the armature gives (`E I`) beyond the line's
//! `F v` is lost in gear, brake and brushes. A plate that would give out more than
//! it takes in is refused.
//!
//! The winding is one lump: `dT/dt = I^2 R_w/C − (T − T_air)/tau`, with `C` such
//! that the last row takes it from air to its limit in the time stated. `R_w` does
//! not rise as it heats, so a hot winch pulls less and slower than said here.

use thiserror::Error;

use super::supply::{Drawn, Supply};
use crate::plan::{ElectricPlate, WindingHeat};

/// Points between two rows at which the energy of a plate is looked at.
const LOOKS: u32 = 16;

/// Why a data-plate cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlateError {
    /// Too few rows, or the first is not at no load.
    #[error("its rows do not start at no load, or there is only one")]
    NoLoadRow,
    /// Pull or current does not rise, or speed does not fall.
    #[error("row {0} does not have more pull, more current and less speed than the row before it")]
    Order(usize),
    /// It gives out more than it takes in.
    #[error(
        "at {pull_kn:.3} kN it would put {times:.2} times the work on the line that it takes in"
    )]
    CreatesEnergy {
        /// Pull on the first layer there, kN.
        pull_kn: f64,
        /// Work on the line over work taken in.
        times: f64,
    },
    /// A figure is no positive number.
    #[error("one of its figures is not above nothing")]
    NotPositive,
    /// It would never start again.
    #[error("the winding does not rest between the air's temperature and its limit")]
    Heat,
    /// It stops short of the rated pull.
    #[error("its rows end below the rated pull")]
    ShortOfRated,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Row {
    pull_n: f64,
    speed: f64,
    current_a: f64,
}

/// The motor with its gear, at work.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Motor {
    volts: f64,
    rows: Vec<Row>,
    pub winding_ohm: f64,
    pub heat: WindingHeat,
    heat_capacity_j_k: f64,
    pub supply: Supply,
}

/// The motor at a load it can turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turning {
    /// Line speed as on the first layer, m/s.
    pub speed_first: f64,
    pub current_a: f64,
    pub drawn: Drawn,
    pub winding_heat_w: f64,
    pub gear_heat_w: f64,
}

impl Motor {
    pub fn new(plate: &ElectricPlate) -> Result<Self, PlateError> {
        let rows: Vec<Row> = plate
            .rows
            .iter()
            .map(|r| Row {
                pull_n: r.pull.get(),
                speed: r.speed.get(),
                current_a: r.current.get(),
            })
            .collect();
        in_order(&rows)?;
        let last = rows[rows.len() - 1];
        let volts = plate.volts.get();
        let power = last.pull_n * last.speed / plate.gear_efficiency;
        let winding_ohm = (volts * last.current_a - power) / (last.current_a * last.current_a);
        let heat = plate.heat;
        let rise = heat.limit.get() - heat.air.get();
        let (tau, hot) = (heat.cools_in.get(), heat.hot_after.get());
        let watts = last.current_a * last.current_a * winding_ohm;
        let motor = Self {
            volts,
            rows,
            winding_ohm,
            heat,
            heat_capacity_j_k: watts * tau * -libm::expm1(-hot / tau) / rise,
            supply: Supply::of(plate),
        };
        motor.creates_no_energy()?;
        let rests_at = heat.rest_until.get();
        if !(heat.air.get() + 1.0 <= rests_at && rests_at < heat.limit.get()) {
            return Err(PlateError::Heat);
        }
        let sound = [winding_ohm, motor.heat_capacity_j_k, rise, tau, hot, volts];
        if sound.iter().all(|v| v.is_finite() && *v > 0.0) {
            Ok(motor)
        } else {
            Err(PlateError::NotPositive)
        }
    }

    fn creates_no_energy(&self) -> Result<(), PlateError> {
        for pair in self.rows.windows(2) {
            for k in 0..=LOOKS {
                let share = f64::from(k) / f64::from(LOOKS);
                let pull_n = pair[0].pull_n + share * (pair[1].pull_n - pair[0].pull_n);
                let (speed, current) = self.plate_at(pull_n);
                let in_w = current * (self.volts - current * self.winding_ohm);
                let out_w = pull_n * speed;
                let times = out_w / in_w.max(1e-9);
                // Both ends of a plate at stall are nothing but rounding.
                let sound = out_w <= in_w * (1.0 + 1e-9) + 1e-9;
                if !sound {
                    let pull_kn = pull_n / 1e3;
                    return Err(PlateError::CreatesEnergy { pull_kn, times });
                }
            }
        }
        Ok(())
    }

    /// Speed and current at the plate's voltage; past the last row as before it.
    fn plate_at(&self, pull_n: f64) -> (f64, f64) {
        let last = self.rows.len() - 1;
        let i = self.rows[1..last]
            .iter()
            .filter(|r| r.pull_n < pull_n)
            .count();
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        let share = (pull_n - a.pull_n) / (b.pull_n - a.pull_n);
        (
            a.speed + share * (b.speed - a.speed),
            a.current_a + share * (b.current_a - a.current_a),
        )
    }

    /// The motor under a pull of `pull_n` at the first layer, if it turns.
    pub fn turn(&self, pull_n: f64, state_of_charge: f64) -> Option<Turning> {
        let (plate_speed, current_a) = self.plate_at(pull_n);
        let drawn = self.supply.draw(current_a, state_of_charge);
        let emf = drawn.winch_v - current_a * self.winding_ohm;
        let plate_emf = self.volts - current_a * self.winding_ohm;
        if emf <= 0.0 || plate_emf <= 0.0 || plate_speed <= 0.0 {
            return None;
        }
        let speed_first = plate_speed * emf / plate_emf;
        Some(Turning {
            speed_first,
            current_a,
            drawn,
            winding_heat_w: current_a * current_a * self.winding_ohm,
            gear_heat_w: emf * current_a - pull_n * speed_first,
        })
    }

    /// Pull at the first layer at which it stalls on this supply, N.
    pub fn stall_pull_n(&self, state_of_charge: f64) -> f64 {
        let current = self.supply.stall_current(self.winding_ohm, state_of_charge);
        let last = self.rows.len() - 1;
        let i = self.rows[1..last]
            .iter()
            .filter(|r| r.current_a < current)
            .count();
        let (a, b) = (self.rows[i], self.rows[i + 1]);
        let share = (current - a.current_a) / (b.current_a - a.current_a);
        let by_current = a.pull_n + share * (b.pull_n - a.pull_n);
        // The plate's own speed may run out first, past its last row.
        let fall = (b.speed - a.speed) / (b.pull_n - a.pull_n);
        let by_speed = a.pull_n - a.speed / fall;
        by_current.min(by_speed).max(0.0)
    }

    /// Temperature of the winding after `time_s` with `watts` of heat.
    pub fn winding_after(&self, from_c: f64, watts: f64, time_s: f64) -> f64 {
        let tau = self.heat.cools_in.get();
        let end = self.settles_at(watts);
        end + (from_c - end) * libm::exp(-time_s / tau)
    }

    /// Time until the winding reaches `to_c`, if it ever does.
    pub fn time_to(&self, from_c: f64, to_c: f64, watts: f64) -> Option<f64> {
        let end = self.settles_at(watts);
        let ratio = (end - from_c) / (end - to_c);
        (ratio >= 1.0 && ratio.is_finite()).then(|| self.heat.cools_in.get() * libm::log(ratio))
    }

    fn settles_at(&self, watts: f64) -> f64 {
        self.heat.air.get() + watts * self.heat.cools_in.get() / self.heat_capacity_j_k
    }

    /// Charge that passes for a change of the state of charge by one, C.
    pub fn charge_c(&self) -> f64 {
        self.supply.battery.capacity.get()
    }
}

fn in_order(rows: &[Row]) -> Result<(), PlateError> {
    let first = rows.first().ok_or(PlateError::NoLoadRow)?;
    if rows.len() < 2 || first.pull_n != 0.0 {
        return Err(PlateError::NoLoadRow);
    }
    if !(first.speed > 0.0 && first.current_a > 0.0) {
        return Err(PlateError::NotPositive);
    }
    for (i, pair) in rows.windows(2).enumerate() {
        let rises = pair[1].pull_n > pair[0].pull_n && pair[1].current_a > pair[0].current_a;
        if !(rises && pair[1].speed < pair[0].speed && pair[1].speed >= 0.0) {
            return Err(PlateError::Order(i + 2));
        }
    }
    Ok(())
}
