//! What was noticed while a pull was read and cleaned.

use steadypull_contract::answer::{Finding, LogGroup, in_unit};
use steadypull_contract::plan_file::{CellEntry, TestFile, ZeroFrom};
use steadypull_contract::show::Units;
use steadypull_measure::events::{self};
use steadypull_measure::signal::calibration::CalibrationFinding;
use steadypull_measure::signal::faults::FaultKind;

use crate::finding::{note, warning};
use crate::record::Record;

pub(crate) fn read_findings(about: &str, mistakes: &[LogGroup]) -> Vec<Finding> {
    let lost: u64 = mistakes.iter().filter(|g| g.lost).map(|g| g.count).sum();
    let lost = (lost > 0).then(|| {
        let message = format!("{lost} cells or rows of {about} could not be read and are gaps");
        warning(
            "log-gaps",
            about,
            message,
            "look at the log; nothing is read across a gap",
        )
    });
    lost.into_iter().collect()
}

pub(crate) fn cell_findings(
    test: &TestFile,
    about: &str,
    cell: Option<&CellEntry>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if cell.is_none() {
        findings.push(warning(
            "no-cell",
            about,
            "no cell is named: nothing vouches for the loads, and no doubt of a calibration is in their intervals",
            "describe the cell and its certificate in [cell.NAME] and name it",
        ));
    }
    if test.clean.zero == ZeroFrom::AsLogged {
        findings.push(warning(
            "zero-as-logged",
            about,
            "the zero was taken as the logger wrote it: how far it is off is not known and is in no interval",
            "log some seconds with the line slack before the pull",
        ));
    }
    findings
}

pub(crate) fn clean_findings(
    about: &str,
    record: &Record,
    pull: &events::Pull,
    units: Units,
) -> Vec<Finding> {
    let unit = &record.unit;
    let mut findings = Vec::new();
    for done in &record.done {
        findings.extend(
            done.findings
                .iter()
                .map(|found| calibration_finding(about, found, units)),
        );
        let doubt = done.quiet.as_ref().and_then(|quiet| quiet.doubt.clone());
        findings.extend(doubt.map(|doubt| {
            warning(
                "zero-in-doubt",
                about,
                doubt,
                "give zero_window where the line hangs slack",
            )
        }));
    }
    let inside = |from: f64, to: f64| from <= pull.end.time_s && to >= pull.taut.time_s;
    for fault in &record.faults {
        if !inside(fault.place.from_s, fault.place.to_s) {
            continue;
        }
        let (code, remedy) = match fault.kind {
            FaultKind::Saturated { .. } => (
                "clipped",
                "take a cell or a range that the pull stays under, and pull again",
            ),
            FaultKind::Gap { .. } | FaultKind::Missing | FaultKind::ClockStep { .. } => {
                ("gap-in-pull", "pull again, or leave this pull out")
            }
            FaultKind::Spike { .. } => {
                ("spike-in-pull", "take it out with remove, if it is no load")
            }
            FaultKind::Stuck { .. } => ("stuck-in-pull", "look at the logger and its cable"),
            FaultKind::ZeroDrift { .. } => {
                ("zero-drift", "look at the cell; zero it before each pull")
            }
            _ => continue,
        };
        findings.push(warning(
            code,
            about,
            fault.words(&|value| in_unit(units, unit, value)),
            remedy,
        ));
    }
    if pull.begins_under_load || pull.ends_under_load {
        findings.push(warning(
            "cut-off",
            about,
            "the log begins or ends, or has a gap, while the line is under load: duration, impulse and energies are not whole",
            "log from before the line comes taut until it is slack",
        ));
    }
    if let Some(parting) = &pull.parting {
        findings.push(note(
            "parting",
            about,
            format!(
                "the load falls away at {:.3} s faster than a whole line unloads: something let go",
                parting.time_s
            ),
            "say what it was in the set-up; a let-go by hand looks the same: no_parting = true",
        ));
    }
    // One of each kind says it.
    let mut told: Vec<Finding> = Vec::new();
    for finding in findings {
        if !told.iter().any(|one| one.code == finding.code) {
            told.push(finding);
        }
    }
    told
}

fn calibration_finding(about: &str, found: &CalibrationFinding, units: Units) -> Finding {
    let (code, remedy, source) = match found {
        CalibrationFinding::Overdue { .. } => (
            "cell-overdue",
            "calibrate the cell, and read these pulls again with what it shows",
            "common practice",
        ),
        CalibrationFinding::BeyondRange { .. } => (
            "cell-range",
            "take a cell calibrated to a greater load",
            "common practice",
        ),
        CalibrationFinding::HardlyAny { .. } => (
            "cell-hardly-loaded",
            "check load_per_unit or polynomial against the certificate and the log's unit",
            "common practice",
        ),
        CalibrationFinding::BelowLowerLimit { .. } => (
            "cell-too-large",
            "take a smaller cell",
            "ASTM E74, from memory",
        ),
    };
    Finding {
        source: source.into(),
        ..warning(code, about, found.words(units), remedy)
    }
}
