//! Lowering a vehicle down a slope on a held line.
//!
//! - [`profile`]: the way down, with rounded or sharp edges;
//! - [`stance`]: how a two-axle vehicle stands on it, on wheels or chassis;
//! - [`line_way`]: the way of a line from its anchor over the edges;
//! - [`holding`]: the force in the line at each place;
//! - [`pay_out`]: hand force, line, time and heat at the holder;
//! - [`run_away`]: what happens if what holds it parts, and the catch;
//! - [`parts`], [`anchor_hold`]: every part that could let go, with its limit;
//! - [`study`]: all of it for a plan;
//! - [`drawn`]: a draw of what is not known about it.

pub mod anchor_hold;
pub mod drawn;
pub mod holding;
pub mod line_way;
pub mod parts;
pub mod pay_out;
pub mod profile;
pub mod run_away;
pub mod stance;
pub mod study;
