//! The models against outside truth.
//!
//! A [`Check`] puts what the engine says beside what a named source says; its
//! id is that of the published row, and every id is a test of its own. A check
//! with nothing to compare, with lists of unequal length or with a value that
//! is no number fails.
//!
//! - `cases/`: one file a topic; a file there that is not listed fails a test.
//! - `required`: every id that must be there, and those put off with a reason.
//! - `report`, `chart`, `statistics`: the table, VALIDATION.md and its chart.
//!
//! A check of a rule tests that the rule is coded right; it does not say that
//! the rule is right for a given bog, tree or strap.

#[expect(clippy::approx_constant, reason = "printed figures stay as printed")]
mod cases;
mod chart;
mod check;
mod convergence;
mod convergence_chart;
mod figure;
mod published;
mod reference;
mod report;
mod required;
/// The rigs of the engine's own tests, so that both speak of the same ones.
#[path = "../../crates/steadypull-engine/tests/rigs/mod.rs"]
mod rigs;
mod rope_recoil;
mod situations;
mod snap_back_chart;
mod statistics;

pub use check::{Against, Check, Outcome, Tolerance, Verdict};
pub use report::{Document, documents, table};
pub use required::{DEFERRED, REQUIRED};

/// Every check, judged, in the order of the topics.
pub fn all() -> Vec<Outcome> {
    cases::TOPICS
        .iter()
        .flat_map(|topic| (topic.checks)())
        .map(Outcome::judge)
        .collect()
}
