//! What a kinetic pull would do.

use steadypull_contract::answer::{KineticPull, Probability, Pull, RunUpWindow};
use steadypull_contract::show::{Units, gravities, likely, one_in, percent, seconds};

use super::bar::{Mark, axis};
use super::{Detail, Page};

/// Slower than this is a crawl, m/s.
const CRAWL: f64 = 0.28;
/// Cells of the speed axis.
const CELLS: usize = 60;

/// Writes the pull's limits, its run-up window and, in full, its course.
pub fn write(page: &mut Page, pull: &Pull, units: Units, detail: Detail) {
    let answers = match &pull.winch {
        Some(_) => "what the winch haul asks, and what a kinetic pull would do",
        None => "what a kinetic pull would do",
    };
    page.heading("PULL", answers);
    if let Some(haul) = &pull.winch {
        super::winch::write(page, haul, units, detail);
        page.gap();
    }
    if let Some(why) = &pull.missing {
        page.paragraph(why);
    }
    let Some(kinetic) = &pull.kinetic else {
        return;
    };
    page.paragraph("Once under way it cannot be stopped.");
    summary(page, kinetic, units);
    window(page, kinetic, units);
    chances(page, kinetic, units, detail);
    if detail == Detail::Full {
        course(page, kinetic, units);
        repeats(page, kinetic, units);
        audit(page, kinetic, units);
        page.fact("Line model", &kinetic.line_model);
    }
}

fn summary(page: &mut Page, pull: &KineticPull, units: Units) {
    let whose = if pull.run_up_planned {
        "as planned"
    } else {
        "chosen here"
    };
    page.fact(
        "Line",
        &format!(
            "{}, {} at rest",
            pull.line,
            units.length(pull.rest_length_m)
        ),
    );
    page.fact(
        "Run-up speed",
        &format!("{}, {whose}", units.speed(pull.run_up_speed_m_s)),
    );
    page.fact("Slack laid out", &units.length(pull.slack_m));
    page.fact("Peak load", &units.force(pull.peak_force_n));
    page.fact(
        "Peak if it sticks fast",
        &units.force(pull.peak_force_fixed_n),
    );
    page.fact(
        "Stretch",
        &format!(
            "{}, {}",
            units.length(pull.stretch_m),
            percent(pull.stretch_share)
        ),
    );
    page.fact("Energy stored", &units.energy(pull.stored_energy_j));
    let enough = if pull.shifted {
        "far enough"
    } else {
        "NOT FAR ENOUGH"
    };
    page.fact(
        "Casualty moves",
        &format!("{}, {enough}", units.length(pull.movement_m)),
    );
    page.fact(
        "People feel",
        &format!(
            "{} in the casualty, {} in the tug, at the most",
            gravities(pull.casualty_peak_acceleration_m_s2),
            gravities(pull.tug_peak_deceleration_m_s2)
        ),
    );
}

fn window(page: &mut Page, pull: &KineticPull, units: Units) {
    page.gap();
    let window = &pull.window;
    page.fact("Run-up window", &window.words);
    page.fact(
        "Greatest is set by",
        &format!("{}: {}", window.limited_by, window.limited_how),
    );
    if let Some(by) = &window.opened_by {
        page.fact("Would open with", by);
    }
    let marks = marks(pull, units);
    let fastest = marks.iter().map(|mark| mark.at).fold(0.0, f64::max);
    if fastest <= 0.0 {
        return;
    }
    for line in axis(fastest * 1.15, open(window), &marks, CELLS) {
        page.drawn(&format!("    {line}"));
    }
}

