//! The plan in short.

use steadypull_engine::plan::Plan;

use super::spread_findings;
use crate::answer::{AssumedDefault, PlanSummary, SpreadInput};
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
    }
}
