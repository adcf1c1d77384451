//! Pulls with where their numbers come from.

use steadypull_contract::answer::{FootageRead, PullRead, SetBy, TestEvent, TestEventKind};
use steadypull_contract::show::{Units, seconds};

use super::look;
use super::number::{mostly, told};
use crate::report::Page;

/// Writes every pull.
pub fn write(page: &mut Page, pulls: &[PullRead], units: Units) {
    for pull in pulls {
        let setup = pull
            .setup
            .as_ref()
            .map_or("no set-up".into(), |s| format!("set-up {s}"));
        page.heading(&format!("PULL {}", pull.name), &setup);
        provenance(page, pull, units);
        events(page, pull);
        readings(page, pull, units);
        if let Some(seen) = &pull.footage {
            footage(page, seen, units);
        }
    }
}

fn provenance(page: &mut Page, pull: &PullRead, units: Units) {
    let log = &pull.log;
    let checked = if log.checked {
        "as the test file states it"
    } else {
        "not stated in the test file: any other log would be read as well"
    };
    page.fact(
        "Log",
        &format!("{}, {} samples, by {}", log.file, log.samples, log.recipe),
    );
    // Whole on its line, so that it can be copied.
    page.drawn(&format!("  SHA-256 {}", log.sha256));
    page.fact("", checked);
    match &pull.cell {
        Some(cell) => page.fact(
            "Cell",
            &format!(
                "{}, certificate {}, {} {}, to {}",
                cell.name,
                cell.certificate,
                if cell.overdue { "OVERDUE since" } else { "due" },
                cell.due,
                units.force(cell.range_n)
            ),
        ),
        None => page.fact("Cell", "none named"),
    }
    for (number, step) in pull.steps.iter().enumerate() {
        let label = if number == 0 { "Cleaned" } else { "" };
        page.fact(label, &step.says);
    }
    for group in &pull.mistakes {
        look::group(page, group);
    }
    look::faults(page, &pull.faults);
}

fn events(page: &mut Page, pull: &PullRead) {
    let told = |event: &TestEvent| {
        let hand = if event.set_by == SetBy::Hand {
            ", by hand"
        } else {
            ""
        };
        let sure = 1e3 * event.uncertainty_s;
        format!(
            "{} {:.3} s (+- {sure:.1} ms{hand})",
            word(event.kind),
            event.time_s
        )
    };
    let all: Vec<String> = pull.events.iter().map(told).collect();
    page.fact("Events", &all.join(", "));
    if !pull.others.is_empty() {
        let rebounds = pull.others.iter().filter(|other| other.rebound).count();
        let text = format!(
            "{rebounds} rebounds, {} other pulls",
            pull.others.len() - rebounds
        );
        page.fact("Also in the log", &text);
    }
}

fn word(kind: TestEventKind) -> &'static str {
    match kind {
        TestEventKind::Taut => "taut",
        TestEventKind::Peak => "peak",
        TestEventKind::BreakOut => "break-out",
        TestEventKind::Parting => "parting",
        TestEventKind::End => "slack",
    }
}

/// What its footage shows.
fn footage(page: &mut Page, seen: &FootageRead, units: Units) {
    page.gap();
    page.fact(
        "Footage",
        &format!(
            "{}, {} marks over {}",
            seen.file,
            seen.marks,
            seconds(seen.span_s)
        ),
    );
    page.drawn(&format!("  SHA-256 {}", seen.sha256));
    for (label, axis) in [("along", &seen.along), ("across", &seen.across)] {
        page.fact(&format!("Moved {label}"), &told(units, "m", &axis.moved_m));
        page.fact("at most", &told(units, "m/s", &axis.speed_m_s));
        page.fact("", &told(units, "m/s2", &axis.acceleration_m_s2));
    }
}

fn readings(page: &mut Page, pull: &PullRead, units: Units) {
    let r = &pull.readings;
    page.gap();
    page.fact("Peak load", &told(units, "N", &r.peak_n));
    if let Some(mostly) = mostly(&r.peak_n) {
        page.fact("", &format!("its doubt mostly from {mostly}"));
    }
    page.fact("as filtered", &told(units, "N", &r.peak_as_filtered_n));
    page.fact("Rise, 10 to 90 %", &told(units, "s", &r.rise_s));
    page.fact("Above half the peak", &told(units, "s", &r.width_s));
    page.fact("Impulse", &told(units, "N s", &r.impulse_n_s));
    page.fact("Taut to slack", &told(units, "s", &r.duration_s));
    if let Some(s) = &r.stretch {
        page.fact("Greatest stretch", &told(units, "m", &s.greatest_m));
        page.fact("Energy taken in", &told(units, "J", &s.energy_in_j));
        page.fact("Energy given back", &told(units, "J", &s.energy_back_j));
        page.fact("Share kept", &told(units, "1", &s.hysteresis_share));
        page.fact("Dynamic stiffness", &told(units, "N/m", &s.stiffness_n_m));
    }
    if let Some(why) = &r.no_stretch {
        page.fact("Stretch", &format!("none: {why}"));
    }
    let noise = units.hand_force(pull.noise_n);
    page.fact(
        "Noise at rest",
        &format!("{noise}; a pull from {} up", units.force(pull.threshold_n)),
    );
}
