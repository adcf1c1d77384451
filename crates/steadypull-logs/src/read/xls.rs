//! Sheets of Excel workbooks of 1997 to 2003: records of the kind BIFF8 in a compound file
//! (\[MS-XLS\], from memory; `tests/open.rs` reads a file of another writer). They are taken record
//! by record, so that a sheet takes the room of the cells in it and not of the corner that it
//! reaches to.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};

use calamine::{CellErrorType, Data, ExcelDateTime, ExcelDateTimeType};
use cfb::CompoundFile;

use crate::mistake::{Kind, Mistakes, Place};

use super::records::{Pieces, Records, f64_at, format, rk, sheet, u16_at, u32_at};
use super::sheet::short;

/// Cells of a full sheet: 65 536 rows of 256.
const MOST_CELLS: usize = 1 << 24;
/// Columns a sheet can have.
const MOST_COLUMNS: u16 = 256;
/// Most sheets; each is read to its end before a recipe is told.
const MOST_SHEETS: usize = 256;

/// A workbook opened.
pub(crate) struct Xls {
    stream: Vec<u8>,
    /// Names of sheets and where their records begin.
    sheets: Vec<(String, usize)>,
    strings: Vec<String>,
    /// Whether cells of a style hold dates.
    dated: Vec<bool>,
    is_1904: bool,
}

/// A cell; text by its number, the shared strings first.
#[derive(Debug, Clone, Copy)]
enum Value {
    Number(f64),
    Date(f64),
    Text(usize),
    Bool(bool),
    Error,
}

/// Cells as they come: row, column, value; and texts of their own.
#[derive(Default)]
struct Cells {
    list: Vec<(u16, u16, Value)>,
    own: Vec<String>,
}

fn refuse(kind: Kind, found: &str) -> Mistakes {
    Mistakes::one(kind, Place::File, found)
}

fn damaged(kind: u16) -> String {
    format!("record {kind:#06x} is damaged")
}

impl Xls {
    pub fn open(bytes: &[u8]) -> Result<Self, Mistakes> {
        let broken = |e: std::io::Error| refuse(Kind::Broken, &e.to_string());
        let mut file = CompoundFile::open(Cursor::new(bytes)).map_err(broken)?;
        let stream = file.open_stream("Workbook");
        let mut stream =
            stream.map_err(|_| refuse(Kind::OldExcel, "no workbook of Excel 97 or later in it"))?;
        let mut records = Vec::new();
        stream.read_to_end(&mut records).map_err(broken)?;
        let mut xls = Self {
            stream: Vec::new(),
            sheets: Vec::new(),
            strings: Vec::new(),
            dated: Vec::new(),
            is_1904: false,
        };
        xls.globals(&records)?;
        xls.stream = records;
        Ok(xls)
    }

    pub fn sheets(&self) -> Vec<String> {
        self.sheets.iter().map(|s| s.0.clone()).collect()
    }

    /// What stands before the sheets and holds for all of them.
    fn globals(&mut self, stream: &[u8]) -> Result<(), Mistakes> {
        let mut formats = BTreeMap::new();
        let mut styles = Vec::new();
        let mut records = Records::of(stream, 0).peekable();
        while let Some((kind, data)) = records.next() {
            let taken = match kind {
                0x0809 if u16_at(data, 0) != Some(0x0600) => {
                    return Err(refuse(Kind::OldExcel, "a workbook of before Excel 97"));
                }
                0x002F => return Err(refuse(Kind::NotSupported, "protected by a password")),
                0x0022 => u16_at(data, 0).map(|mode| self.is_1904 = mode == 1),
                0x041E => format(data).map(|format| formats.extend([format])),
                0x00E0 => u16_at(data, 2).map(|id| styles.push(id)),
                0x0085 => sheet(data).and_then(|sheet| self.add(sheet)),
                0x00FC => {
                    let mut pieces = vec![data];
                    while let Some((_, more)) = records.next_if(|r| r.0 == 0x003C) {
                        pieces.push(more);
                    }
                    Pieces::of(&pieces)
                        .shared()
                        .map(|strings| self.strings = strings)
                }
                0x000A => break,
                _ => Some(()),
            };
            taken.ok_or_else(|| refuse(Kind::Broken, &damaged(kind)))?;
        }
        let is_date = |id: &u16| {
            let built_in = matches!(id, 14..=22 | 27..=36 | 45..=47 | 50..=58);
            formats.get(id).copied().unwrap_or(built_in)
        };
        self.dated = styles.iter().map(is_date).collect();
        Ok(())
    }

    /// Adds a sheet, which begins where no other does.
    fn add(&mut self, sheet: Option<(String, usize)>) -> Option<()> {
        let begins = |at: usize| self.sheets.iter().any(|s| s.1 == at);
        let is_one_too_many = self.sheets.len() == MOST_SHEETS;
        let is_odd = sheet
            .as_ref()
            .is_some_and(|s| is_one_too_many || begins(s.1));
        (!is_odd).then(|| self.sheets.extend(sheet))
    }

