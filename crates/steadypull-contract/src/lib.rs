//! The contract: a plan file's text in, an answer out.
//!
//! The command line, the local server and the browser all speak through the
//! types here. `answer` holds the JSON contract, `plan_file` reads plans.

pub mod answer;
mod answer_error;
mod assemble;
#[cfg(test)]
mod drawn_together;
mod examples;
mod finite;
mod hash;
pub mod operation;
pub mod plan_file;
mod plan_text;
pub mod printed;
mod schemas;
pub mod study;

pub use answer_error::AnswerError;
pub use assemble::chance::{
    ChanceError, ChanceOptions, ChanceProgress, ChanceRuns, chance, in_these,
};
pub use assemble::convergence::answer_convergence;
pub use assemble::{anchors, answer_plan, design};
pub use examples::EXAMPLES;
pub use finite::non_finite;
pub use hash::{hex, sha256_of, sha256_read};
pub use schemas::schemas;
pub use steadypull_engine::show;
