//! Sheets of Excel workbooks, read cell by cell as they come out of their package, so that a
//! sheet that claims to reach to the last row and column takes no room for it; and rows of sheets
//! of either kind taken as a recipe tells.

use std::io::{Cursor, Read};

use calamine::{Data, DataRef, ExcelDateTime, ExcelDateTimeType, Reader, Xlsx};
use zip::ZipArchive;

use crate::log::{Log, PlaceKind, Places};
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Notation, Recipe, Rows};
use crate::take::{Cell, Columns, How, Texts, check_headers};

use super::xls::Xls;

/// What a workbook of before Excel 2007 begins with.
pub(crate) const COMPOUND: &[u8] = b"\xd0\xcf\x11\xe0";
/// The most a part of a workbook other than a sheet may unpack to, bytes.
const LARGEST_PART: u64 = 64 << 20;
/// The most all of a workbook may unpack to, bytes; a full sheet of a million rows of four cells
/// is about 200 MB.
const LARGEST_WORKBOOK: u64 = 1 << 30;
/// The longest run without a tag, bytes; a cell holds 32 767 letters.
const LONGEST_TEXT: usize = 1 << 20;
/// The most of a cell's text that is looked at, bytes.
const MOST_LETTERS: usize = 256;
/// Columns a sheet can have.
const MOST_COLUMNS: u32 = 16_384;

fn refuse(kind: Kind, found: &str) -> Mistakes {
    Mistakes::one(kind, Place::File, found)
}

/// A workbook opened.
pub(crate) enum Workbook<'a> {
    /// A package of parts.
    Package(Box<Xlsx<Cursor<&'a [u8]>>>),
    /// Of before Excel 2007.
    Old(Xls),
}

impl<'a> Workbook<'a> {
    /// Opens it, after a look at what it unpacks to.
    pub fn open(bytes: &'a [u8]) -> Result<Self, Mistakes> {
        if bytes.starts_with(COMPOUND) {
            return Xls::open(bytes).map(Self::Old);
        }
        guard(bytes)?;
        let xlsx =
            Xlsx::new(Cursor::new(bytes)).map_err(|e| refuse(Kind::Broken, &e.to_string()))?;
        Ok(Self::Package(Box::new(xlsx)))
    }

    /// The names on its tabs.
    pub fn sheets(&self) -> Vec<String> {
        match self {
            Self::Package(xlsx) => xlsx.sheet_names(),
            Self::Old(xls) => xls.sheets(),
        }
    }

    /// Calls `take` with each row that has cells, its number from 1 and its cells from column 1,
    /// until it says that is enough. Where the sheet breaks off, tells why.
    pub fn rows(
        &mut self,
        sheet: &str,
        mut take: impl FnMut(u64, &[Data]) -> Result<bool, Mistakes>,
    ) -> Result<Option<String>, Mistakes> {
        let xlsx = match self {
            Self::Package(xlsx) => xlsx,
            Self::Old(xls) => return xls.rows(sheet, take),
        };
        let opened = xlsx.worksheet_cells_reader(sheet);
        let mut cells =
            opened.map_err(|e| refuse(Kind::NoColumn, &format!("sheet {sheet}: {e}")))?;
        let mut row: Vec<Data> = Vec::new();
        let mut at = None;
        loop {
            let cell = match cells.next_cell() {
                Ok(cell) => cell,
                Err(e) => {
                    finish(&mut take, at, &row)?;
                    return Ok(Some(e.to_string()));
                }
            };
            let Some(cell) = cell else {
                finish(&mut take, at, &row)?;
                return Ok(None);
            };
            let (line, column) = cell.get_position();
            if at != Some(line) {
                if !finish(&mut take, at, &row)? {
                    return Ok(None);
                }
                if at.is_some_and(|before| before > line) {
                    return Ok(Some(format!(
                        "row {} comes after row {}",
                        line + 1,
                        at.unwrap_or(0) + 1
                    )));
                }
                row.clear();
                at = Some(line);
            }
            if column < MOST_COLUMNS {
                if row.len() <= column as usize {
                    row.resize(column as usize + 1, Data::Empty);
                }
                row[column as usize] = match cell.get_value() {
                    DataRef::SharedString(text) => Data::String(short(text)),
                    DataRef::String(text) => Data::String(short(text)),
                    other => other.clone().into(),
                };
            }
        }
    }
}

/// A text cut to what is looked at: cells may share a long one.
pub(super) fn short(text: &str) -> String {
    text[..text.floor_char_boundary(MOST_LETTERS)].to_string()
}

fn finish(
    take: &mut impl FnMut(u64, &[Data]) -> Result<bool, Mistakes>,
    at: Option<u32>,
    row: &[Data],
) -> Result<bool, Mistakes> {
    at.map_or(Ok(true), |line| take(u64::from(line) + 1, row))
}

