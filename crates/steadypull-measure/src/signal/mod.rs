//! From a log as it was written to an evenly sampled, cleaned series.
//!
//! | room | what it does |
//! |---|---|
//! | [`faults`] | what is wrong with a log, where, and what it does to the numbers |
//! | [`Stamps`] | when samples were taken: a list, or a grid that needs none |
//! | `survey.rs`, `lanes.rs` | what several rooms ask of the values, in one pass; how passes are quick |
//! | [`series`](Series) | values at even steps; what is missing is NaN, and stays so |
//! | [`Quality`] | what is known of a channel's doubt, carried beside its values |
//! | [`resample`] | uneven stamps to even steps, never across a gap |
//! | [`zero`] | the quiet part: where the cell reads nothing, and how it scatters |
//! | [`calibration`] | reading to load, with the certificate and its uncertainty |
//! | [`cfc`] | low-pass by channel frequency class |
//! | [`align`] | two channels onto one clock |
//! | [`steps`] | all of this as a list that can be written down and run again |
//!
//! Times and values come as plain slices, s and whatever the recorder wrote; nothing
//! here changes them in place.

pub mod align;
pub mod calibration;
pub mod cfc;
pub mod faults;
pub(crate) mod lanes;
mod quality;
pub mod resample;
mod series;
mod stamps;
pub mod steps;
mod survey;
pub mod zero;

pub use quality::{Channel, Quality};
pub use series::{Series, SeriesError};
pub use stamps::{Grid, Stamps};
