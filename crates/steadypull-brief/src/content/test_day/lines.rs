//! Lines fitted to pulls.

use steadypull_contract::answer::{
    FitVerdict, FittedLine, FittedParameter, TestsReport, fine_length,
};
use steadypull_contract::show::{Units, figures, of_100, percent};

use super::super::{Block, Column, Section, Table};
use super::{column, section};
use crate::BriefFigure;
use crate::figure::test_day::TestFigure;

/// Columns of the correlations, which go by the number of the parameter.
const NUMBERS: [&str; 11] = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11"];

fn lines(report: &TestsReport) -> &[FittedLine] {
    report.fit.as_ref().map_or(&[], |fit| &fit.lines)
}

pub(super) fn sections(report: &TestsReport, units: Units) -> Vec<Section> {
    let each = lines(report).iter().enumerate();
    each.map(|(at, line)| one(at, line, units)).collect()
}

/// The verdict on each line, for the top of the report.
pub(super) fn said(report: &TestsReport) -> Vec<String> {
    let told = |line: &FittedLine| {
        let noise = match line.residuals_like_noise {
            true => "",
            false => " What is left over about it is NOT like noise.",
        };
        format!("Line {}: {}{noise}", line.name, line.says)
    };
    lines(report).iter().map(told).collect()
}

fn one(at: usize, line: &FittedLine, units: Units) -> Section {
    let word = match line.verdict {
        FitVerdict::Apart => "TOLD APART",
        FitVerdict::Leaning => "LEANING ON EACH OTHER",
        FitVerdict::Open => "OPEN",
    };
    let mut blocks = vec![
        Block::Text(format!("Parameters {word}. {}", line.says)),
        Block::Text(of(line, units)),
        Block::Figure(BriefFigure::Test(TestFigure::Fitted(at))),
        Block::Figure(BriefFigure::Test(TestFigure::Residuals(at))),
        Block::Text(residuals(line, units)),
        Block::Table(parameters(line, units)),
    ];
    if line.parameters.len() > 1 {
        blocks.push(Block::Table(correlations(line)));
    }
    blocks.push(Block::Text("The line as a table of a plan file:".into()));
    let rows = line.line_toml.lines().filter(|row| !row.starts_with('#'));
    blocks.extend(rows.map(|row| Block::Text(row.into())));
    section(format!("Line {}: fitted to pulls", line.name), blocks)
}

fn of(line: &FittedLine, units: Units) -> String {
    let pulls = line.pulls.iter().map(|pull| {
        let moved = units.thickness(pull.moved_m);
        let noise = fine_length(units, pull.stretch_noise_m);
        format!(
            "{} ({} readings, noise of one stretch {noise}, begun {moved} from where the log has it taut)",
            pull.name, pull.readings
        )
    });
    format!(
        "{}, {} long, {} breaking strength as stated, never fitted. Read up to {} of it; above, the curve goes straight on and is an extrapolation. From {}.",
        line.material,
        units.length(line.length_m),
        units.force(line.mbs_n),
        percent(line.share_read),
        pulls.collect::<Vec<_>>().join(", ")
    )
}

fn residuals(line: &FittedLine, units: Units) -> String {
    let noise = match line.residuals_like_noise {
        true => "pass for noise",
        false => "are NOT like noise: the intervals are too narrow",
    };
    let memory = match line.noise_memory {
        0.0 => String::new(),
        memory => format!(
            " Each keeps {} of the error before it, which was taken out.",
            percent(memory)
        ),
    };
    format!(
        "One load errs by {} (standard deviation), and by {} more for the noise of its stretch. Residuals {noise} (p = {} by their runs, {} by neighbours).{memory}",
        units.hand_force(line.noise_n),
        units.hand_force(line.noise_by_stretch_n),
        figures(line.runs_p),
        figures(line.correlation_p)
    )
}

/// SI unit to tell a parameter in; a ratio has none.
fn unit(parameter: &FittedParameter) -> &str {
    match &parameter.name[..] {
        "stiffness-ratio" => "",
        _ => &parameter.unit,
    }
}

fn parameters(line: &FittedLine, units: Units) -> Table {
    let row = |(at, parameter): (usize, &FittedParameter)| {
        vec![
            format!("{} {}", at + 1, parameter.says),
            parameter.value.told(units, unit(parameter)),
            parameter.value.mostly().unwrap_or_default(),
        ]
    };
    Table {
        caption: format!(
            "Parameters; in brackets what is meant to hold the truth {} times in 100, {}",
            of_100(line.confidence),
            line.intervals
        ),
        columns: vec![
            column("Parameter", false, 0.4),
            column("Value and interval", false, 0.3),
            column("Doubt mostly from (share of the variance)", false, 0.3),
        ],
        rows: line.parameters.iter().enumerate().map(row).collect(),
    }
}

fn correlations(line: &FittedLine) -> Table {
    let count = line.parameters.len().min(NUMBERS.len());
    let share = 0.6 / NUMBERS.len() as f64;
    let mut columns: Vec<Column> = vec![column("Parameter", false, 0.4)];
    columns.extend(NUMBERS[..count].iter().map(|n| column(n, true, share)));
    let row = |(at, parameter): (usize, &FittedParameter)| {
        let mut row = vec![format!("{} {}", at + 1, parameter.name)];
        let of_it = line.correlation.get(at).into_iter().flatten().take(count);
        row.extend(of_it.map(|r| format!("{r:.2}")));
        row.resize(count + 1, String::new());
        row
    };
    Table {
        caption: format!(
            "Correlations of the parameters (by number); condition {} (30 and more: they lean on each other)",
            figures(line.condition)
        ),
        columns,
        rows: line
            .parameters
            .iter()
            .take(count)
            .enumerate()
            .map(row)
            .collect(),
    }
}
