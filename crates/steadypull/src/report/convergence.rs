//! Whether the let-go's numbers have settled.

use steadypull_contract::answer::{ConvergedCase, Convergence, ConvergenceLevel};
use steadypull_contract::show::{Units, percent};

use super::Page;

/// Writes a table a thing that flies.
pub fn write(page: &mut Page, found: &Convergence, units: Units) {
    page.heading("LET-GO", "followed finer: have its numbers settled?");
    page.paragraph(&found.headline);
    if found.cases.is_empty() {
        return;
    }
    if found.stopped {
        page.paragraph("Ended before the last: what was done is told.");
    }
    page.paragraph(&format!("How: {}.", found.model));
    for case in &found.cases {
        page.gap();
        write_case(page, case, units);
    }
}

fn write_case(page: &mut Page, case: &ConvergedCase, units: Units) {
    page.item(
        "-",
        &format!(
            "{} lets go: {} flies to {}{}",
            case.link,
            case.flies,
            case.flies_to,
            dampers(case.dampers)
        ),
    );
    let rows: Vec<[String; 5]> = case
        .levels
        .iter()
        .map(|level| row(level, &case.levels, units))
        .collect();
    page.table(
        &["    segments", "step", "steps", "speed", "arrives with"],
        &rows,
    );
    page.under(&format!(
        "Speed {} four times the segments and {} half the step: error left {}.",
        beside(case.speed_change_share),
        beside(case.speed_change_by_step_share),
        percent(case.speed_error_share)
    ));
    page.under(&arrival(case));
    page.under(if case.settled {
        "Settled."
    } else {
        "NOT settled."
    });
}

fn dampers(number: u32) -> String {
    match number {
        0 => String::new(),
        1 => ", through 1 damper".into(),
        n => format!(", through {n} dampers"),
    }
}

/// The step beside that of the first.
fn row(level: &ConvergenceLevel, all: &[ConvergenceLevel], units: Units) -> [String; 5] {
    let first = all.first().map_or(level.step_share, |l| l.step_share);
    [
        format!("    {}", level.segments),
        if level.step_share < first {
            "half".into()
        } else {
            "own".into()
        },
        level.steps.to_string(),
        units.flight_speed(level.speed_m_s),
        level
            .arrival_energy_j
            .map_or("does not".into(), |joules| units.energy(joules)),
    ]
}

fn arrival(case: &ConvergedCase) -> String {
    match (
        case.arrival_change_share,
        case.arrival_change_by_step_share,
        case.arrival_error_share,
    ) {
        (Some(change), Some(by_step), Some(error)) => format!(
            "Arrival energy {} four times the segments and {} half the step: error left {}.",
            beside(change),
            beside(by_step),
            percent(error)
        ),
        _ if case.launch_alone => "Followed through its launch alone.".into(),
        _ if case.arrival_in_doubt => {
            "Whether it arrives depends on the segments: take it that it does.".into()
        }
        _ => "It does not reach the far vehicle in any of them.".into(),
    }
}

/// How the answer's number stands to that of a finer run.
fn beside(share: f64) -> String {
    match share {
        s if s.abs() < 1e-3 => "within 0.1 % of that with".into(),
        s if s < 0.0 => format!("{} below that with", percent(-s)),
        s => format!("{} above that with", percent(s)),
    }
}
