//! Set-ups side by side, and predicted beside measured.

use steadypull_contract::answer::{
    ComparePair, CompareVerdict, Compared, ComparedSetUp, Predicted, TestsReport, ToleranceLimit,
    in_unit,
};
use steadypull_contract::show::{Units, figures, of_100, percent};

use super::super::{Block, ListKind, Section, Table};
use super::{column, section};
use crate::BriefFigure;
use crate::figure::test_day::TestFigure;
use crate::figure::test_day::capital;

fn all(report: &TestsReport) -> (&[Compared], &[Predicted]) {
    report
        .compare
        .as_ref()
        .map_or((&[], &[]), |of| (&of.compared, &of.predicted))
}

pub(super) fn sections(report: &TestsReport, units: Units) -> Vec<Section> {
    let (compared, predicted) = all(report);
    let each = compared.iter().enumerate();
    let mut sections: Vec<Section> = each.map(|(at, one)| self::one(at, one, units)).collect();
    if !predicted.is_empty() {
        sections.push(section(
            "Predicted beside measured",
            vec![Block::Table(predictions(predicted, units))],
        ));
    }
    sections
}

/// What every pair and prediction comes to, for the top of the report.
pub(super) fn said(report: &TestsReport) -> Vec<String> {
    let (compared, predicted) = all(report);
    let pair = |one: &Compared, pair: &ComparePair| {
        format!(
            "{}, {} less {}: {}. {}",
            capital(one.reading.title()),
            pair.second,
            pair.first,
            word(pair),
            pair.says
        )
    };
    let pairs = compared
        .iter()
        .flat_map(|one| one.pairs.iter().map(move |p| pair(one, p)));
    let of_plan = |row: &Predicted| {
        format!(
            "Prediction {}, {}: {}. {}",
            row.name,
            row.reading.title(),
            agrees(row),
            row.says
        )
    };
    pairs.chain(predicted.iter().map(of_plan)).collect()
}

fn one(at: usize, compared: &Compared, units: Units) -> Section {
    let mut blocks = vec![
        Block::Figure(BriefFigure::Test(TestFigure::Strip(at))),
        Block::Table(setups(compared, units)),
    ];
    let limits = compared
        .setups
        .iter()
        .filter_map(|s| tolerance(s, &compared.unit, units));
    let limits: Vec<String> = limits.collect();
    let left_out = compared.setups.iter().flat_map(|s| &s.left_out);
    let left_out: Vec<String> = left_out.map(|why| format!("Left out: {why}")).collect();
    for items in [limits, left_out].into_iter().filter(|i| !i.is_empty()) {
        blocks.push(Block::List {
            kind: ListKind::Bullet,
            items,
        });
    }
    blocks.push(match compared.pairs.is_empty() {
        true => {
            Block::Text("Nothing to compare: fewer than two set-ups have such a reading.".into())
        }
        false => Block::Table(pairs(compared, units)),
    });
    let heading = format!(
        "Compared by {}: {}",
        compared.reading.title(),
        compared.name
    );
    section(heading, blocks)
}

fn between(units: Units, unit: &str, low: Option<f64>, high: Option<f64>) -> String {
    let end = |value| in_unit(units, unit, value);
    low.zip(high).map_or("none".into(), |(low, high)| {
        format!("{} to {}", end(low), end(high))
    })
}

fn setups(compared: &Compared, units: Units) -> Table {
    let unit = &compared.unit;
    let number =
        |value: Option<f64>| value.map_or("none".into(), |value| in_unit(units, unit, value));
    let row = |setup: &ComparedSetUp| {
        vec![
            setup.name.clone(),
            setup.pulls.to_string(),
            number(setup.mean),
            between(units, unit, setup.mean_low, setup.mean_high),
            number(setup.deviation),
        ]
    };
    Table {
        caption: format!(
            "Means; the interval of a mean is by the spread from pull to pull, {} in 100",
            of_100(compared.confidence)
        ),
        columns: vec![
            column("Set-up", false, 0.3),
            column("Pulls", true, 0.1),
            column("Mean", true, 0.16),
            column("Interval of the mean", true, 0.26),
            column("Standard deviation", true, 0.18),
        ],
        rows: compared.setups.iter().map(row).collect(),
    }
}

