//! Dampers and tethers by design: what it takes to keep a wish, or that nothing will.
//!
//! A wish is an energy that nothing arriving at the far vehicle may pass in a stated
//! share of the draws: launch direction, tension, mass and energy return scatter as
//! they do for the standoff zone. What arrives counts at any height, and a damper is
//! counted as the projectile that it is: the governing energy of a run is that of the
//! hardware with all it carries, or of the most energetic damper, whichever is more.
//!
//! - [`damper_design`]: the least damper mass and its places, with the curves behind
//!   it (mass, place, number, grip, load), and where common advice holds.
//! - [`tether_design`]: the least strength of a tether for each length and stretch.
//!
//! The engine starts no thread: whoever asks says how jobs are run side by side.

mod advice;
mod dampers;
mod energies;
mod every;
mod fineness;
#[cfg(test)]
mod laws;
mod least;
mod order;
mod set_up;
mod study;
mod target;
mod tether;
mod throw;

pub use advice::{AtLoad, Claims, LITTLE, Usual};
pub use dampers::{
    DamperDesign, DamperWish, MOST_DAMPERS, MassCurve, Point, bare_energies, damper_design,
};
pub use energies::{Asked, Energies, Spread};
pub use every::IfAnother;
pub use least::{Bounds, Least, MASS_STEP, PLACE_STEP};
pub use set_up::{Hung, Make, SetUp, TetherMade};
pub use study::{Effort, SideBySide};
pub use target::{Draws, Target};
pub use tether::{TetherCell, TetherDesign, TetherFit, TetherWish, tether_design};
pub use throw::{Job, Trial};
