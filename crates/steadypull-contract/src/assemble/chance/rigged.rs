//! The rig that a study is about: that of the plan, its lowering, or the one its verdict
//! speaks of.

use steadypull_engine::options::{Ladder, ladder};
use steadypull_engine::plan::{Lowering, Method, Plan};
use steadypull_engine::study::Rigged;
use steadypull_engine::units::{Force, Length};

use super::super::standoff::{self, Lowered};
use super::super::{chosen_rig, outlines, runs::SideBySide};
use super::ChanceError;
use crate::AnswerError;
use crate::answer::Outline;

/// The rig with what the answer says of it.
pub(super) struct StudiedRig {
    pub rigged: Rigged,
    /// Rule distance of a straight rig, and the rule in words.
    pub rule: (Length, String),
    pub outlines: Vec<Outline>,
    /// Without a rig: why, method by method.
    pub why_no_rig: Option<String>,
}

/// The rig of the plan, or its lowering; without either, that of the method to use;
/// where the kit has none, what the tug alone decides.
pub(super) fn choose(plan: &Plan, threads: Option<usize>) -> Result<StudiedRig, ChanceError> {
    let lowers = plan.rig.as_ref().is_none_or(|r| r.method == Method::Lower);
    if let Some(lowering) = plan.lowering.as_ref().filter(|_| lowers) {
        return lowered(plan, lowering);
    }
    let ladder = ladder(plan, &SideBySide(threads)).map_err(AnswerError::from)?;
    let slack = plan.rig.as_ref().map_or(Length::ZERO, |rig| rig.slack);
    let chosen = chosen_rig(plan, &ladder);
    let rigged = chosen
        .as_ref()
        .and_then(|c| Rigged::of(c.rung, ladder.kinetic.as_ref(), slack));
    let (Some(chosen), Some(rigged)) = (chosen, rigged) else {
        return match &plan.rig {
            Some(rig) => Err(ChanceError::NoRig(why_not(rig.method, &ladder))),
            None => Ok(without(plan, &ladder)),
        };
    };
    let span = chosen.path.line_length();
    Ok(StudiedRig {
        rule: standoff::rule(plan, Some(&chosen), None, span),
        outlines: standoff::outlines(plan, Some(&chosen), span),
        rigged,
        why_no_rig: None,
    })
}

/// The lowering of the plan, over the ground where its rig is laid out there.
fn lowered(plan: &Plan, lowering: &Lowering) -> Result<StudiedRig, ChanceError> {
    let rigged = Rigged::lowering(plan, lowering)?;
    let metal = rigged.path.lines.iter().any(|l| l.material.is_metal());
    let span = rigged.span;
    let outlines = match &rigged.path.laid_out {
        Some(rig) => {
            let pull = rig.at_unit_haul.pull().max(Force::new(1e-9));
            // The reference is half of what the middle asks for.
            outlines::outlines(plan, rig, rigged.reference * 2.0 / pull)
        }
        None => standoff::outlines(plan, None, span),
    };
    Ok(StudiedRig {
        rule: standoff::lowering_rule(plan, Lowered { span, metal }),
        outlines,
        rigged,
        why_no_rig: None,
    })
}

/// No rig: what the tug alone decides.
fn without(plan: &Plan, ladder: &Ladder) -> StudiedRig {
    let span = standoff::NO_RIG_SPAN;
    StudiedRig {
        rigged: Rigged::none(span),
        rule: standoff::rule(plan, None, None, span),
        outlines: standoff::outlines(plan, None, span),
        why_no_rig: Some(missing(ladder)),
    }
}

/// Why the rig of the plan for `method` cannot be studied.
fn why_not(method: Method, ladder: &Ladder) -> String {
    let rung = ladder.rungs.iter().find(|r| r.method == method);
    match rung {
        Some(rung) => rung.reason.clone(),
        None => "it is for a lowering, and the plan describes none (`[lowering]`)".into(),
    }
}

/// Why there is no rig, method by method.
fn missing(ladder: &Ladder) -> String {
    let pulls = ladder
        .rungs
        .iter()
        .filter(|r| r.method >= Method::SteadyTow && r.path.is_none());
    let reasons = pulls.map(|r| format!("{}: {}", r.method.word(), r.reason));
    reasons.collect::<Vec<String>>().join("; ")
}

/// What links the study to the words of the ladder.
impl StudiedRig {
    /// Names of the parts in order.
    pub fn names(&self) -> Vec<String> {
        let links = self.rigged.path.links.iter();
        links.map(|link| link.name.clone()).collect()
    }
}
