//! Parquet files of flat numeric columns.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use parquet::basic::{LogicalType, TimeUnit, Type};
use parquet::column::reader::{ColumnReader, ColumnReaderImpl, get_column_reader};
use parquet::data_type::DataType;
use parquet::errors::ParquetError;
use parquet::file::metadata::{ParquetMetaData, ParquetMetaDataReader};
use parquet::file::reader::Length;
use parquet::schema::types::ColumnDescriptor;

use crate::log::{Log, PlaceKind, Places};
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::Recipe;
use crate::take::{Cell, Columns, How, MOST_VALUES, Slot, Texts, check_headers};

use super::pages::{Pages, Watched, is_known};
use super::wav::PLAIN;

/// Rows taken at a time.
const BATCH: usize = 1 << 15;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Holds {
    /// Numbers; what is read is divided by this.
    Number(f64),
    /// Whole numbers without a sign.
    Unsigned,
    /// Moments; nanoseconds in a count.
    Moment(i64),
    /// What is no number.
    Other,
}

/// A Parquet file opened.
pub(crate) struct Table {
    bytes: Arc<Watched>,
    footer: ParquetMetaData,
    /// Columns, by name and what they hold.
    pub columns: Vec<(String, Holds)>,
}

fn refuse(kind: Kind, found: &str) -> Mistakes {
    Mistakes::one(kind, Place::File, found)
}

impl Table {
    /// Opens a file by its footer.
    pub fn open(bytes: &[u8]) -> Result<Self, Mistakes> {
        let bytes = Arc::new(Watched::new(bytes));
        let read = || ParquetMetaDataReader::new().parse_and_finish(&*bytes);
        let footer = catch_unwind(AssertUnwindSafe(read))
            .map_err(|_| refuse(Kind::Broken, "a damaged footer"))?
            .map_err(|e| refuse(Kind::Broken, &e.to_string()))?;
        let schema = footer.file_metadata().schema_descr();
        let columns = schema
            .columns()
            .iter()
            .map(|c| (c.path().string(), holds(c)))
            .collect();
        let table = Self {
            bytes,
            footer,
            columns,
        };
        table.check_packing()?;
        Ok(table)
    }

    /// Every column that holds numbers is packed in a way that is known.
    fn check_packing(&self) -> Result<(), Mistakes> {
        let groups = self.footer.row_groups().iter();
        let chunks = groups.flat_map(|g| g.columns().iter().zip(&self.columns));
        let packing = chunks
            .filter(|(_, (_, holds))| *holds != Holds::Other)
            .map(|(chunk, (name, _))| (chunk.compression_codec(), name))
            .find(|(packing, _)| !is_known(*packing));
        packing.map_or(Ok(()), |(packing, name)| {
            let found = format!("column {name} is packed with {packing:?}");
            Err(refuse(Kind::NotSupported, &found))
        })
    }

    /// Row groups' first rows, and all rows, as the footer tells them.
    fn groups(&self) -> (Vec<u64>, usize) {
        let mut first = Vec::new();
        let mut rows: u64 = 0;
        for group in self.footer.row_groups() {
            first.push(rows);
            rows = rows.saturating_add(u64::try_from(group.num_rows()).unwrap_or(0));
        }
        (first, usize::try_from(rows).unwrap_or(usize::MAX))
    }

    /// The texts of the first rows, for guessing.
    pub fn sample(&self, rows: usize) -> Vec<Vec<String>> {
        let mut columns: Vec<Vec<String>> = Vec::new();
        for (at, (_, holds)) in self.columns.iter().enumerate() {
            let mut texts = Vec::new();
            let mut take =
                |value: Option<Value>| texts.push(value.map_or_else(String::new, |v| v.text()));
            // What cannot be read shows as empty here and is told of when it is read.
            let _ = self.each(0, at, *holds, rows, &mut take);
            columns.push(texts);
        }
        let longest = columns.iter().map(Vec::len).max().unwrap_or(0);
        let cell = |column: &Vec<String>, row: usize| column.get(row).cloned().unwrap_or_default();
        (0..longest)
            .map(|row| columns.iter().map(|c| cell(c, row)).collect())
            .collect()
    }

