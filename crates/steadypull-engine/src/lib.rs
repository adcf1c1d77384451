//! The physics of vehicle recovery.
//!
//! Pure functions: no files, no clock, no threads, no wire formats, so that the
//! same code gives the same digits natively and in the browser.

pub mod chance;
pub mod finding;
pub mod gear;
pub mod letgo;
pub mod line;
pub mod options;
pub mod plan;
pub mod pull;
pub mod rig;
pub mod show;
pub mod situation;
pub mod source;
pub mod study;
mod table;
pub mod units;
