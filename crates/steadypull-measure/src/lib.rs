//! From records of pulls to numbers that can be defended: cleaning a load cell's signal,
//! reading it off, footage marks to motion, the line model fitted, set-ups compared.
//!
//! Pure: no files, clock, network, threads or global state. Random draws come from a seed.

pub mod compare;
pub mod day;
mod draws;
pub mod events;
pub mod fit;
pub mod footage;
pub mod levels;
mod linear;
pub mod problem;
pub mod readings;
mod robust;
pub mod shapes;
pub mod signal;
pub mod together;
mod turn;
