//! The winch: what it pulls on each layer, and a haul in time.
//!
//! - [`drum`]: line on the drum, layers, wraps, the layer rule.
//! - [`supply`]: battery, alternator, cable.
//! - `motor`: an electric winch from its data-plate, and its heat.
//! - [`machine`]: electric, hydraulic or hand, at a load.
//! - [`preset`]: data-plates to start from.
//! - [`haul`]: what a haul is asked and what came of it; `run` runs one.

pub mod drum;
pub mod haul;
pub mod machine;
mod motor;
pub mod preset;
mod run;
pub mod supply;

pub use drum::{Drum, least_wraps, winch_pull};
pub use haul::{
    End, HaulBooks, HaulError, HaulEvent, HaulLoad, HaulOutcome, HaulSample, HaulSetup,
};
pub use machine::{LimitedBy, Machine, pull_in_use};
pub use motor::PlateError;
pub use run::run;
