//! What the plan left open and what was taken instead.

use steadypull_contract::answer::PlanSummary;

use super::Page;

/// Writes every default that was filled in.
pub fn write(page: &mut Page, plan: &PlanSummary) {
    page.heading(
        "ASSUMED",
        "what the plan leaves open; write it in to change it",
    );
    if plan.assumed.is_empty() {
        page.paragraph("Nothing: the plan says it all.");
    }
    let mut about = "";
    for default in &plan.assumed {
        let (thing, key) = default.key.rsplit_once('.').unwrap_or(("", &default.key));
        if thing != about {
            page.paragraph(thing);
            about = thing;
        }
        let indent = if thing.is_empty() { "-" } else { "  -" };
        page.item(
            indent,
            &format!("{key} = {} ({})", default.value, default.reason),
        );
    }
    page.paragraph(&format!("Random draws start from seed {}.", plan.seed));
}
