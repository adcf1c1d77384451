//! What was pulled, and what each pull read.

use steadypull_contract::answer::{
    DrawnPull, FootageRead, Measured, PullRead, SetBy, TestEvent, TestSetUp, TestsReport, in_unit,
};
use steadypull_contract::show::{Units, figures, seconds};

use super::super::{Block, Pair, Section, Table};
use super::{column, section};
use crate::BriefFigure;
use crate::figure::test_day::TestFigure;

pub(super) fn sections(report: &TestsReport, units: Units) -> Vec<Section> {
    let mut sections = Vec::new();
    let setups = &report.read.test.setups;
    if !setups.is_empty() {
        sections.push(section(
            "Set-ups",
            vec![Block::Table(setup_table(report, setups, units))],
        ));
    }
    sections.push(section(
        "Pulls",
        vec![
            Block::Text("In brackets what is meant to hold the truth 95 times in 100.".into()),
            Block::Table(pull_table(report, units)),
        ],
    ));
    let each = report.read.pulls.iter().zip(&report.drawn).enumerate();
    sections.extend(each.map(|(at, (pull, drawn))| one(at, pull, drawn, units)));
    sections
}

fn setup_table(report: &TestsReport, setups: &[TestSetUp], units: Units) -> Table {
    let pulls = |setup: &TestSetUp| {
        let of_it = |pull: &&PullRead| pull.setup.as_deref() == Some(&setup.name);
        report.read.pulls.iter().filter(of_it).count().to_string()
    };
    let row = |setup: &TestSetUp| vec![setup.name.clone(), pulls(setup), setup.labels(units)];
    Table {
        caption: "What was pulled, as the test file labels it".into(),
        columns: vec![
            column("Set-up", false, 0.18),
            column("Pulls", true, 0.08),
            column("Labels", false, 0.74),
        ],
        rows: setups.iter().map(row).collect(),
    }
}

fn pull_table(report: &TestsReport, units: Units) -> Table {
    let row = |pull: &PullRead| {
        let stretch = pull.readings.stretch.as_ref();
        let of = |measured: Option<&Measured>, unit| {
            measured.map_or("none".into(), |m| brief(m, units, unit))
        };
        vec![
            pull.name.clone(),
            pull.setup.clone().unwrap_or_else(|| "none".into()),
            of(Some(&pull.readings.peak_n), "N"),
            of(stretch.map(|s| &s.greatest_m), "m"),
            of(stretch.map(|s| &s.energy_in_j), "J"),
            of(stretch.map(|s| &s.energy_back_j), "J"),
            of(stretch.map(|s| &s.hysteresis_share), "1"),
            of(stretch.map(|s| &s.stiffness_n_m), "N/m"),
        ]
    };
    Table {
        caption: "All pulls, in the order of the test file".into(),
        columns: vec![
            column("Pull", false, 0.1),
            column("Set-up", false, 0.13),
            column("Peak load", false, 0.135),
            column("Stretch", false, 0.13),
            column("Energy in", false, 0.13),
            column("Energy back", false, 0.13),
            column("Share kept", false, 0.115),
            column("Stiffness", false, 0.13),
        ],
        rows: report.read.pulls.iter().map(row).collect(),
    }
}

/// A value with its interval for a narrow cell, which breaks before the bracket; why there is
/// none stands with the pull.
fn brief(measured: &Measured, units: Units, unit: &str) -> String {
    let value = measured.value.map(|value| in_unit(units, unit, value));
    match (value, measured.interval(units, unit)) {
        (Some(value), Some(interval)) => {
            let ends = match one_unit(&interval) {
                ends if of_unit(&ends, &own_unit(&value)) => bare(&ends).into(),
                ends => ends,
            };
            format!("{value} ({})", ends.replace(' ', HARD_SPACE))
        }
        (Some(value), None) => format!("{value} (no{HARD_SPACE}interval)"),
        (None, _) => "none".into(),
    }
}

const HARD_SPACE: &str = "\u{a0}";