    /// Calls `take` for the first `rows` values of a column in a row group.
    fn each(
        &self,
        group: usize,
        column: usize,
        holds: Holds,
        rows: usize,
        take: &mut dyn FnMut(Option<Value>),
    ) -> Result<(), ParquetError> {
        if holds == Holds::Other || group >= self.footer.num_row_groups() {
            return Ok(());
        }
        if !self.lies_within(group, column) {
            return Err(ParquetError::EOF(
                "the footer places it outside the file".into(),
            ));
        }
        // The library asserts here and there what a damaged page can break.
        let taken = catch_unwind(AssertUnwindSafe(|| {
            let row_group = self.footer.row_group(group);
            let pages = Pages::new(&self.bytes, row_group, column)?;
            let described = row_group.column(column).column_descr_ptr();
            unpack(
                get_column_reader(described, Box::new(pages)),
                holds,
                rows,
                take,
            )
        }));
        taken.unwrap_or_else(|_| Err(ParquetError::General("a damaged page".into())))
    }
}

fn unpack(
    reader: ColumnReader,
    holds: Holds,
    rows: usize,
    take: &mut dyn FnMut(Option<Value>),
) -> Result<(), ParquetError> {
    match reader {
        ColumnReader::Int32ColumnReader(reader) => {
            batches(reader, rows, |v| of_i32(v, holds), take)
        }
        ColumnReader::Int64ColumnReader(reader) => {
            batches(reader, rows, |v| of_i64(v, holds), take)
        }
        ColumnReader::FloatColumnReader(reader) => {
            batches(reader, rows, |v| Value::Number(f64::from(v)), take)
        }
        ColumnReader::DoubleColumnReader(reader) => batches(reader, rows, Value::Number, take),
        _ => Ok(()),
    }
}

impl Table {
    /// True where the footer places a column within the file.
    fn lies_within(&self, group: usize, column: usize) -> bool {
        let chunk = self.footer.row_group(group).column(column);
        let start = chunk
            .dictionary_page_offset()
            .unwrap_or(chunk.data_page_offset());
        let end = start.checked_add(chunk.compressed_size());
        let fits = |at: i64| u64::try_from(at).is_ok_and(|at| at <= self.bytes.len());
        fits(start)
            && fits(chunk.data_page_offset())
            && chunk.compressed_size() >= 0
            && end.is_some_and(fits)
    }
}

#[derive(Clone, Copy)]
enum Value {
    Number(f64),
    Moment(i64),
}

impl Value {
    fn text(self) -> String {
        match self {
            Self::Number(v) => Cell::Number(v).text(),
            Self::Moment(ns) => Cell::Moment(ns).text(),
        }
    }
}

fn of_i32(value: i32, holds: Holds) -> Value {
    match holds {
        Holds::Unsigned => Value::Number(f64::from(value as u32)),
        holds => of_i64(i64::from(value), holds),
    }
}

fn of_i64(value: i64, holds: Holds) -> Value {
    match holds {
        Holds::Moment(ns) => Value::Moment(value.saturating_mul(ns)),
        Holds::Unsigned => Value::Number(value as u64 as f64),
        Holds::Number(over) => Value::Number(value as f64 / over),
        Holds::Other => Value::Number(f64::NAN),
    }
}

fn batches<T: DataType>(
    mut reader: ColumnReaderImpl<T>,
    rows: usize,
    value: impl Fn(T::T) -> Value,
    take: &mut dyn FnMut(Option<Value>),
) -> Result<(), ParquetError> {
    let (mut values, mut levels) = (Vec::new(), Vec::new());
    let mut left = rows;
    while left > 0 {
        values.clear();
        levels.clear();
        let (records, taken, _) =
            reader.read_records(left.min(BATCH), Some(&mut levels), None, &mut values)?;
        if records == 0 {
            return Err(ParquetError::EOF("fewer rows than the footer tells".into()));
        }
        let mut found = values.drain(..).take(taken);
        for row in 0..records {
            let is_there = levels.get(row).is_none_or(|level| *level > 0);
            take(if is_there {
                found.next().map(&value)
            } else {
                None
            });
        }
        left -= records;
    }
    Ok(())
}

