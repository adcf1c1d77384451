//! What a log seems to be.

use steadypull_contract::answer::{
    LogColumn, LogFault, LogGroup, LookChoice, LookPreviewRow, LookSure, TestsLookAnswer,
};
use steadypull_contract::show::{figures, seconds};

use crate::report::Page;

/// Faults of one channel that are printed.
const FAULTS_SHOWN: usize = 8;
/// Rows that are printed.
const ROWS_SHOWN: usize = 6;

/// Writes the guess with its reasons, the first rows, and what is wrong.
pub fn write(page: &mut Page, answer: &TestsLookAnswer) {
    page.sides(&format!("STEADYPULL  log {}", answer.file), "");
    page.fact("Length", &format!("{} bytes", answer.bytes));
    if !answer.sha256.is_empty() {
        page.drawn(&format!("  SHA-256 {}", answer.sha256));
    }
    page.heading(
        "RECIPE",
        "how it would be read, and why; correct what is unsure",
    );
    for choice in &answer.choices {
        self::choice(page, choice);
    }
    page.heading("FIRST ROWS", "as that recipe reads them");
    for row in answer.preview.iter().take(ROWS_SHOWN) {
        self::row(page, row);
    }
    page.heading("CHANNELS", "what they hold, and what is wrong with them");
    match (&answer.unreadable, answer.span_s) {
        (Some(why), _) => page.paragraph(&format!("Not read as a whole: {why}")),
        (None, span) => {
            let span = span.map_or(String::new(), |span| format!(" over {}", seconds(span)));
            page.paragraph(&format!("{} rows{span}.", answer.samples));
        }
    }
    for channel in &answer.channels {
        column(page, channel);
    }
    for group in &answer.mistakes {
        self::group(page, group);
    }
}

fn choice(page: &mut Page, choice: &LookChoice) {
    let mark = match choice.sure {
        LookSure::Certain => "sure  ",
        LookSure::Likely => "likely",
        LookSure::Unsure => "UNSURE",
    };
    page.item(
        mark,
        &format!("{} = {}: {}", choice.key, choice.chosen, choice.why),
    );
    for other in &choice.instead {
        page.item("      ", &format!("or {}: {}", other.value, other.why));
    }
}

fn row(page: &mut Page, row: &LookPreviewRow) {
    let time = row
        .time_s
        .map_or("no time".into(), |time| format!("{time} s"));
    let cells = row.cells.iter().map(|cell| {
        let value = cell
            .value
            .map_or("a gap".into(), |value| format!("{value} {}", cell.unit));
        format!("`{}` is {value}", cell.raw)
    });
    let cells = cells.collect::<Vec<_>>().join("; ");
    page.item("-", &format!("{}, {time}: {cells}", row.place));
}

fn column(page: &mut Page, channel: &LogColumn) {
    let range = match channel.least.zip(channel.greatest) {
        Some((least, greatest)) => format!(
            "{} to {} {}",
            figures(least),
            figures(greatest),
            channel.unit
        ),
        None => "no values".into(),
    };
    let missing = match channel.missing {
        0 => String::new(),
        n => format!(", {n} missing"),
    };
    page.fact(&channel.name, &format!("{range}{missing}"));
    faults(page, &channel.faults);
}

/// Faults in their sentences, the first of many.
pub fn faults(page: &mut Page, faults: &[LogFault]) {
    for fault in faults.iter().take(FAULTS_SHOWN) {
        page.item("    *", &fault.says);
    }
    if faults.len() > FAULTS_SHOWN {
        let more = faults.len() - FAULTS_SHOWN;
        page.item("    *", &format!("{more} more: see them with --json."));
    }
}

/// One kind of oddity of the reading.
pub fn group(page: &mut Page, group: &LogGroup) {
    let count = match group.count {
        1 => group.first.clone(),
        n => format!("{n} times, first {}", group.first),
    };
    page.item(
        if group.lost { "LOST" } else { "note" },
        &format!("{count}: {}", group.says),
    );
}
