//! Every method, least hazardous first.

use steadypull_contract::answer::{LinkLoad, Options, Probability, Rung};
use steadypull_contract::show::{Units, likely, one_in, percent};

use super::{Detail, Page};

/// What stands where there is nothing to say.
const NONE: &str = "-";

/// Writes the ladder, then what is to be said on each rung.
pub fn write(page: &mut Page, options: &Options, units: Units, detail: Detail) {
    page.heading("OPTIONS", "every method, least hazardous first");
    let rows: Vec<[String; 5]> = options.ladder.iter().map(|rung| row(rung, units)).collect();
    page.table(
        &["Method", "verdict", "shifts it", "after digging", "stored"],
        &rows,
    );
    for rung in &options.ladder {
        page.gap();
        page.sides(&format!("  {}", rung.method.title()), rung.verdict.word());
        page.under(&rung.reason);
        page.under(&stopping(rung));
        forces(page, rung, units);
        risks(page, rung);
        if detail == Detail::Full {
            numbers(page, rung, units);
        }
    }
}

fn row(rung: &Rung, units: Units) -> [String; 5] {
    let chance = |value: Option<f64>| {
        let (Some(p), Some(error)) = (value, at_an_end(rung)) else {
            return value.map_or(NONE.into(), percent);
        };
        likely(p, 1.0 - 3.0 * error, 3.0 * error)
    };
    [
        rung.method.title().into(),
        rung.verdict.word().into(),
        chance(rung.shift_probability),
        chance(rung.shift_probability_after_digging),
        rung.stored_energy_j
            .map_or(NONE.into(), |j| units.energy(j)),
    ]
}

/// One over the samples behind the chances of a rung, from the error that is told; three
/// times that bounds what never happened in them at 95 % (the rule of three).
fn at_an_end(rung: &Rung) -> Option<f64> {
    let (p, error) = rung.shift_probability.zip(rung.shift_probability_error)?;
    let between = p * (1.0 - p);
    Some(if between > 0.0 {
        error * error / between
    } else {
        error
    })
}

fn stopping(rung: &Rung) -> String {
    let can = if rung.stoppable {
        "Can be stopped"
    } else {
        "CANNOT BE STOPPED once under way"
    };
    format!("{can}: {}", rung.how_to_stop)
}

/// What it has to pull against what it can bring to bear.
fn forces(page: &mut Page, rung: &Rung, units: Units) {
    if let (Some(needed), Some(available)) = (rung.needed_n, rung.available_n) {
        let (needed, available) = (units.force(needed), units.force(available));
        page.under(&format!(
            "Needs {needed} in the design case, can bring {available} in the middle case."
        ));
    }
}

/// What may go wrong with it, by probability.
fn risks(page: &mut Page, rung: &Rung) {
    let Some(risks) = &rung.risks else {
        return;
    };
    let named = |name: &Option<String>| match name {
        Some(name) => format!(" ({name})"),
        None => String::new(),
    };
    let mut parts = vec![
        format!(
            "a part passes its WLL {}{}",
            chance_of(risks.passes_wll),
            named(&risks.likeliest_past_wll)
        ),
        format!(
            "a part lets go {}{}",
            one_in(risks.lets_go.value),
            named(&risks.likeliest_to_go)
        ),
    ];
    if let Some(yields) = risks.anchor_yields {
        parts.push(format!("an anchor yields {}", one_in(yields.value)));
    }
    if let Some(slides) = risks.tug_slides {
        parts.push(format!("the tug slides {}", chance_of(slides)));
    }
    page.under(&format!("Chances: {}.", parts.join(", ")));
}

fn chance_of(p: Probability) -> String {
    likely(p.value, p.low, p.high)
}

fn numbers(page: &mut Page, rung: &Rung, units: Units) {
    if let Some(error) = rung.shift_probability_error {
        page.under(&format!(
            "Sampling error of its chance: {}.",
            percent(error)
        ));
    }
    if let Some(peak) = rung.peak_load_n {
        page.under(&format!(
            "Greatest load in the line: {}.",
            units.force(peak)
        ));
    }
    for link in &rung.links {
        page.under(&link_load(link, units));
    }
    page.under(&format!("Model: {}", rung.model));
}

fn link_load(link: &LinkLoad, units: Units) -> String {
    let share = |what: &str, share: Option<f64>| match share {
        Some(share) => format!(", {} of {what}", percent(share)),
        None => format!(", no {what} known"),
    };
    format!(
        "{}: {}{}{}",
        link.name,
        units.force(link.peak_load_n),
        share("WLL", link.share_of_wll),
        share("MBS", link.share_of_mbs)
    )
}