/// Whether an interval has its unit once, and this one.
fn of_unit(ends: &str, unit: &str) -> bool {
    let both = ends.split_once(" to ");
    both.is_some_and(|(low, high)| own_unit(low).is_empty() && own_unit(high) == unit)
}

/// Text without the unit at its end.
fn bare(text: &str) -> &str {
    text.trim_end_matches(|c: char| !c.is_ascii_digit())
}

/// What stands after a number.
fn own_unit(value: &str) -> String {
    let at = value.find(|c: char| c.is_ascii_alphabetic() || c == '%');
    at.map_or(String::new(), |at| value[at..].into())
}

/// `37.7 kN to 38.1 kN` with its unit once: `37.7 to 38.1 kN`.
fn one_unit(interval: &str) -> String {
    match interval.split_once(" to ") {
        Some((low, high)) if !own_unit(low).is_empty() && own_unit(low) == own_unit(high) => {
            format!("{} to {high}", bare(low))
        }
        _ => interval.into(),
    }
}

fn one(at: usize, pull: &PullRead, drawn: &DrawnPull, units: Units) -> Section {
    let setup = pull.setup.as_ref();
    let setup = setup.map_or("no set-up".into(), |setup| format!("set-up {setup}"));
    let mut blocks = vec![Block::Figure(BriefFigure::Test(TestFigure::LoadTime(at)))];
    if drawn.stretch_m.len() > 1 {
        blocks.push(Block::Figure(BriefFigure::Test(TestFigure::LoadStretch(
            at,
        ))));
    }
    blocks.push(Block::Text(events(pull)));
    blocks.push(Block::Pairs(readings(pull, units)));
    section(format!("Pull {}: {setup}", pull.name), blocks)
}

fn events(pull: &PullRead) -> String {
    let told = |event: &TestEvent| {
        let hand = match event.set_by {
            SetBy::Hand => " (set by hand)",
            SetBy::Log => "",
        };
        format!(
            "{} {:.3} s \u{b1} {:.1} ms{hand}",
            event.kind.word(),
            event.time_s,
            1e3 * event.uncertainty_s
        )
    };
    let all: Vec<String> = pull.events.iter().map(told).collect();
    let rebounds = pull.others.iter().filter(|other| other.rebound).count();
    let others = match pull.others.len() {
        0 => String::new(),
        all => format!(
            " Also in the log: {rebounds} rebounds, {} other pulls.",
            all - rebounds
        ),
    };
    format!(
        "Events by the log's clock, with one standard uncertainty: {}.{others}",
        all.join("; ")
    )
}

fn readings(pull: &PullRead, units: Units) -> Vec<Pair> {
    let r = &pull.readings;
    let pair = |name: &str, measured: &Measured, unit| reading(name, measured, unit, units);
    let mut pairs = vec![
        pair("Peak load", &r.peak_n, "N"),
        pair("as filtered", &r.peak_as_filtered_n, "N"),
        pair("Rise, 10 to 90 %", &r.rise_s, "s"),
        pair("Above half the peak", &r.width_s, "s"),
        pair("Impulse", &r.impulse_n_s, "N s"),
        pair("Taut to slack", &r.duration_s, "s"),
    ];
    if let Some(s) = &r.stretch {
        pairs.extend([
            pair("Greatest stretch", &s.greatest_m, "m"),
            pair("Energy taken in", &s.energy_in_j, "J"),
            pair("Energy given back", &s.energy_back_j, "J"),
            pair("Share kept", &s.hysteresis_share, "1"),
            pair("Dynamic stiffness", &s.stiffness_n_m, "N/m"),
        ]);
    }
    if let Some(why) = &r.no_stretch {
        pairs.push(Pair {
            name: "Stretch".into(),
            value: "none".into(),
            note: why.clone(),
        });
    }
    pairs.push(pair("Oscillation", &r.oscillation.frequency_hz, "Hz"));
    if r.oscillation.frequency_hz.value.is_some() {
        let apart = r.oscillation.resolution_hz.map_or(String::new(), |hz| {
            format!("; two closer than {} Hz look like one", figures(hz))
        });
        let mut amplitude = pair("its amplitude", &r.oscillation.amplitude_n, "N");
        amplitude.note += &apart;
        pairs.push(pair("its damping", &r.oscillation.damping_ratio, "1"));
        pairs.push(amplitude);
    }
    pairs.push(Pair {
        name: "Noise at rest".into(),
        value: units.hand_force(pull.noise_n),
        note: format!(
            "standard deviation of one load; a pull from {} up",
            units.hand_force(pull.threshold_n)
        ),
    });
    pairs.extend(pull.footage.iter().flat_map(|seen| footage(seen, units)));
    pairs
}

