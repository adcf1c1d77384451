//! The physics of vehicle recovery.
//!
//! Pure functions: no files, no clock, no threads, no wire formats, so that the
//! same code gives the same digits natively and in the browser.

pub mod finding;
pub mod line;
pub mod plan;
pub mod source;
pub mod units;
