//! A recipe guessed from the bytes, with the reason for each choice and what else it could be.

mod cell;
mod delimiter;
mod encoding;
mod header;
mod preview;
mod table;
mod text;
mod time;

use serde::Serialize;

use crate::mistake::{Kind, Mistakes, Place};
use crate::read::{Sound, Table, Workbook, sheet_cell};
use crate::recipe::{Channel, Decimal, Grouping, Layout, Notation, Recipe, Rows, Sign, Time};
use crate::unit::Quantity;

pub use preview::{Preview, PreviewCell, PreviewRow, preview};

use table::Sample;

/// Rows looked at from the start of a file.
const LOOKED_AT: usize = 1000;
/// Cells of a sheet looked at to guess: a thousand rows of a thousand.
const MOST_CELLS: usize = 1 << 20;
/// Rows shown as read.
const SHOWN: usize = 8;

/// A recipe with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Guess {
    /// The recipe.
    pub recipe: Recipe,
    /// Why, choice by choice.
    pub choices: Vec<Choice>,
    /// The first rows as the recipe reads them.
    pub preview: Preview,
}

impl Guess {
    /// Choices somebody has to look at before the log is trusted.
    pub fn unsure(&self) -> impl Iterator<Item = &Choice> {
        self.choices.iter().filter(|c| c.sure == Sure::Unsure)
    }
}

/// How sure a choice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sure {
    /// The file would make no sense otherwise.
    Certain,
    /// The usual reading; another is possible.
    Likely,
    /// Nothing in the file decides it.
    Unsure,
}

/// One choice of a recipe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// The recipe's key, such as `layout.notation.decimal` or `channel.2.unit`.
    pub key: String,
    /// What was chosen.
    pub chosen: String,
    /// Why.
    pub why: String,
    /// How sure it is.
    pub sure: Sure,
    /// What else it could be.
    pub instead: Vec<Instead>,
}

/// Another way a choice could go.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Instead {
    /// The value of the key.
    pub value: String,
    /// What speaks for it, or what it would change.
    pub why: String,
}

impl Choice {
    fn new(key: &str, chosen: impl Into<String>, sure: Sure, why: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            chosen: chosen.into(),
            why: why.into(),
            sure,
            instead: Vec::new(),
        }
    }

    fn or(mut self, value: impl Into<String>, why: impl Into<String>) -> Self {
        self.instead.push(Instead {
            value: value.into(),
            why: why.into(),
        });
        self
    }
}

/// A recipe for these bytes. An error where no row of numbers can be found in them.
pub fn guess(bytes: &[u8]) -> Result<Guess, Mistakes> {
    let refuse = |kind| Err(Mistakes::one(kind, Place::File, ""));
    let (recipe, choices) = match bytes {
        [] => return refuse(Kind::Empty),
        [b'R', b'I', b'F', b'F', ..] if bytes.get(8..12) == Some(b"WAVE") => sound(bytes)?,
        [b'P', b'A', b'R', b'1', ..] => table(bytes)?,
        [0xd0, 0xcf, 0x11, 0xe0, ..] => workbook(bytes)?,
        [b'P', b'K', 3, 4, ..] if is_open_document(bytes) => return refuse(Kind::OldExcel),
        [b'P', b'K', 3, 4, ..] => workbook(bytes)?,
        _ => text::guess(bytes)?,
    };
    let preview = preview(bytes, &recipe, SHOWN)?;
    Ok(Guess {
        recipe,
        choices,
        preview,
    })
}

fn is_open_document(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(120)];
    memchr::memmem::find(head, b"mimetypeapplication/vnd.oasis").is_some()
}

fn format(chosen: &str, why: &str) -> Choice {
    Choice::new("layout.format", chosen, Sure::Certain, why)
}

fn sound(bytes: &[u8]) -> Result<(Recipe, Vec<Choice>), Mistakes> {
    let sound = Sound::open(bytes)?;
    let (low, high) = sound.full_scale();
    let channel = |column| Channel {
        column,
        name: format!("channel {column}"),
        header: None,
        units_header: None,
        unit: "full scale".into(),
        quantity: Quantity::Other,
        sign: Sign::Plus,
        factor: 1.0,
    };
    let channels = (1..=u32::from(sound.channels)).map(channel).collect();
    let choices = vec![
        format("wav", "it begins with RIFF and WAVE"),
        Choice::new("time.kind", "file-rate", Sure::Certain, format!("the header tells {} Hz", sound.rate_hz)),
        Choice::new(
            "channel.1.factor",
            "1",
            Sure::Unsure,
            format!("samples reach from {low} to {high} of full scale; the file does not tell what that is"),
        )
        .or("the calibration", "units for full scale, with unit and quantity"),
    ];
    Ok((
        Recipe {
            layout: Layout::Wav {},
            time: Time::FileRate {},
            channels,
        },
        choices,
    ))
}

