//! What a handful of pulls can and cannot tell about set-ups.
//!
//! - [`tolerance`]: what a part of nearly all gear of a kind will hold, from few tests.
//! - [`zero_failure`]: how many tests without a failure show a reliability.
//! - [`two_setups`]: a difference with its intervals, its test and what it could have
//!   seen; [`several_setups`] the same for each pair, with Holm's care.
//! - [`noncentral_t_below`], [`shift_seen`]: the power behind both.

mod bootstrap;
pub(crate) mod chi_square;
mod holm;
mod permutation;
mod power;
mod sample;
mod several;
pub mod tolerance;
mod two;
mod zero_failure;

pub use bootstrap::bootstrap_difference;
pub use holm::holm;
pub use permutation::{MOST_COUNTED, Permutation, permutation};
pub use power::{noncentral_t_below, power, shift_seen};
pub use sample::Sample;
pub use several::{Pair, several_setups};
pub use two::{Comparison, Difference, Rules, Verdict, two_setups};
pub use zero_failure::zero_failure_tests;
