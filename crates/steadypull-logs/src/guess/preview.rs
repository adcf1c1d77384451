//! The first rows as a recipe reads them, beside what stands in the file.

use serde::Serialize;

use crate::letters;
use crate::log::Log;
use crate::mistake::Mistakes;
use crate::read::read_how;
use crate::recipe::{Layout, Recipe, Time};
use crate::take::How;

/// The most of a text that is looked at for a preview, bytes.
const MOST: usize = 1 << 20;

/// The first rows as read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Preview {
    /// The rows.
    pub rows: Vec<PreviewRow>,
    /// What is wrong in these rows.
    pub mistakes: Mistakes,
}

/// One row as read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PreviewRow {
    /// Where it stands.
    pub place: String,
    /// Its time, s; none where it has none or the rate is not known yet.
    pub time_s: Option<f64>,
    /// The cells that are taken, the times' too, in the file's order.
    pub cells: Vec<PreviewCell>,
}

/// One cell as read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PreviewCell {
    /// Its column, from 1.
    pub column: u32,
    /// What stands there.
    pub raw: String,
    /// The value it becomes, in `unit`; none for a gap.
    pub value: Option<f64>,
    /// The SI unit of the value.
    pub unit: String,
}

/// The first `rows` rows of a file as a recipe reads them.
pub fn preview(bytes: &[u8], recipe: &Recipe, rows: usize) -> Result<Preview, Mistakes> {
    let is_text = matches!(recipe.layout, Layout::Text { .. });
    let bytes = if is_text && bytes.len() > MOST {
        whole_lines(&bytes[..MOST])
    } else {
        bytes
    };
    let timed = with_some_rate(recipe);
    let (log, texts) = read_how(bytes, timed.as_ref().unwrap_or(recipe), How::First(rows))?;
    let rows = texts
        .into_iter()
        .enumerate()
        .map(|(at, cells)| row(&log, recipe, at, cells, timed.is_none()))
        .collect();
    Ok(Preview {
        rows,
        mistakes: log.mistakes,
    })
}

/// Whole lines, so that no letter is cut; of UTF-16 whole pairs of bytes, which `MOST` is.
fn whole_lines(bytes: &[u8]) -> &[u8] {
    let start = letters::last_line(bytes);
    if start == 0 || bytes.contains(&0) {
        bytes
    } else {
        &bytes[..start]
    }
}

/// A recipe whose rate is not known is shown without times.
fn with_some_rate(recipe: &Recipe) -> Option<Recipe> {
    let time = match recipe.time {
        Time::Unknown {} => Time::Rate { rate_hz: 1.0 },
        Time::SampleNumber {
            column,
            rate_hz: None,
        } => Time::SampleNumber {
            column,
            rate_hz: Some(1.0),
        },
        _ => return None,
    };
    Some(Recipe {
        time,
        ..recipe.clone()
    })
}

fn row(
    log: &Log,
    recipe: &Recipe,
    at: usize,
    mut cells: Vec<(u32, String)>,
    is_timed: bool,
) -> PreviewRow {
    let time_s = Some(log.times.at(at)).filter(|t| is_timed && t.is_finite());
    let known = |v: f64| Some(v).filter(|v| v.is_finite());
    cells.sort_by_key(|c| c.0);
    let cells = cells.into_iter().filter_map(|(column, raw)| {
        if let Some(n) = recipe.channels.iter().position(|c| c.column == column) {
            let channel = &log.channels[n];
            return Some(PreviewCell {
                column,
                raw,
                value: known(channel.values()[at]),
                unit: channel.unit.clone(),
            });
        }
        is_time(&recipe.time, column).then(|| PreviewCell {
            column,
            raw,
            value: time_s,
            unit: "s".into(),
        })
    });
    PreviewRow {
        place: log.place(at, 0).to_string(),
        time_s,
        cells: cells.collect(),
    }
}

fn is_time(time: &Time, at: u32) -> bool {
    match time {
        Time::Elapsed { column, .. }
        | Time::SampleNumber { column, .. }
        | Time::Clock { column } => *column == at,
        Time::DateClock {
            column,
            clock_column,
            ..
        } => *column == at || *clock_column == Some(at),
        Time::Rate { .. } | Time::FileRate {} | Time::Unknown {} => false,
    }
}
