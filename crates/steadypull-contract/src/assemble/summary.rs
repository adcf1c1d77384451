//! The plan in short.

use steadypull_engine::plan::{Plan, TestedLine, ToldApart};

use super::spread_findings;
use crate::answer::{AssumedDefault, FitVerdict, LineFromTests, PlanSummary, SpreadInput};
use crate::plan_file;

pub(super) fn summary(plan: &Plan) -> PlanSummary {
    PlanSummary {
        title: plan.title.clone(),
        place: plan.place.clone(),
        casualty: plan.casualty.vehicle.name.clone(),
        tug: plan.tug.vehicle.name.clone(),
        casualty_mass_kg: plan.casualty.vehicle.mass.get(),
        tug_mass_kg: plan.tug.vehicle.mass.get(),
        crew: plan.people.crew,
        bystanders: plan.people.bystanders,
        seed: plan.seed,
        inputs: plan_file::inputs(plan, plan.units),
        assumed: plan
            .assumed
            .iter()
            .map(|a| AssumedDefault {
                key: a.key.clone(),
                value: plan_file::retold(&a.value, plan.units),
                reason: a.reason.clone(),
            })
            .collect(),
        spreads: plan
            .spreads
            .iter()
            .map(|spread| SpreadInput {
                key: spread.key.clone(),
                text: spread.text.clone(),
                middle: spread_findings::middle(spread),
            })
            .collect(),
        tested: plan.tested.iter().map(tested).collect(),
    }
}

fn tested(tested: &TestedLine) -> LineFromTests {
    LineFromTests {
        line: tested.line.clone(),
        file: tested.file.clone(),
        sha256: tested.sha256.clone(),
        title: tested.title.clone(),
        date: tested.date.clone(),
        place: tested.place.clone(),
        wet: tested.wet,
        condition: tested.condition.clone(),
        pulls: tested.pulls,
        data_to_share: tested.data_to,
        verdict: match tested.told {
            ToldApart::Apart => FitVerdict::Apart,
            ToldApart::Leaning => FitVerdict::Leaning,
            ToldApart::Open => FitVerdict::Open,
        },
        says: tested.says.clone(),
        held: tested.held.clone(),
        overdue: tested.overdue.clone(),
        pulls_without_cell: tested.without_cell,
        drawn_together: tested.together.is_some(),
        method: tested.method.clone(),
        program: tested.program.clone(),
    }
}
