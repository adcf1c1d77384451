//! Cells, cleaning, files with their hashes, and how to repeat it all.

use steadypull_contract::answer::{CellUsed, HashedFile, PullRead, TestsReport};
use steadypull_contract::show::{Units, figures};

use super::super::{Block, ListKind, Section, Table};
use super::{column, section};

pub(super) fn sections(report: &TestsReport, units: Units) -> Vec<Section> {
    vec![
        section("Cells and certificates", cells(report, units)),
        section("How the logs were cleaned", cleaning(&report.read.pulls)),
        section("Files", vec![Block::Table(files(report))]),
        section("To repeat it", repeat(report, units)),
    ]
}

fn cells(report: &TestsReport, units: Units) -> Vec<Block> {
    let mut used: Vec<(&CellUsed, Vec<&str>)> = Vec::new();
    let mut without: Vec<&str> = Vec::new();
    for pull in &report.read.pulls {
        match &pull.cell {
            None => without.push(&pull.name),
            Some(cell) => match used.iter_mut().find(|(known, _)| *known == cell) {
                Some((_, pulls)) => pulls.push(&pull.name),
                None => used.push((cell, vec![&pull.name])),
            },
        }
    }
    let mut blocks = Vec::new();
    if !used.is_empty() {
        blocks.push(Block::Table(cell_table(&used, units)));
    }
    if !without.is_empty() {
        blocks.push(Block::Text(format!(
            "NO CELL is named for {}: nothing vouches for these loads, and no doubt of a calibration is in their intervals.",
            without.join(", ")
        )));
    }
    blocks
}

fn cell_table(used: &[(&CellUsed, Vec<&str>)], units: Units) -> Table {
    let row = |(cell, pulls): &(&CellUsed, Vec<&str>)| {
        let due = match cell.overdue {
            true => format!("OVERDUE since {}", cell.due),
            false => format!("{}, in date", cell.due),
        };
        let certificate = match &cell.certificate_file {
            Some(kept) => format!("{}, its copy {}", cell.certificate, kept.file),
            None => format!("{}, no copy kept", cell.certificate),
        };
        vec![
            cell.name.clone(),
            certificate,
            due,
            units.force(cell.range_n),
            pulls.join(", "),
        ]
    };
    Table {
        caption: "Load cells, on the day of the tests".into(),
        columns: vec![
            column("Cell", false, 0.12),
            column("Certificate", false, 0.18),
            column("Due", false, 0.2),
            column("Calibrated to", true, 0.14),
            column("Pulls", false, 0.36),
        ],
        rows: used.iter().map(row).collect(),
    }
}

fn cleaning(pulls: &[PullRead]) -> Vec<Block> {
    let items = pulls.iter().map(|pull| {
        let steps: Vec<&str> = pull.steps.iter().map(|step| &step.says[..]).collect();
        let mut words = format!("{}: {}.", pull.name, steps.join("; "));
        let faults: Vec<&str> = pull.faults.iter().map(|fault| &fault.says[..]).collect();
        if !faults.is_empty() {
            words += &format!(" Wrong with the log: {}", faults.join(" "));
        }
        for group in &pull.mistakes {
            words += &format!(
                " While it was read: {} ({} times, first at {}).",
                group.says.trim_end_matches('.'),
                group.count,
                group.first
            );
        }
        words
    });
    vec![Block::List {
        kind: ListKind::Bullet,
        items: items.collect(),
    }]
}

fn files(report: &TestsReport) -> Table {
    let named = |file: &HashedFile| {
        vec![
            file.file.clone(),
            file.holds.clone(),
            file.bytes.to_string(),
            file.sha256.clone(),
        ]
    };
    let mut rows: Vec<Vec<String>> = vec![named(&report.test_file)];
    rows.extend(report.beside.iter().map(named));
    for pull in &report.read.pulls {
        let log = &pull.log;
        let checked = match log.checked {
            true => "hash as the test file states it",
            false => "hash not stated in the test file",
        };
        let rate = log
            .rate_hz
            .map_or(String::new(), |hz| format!(", {} a second", figures(hz)));
        let channels = match &log.displacement_channel {
            Some(stretch) => format!("{} and {stretch}", log.force_channel),
            None => log.force_channel.clone(),
        };
        let starts = log.starts.as_ref();
        let starts = starts.map_or(String::new(), |at| format!("; clock at time 0: {at}"));
        rows.push(vec![
            log.file.clone(),
            format!(
                "log of {} by {}: {channels}; {} samples{rate}; {checked}{starts}",
                pull.name, log.recipe, log.samples
            ),
            log.bytes.to_string(),
            log.sha256.clone(),
        ]);
        rows.extend(pull.footage.iter().map(|seen| {
            vec![
                seen.file.clone(),
                format!("footage of {}: {} marks", pull.name, seen.marks),
                seen.bytes.to_string(),
                seen.sha256.clone(),
            ]
        }));
    }
    Table {
        caption: "Every file that these numbers rest on".into(),
        columns: vec![
            column("File", false, 0.12),
            column("Holds", false, 0.21),
            column("Bytes", true, 0.08),
            // Whole on its line in the PDF, so that it can be copied.
            column("SHA-256", false, 0.59),
        ],
        rows,
    }
}

fn repeat(report: &TestsReport, units: Units) -> Vec<Block> {
    let in_units = match units {
        Units::Metric => "",
        Units::Imperial => " --units imperial",
    };
    let test = &report.read.test;
    let mut items = vec![
        format!(
            "With these files in one folder, Steadypull {} gives this report again: steadypull tests report {} -o report.pdf{in_units} (or report.html).",
            report.program_version, report.test_file.file
        ),
        format!("Random draws start from seed {}.", test.seed),
        "Check each file first: sha256sum FILE must print the hash above. A log that was opened and saved again is another file.".into(),
    ];
    items.push(match test.assumed.is_empty() {
        true => "Nothing was filled in: the test file says it all.".into(),
        false => "Filled in where the test file is silent:".into(),
    });
    let assumed = test.assumed.iter();
    let assumed = assumed.map(|d| format!("{} = {} ({})", d.key, d.value, d.reason));
    let list = |kind, items| Block::List { kind, items };
    let mut blocks = vec![list(ListKind::Bullet, items)];
    if !test.assumed.is_empty() {
        blocks.push(list(ListKind::Small, assumed.collect()));
    }
    blocks
}