fn holds(column: &ColumnDescriptor) -> Holds {
    if column.max_rep_level() > 0 || column.max_def_level() > 1 {
        return Holds::Other;
    }
    match (column.physical_type(), column.logical_type_ref()) {
        (Type::INT64, Some(LogicalType::Timestamp(stamp))) => Holds::Moment(match stamp.unit {
            TimeUnit::MILLIS => 1_000_000,
            TimeUnit::MICROS => 1000,
            TimeUnit::NANOS => 1,
        }),
        (Type::INT32 | Type::INT64, Some(LogicalType::Integer(int))) if !int.is_signed => {
            Holds::Unsigned
        }
        (Type::INT32 | Type::INT64, Some(LogicalType::Decimal(decimal)))
            if (0..=22).contains(&decimal.scale) =>
        {
            Holds::Number(libm::pow(10.0, f64::from(decimal.scale)))
        }
        (Type::INT32 | Type::INT64, None | Some(LogicalType::Integer(_))) => Holds::Number(1.0),
        (Type::FLOAT | Type::DOUBLE, _) => Holds::Number(1.0),
        _ => Holds::Other,
    }
}

pub(super) fn read(bytes: &[u8], recipe: &Recipe, how: How) -> Result<(Log, Texts), Mistakes> {
    if !bytes.starts_with(b"PAR1") {
        return Err(refuse(Kind::WrongFormat, "no PAR1 at its start"));
    }
    let table = Table::open(bytes)?;
    let (first, rows) = table.groups();
    let width = u32::try_from(table.columns.len()).unwrap_or(u32::MAX);
    let places = Places::new(PlaceKind::Parquet(first.clone()));
    let mut columns = Columns::new(recipe, PLAIN, width, places, how)?;
    let names: Vec<String> = table.columns.iter().map(|c| c.0.clone()).collect();
    check_headers(recipe, Some(&names), None, |_, column| Place::Parquet {
        column,
        group: 0,
        row: 0,
    })?;
    if rows.saturating_mul(columns.slots.iter().filter(|s| **s != Slot::Skip).count()) > MOST_VALUES
    {
        return Err(refuse(Kind::TooMuch, &format!("{rows} rows claimed")));
    }
    let wanted = if let How::First(n) = how {
        n.min(rows)
    } else {
        rows
    };
    columns.take_columns(wanted, |columns, column, slot| {
        table.take(columns, (column, slot), &first, wanted)
    })?;
    columns.finish(None, None)
}

impl Table {
    fn take(
        &self,
        columns: &mut Columns<'_>,
        (column, slot): (u32, Slot),
        first: &[u64],
        wanted: usize,
    ) -> Result<(), Mistakes> {
        let holds = self.columns[column as usize - 1].1;
        let place = Place::Parquet {
            column,
            group: 1,
            row: 1,
        };
        match (slot, holds) {
            (Slot::Number(_), Holds::Number(_) | Holds::Unsigned)
            | (Slot::Stamp, Holds::Moment(_)) => {}
            (Slot::Stamp | Slot::Date, _) => return Err(Mistakes::one(Kind::NotATime, place, "")),
            _ => return Err(Mistakes::one(Kind::NotNumeric, place, "")),
        }
        for (group, from) in first
            .iter()
            .map(|f| *f as usize)
            .enumerate()
            .take_while(|g| g.1 < wanted)
        {
            let to = first
                .get(group + 1)
                .map_or(wanted, |f| wanted.min(*f as usize));
            let mut row = from;
            let taken = self.each(group, column as usize - 1, holds, to - from, &mut |value| {
                columns.put_at(
                    slot,
                    row,
                    column,
                    value.map(Value::cell).as_ref().unwrap_or(&Cell::Empty),
                );
                row += 1;
            });
            if let Err(e) = taken {
                columns.lose_rest(slot, row..to, column, &e.to_string());
            }
        }
        Ok(())
    }
}

impl Value {
    fn cell(self) -> Cell<'static> {
        match self {
            Self::Number(v) => Cell::Number(v),
            Self::Moment(ns) => Cell::Moment(ns),
        }
    }
}