/// Unpacks everything once, keeping nothing, to see that it stays within sensible sizes: the
/// sizes a package tells of itself are claims.
fn guard(bytes: &[u8]) -> Result<(), Mistakes> {
    let broken = |e: &dyn std::fmt::Display| refuse(Kind::Broken, &e.to_string());
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|e| broken(&e))?;
    let mut total = 0;
    for at in 0..archive.len() {
        let mut part = archive.by_index(at).map_err(|e| broken(&e))?;
        let name = part.name().map_err(|e| broken(&e))?.to_string();
        let is_sheet = name.contains("worksheets/");
        let limit = if is_sheet {
            LARGEST_WORKBOOK
        } else {
            LARGEST_PART
        };
        total += measure(&mut part, &name, limit)?;
        if total > LARGEST_WORKBOOK {
            return Err(refuse(
                Kind::Hostile,
                "the workbook unpacks to more than 1 GiB",
            ));
        }
    }
    Ok(())
}

fn measure(part: &mut impl Read, name: &str, limit: u64) -> Result<u64, Mistakes> {
    let mut buffer = vec![0; 1 << 16];
    let (mut size, mut run) = (0, 0);
    let mut head = Vec::new();
    let is_sheet = name.contains("worksheets/");
    let mut references = References::default();
    loop {
        let n = part
            .read(&mut buffer)
            .map_err(|e| refuse(Kind::Broken, &format!("{name}: {e}")))?;
        if n == 0 {
            break;
        }
        size += n as u64;
        if head.len() < 4096 {
            head.extend_from_slice(&buffer[..n.min(4096)]);
        }
        if is_sheet && references.are_too_long(&buffer[..n]) {
            return Err(refuse(
                Kind::Broken,
                &format!("{name}: a cell beyond the last there can be"),
            ));
        }
        run = memchr::memrchr(b'<', &buffer[..n]).map_or(run + n, |at| n - at);
        if size > limit || (run > LONGEST_TEXT && name.ends_with(".xml")) {
            return Err(refuse(
                Kind::Hostile,
                &format!("{name} unpacks to too much"),
            ));
        }
    }
    if claimed_strings(&head).is_some_and(|claim| claim > size) {
        return Err(refuse(
            Kind::Hostile,
            &format!("{name} claims more strings than it has letters"),
        ));
    }
    Ok(size)
}

/// Watches the places of cells (`r="XFD1048576"`) and ranges (`ref`) go by: longer ones than
/// there can be overflow where they are counted.
#[derive(Default)]
struct References {
    in_tag: bool,
    quote: Option<u8>,
    /// The last letters of the attribute's name.
    name: u32,
    /// The next letter begins a name.
    fresh: bool,
    letters: u32,
    digits: u32,
}

impl References {
    const PLACE: u32 = b'r' as u32;
    const RANGE: u32 = u32::from_be_bytes([0, b'r', b'e', b'f']);

    fn are_too_long(&mut self, bytes: &[u8]) -> bool {
        bytes.iter().any(|b| self.is_too_long(*b))
    }

    fn is_too_long(&mut self, byte: u8) -> bool {
        match (self.in_tag, self.quote) {
            (false, _) => (self.in_tag, self.fresh) = (byte == b'<', true),
            (true, None) => self.outside(byte),
            (true, Some(quote)) if byte == quote => (self.quote, self.fresh) = (None, true),
            (true, Some(_)) => return self.within(byte),
        }
        false
    }

    fn outside(&mut self, byte: u8) {
        match byte {
            b'>' => self.in_tag = false,
            b'"' | b'\'' => (self.quote, self.letters, self.digits) = (Some(byte), 0, 0),
            b'=' => {}
            _ if byte.is_ascii_whitespace() => self.fresh = true,
            _ if self.fresh => (self.name, self.fresh) = (u32::from(byte), false),
            _ => self.name = (self.name << 8) | u32::from(byte),
        }
    }

    fn within(&mut self, byte: u8) -> bool {
        match byte {
            b'0'..=b'9' => self.digits += 1,
            b'a'..=b'z' | b'A'..=b'Z' => self.letters += 1,
            b':' => (self.letters, self.digits) = (0, 0),
            _ => {}
        }
        matches!(self.name, Self::PLACE | Self::RANGE) && (self.letters > 3 || self.digits > 7)
    }
}

/// How many strings the list of shared strings claims to hold; room is made for that many.
fn claimed_strings(head: &[u8]) -> Option<u64> {
    let key = b"uniqueCount";
    let at = memchr::memmem::find(head, key)? + key.len();
    let digits = head[at..]
        .iter()
        .skip_while(|b| !b.is_ascii_digit())
        .take_while(|b| b.is_ascii_digit());
    digits.take(19).try_fold(0u64, |v, b| {
        v.checked_mul(10)?.checked_add(u64::from(b - b'0'))
    })
}

