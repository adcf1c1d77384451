//! What the report is about.

use steadypull_contract::answer::PlanSummary;
use steadypull_contract::show::Units;

use super::Page;

/// Writes the plan's title, place and vehicles.
pub fn write(page: &mut Page, plan: &PlanSummary, units: Units) {
    page.sides(&format!("STEADYPULL  {}", plan.title), "");
    let vehicle = |name: &str, mass_kg| format!("{name}, {}", units.mass(mass_kg));
    if let Some(place) = &plan.place {
        page.fact("Place", place);
    }
    page.fact("Casualty", &vehicle(&plan.casualty, plan.casualty_mass_kg));
    page.fact("Tug", &vehicle(&plan.tug, plan.tug_mass_kg));
    page.fact("People", &people(plan.crew, plan.bystanders));
}

fn people(crew: u32, bystanders: u32) -> String {
    let others = match bystanders {
        0 => "no bystanders".into(),
        1 => "1 bystander".into(),
        many => format!("{many} bystanders"),
    };
    format!("{crew} with a task, {others}")
}
