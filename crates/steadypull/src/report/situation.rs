//! How hard the casualty is stuck, term by term.

use steadypull_contract::answer::{ForceRange, Situation, TugAbility};
use steadypull_contract::show::{Units, figures, percent};

use super::{Detail, Page};

/// Writes the terms, their sums, the design value and what the tug can do.
pub fn write(page: &mut Page, situation: &Situation, units: Units, detail: Detail) {
    page.heading("SITUATION", "how hard the casualty is stuck");
    page.table(
        &["Resistance", "low", "middle", "high"],
        &rows(situation, units),
    );
    page.paragraph("Low and high: one case in twenty lies below, one in twenty above.");
    page.gap();
    design(page, situation, units);
    tug(page, &situation.tug, units);
    if detail == Detail::Full {
        models(page, situation);
    }
}

fn rows(situation: &Situation, units: Units) -> Vec<[String; 4]> {
    let terms = situation
        .terms
        .iter()
        .map(|term| (term.name.as_str(), term.range));
    let sums = [
        ("= once it moves", situation.sliding),
        ("= to start it, slowly", situation.break_out),
        ("= to start it, fast", situation.break_out_fast),
    ];
    terms
        .chain(sums)
        .map(|(name, range)| row(name, range, units))
        .collect()
}

fn row(name: &str, range: ForceRange, units: Units) -> [String; 4] {
    let [low, median, high] =
        [range.low_n, range.median_n, range.high_n].map(|number| units.force(number));
    [name.into(), low, median, high]
}

fn design(page: &mut Page, situation: &Situation, units: Units) {
    page.fact(
        "Plan the rig for",
        &format!(
            "{}, or {} times its weight of {} ({} of cases lie below)",
            units.force(situation.design_n),
            figures(situation.design_over_weight),
            units.force(situation.weight_n),
            percent(situation.design_quantile),
        ),
    );
    if let Some(what) = &situation.held_by {
        page.fact("Held by", what);
    }
    if situation.fixed_end {
        page.fact(
            "FIXED END",
            "It will not move until what holds it is cleared.",
        );
    }
}

fn tug(page: &mut Page, tug: &TugAbility, units: Units) {
    page.fact(
        "Tug, steady pull",
        &format!(
            "{}, limited by its {}",
            range(tug.steady_pull, units),
            tug.limited_by
        ),
    );
    page.fact("Tug, braked, slides at", &range(tug.anchor_hold, units));
    match tug.winch_pull_n {
        Some(pull) => page.fact(
            "Tug, winch",
            &format!("{} on the layer in use", units.force(pull)),
        ),
        None => page.fact("Tug, winch", "none"),
    }
}

fn range(range: ForceRange, units: Units) -> String {
    format!(
        "{} ({} to {})",
        units.force(range.median_n),
        units.force(range.low_n),
        units.force(range.high_n)
    )
}

fn models(page: &mut Page, situation: &Situation) {
    page.gap();
    page.paragraph("Models behind the terms:");
    for term in &situation.terms {
        page.item("-", &format!("{}: {}", term.name, term.method));
        page.under(&format!("Source ({}): {}", term.source_status, term.source));
    }
}
