//! How far back people stand.

use steadypull_contract::answer::Standoff;
use steadypull_contract::show::{Units, percent};

use super::Page;

/// Writes the distances and who stands where.
pub fn write(page: &mut Page, standoff: &Standoff, units: Units) {
    page.heading("STANDOFF", "nobody inside while the line is loaded");
    page.fact(
        "Behind the casualty",
        &units.length(standoff.behind_casualty_m),
    );
    page.fact("Behind the tug", &units.length(standoff.behind_tug_m));
    page.fact("Beside the line", &units.length(standoff.beside_m));
    page.fact("Measured from", "the recovery points in use, and the line");
    page.fact(
        "Rule",
        &format!("{}: {}", units.length(standoff.rule_m), standoff.rule),
    );
    page.fact("Computed", &computed(standoff, units));
    for area in &standoff.danger_areas {
        page.fact("Danger area", &format!("{}: {}", area.name, area.why));
    }
    for place in &standoff.places {
        page.fact(&place.who, &place.place);
    }
}

fn computed(standoff: &Standoff, units: Units) -> String {
    if standoff.runs == 0 && standoff.failed_runs == 0 {
        return "nothing: no rig is pulled, so the rule alone sets the distance".into();
    }
    let which = if standoff.computed_governs {
        "LARGER THAN THE RULE somewhere, so it sets the distance there"
    } else {
        "inside the rule everywhere, so the rule sets the distance"
    };
    let failed = match standoff.failed_runs {
        0 => String::new(),
        failed => format!(", {failed} more FAILED and are not in it"),
    };
    format!(
        "reach past a recovery point {}; {which} ({} of {} runs lie inside{failed})",
        units.length(standoff.computed_reach_m),
        percent(standoff.quantile),
        standoff.runs
    )
}
