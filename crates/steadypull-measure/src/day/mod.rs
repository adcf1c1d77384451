//! A test day planned before anything is pulled: how many repeats, in what order, what
//! to stop for, what to write down.
//!
//! - [`repeats_for`]: pulls a set-up needs for a difference to be seen; [`resolution`] what
//!   so many pulls can see.
//! - [`plan_day`]: set-ups in random order within blocks, stops, and the record sheet.

mod order;
mod repeats;
mod sheet;

pub use order::{Factor, Run, SetUp};
pub use repeats::{Aim, MOST_REPEATS, Repeats, Spread, repeats_for, resolution};
pub use sheet::{DayPlan, Stop, plan_day};
