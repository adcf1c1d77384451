//! The rig that a study is about: that of the plan, or the one its verdict speaks of.

use steadypull_engine::options::{Ladder, ladder};
use steadypull_engine::plan::{Method, Plan};
use steadypull_engine::study::Rigged;
use steadypull_engine::units::Length;

use super::super::{chosen_rig, runs::SideBySide, standoff};
use super::ChanceError;
use crate::AnswerError;
use crate::answer::Outline;

/// The rig with what the answer says of it.
pub(super) struct StudiedRig {
    pub rigged: Rigged,
    /// Rule distance of a straight rig, and the rule in words.
    pub rule: (Length, String),
    pub outlines: Vec<Outline>,
}

/// The rig of the plan; without one, that of the method to use.
pub(super) fn choose(plan: &Plan) -> Result<StudiedRig, ChanceError> {
    if plan
        .rig
        .as_ref()
        .is_some_and(|rig| rig.method == Method::Lower)
    {
        return Err(ChanceError::NoRig(LOWERING.into()));
    }
    let ladder = ladder(plan, &SideBySide).map_err(AnswerError::from)?;
    let Some(chosen) = chosen_rig(plan, &ladder) else {
        return Err(ChanceError::NoRig(missing(plan, &ladder)));
    };
    let slack = plan.rig.as_ref().map_or(Length::ZERO, |rig| rig.slack);
    let rigged = Rigged::of(chosen.rung, ladder.kinetic.as_ref(), slack);
    let rigged = rigged.ok_or_else(|| ChanceError::NoRig(missing(plan, &ladder)))?;
    let span = chosen.path.line_length();
    Ok(StudiedRig {
        rule: standoff::rule(&plan.policy, Some(&chosen), None, span),
        outlines: standoff::outlines(plan, Some(&chosen), span),
        rigged,
    })
}

const LOWERING: &str = "a lowering is worked out as a whole by `steadypull lowering PLAN`; \
                        chances are worked out for pulls";

/// Why there is no rig, method by method.
fn missing(plan: &Plan, ladder: &Ladder) -> String {
    if plan.lowering.is_some() {
        return LOWERING.into();
    }
    let pulls = ladder
        .rungs
        .iter()
        .filter(|r| r.method >= Method::SteadyTow);
    let reasons = pulls.map(|r| format!("{}: {}", r.method.word(), r.reason));
    let reasons: Vec<String> = reasons.collect();
    format!(
        "no method of pulling can be rigged from this kit ({})",
        reasons.join("; ")
    )
}

/// What links the study to the words of the ladder.
impl StudiedRig {
    /// Names of the parts in order.
    pub fn names(&self) -> Vec<String> {
        let links = self.rigged.path.links.iter();
        links.map(|link| link.name.clone()).collect()
    }
}