fn tolerance(setup: &ComparedSetUp, unit: &str, units: Units) -> Option<String> {
    if let Some(why) = &setup.no_tolerance {
        return Some(format!("{}: no tolerance limit: {why}", setup.name));
    }
    let limit = setup.tolerance.as_ref()?;
    let reaches = reaches(limit, unit, units);
    Some(format!(
        "{}: {} in 100 such pulls lie {reaches}, said with {} in 100 confidence: mean and k = {} standard deviations, {} pulls, normal spread taken (ISO 16269-6).",
        setup.name,
        of_100(limit.cover),
        of_100(limit.confidence),
        figures(limit.factor),
        setup.pulls
    ))
}

fn reaches(limit: &ToleranceLimit, unit: &str, units: Units) -> String {
    let end = |value| in_unit(units, unit, value);
    match (limit.low, limit.high) {
        (Some(low), Some(high)) => format!("from {} to {}", end(low), end(high)),
        (Some(low), None) => format!("above {}", end(low)),
        (None, Some(high)) => format!("below {}", end(high)),
        (None, None) => "anywhere".into(),
    }
}

fn word(pair: &ComparePair) -> &'static str {
    match pair.verdict {
        Some(CompareVerdict::Shown) => "SHOWN",
        Some(CompareVerdict::NotShown) => "NOT SHOWN",
        Some(CompareVerdict::TooFew) => "TOO FEW",
        None => "NO VERDICT",
    }
}

fn pairs(compared: &Compared, units: Units) -> Table {
    let unit = &compared.unit;
    let number =
        |value: Option<f64>| value.map_or("none".into(), |value| in_unit(units, unit, value));
    let p = |value: Option<f64>| value.map_or("none".into(), figures);
    let row = |pair: &ComparePair| {
        vec![
            format!("{} less {}", pair.second, pair.first),
            number(pair.difference),
            between(units, unit, pair.low, pair.high),
            between(units, unit, pair.bootstrap_low, pair.bootstrap_high),
            p(pair.permutation_p),
            p(pair.adjusted_p),
            number(pair.resolution),
            word(pair).into(),
        ]
    };
    Table {
        caption: format!(
            "Differences, {} in 100; could have seen: the true difference that so many pulls show four times in five",
            of_100(compared.confidence)
        ),
        columns: vec![
            column("Pair", false, 0.17),
            column("Difference", false, 0.11),
            column("Welch's interval", false, 0.145),
            column("By bootstrap", false, 0.145),
            column("p, permuted", false, 0.1),
            column("p, all pairs", false, 0.1),
            column("Could have seen", false, 0.11),
            column("Verdict", false, 0.12),
        ],
        rows: compared.pairs.iter().map(row).collect(),
    }
}

fn agrees(row: &Predicted) -> &'static str {
    match row.agrees {
        Some(true) => "AGREES",
        Some(false) => "OFF",
        None => "NO VERDICT",
    }
}

fn predictions(rows: &[Predicted], units: Units) -> Table {
    let row = |row: &Predicted| {
        let show = |value: f64| in_unit(units, &row.unit, value);
        vec![
            row.name.clone(),
            row.setup.clone(),
            row.reading.title().into(),
            format!("{} ({})", show(row.predicted), row.from),
            row.measured.map_or("nothing".into(), show),
            between(units, &row.unit, row.low, row.high),
            row.pulls.to_string(),
            row.off_share.map_or("none".into(), percent),
            agrees(row).into(),
        ]
    };
    Table {
        caption: "The interval is of the mean: the spread of the pulls, and the doubt of a reading as if all pulls shared it (95 in 100)".into(),
        columns: vec![
            column("Prediction", false, 0.11),
            column("Set-up", false, 0.1),
            column("Reading", false, 0.11),
            column("Predicted", false, 0.14),
            column("Measured", false, 0.1),
            column("Interval", false, 0.16),
            column("Pulls", true, 0.07),
            column("Off by", true, 0.09),
            column("Verdict", false, 0.12),
        ],
        rows: rows.iter().map(row).collect(),
    }
}
