//! What comes back if a part of a rig laid out on the ground lets go.
//!
//! - [`partings`]: every part that could part, the energy that comes free, what is
//!   left holding and what flies to which side.
//! - [`rig_scatter`], [`rig_zone`]: where it comes down, and where nobody stands:
//!   the rule, the computed reach and the inside of every bight.

mod area;
mod ends;
mod holding;
mod parting;
mod partings;
mod pieces;
mod scatter;
mod scene;
mod shape;
mod terrain;
mod throw;
mod zone;

pub use area::DangerArea;
pub use parting::{Flight, FlightSort, FreedRun, Holding, Parting};
pub use partings::{Partings, partings};
pub use scatter::{Group, RigScatter, rig_scatter};
pub use shape::Spot;
pub use zone::{RigRule, RigZone, rig_zone};
