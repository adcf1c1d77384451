//! What each uncertainty is made of.

use steadypull_contract::answer::{Doubt, FittedLine, Measured, PullRead, TestsReport, in_unit};
use steadypull_contract::show::{Units, figures, percent};

use super::super::{Block, Section, Table};
use super::column;

/// Shares of the variance under this are told together.
const SMALL: f64 = 0.001;

pub(super) fn section(report: &TestsReport, units: Units) -> Section {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for pull in &report.read.pulls {
        rows.extend(of_pull(pull, units));
    }
    let lines = report.fit.iter().flat_map(|fit| &fit.lines);
    rows.extend(lines.flat_map(|line| of_line(line, units)));
    let table = Table {
        caption: "Standard uncertainties and the shares of their variance".into(),
        columns: vec![
            column("Of", false, 0.1),
            column("Reading", false, 0.17),
            column("Value", true, 0.1),
            column("Uncertainty", true, 0.12),
            column("Made of", false, 0.51),
        ],
        rows,
    };
    super::section(
        "What the uncertainties are made of",
        vec![
            Block::Text("In none of them: a cell's own hysteresis, creep and side load, heat, the mass of shackles in motion, resonance of the mount, a zero that wanders slower than the quiet part, a calibration that was wrong.".into()),
            Block::Table(table),
        ],
    )
}

fn of_pull(pull: &PullRead, units: Units) -> Vec<Vec<String>> {
    let r = &pull.readings;
    let mut all: Vec<(&str, &Measured, &str)> = vec![
        ("peak load", &r.peak_n, "N"),
        ("peak as filtered", &r.peak_as_filtered_n, "N"),
        ("rise, 10 to 90 %", &r.rise_s, "s"),
        ("above half the peak", &r.width_s, "s"),
        ("impulse", &r.impulse_n_s, "N s"),
        ("taut to slack", &r.duration_s, "s"),
    ];
    if let Some(s) = &r.stretch {
        all.extend([
            ("greatest stretch", &s.greatest_m, "m"),
            ("energy taken in", &s.energy_in_j, "J"),
            ("energy given back", &s.energy_back_j, "J"),
            ("share kept", &s.hysteresis_share, "1"),
            ("dynamic stiffness", &s.stiffness_n_m, "N/m"),
        ]);
    }
    all.extend([
        ("oscillation", &r.oscillation.frequency_hz, "Hz"),
        ("its damping", &r.oscillation.damping_ratio, "1"),
    ]);
    if let Some(seen) = &pull.footage {
        all.extend([
            ("moved along", &seen.along.moved_m, "m"),
            ("speed along", &seen.along.speed_m_s, "m/s"),
        ]);
        let clock = seen.clock.as_ref();
        all.extend(clock.map(|clock| ("log less footage", &clock.shift_s, "s")));
    }
    let told = |(name, measured, unit)| row(&pull.name, name, measured, unit, units);
    all.into_iter().filter_map(told).collect()
}

fn of_line(line: &FittedLine, units: Units) -> Vec<Vec<String>> {
    let told = line.parameters.iter().filter_map(|parameter| {
        let unit = match &parameter.name[..] {
            "stiffness-ratio" => "",
            _ => &parameter.unit,
        };
        row(&line.name, &parameter.says, &parameter.value, unit, units)
    });
    told.collect()
}

/// A row where there is an uncertainty.
fn row(of: &str, name: &str, measured: &Measured, unit: &str, units: Units) -> Option<Vec<String>> {
    let whole = measured.standard_uncertainty.filter(|u| *u > 0.0)?;
    let value = measured.value?;
    Some(vec![
        of.into(),
        name.into(),
        in_unit(units, unit, value),
        small(units, unit, whole),
        made_of(&measured.made_of, whole),
    ])
}

/// An uncertainty: of a share with all its figures, however small it is.
fn small(units: Units, unit: &str, value: f64) -> String {
    match unit {
        "1" => format!("{} %", figures(100.0 * value)),
        _ => in_unit(units, unit, value),
    }
}

fn made_of(doubts: &[Doubt], whole: f64) -> String {
    let share = |doubt: &Doubt| {
        let part = doubt.standard_uncertainty / whole;
        part * part
    };
    let (told, small): (Vec<&Doubt>, Vec<&Doubt>) =
        doubts.iter().partition(|doubt| share(doubt) >= SMALL);
    let one = |doubt: &&Doubt| format!("{} {}", doubt.from, percent(share(doubt)));
    let mut parts: Vec<String> = told.iter().map(one).collect();
    if !small.is_empty() {
        let names: Vec<&str> = small.iter().map(|doubt| &doubt.from[..]).collect();
        parts.push(format!("under 0.1 % each: {}", names.join(", ")));
    }
    parts.join("; ")
}
