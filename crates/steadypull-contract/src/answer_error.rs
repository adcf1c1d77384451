//! Why no answer could be worked out.

use serde::Serialize;

use crate::answer::Answer;
use crate::finite::non_finite;

/// Why no answer could be worked out. An unsafe rig is no such reason: it is an
/// answer with findings.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnswerError {
    /// A pull could not be run.
    #[error("the pull could not be worked out: {0}")]
    Pull(#[from] steadypull_engine::pull::PullError),
    /// A winch haul could not be run.
    #[error("the winch haul could not be worked out: {0}")]
    Haul(#[from] steadypull_engine::pull::winch::HaulError),
    /// A let-go could not be run.
    #[error("what lets go could not be worked out: {0}")]
    LetGo(#[from] steadypull_engine::letgo::LetGoError),
    /// A lowering could not be run.
    #[error("the lowering could not be worked out: {0}")]
    Lowering(#[from] steadypull_engine::pull::lowering::study::LoweringError),
    /// The rig of a lowering could not be laid or solved.
    #[error("the rig of the lowering could not be worked out: {0}")]
    LoweringRig(#[from] steadypull_engine::rig::PathError),
    /// A design is asked for a link that could not let go there.
    #[error("no link `{link}` could let go there; there are: {}", there_are.join(", "))]
    NoSuchLink {
        /// The link asked for.
        link: String,
        /// The links that could, and where.
        there_are: Vec<String>,
    },
    /// The sums went wrong somewhere; nothing of that answer may be shown.
    #[error(
        "the sums went wrong: {} came out as no number. Nothing of this answer can be trusted; \
         check the plan for extreme values",
        fields.join(", ")
    )]
    NotFinite {
        /// Path of each number that is NaN or infinite.
        fields: Vec<String>,
    },
}

impl AnswerError {
    /// Lets an answer through only if every number in it is one.
    pub fn refuse_non_finite(answer: Answer) -> Result<Answer, Self> {
        Self::refuse_numbers(answer)
    }

    /// The same for any object that is printed.
    pub(crate) fn refuse_numbers<T: Serialize>(answer: T) -> Result<T, Self> {
        let fields = non_finite(&answer);
        if fields.is_empty() {
            Ok(answer)
        } else {
            Err(Self::NotFinite { fields })
        }
    }
}