/// A cell of a sheet as one of ours.
pub(crate) fn cell(data: &Data) -> Cell<'_> {
    match data {
        Data::Int(n) => Cell::Number(*n as f64),
        Data::Float(n) => Cell::Number(*n),
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => Cell::Text(text),
        Data::Bool(true) => Cell::Text("TRUE"),
        Data::Bool(false) => Cell::Text("FALSE"),
        Data::DateTime(date) => Cell::Days(serial(date)),
        Data::Error(_) => Cell::Text("#N/A"),
        Data::Empty => Cell::Empty,
    }
}

/// Days since 30 December 1899. A workbook may count from 1 January 1904, day 1462 of that.
fn serial(date: &ExcelDateTime) -> f64 {
    let days = date.as_f64();
    let late = ExcelDateTime::new(days, ExcelDateTimeType::DateTime, true);
    if *date == late && days >= 1.0 {
        days + 1462.0
    } else {
        days
    }
}

pub(super) fn read(
    bytes: &[u8],
    recipe: &Recipe,
    (sheet, notation, rows): (&str, Notation, &Rows),
    how: How,
) -> Result<(Log, Texts), Mistakes> {
    if !bytes.starts_with(b"PK") && !bytes.starts_with(COMPOUND) {
        return Err(refuse(Kind::WrongFormat, "no workbook"));
    }
    if rows.columns == 0 || rows.columns > MOST_COLUMNS {
        let place = Place::Recipe {
            key: "layout.rows.columns".into(),
        };
        return Err(Mistakes::one(
            Kind::Recipe,
            place,
            &rows.columns.to_string(),
        ));
    }
    let mut workbook = Workbook::open(bytes)?;
    let places = Places::new(PlaceKind::Sheet(sheet.to_string()));
    let mut columns = Columns::new(recipe, notation, rows.columns, places, how)?;
    let mut sheet_rows = SheetRows {
        rows,
        sheet,
        names: None,
        units: None,
        checked: false,
        held: Vec::new(),
    };
    let broke = workbook.rows(sheet, |line, cells| {
        sheet_rows.take(&mut columns, line, cells)
    })?;
    if let Some(why) = broke {
        let last = columns.places.of(columns.rows().saturating_sub(1), 0);
        columns.mistakes.add(Kind::CutShort, last, &why);
    }
    columns.finish(None, None)
}

struct SheetRows<'a> {
    rows: &'a Rows,
    sheet: &'a str,
    names: Option<Vec<String>>,
    units: Option<Vec<String>>,
    checked: bool,
    /// Rows that may be of the foot, held back until others follow.
    held: Vec<(u64, Vec<Data>)>,
}

impl SheetRows<'_> {
    /// Takes a row; false when no further one is wanted.
    fn take(
        &mut self,
        columns: &mut Columns<'_>,
        line: u64,
        cells: &[Data],
    ) -> Result<bool, Mistakes> {
        if line <= u64::from(self.rows.head_lines) {
            self.note_head(line, cells);
            return Ok(true);
        }
        if !self.checked {
            self.checked = true;
            let line_of = |is_names| {
                if is_names {
                    self.rows.names_line
                } else {
                    self.rows.units_line
                }
            };
            let place = |is_names, column| Place::Cell {
                sheet: self.sheet.to_string(),
                row: u64::from(line_of(is_names).unwrap_or(0)),
                column,
            };
            check_headers(
                columns.recipe(),
                self.names.as_deref(),
                self.units.as_deref(),
                place,
            )?;
        }
        if cells.iter().all(|c| cell(c) == Cell::Empty) {
            return Ok(true);
        }
        if self.rows.foot_lines == 0 {
            put_row(columns, line, cells)?;
            return Ok(!columns.enough());
        }
        self.held.push((line, cells.to_vec()));
        if self.held.len() > self.rows.foot_lines as usize {
            let (line, cells) = self.held.remove(0);
            put_row(columns, line, &cells)?;
        }
        Ok(!columns.enough())
    }

    fn note_head(&mut self, line: u64, cells: &[Data]) {
        let texts = || {
            Some(
                cells
                    .iter()
                    .map(|c| cell(c).text().trim().to_string())
                    .collect(),
            )
        };
        if self.rows.names_line.map(u64::from) == Some(line) {
            self.names = texts();
        }
        if self.rows.units_line.map(u64::from) == Some(line) {
            self.units = texts();
        }
    }
}

fn put_row(columns: &mut Columns<'_>, line: u64, cells: &[Data]) -> Result<(), Mistakes> {
    columns.begin(line);
    for at in 0..columns.slots.len() {
        let data = cells.get(at).unwrap_or(&Data::Empty);
        if columns.slots[at] != crate::take::Slot::Skip {
            columns.put(at as u32 + 1, &cell(data));
        }
    }
    columns.end()
}
