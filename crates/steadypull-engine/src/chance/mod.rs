//! Uncertain inputs: distributions, and samples that depend on the seed alone.

mod copula;
mod distribution;
mod exact_sum;
mod interval;
mod joe_kuo;
mod log_normal;
mod moments;
mod normal;
mod sampler;
mod sampling;
mod sensitivity;
mod sobol;
mod special;
mod stop;
mod stream;
mod tally;
mod values;
mod window;

pub use copula::{Copula, CopulaError, Joined};
pub use distribution::{Distribution, DistributionError};
pub use interval::{Interval, clopper_pearson, quantile_ranks, wilson};
pub use log_normal::LogNormal;
pub use moments::Moments;
pub use normal::{normal_cdf, normal_quantile};
pub use sampler::{REPLICATES, Sampler, SamplerError};
pub use sampling::{Column, quantile, standard_error};
pub use sensitivity::{Design, Sensitivity, Share};
pub use special::{crossing, incomplete_beta, student_quantile};
pub use stop::{Aim, Next, StopRule, StopRuleError};
pub use tally::Tally;
pub use values::{KEPT_MOST, Sorted, Values};
