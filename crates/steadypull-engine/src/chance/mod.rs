//! Uncertain inputs: distributions, and samples that depend on the seed alone.

mod distribution;
mod joe_kuo;
mod log_normal;
mod normal;
mod sampler;
mod sampling;
mod sobol;
mod stream;
mod window;

pub use distribution::{Distribution, DistributionError};
pub use log_normal::LogNormal;
pub use normal::{normal_cdf, normal_quantile};
pub use sampler::{REPLICATES, Sampler, SamplerError};
pub use sampling::{Column, quantile, standard_error};
