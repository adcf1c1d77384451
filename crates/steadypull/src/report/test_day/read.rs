//! Pulls with where their numbers come from.

use steadypull_contract::answer::{
    CellUsed, FootageRead, KeptCertificate, OscillationReadings, PullRead, SetBy, TestEvent,
};
use steadypull_contract::show::{Units, figures, seconds};

use super::look;
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
    certificates(page, pulls);
}

fn provenance(page: &mut Page, pull: &PullRead, units: Units) {
    let log = &pull.log;
    page.fact(
        "Log",
        &format!("{}, {} samples, by {}", log.file, log.samples, log.recipe),
    );
    // Whole on its line, so that it can be copied.
    page.drawn(&format!("  SHA-256 {}", log.sha256));
    page.fact("", stated(log.checked));
    match &pull.cell {
        Some(used) => cell(page, used, units),
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

/// Whether a file is held to its hash.
fn stated(checked: bool) -> &'static str {
    match checked {
        true => "as the test file states it",
        false => "not stated in the test file: any other file of that name would do as well",
    }
}

fn cell(page: &mut Page, cell: &CellUsed, units: Units) {
    let words = format!(
        "{}, certificate {}, {} {}, to {}",
        cell.name,
        cell.certificate,
        if cell.overdue { "OVERDUE since" } else { "due" },
        cell.due,
        units.force(cell.range_n)
    );
    page.fact("Cell", &words);
    page.fact(
        "",
        &match &cell.certificate_file {
            Some(kept) => format!("copy of the certificate: {}", kept.file),
            None => "no copy of the certificate is kept with the test".into(),
        },
    );
}

/// Each certificate that is kept, once.
fn certificates(page: &mut Page, pulls: &[PullRead]) {
    let cells = pulls.iter().filter_map(|pull| pull.cell.as_ref());
    let mut told: Vec<&KeptCertificate> = Vec::new();
    for kept in cells.filter_map(|cell| cell.certificate_file.as_ref()) {
        if told.contains(&kept) {
            continue;
        }
        if told.is_empty() {
            page.heading("CERTIFICATES KEPT", "");
        }
        page.fact("File", &format!("{}, {} bytes", kept.file, kept.bytes));
        page.drawn(&format!("  SHA-256 {}", kept.sha256));
        page.fact("", stated(kept.checked));
        told.push(kept);
    }
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
            event.kind.word(),
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
    for (number, says) in seen.clock.iter().flat_map(|c| c.told()).enumerate() {
        page.fact(if number == 0 { "Its clock" } else { "" }, &says);
    }
    for (label, axis) in [("along", &seen.along), ("across", &seen.across)] {
        page.fact(&format!("Moved {label}"), &axis.moved_m.told(units, "m"));
        page.fact("at most", &axis.speed_m_s.told(units, "m/s"));
        page.fact("", &axis.acceleration_m_s2.told(units, "m/s2"));
    }
}

/// Frequency, damping and size of the swing, or once why there is none.
fn oscillation(page: &mut Page, swing: &OscillationReadings, units: Units) {
    page.fact("Oscillation", &swing.frequency_hz.told(units, "Hz"));
    if swing.frequency_hz.value.is_none() {
        return;
    }
    page.fact("its damping", &swing.damping_ratio.told(units, "1"));
    page.fact("its amplitude", &swing.amplitude_n.told(units, "N"));
    let span = format!(
        "looked for from {:.3} s to {:.3} s",
        swing.from_s, swing.to_s
    );
    let apart = swing.resolution_hz.map_or(String::new(), |hz| {
        format!("; two closer than {} Hz look like one", figures(hz))
    });
    page.fact("", &(span + &apart));
}

fn readings(page: &mut Page, pull: &PullRead, units: Units) {
    let r = &pull.readings;
    page.gap();
    page.fact("Peak load", &r.peak_n.told(units, "N"));
    if let Some(mostly) = r.peak_n.mostly() {
        page.fact("", &format!("its doubt mostly from {mostly}"));
    }
    page.fact("as filtered", &r.peak_as_filtered_n.told(units, "N"));
    page.fact("Rise, 10 to 90 %", &r.rise_s.told(units, "s"));
    page.fact("Above half the peak", &r.width_s.told(units, "s"));
    page.fact("Impulse", &r.impulse_n_s.told(units, "N s"));
    page.fact("Taut to slack", &r.duration_s.told(units, "s"));
    oscillation(page, &r.oscillation, units);
    if let Some(s) = &r.stretch {
        page.fact("Greatest stretch", &s.greatest_m.told(units, "m"));
        page.fact("Energy taken in", &s.energy_in_j.told(units, "J"));
        page.fact("Energy given back", &s.energy_back_j.told(units, "J"));
        page.fact("Share kept", &s.hysteresis_share.told(units, "1"));
        page.fact("Dynamic stiffness", &s.stiffness_n_m.told(units, "N/m"));
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
