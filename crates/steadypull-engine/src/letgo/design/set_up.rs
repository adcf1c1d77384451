//! A set-up of dampers and a tether: what a design chooses.

use crate::letgo::cases::CONTACT_M;
use crate::letgo::{DamperOnLine, Setup, TetherToLine};
use crate::line::Material;
use crate::units::{Area, Force, Length, Mass};

/// Lightest tether: no eye and stitching weighs less (as in a plan).
const LIGHTEST_TETHER: Mass = Mass::new(0.05);

/// One damper on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hung {
    /// Mass.
    pub mass: Mass,
    /// Place: share of the line's length from the end that lets go, 0 hard against
    /// the hardware, 1 at the far vehicle.
    pub place: f64,
}

impl Hung {
    /// By mass in kg and place.
    pub fn new(kg: f64, place: f64) -> Self {
        Self {
            mass: Mass::new(kg),
            place,
        }
    }
}

/// How a damper is made: what is assumed of every one alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Make {
    /// Force at which its grip on the line slips.
    pub grip: Force,
    /// Drag coefficient times area.
    pub drag_area: Area,
}

/// A tether from the vehicle that the line parts from to the line's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TetherMade {
    /// Length.
    pub length: Length,
    /// Strain at which it parts.
    pub strain_at_break: f64,
    /// Strength.
    pub mbs: Force,
}

impl TetherMade {
    /// Its mass, as nylon webbing of that strength (assumed, as in a plan).
    pub fn mass(&self) -> Mass {
        let by_length = Material::NylonWebbing.mass_per_length(self.mbs).get() * self.length.get();
        Mass::new(by_length).max(LIGHTEST_TETHER)
    }

    /// Greatest distance from its anchor that it lets anything get while it holds.
    pub fn reach(&self) -> Length {
        self.length * (1.0 + self.strain_at_break)
    }
}

/// Dampers, and a tether if there is one.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// Dampers on the line.
    pub dampers: Vec<Hung>,
    /// How they are made.
    pub make: Make,
    /// The tether.
    pub tether: Option<TetherMade>,
}

impl SetUp {
    /// These dampers and no tether.
    pub fn of(dampers: Vec<Hung>, make: Make) -> Self {
        Self {
            dampers,
            make,
            tether: None,
        }
    }

    /// Mass of all the dampers.
    pub fn total(&self) -> Mass {
        self.dampers.iter().map(|d| d.mass).sum()
    }

    /// Puts it on a run that has none of its own.
    pub(super) fn put_on(&self, setup: &mut Setup) {
        let whole = setup.rest_length();
        for damper in &self.dampers {
            setup.dampers.push(DamperOnLine {
                mass: damper.mass,
                from_free_end: whole * damper.place,
                drag_area: self.make.drag_area,
                slips_at: self.make.grip,
                contact_radius: Length::new(CONTACT_M),
            });
        }
        if let Some(tether) = &self.tether {
            setup.tethers.push(TetherToLine::new(
                tether.length,
                tether.mbs,
                tether.strain_at_break,
                tether.mass(),
            ));
        }
    }
}