fn table(bytes: &[u8]) -> Result<(Recipe, Vec<Choice>), Mistakes> {
    let table = Table::open(bytes)?;
    let names: Vec<String> = table.columns.iter().map(|c| c.0.clone()).collect();
    let rows = table.sample(LOOKED_AT);
    let sample = Sample::new(names, Vec::new(), rows, PLAIN, String::new());
    let mut choices = vec![format("parquet", "it begins with PAR1")];
    let (time, channels) = sample.columns(&mut choices)?;
    Ok((
        Recipe {
            layout: Layout::Parquet {},
            time,
            channels,
        },
        choices,
    ))
}

const PLAIN: Notation = Notation {
    decimal: Decimal::Dot,
    grouping: Grouping::None,
};

fn workbook(bytes: &[u8]) -> Result<(Recipe, Vec<Choice>), Mistakes> {
    let mut workbook = Workbook::open(bytes)?;
    let sheets = workbook.sheets();
    let mut found: Option<(Recipe, Vec<Choice>)> = None;
    let mut others = Vec::new();
    for sheet in &sheets {
        match one_sheet(&mut workbook, sheet) {
            Ok(guess) if found.is_none() => found = Some(guess),
            Ok(_) => others.push(sheet.clone()),
            // A sheet without numbers is no candidate; one that cannot be read shows when it is the only one.
            Err(_) if sheets.len() > 1 => {}
            Err(e) => return Err(e),
        }
    }
    let (recipe, mut choices) =
        found.ok_or_else(|| Mistakes::one(Kind::NoNumbers, Place::File, ""))?;
    if let Layout::Sheet { sheet, .. } = &recipe.layout {
        let sure = if others.is_empty() {
            Sure::Certain
        } else {
            Sure::Unsure
        };
        let choice = Choice::new(
            "layout.sheet",
            sheet,
            sure,
            "the first sheet with rows of numbers",
        );
        choices.insert(
            0,
            others
                .iter()
                .fold(choice, |c, o| c.or(o, "it has rows of numbers too")),
        );
    }
    let why = match workbook {
        Workbook::Package(_) => "it is a workbook's package",
        Workbook::Old(_) => "it is a workbook of before Excel 2007",
    };
    choices.insert(0, format("sheet", why));
    Ok((recipe, choices))
}

/// Makes all rows as long as the longest of the first; fewer are kept where they are very long,
/// since one cell in the last column makes them so. Gives how long.
fn alike(rows: &mut Vec<(u64, Vec<String>)>, tail: &mut [(u64, Vec<String>)]) -> usize {
    let width = rows.iter().map(|r| r.1.len()).max().unwrap_or(0);
    rows.truncate(MOST_CELLS / width.max(1));
    for (_, cells) in rows.iter_mut().chain(tail) {
        cells.resize(width, String::new());
    }
    width
}

fn one_sheet(workbook: &mut Workbook<'_>, sheet: &str) -> Result<(Recipe, Vec<Choice>), Mistakes> {
    let mut rows: Vec<(u64, Vec<String>)> = Vec::new();
    let mut tail: Vec<(u64, Vec<String>)> = Vec::new();
    let mut looked_at = 0;
    workbook.rows(sheet, |line, cells| {
        let texts = cells.iter().map(|c| sheet_cell(c).text()).collect();
        if rows.len() < LOOKED_AT && looked_at < MOST_CELLS {
            looked_at += cells.len();
            rows.push((line, texts));
        } else {
            if tail.len() == table::MOST_FOOT {
                tail.remove(0);
            }
            tail.push((line, texts));
        }
        Ok(true)
    })?;
    let mut choices = Vec::new();
    let width = alike(&mut rows, &mut tail);
    let all: Vec<_> = rows.iter().chain(&tail).cloned().collect();
    let body = table::find_body(&rows, width, PLAIN, None)
        .ok_or_else(|| Mistakes::one(Kind::NoNumbers, Place::File, ""))?;
    let foot_lines = table::foot(&all, &body, PLAIN);
    let sample_rows = rows[body.first..].iter().map(|r| r.1.clone()).collect();
    let sample = Sample::new(
        body.names.clone(),
        body.units.clone(),
        sample_rows,
        PLAIN,
        String::new(),
    );
    let columns = u32::try_from(width).unwrap_or(u32::MAX);
    let rows = Rows {
        head_lines: body.head_lines,
        names_line: body.names_line,
        units_line: body.units_line,
        foot_lines,
        columns,
    };
    table::tell_rows(&rows, &mut choices);
    let (time, channels) = sample.columns(&mut choices)?;
    let layout = Layout::Sheet {
        sheet: sheet.to_string(),
        notation: PLAIN,
        rows,
    };
    Ok((
        Recipe {
            layout,
            time,
            channels,
        },
        choices,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_that_one_far_cell_makes_long_are_few() {
        let row = |length| (1, vec![String::from("7"); length]);
        let mut rows = vec![row(2); LOOKED_AT - 1];
        rows.push(row(16_384));
        let mut tail = vec![row(3)];
        assert_eq!(alike(&mut rows, &mut tail), 16_384);
        assert_eq!(
            (rows.len(), rows[0].1.len(), tail[0].1.len()),
            (64, 16_384, 16_384)
        );
        let mut rows = vec![row(2); LOOKED_AT];
        alike(&mut rows, &mut []);
        assert_eq!(rows.len(), LOOKED_AT);
    }
}
