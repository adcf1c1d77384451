//! What comes back when a part lets go, and how far people stand from it.
//!
//! - [`Setup`], [`run`], [`Outcome`]: the recoil of a parted line as a chain of
//!   lumped masses, with hardware, dampers, tethers, air and ground.
//! - [`film`]: the same run moment by moment, to be looked at.
//! - [`free_flight`]: where hardware lands that comes off the line.

mod accuracy;
mod air;
mod assemble;
mod audit;
mod bodies;
pub mod body;
pub mod cases;
mod chain;
mod crack;
mod damper;
pub mod design;
mod draw;
pub mod drawn;
mod ensemble;
mod extents;
pub mod film;
pub mod flight;
pub mod flying;
mod free_flight;
mod ground;
pub mod injury;
mod inside;
mod lanes;
mod motion;
mod outcome;
mod pace;
mod planned_gear;
mod power;
mod record;
pub mod rig;
pub mod rule_distance;
mod run;
mod scatter;
mod segment_law;
mod segments;
mod settling;
mod setup;
mod setup_check;
pub mod shield;
mod side_setup;
pub mod sides;
mod site_draw;
mod stretch;
mod tether;
mod tether_curve;
mod watches;
pub mod zone;

pub use accuracy::{Convergence, Level, converge};
pub use assemble::free_end_speed;
pub use audit::{EnergyAudit, MomentumAudit};
pub use crack::Crack;
pub use damper::speed_after_pick_up;
pub use ensemble::{How, Instructions, run_all, run_each, run_each_by};
pub use free_flight::{FreeFlight, free_flight, free_flight_in_wind};
pub use inside::BreakPlace;
pub use outcome::{DamperOutcome, EnergyAtDistance, Extents, FreeEnd, Outcome, TetherResult};
pub use run::run;
pub use settling::Settling;
pub use setup::{
    DamperOnLine, Ground, Hardware, HeldEnd, LetGoError, LinePart, MAX_SEGMENTS, Roughness, Setup,
    StepChoice, TetherToLine,
};
pub use site_draw::SiteDraw;
pub use watches::{Flown, Thing, Watched, Whip};
pub use zone::{Zone, ZoneRule, zone};