    /// Calls `take` with each row that has cells, as [`super::sheet::Workbook::rows`].
    pub fn rows(
        &self,
        sheet: &str,
        mut take: impl FnMut(u64, &[Data]) -> Result<bool, Mistakes>,
    ) -> Result<Option<String>, Mistakes> {
        let at = self.sheets.iter().find(|s| s.0 == sheet);
        let at = at.ok_or_else(|| refuse(Kind::NoColumn, &format!("sheet {sheet}")))?;
        let (mut cells, broke) = self.cells(at.1)?;
        // Some writers go down the columns. Of two in one place the later stands.
        cells.list.sort_by_key(|cell| cell.0);
        for row in cells.list.chunk_by(|a, b| a.0 == b.0) {
            let width = row.iter().map(|c| c.1 + 1).max().unwrap_or(0);
            let mut found = vec![Data::Empty; usize::from(width)];
            for (_, column, value) in row {
                found[usize::from(*column)] = self.data(*value, &cells.own);
            }
            if !take(u64::from(row[0].0) + 1, &found)? {
                return Ok(None);
            }
        }
        Ok(broke)
    }

    fn data(&self, value: Value, own: &[String]) -> Data {
        match value {
            Value::Number(v) => Data::Float(v),
            Value::Date(v) => Data::DateTime(ExcelDateTime::new(
                v,
                ExcelDateTimeType::DateTime,
                self.is_1904,
            )),
            Value::Text(at) => {
                let own = || own.get(at - self.strings.len());
                let text = self.strings.get(at).or_else(own);
                Data::String(text.map_or_else(String::new, |t| short(t)))
            }
            Value::Bool(v) => Data::Bool(v),
            Value::Error => Data::Error(CellErrorType::NA),
        }
    }

    /// The cells of the sheet whose records begin at `at`, and why they break off where they do.
    fn cells(&self, at: usize) -> Result<(Cells, Option<String>), Mistakes> {
        let mut cells = Cells::default();
        let (mut depth, mut formula) = (0, None);
        for (kind, data) in Records::of(&self.stream, at) {
            match kind {
                0x0809 => depth += 1,
                0x000A if depth <= 1 => return Ok((cells, None)),
                0x000A => depth -= 1,
                // Records of a chart within the sheet are not the sheet's.
                _ if depth > 1 => {}
                _ => {
                    if self.cell(&mut cells, &mut formula, kind, data).is_none() {
                        return Ok((cells, Some(damaged(kind))));
                    }
                }
            }
            if cells.list.len() > MOST_CELLS {
                return Err(refuse(Kind::TooMuch, "more cells than a sheet has"));
            }
        }
        Ok((cells, Some("the sheet has no end".into())))
    }

    /// Takes the cells of a record, if it has any; none where it is damaged. `formula` is where
    /// the text goes that follows a formula.
    fn cell(
        &self,
        cells: &mut Cells,
        formula: &mut Option<(u16, u16)>,
        kind: u16,
        data: &[u8],
    ) -> Option<()> {
        if !matches!(
            kind,
            0x0203 | 0x027E | 0x00BD | 0x00FD | 0x0204 | 0x00D6 | 0x0006 | 0x0205 | 0x0207
        ) {
            return Some(());
        }
        if kind == 0x0207 {
            let (row, column) = formula.take()?;
            let text = Pieces::of(&[data]).text()?;
            let value = self.own(cells, text);
            return self.put(cells, row, column, value);
        }
        let (row, column) = (u16_at(data, 0)?, u16_at(data, 2)?);
        let style = u16_at(data, 4)?;
        let value = match kind {
            0x0203 => self.number(style, f64_at(data, 6)?),
            0x027E => self.number(style, rk(u32_at(data, 6)?)),
            // Several beside each other: a style and a number each, the last column behind them.
            0x00BD => {
                for (at, pair) in data.get(4..data.len() - 2)?.chunks_exact(6).enumerate() {
                    let value = self.number(u16_at(pair, 0)?, rk(u32_at(pair, 2)?));
                    self.put(cells, row, column.checked_add(at as u16)?, value)?;
                }
                return Some(());
            }
            0x00FD => Value::Text(u32_at(data, 6)? as usize),
            0x0204 | 0x00D6 => {
                let text = Pieces::of(&[&data[6..]]).text()?;
                self.own(cells, text)
            }
            0x0205 if *data.get(7)? != 0 => Value::Error,
            0x0205 => Value::Bool(data[6] != 0),
            _ => match (u16_at(data, 12)?, data[6]) {
                (0xFFFF, 0) => {
                    *formula = Some((row, column));
                    return Some(());
                }
                (0xFFFF, 1) => Value::Bool(data[8] != 0),
                (0xFFFF, 2) => Value::Error,
                (0xFFFF, _) => return Some(()),
                _ => self.number(style, f64_at(data, 6)?),
            },
        };
        self.put(cells, row, column, value)
    }

    fn put(&self, cells: &mut Cells, row: u16, column: u16, value: Value) -> Option<()> {
        let texts = self.strings.len() + cells.own.len();
        let is_missing = matches!(value, Value::Text(at) if at >= texts);
        (column < MOST_COLUMNS && !is_missing).then(|| cells.list.push((row, column, value)))
    }

    fn own(&self, cells: &mut Cells, text: String) -> Value {
        cells.own.push(text);
        Value::Text(self.strings.len() + cells.own.len() - 1)
    }

    fn number(&self, style: u16, value: f64) -> Value {
        match self.dated.get(usize::from(style)) {
            Some(true) => Value::Date(value),
            _ => Value::Number(value),
        }
    }
}
