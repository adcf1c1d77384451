//! Battery, alternator and cable: the voltage that reaches the winch.
//!
//! `V = V_0(s) − (I − I_alt) R_b − I R_c`, `s` the state of charge. Cable:
//! `R_c = 2 rho L / A` of copper, out and back (IEC 60028, CV-CABLE-01); AWG
//! sections by ASTM B258 (CV-CABLE-02). `V_0` of a lead-acid battery is taken
//! straight from 11.8 V empty to 12.75 V full for each 12 V (common practice).
//! The alternator gives its spare current whole while the battery can take it;
//! its voltage regulation and the cold battery's higher resistance are left out.

use core::f64::consts::PI;

use crate::plan::{Battery, Cable, ElectricPlate};
use crate::source::{Source, Status};
use crate::units::{Area, Length, Resistance, Voltage};

/// Resistivity of annealed copper at 20 °C, ohm m.
pub const COPPER_OHM_M: f64 = 1.724e-8;
/// Where it comes from.
pub const COPPER_SOURCE: Source = Source::new(
    "IACS copper resistivity (IEC 60028), R = rho L / A",
    Status::Computed,
);
/// Where AWG diameters come from.
pub const AWG_SOURCE: Source = Source::new(
    "ASTM B258: d = 0.127 x 92^((36 - n)/39) mm",
    Status::Computed,
);
/// State of charge under which a battery may not start its engine again.
pub const FLAT: f64 = 0.2;
/// Open-circuit voltage of a 12 V lead-acid battery, empty and full.
const OPEN_CIRCUIT_V: (f64, f64) = (11.8, 12.75);

/// Resistance of a copper cable, out and back.
pub fn cable_resistance(cable: Cable) -> Resistance {
    Resistance::new(2.0 * COPPER_OHM_M * cable.length.get() / cable.section.get())
}

/// Diameter of a solid wire of AWG number `n` (1/0 is 0, 2/0 is −1).
pub fn awg_diameter(n: i8) -> Length {
    Length::from_mm(0.127 * libm::pow(92.0, (36.0 - f64::from(n)) / 39.0))
}

/// Section of AWG number `n`.
pub fn awg_section(n: i8) -> Area {
    let d = awg_diameter(n).get();
    Area::new(PI * d * d / 4.0)
}

/// Open-circuit voltage of a battery of nominal voltage `volts`.
pub fn open_circuit(volts: Voltage, state_of_charge: f64) -> Voltage {
    let (empty, full) = OPEN_CIRCUIT_V;
    volts * ((empty + (full - empty) * state_of_charge.clamp(0.0, 1.0)) / 12.0)
}

/// What feeds the motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Supply {
    nominal_v: Voltage,
    pub battery: Battery,
    pub alternator_a: f64,
    pub cable_ohm: f64,
}

/// The supply with a current drawn from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Drawn {
    /// Voltage at the winch.
    pub winch_v: f64,
    /// Current out of the battery; negative while it charges.
    pub battery_a: f64,
    /// Power out of the battery's chemistry.
    pub battery_w: f64,
    /// Power out of the alternator.
    pub alternator_w: f64,
    /// Heat in the battery.
    pub battery_heat_w: f64,
    /// Heat in the cable.
    pub cable_heat_w: f64,
}

impl Supply {
    pub fn of(plate: &ElectricPlate) -> Self {
        Self {
            nominal_v: plate.volts,
            battery: plate.battery,
            alternator_a: plate.alternator.get(),
            cable_ohm: cable_resistance(plate.cable).get(),
        }
    }

    fn source_v(&self, state_of_charge: f64) -> f64 {
        open_circuit(self.nominal_v, state_of_charge).get()
    }

    /// The supply giving `current_a` to the winch.
    pub fn draw(&self, current_a: f64, state_of_charge: f64) -> Drawn {
        // A full battery takes no more: the alternator gives what is used.
        let spare = if state_of_charge < 1.0 {
            self.alternator_a
        } else {
            self.alternator_a.min(current_a)
        };
        let open_v = self.source_v(state_of_charge);
        let battery_a = current_a - spare;
        let inside = self.battery.resistance.get();
        let terminal_v = open_v - battery_a * inside;
        Drawn {
            winch_v: terminal_v - current_a * self.cable_ohm,
            battery_a,
            battery_w: open_v * battery_a,
            alternator_w: terminal_v * spare,
            battery_heat_w: battery_a * battery_a * inside,
            cable_heat_w: current_a * current_a * self.cable_ohm,
        }
    }

    /// Current at which nothing is left for a winding of `winding_ohm` to turn.
    pub fn stall_current(&self, winding_ohm: f64, state_of_charge: f64) -> f64 {
        let inside = self.battery.resistance.get();
        (self.source_v(state_of_charge) + self.alternator_a * inside)
            / (inside + self.cable_ohm + winding_ohm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_drop_is_what_ohm_says() {
        let cable = Cable {
            length: Length::new(4.0),
            section: Area::new(50e-6),
        };
        let ohm = cable_resistance(cable);
        assert!((ohm.to_mohm() - 2.7584).abs() < 1e-4, "CV-CABLE-01");
        assert!(
            (awg_diameter(-1).to_mm() - 9.265_83).abs() < 1e-4,
            "CV-CABLE-02"
        );
        assert!(open_circuit(Voltage::new(24.0), 1.0).get() == 25.5);
    }
}
