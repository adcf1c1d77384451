//! A line fitted to pulls.

use steadypull_contract::answer::{FitVerdict, FittedLine, FittedParameter, fine_length};
use steadypull_contract::show::{Units, figures, of_100, percent};

use crate::report::Page;

/// Writes the verdict, the parameters, the residuals and the table for a plan.
pub fn write(page: &mut Page, line: &FittedLine, units: Units) {
    page.heading(
        &format!("LINE {}", line.name),
        "the planner's line model fitted to pulls",
    );
    let word = match line.verdict {
        FitVerdict::Apart => "TOLD APART",
        FitVerdict::Leaning => "LEANING ON EACH OTHER",
        FitVerdict::Open => "OPEN",
    };
    page.fact("Verdict", &format!("{word}. {}", line.says));
    page.fact(
        "Of",
        &format!(
            "{}, {} long, {} breaking strength as stated",
            line.material,
            units.length(line.length_m),
            units.force(line.mbs_n)
        ),
    );
    let pulls = line.pulls.iter().map(|pull| {
        let noise = fine_length(units, pull.stretch_noise_m);
        format!(
            "{} ({} readings, stretch good to {noise})",
            pull.name, pull.readings
        )
    });
    page.fact("From", &pulls.collect::<Vec<_>>().join(", "));
    page.fact(
        "Read up to",
        &format!(
            "{} of the breaking strength; above, straight on",
            percent(line.share_read)
        ),
    );
    page.gap();
    page.paragraph(&format!(
        "In brackets what holds the truth {} in 100 times, {}.",
        of_100(line.confidence),
        line.intervals
    ));
    for parameter in &line.parameters {
        self::parameter(page, parameter, units);
    }
    page.gap();
    page.fact(
        "About the line",
        &format!(
            "{} of noise in a load, {} more by that of its stretch; residuals {} (runs p = {}, neighbours p = {})",
            units.hand_force(line.noise_n),
            units.hand_force(line.noise_by_stretch_n),
            if line.residuals_like_noise {
                "pass for noise"
            } else {
                "are NOT like noise"
            },
            figures(line.runs_p),
            figures(line.correlation_p)
        ),
    );
    page.gap();
    page.paragraph("The line file for a plan (--use NAME.line.toml writes it), where it comes from left out here:");
    let rows = line.line_toml.lines().take_while(|row| *row != "[fit]");
    for row in rows.filter(|row| !row.starts_with('#') && !row.is_empty()) {
        page.under(row);
    }
}

fn parameter(page: &mut Page, parameter: &FittedParameter, units: Units) {
    let unit = match &parameter.name[..] {
        "stiffness-ratio" => "",
        _ => &parameter.unit,
    };
    page.item(
        "-",
        &format!("{}: {}", parameter.says, parameter.value.told(units, unit)),
    );
    if let Some(mostly) = parameter.value.mostly() {
        page.under(&format!("its doubt mostly from {mostly}"));
    }
}
