//! The `situation` area.

use steadypull_engine::options::Ladder;
use steadypull_engine::plan::Plan;
use steadypull_engine::pull::winch::pull_in_use;
use steadypull_engine::situation::{ForceRange, Term};

use crate::answer;

pub(super) fn situation(plan: &Plan, ladder: &Ladder) -> answer::Situation {
    let found = &ladder.found;
    let weight = plan.casualty.vehicle.mass.weight();
    let (slide, suction) = found.design(plan.policy.design_quantile);
    let design = slide + suction;
    answer::Situation {
        weight_n: weight.get(),
        terms: found.terms.iter().map(term).collect(),
        sliding: range(ForceRange::of(found.slide_samples())),
        break_out: range(ForceRange::of(&found.break_out_samples())),
        break_out_fast: range(ForceRange::of(&found.fast_break_out_samples())),
        design_n: design.get(),
        design_quantile: plan.policy.design_quantile,
        design_over_weight: design / weight,
        fixed_end: found.fixed_end,
        held_by: plan.casualty.held_by.as_ref().map(|h| h.what.clone()),
        tug: answer::TugAbility {
            steady_pull: range(ladder.tug.steady),
            limited_by: if ladder.tug.limited_by_grip {
                "grip"
            } else {
                "drive"
            }
            .into(),
            winch_pull_n: winch_pull_n(plan),
            anchor_hold: range(ladder.tug.anchor),
        },
    }
}

fn winch_pull_n(plan: &Plan) -> Option<f64> {
    let (winch, line) = plan.winch_and_line()?;
    Some(pull_in_use(winch, line).get())
}

fn term(term: &Term) -> answer::Term {
    answer::Term {
        name: term.kind.word().into(),
        range: range(ForceRange::of_term(term)),
        method: term.method.clone(),
        source: term.source.name.into(),
        source_status: term.source.status.words().into(),
    }
}

pub(super) fn range(range: ForceRange) -> answer::ForceRange {
    answer::ForceRange {
        low_n: range.low.get(),
        median_n: range.median.get(),
        high_n: range.high.get(),
    }
}
