//! Uncertain inputs: distributions, and samples that depend on the seed alone.

mod distribution;
mod sampling;

pub use distribution::{LogNormal, normal_cdf, normal_quantile};
pub use sampling::{Column, quantile, standard_error};