fn footage(seen: &FootageRead, units: Units) -> Vec<Pair> {
    let over = format!("{} marks over {}", seen.marks, seconds(seen.span_s));
    let mut pairs = vec![Pair {
        name: "Footage".into(),
        value: over,
        note: seen.file.clone(),
    }];
    if let Some(clock) = &seen.clock {
        pairs.push(reading("Log less footage", &clock.shift_s, "s", units));
        pairs.push(Pair {
            name: "Clock of the footage".into(),
            value: format!("{:.1} ms", 1e3 * clock.within_pull_s),
            note: clock.told().join("; "),
        });
    }
    for (way, axis) in [("along", &seen.along), ("across", &seen.across)] {
        pairs.extend([
            reading(&format!("Moved {way}"), &axis.moved_m, "m", units),
            reading(&format!("Speed {way}"), &axis.speed_m_s, "m/s", units),
            reading(
                &format!("Acceleration {way}"),
                &axis.acceleration_m_s2,
                "m/s2",
                units,
            ),
        ]);
    }
    pairs
}

/// The value, and beside it the interval with what most of its doubt comes from, or why there
/// is none.
fn reading(name: &str, measured: &Measured, unit: &str, units: Units) -> Pair {
    let interval = measured.interval(units, unit).map(|all| one_unit(&all));
    let mostly = measured.mostly().map(|from| format!("mostly {from}"));
    let why = measured.no_interval.clone();
    let why = why.map(|why| match interval {
        Some(_) => why,
        None => format!("no interval: {why}"),
    });
    let parts: Vec<String> = interval.into_iter().chain(why).chain(mostly).collect();
    Pair {
        name: name.into(),
        value: measured
            .value
            .map_or("none".into(), |value| in_unit(units, unit, value)),
        note: parts.join("; "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_that_both_ends_share_is_told_once() {
        for (long, short) in [
            ("37.7 kN to 38.1 kN", "37.7 to 38.1 kN"),
            ("29.8 % to 30.0 %", "29.8 to 30.0 %"),
            ("995 J to 1.02 kJ", "995 J to 1.02 kJ"),
            ("10 100 lbf to 10 300 lbf", "10 100 to 10 300 lbf"),
            ("from 3.0 kN up", "from 3.0 kN up"),
            ("0 s to 1.2 s", "0 to 1.2 s"),
        ] {
            assert_eq!(one_unit(long), short);
        }
    }

    #[test]
    fn a_narrow_cell_has_its_unit_once_and_breaks_before_the_bracket() {
        let mut measured = Measured {
            value: Some(995.0),
            low: Some(993.0),
            high: Some(997.0),
            standard_uncertainty: None,
            no_interval: None,
            made_of: Vec::new(),
        };
        let told = |m: &Measured| brief(m, Units::Metric, "J");
        assert_eq!(told(&measured), "995 J (993\u{a0}to\u{a0}997)");
        measured.high = Some(1010.0);
        assert_eq!(
            told(&measured),
            "995 J (993\u{a0}J\u{a0}to\u{a0}1.01\u{a0}kJ)"
        );
        measured.low = None;
        measured.high = None;
        assert_eq!(told(&measured), "995 J (no\u{a0}interval)");
    }
}