fn marks(pull: &KineticPull, units: Units) -> Vec<Mark> {
    let mark = |at: Option<f64>, word: &str| {
        at.map(|at| Mark {
            at,
            label: format!(
                "{word} {}",
                if at < CRAWL {
                    "a crawl".into()
                } else {
                    units.speed(at)
                }
            ),
        })
    };
    let run_up = if pull.run_up_planned {
        "planned"
    } else {
        "chosen"
    };
    [
        mark(pull.window.least_m_s, "least"),
        mark(Some(pull.run_up_speed_m_s), run_up),
        mark(pull.window.greatest_m_s, "greatest"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The stretch of speeds that is left, if any.
fn open(window: &RunUpWindow) -> Option<(f64, f64)> {
    if window.empty {
        return None;
    }
    Some((window.least_m_s?, window.greatest_m_s?))
}

fn chances(page: &mut Page, pull: &KineticPull, units: Units, detail: Detail) {
    let at = &pull.at_run_up;
    let asked = &pull.window.asked;
    page.gap();
    page.fact(
        "Chance that it shifts",
        &format!(
            "{}; policy asks {}",
            with_interval(at.shifts),
            percent(asked.shifts)
        ),
    );
    page.fact(
        "... a link passes WLL",
        &format!(
            "{}; policy allows {}",
            with_interval(at.passes_wll),
            percent(asked.passes_wll)
        ),
    );
    page.fact(
        "... a link lets go",
        &format!(
            "{}; policy allows {}",
            one_in(at.lets_go.value),
            one_in(asked.lets_go)
        ),
    );
    page.fact("Pulls drawn", &pull.chances.samples.to_string());
    page.gap();
    page.paragraph("By probability, against run-up speed:");
    // Two of three are there for drawing.
    let every = if detail == Detail::Full { 1 } else { 3 };
    let speeds = pull.window.chances.iter().step_by(every);
    let rows: Vec<[String; 5]> = speeds
        .map(|one| {
            [
                units.speed(one.speed_m_s),
                chance_of(one.shifts),
                chance_of(one.passes_wll),
                one_in(one.lets_go.value),
                one.stands.words().into(),
            ]
        })
        .collect();
    page.table(
        &["Run-up", "shifts", "passes WLL", "lets go", "verdict"],
        &rows,
    );
}

fn chance_of(p: Probability) -> String {
    likely(p.value, p.low, p.high)
}

/// A probability with its sampling interval.
fn with_interval(p: Probability) -> String {
    format!(
        "{} ({} to {})",
        chance_of(p),
        percent(p.low),
        percent(p.high)
    )
}

fn course(page: &mut Page, pull: &KineticPull, units: Units) {
    page.gap();
    page.paragraph("What happens when:");
    for event in &pull.events {
        page.fact(&format!("  {}", seconds(event.time_s)), &event.what);
    }
    page.gap();
    page.paragraph("Peak load and movement against run-up speed:");
    let rows: Vec<[String; 3]> = pull
        .window
        .curve
        .iter()
        .map(|point| {
            [
                units.speed(point.speed_m_s),
                units.force(point.peak_force_n),
                units.length(point.movement_m),
            ]
        })
        .collect();
    page.table(&["Run-up", "peak", "moves"], &rows);
}

fn repeats(page: &mut Page, pull: &KineticPull, units: Units) {
    if pull.repeats.is_empty() {
        return;
    }
    page.gap();
    page.paragraph("The same pull again, the line keeping its set:");
    let rows: Vec<[String; 4]> = pull
        .repeats
        .iter()
        .map(|one| {
            [
                one.number.to_string(),
                units.force(one.peak_force_n),
                units.length(one.movement_m),
                units.length(one.set_m),
            ]
        })
        .collect();
    page.table(&["Pull", "peak", "moves", "set before it"], &rows);
}

fn audit(page: &mut Page, pull: &KineticPull, units: Units) {
    let audit = &pull.audit;
    page.gap();
    page.fact("Energy put in", &units.energy(audit.put_in_j));
    page.fact("... turned to heat", &units.energy(audit.dissipated_j));
    page.fact("... left in the line", &units.energy(audit.stored_j));
    page.fact("... left in motion", &units.energy(audit.kinetic_j));
    page.fact("... unaccounted for", &percent(audit.error_share));
}
