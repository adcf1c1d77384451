//! What comes back when a part lets go, and how far people stand from it.
//!
//! - [`Setup`], [`run`], [`Outcome`]: the recoil of a parted line as a chain of
//!   lumped masses, with hardware, dampers, tethers, air and ground.
//! - [`free_flight`]: where hardware lands that comes off the line.

mod assemble;
mod audit;
mod bodies;
pub mod cases;
mod chain;
mod corner;
mod damper;
pub mod design;
mod draw;
mod ensemble;
pub mod flight;
mod free_flight;
mod ground;
pub mod injury;
mod outcome;
mod record;
pub mod rig;
pub mod rule_distance;
mod run;
mod segment_law;
mod setup;
mod tether;
pub mod zone;

pub use assemble::free_end_speed;
pub use audit::{EnergyAudit, MomentumAudit};
pub use damper::speed_after_pick_up;
pub use ensemble::{run_all, run_each};
pub use free_flight::{FreeFlight, free_flight};
pub use outcome::{DamperOutcome, EnergyAtDistance, Extents, FreeEnd, Outcome, TetherResult};
pub use run::run;
pub use setup::{
    DamperOnLine, Ground, Hardware, HeldEnd, LetGoError, LinePart, MAX_SEGMENTS, Setup,
    TetherToLine,
};
pub use zone::{Zone, ZoneRule, zone};
