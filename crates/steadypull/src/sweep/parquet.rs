//! The table as Parquet: plain columns, no compression, nulls where nothing is.
//!
//! Rows go in groups of one size, so that the same rows make the same bytes
//! whoever wrote them and in however many parts.

use std::fs::File;
use std::path::Path;
use std::sync::Arc;

use parquet::basic::{ConvertedType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::record::Field;
use parquet::record::reader::RowIter;
use parquet::schema::types::Type;
use steadypull_contract::study::{Cell, Column, Kind};

use super::{Line, Lines, unusable};
use crate::failure::Failure;

/// Rows in a group.
const GROUP: usize = 4096;
/// Key of the study's word in the file.
const STUDY: &str = "steadypull.study";

/// Writes every line of `lines` to `path`.
pub fn write(
    path: &Path,
    columns: &[Column],
    id: &str,
    lines: &mut dyn Lines,
) -> Result<(), Failure> {
    let name = path.display().to_string();
    let odd = |error: ParquetError| unusable(&name, &error);
    let file = File::create(path).map_err(|error| unusable(&name, &error))?;
    let schema = Arc::new(schema(columns).map_err(odd)?);
    let about = vec![KeyValue::new(STUDY.to_string(), id.to_string())];
    let properties = WriterProperties::builder()
        .set_created_by(format!("steadypull {}", env!("CARGO_PKG_VERSION")))
        .set_key_value_metadata(Some(about))
        .build();
    let mut writer = SerializedFileWriter::new(file, schema, Arc::new(properties)).map_err(odd)?;
    loop {
        let mut group = Vec::with_capacity(GROUP);
        while group.len() < GROUP
            && let Some(line) = lines.next_line()?
        {
            group.push(line);
        }
        if group.is_empty() {
            break;
        }
        let mut rows = writer.next_row_group().map_err(odd)?;
        for (at, column) in columns.iter().enumerate() {
            one_column(&mut rows, &group, at, column.kind).map_err(odd)?;
        }
        rows.close().map_err(odd)?;
    }
    writer.close().map(drop).map_err(odd)
}

fn schema(columns: &[Column]) -> Result<Type, ParquetError> {
    let field = |column: &Column| {
        let (physical, repetition, converted) = match column.kind {
            Kind::Whole => (Physical::INT64, Repetition::REQUIRED, ConvertedType::NONE),
            Kind::Number => (Physical::DOUBLE, Repetition::OPTIONAL, ConvertedType::NONE),
            Kind::Text => (
                Physical::BYTE_ARRAY,
                Repetition::OPTIONAL,
                ConvertedType::UTF8,
            ),
        };
        Type::primitive_type_builder(&column.name, physical)
            .with_repetition(repetition)
            .with_converted_type(converted)
            .build()
            .map(Arc::new)
    };
    let fields = columns.iter().map(field).collect::<Result<_, _>>()?;
    Type::group_type_builder("sweep")
        .with_fields(fields)
        .build()
}

fn one_column(
    rows: &mut SerializedRowGroupWriter<File>,
    group: &[Line],
    at: usize,
    kind: Kind,
) -> Result<(), ParquetError> {
    let Some(mut writer) = rows.next_column()? else {
        return Ok(());
    };
    let cells = || group.iter().map(|line| line.cells.get(at.wrapping_sub(1)));
    let there = |cell: &Option<&Cell>| i16::from(!matches!(cell, None | Some(Cell::Missing)));
    let levels: Vec<i16> = cells().map(|cell| there(&cell)).collect();
    match kind {
        Kind::Whole => {
            let numbers: Vec<i64> = group.iter().map(|line| line.index as i64).collect();
            writer
                .typed::<Int64Type>()
                .write_batch(&numbers, None, None)?;
        }
        Kind::Number => {
            let number = |cell: Option<&Cell>| match cell {
                Some(Cell::Number(number)) => Some(*number),
                _ => None,
            };
            let numbers: Vec<f64> = cells().filter_map(number).collect();
            writer
                .typed::<DoubleType>()
                .write_batch(&numbers, Some(&levels), None)?;
        }
        Kind::Text => {
            let text = |cell: Option<&Cell>| match cell {
                Some(Cell::Text(text)) => Some(ByteArray::from(&text[..])),
                _ => None,
            };
            let texts: Vec<ByteArray> = cells().filter_map(text).collect();
            writer
                .typed::<ByteArrayType>()
                .write_batch(&texts, Some(&levels), None)?;
        }
    }
    writer.close()
}

/// A table in Parquet, read line by line.
pub struct ParquetLines {
    rows: RowIter<'static>,
    name: String,
}

impl ParquetLines {
    /// Opens it and looks at its columns.
    pub fn open(path: &Path, columns: &[Column]) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let file = File::open(path).map_err(|error| unusable(&name, &error))?;
        let reader = SerializedFileReader::new(file).map_err(|error| unusable(&name, &error))?;
        let found = reader.metadata().file_metadata().schema_descr();
        let names: Vec<&str> = found.columns().iter().map(|column| column.name()).collect();
        if names
            != columns
                .iter()
                .map(|column| &column.name[..])
                .collect::<Vec<_>>()
        {
            let hint = "join only shards of this study, plan and program";
            return Err(Failure::of_file(
                &name,
                "its columns are not those of the study",
                hint,
            ));
        }
        let rows = RowIter::from_file_into(Box::new(reader));
        Ok(Self { rows, name })
    }
}

impl Lines for ParquetLines {
    fn next_line(&mut self) -> Result<Option<Line>, Failure> {
        let Some(row) = self.rows.next() else {
            return Ok(None);
        };
        let row = row.map_err(|error| unusable(&self.name, &error))?;
        let mut fields = row.get_column_iter().map(|(_, field)| field);
        let index = match fields.next() {
            Some(Field::Long(index)) => u64::try_from(*index).unwrap_or(u64::MAX),
            _ => u64::MAX,
        };
        let cell = |field: &Field| match field {
            Field::Double(number) if number.is_finite() => Cell::Number(*number),
            Field::Str(text) => Cell::Text(text.clone()),
            _ => Cell::Missing,
        };
        let cells = fields.map(cell).collect();
        Ok(Some(Line { index, cells }))
    }
}

/// The study whose table is in the file, and its rows; none if it is no such table.
pub fn about(path: &Path) -> Option<(String, u64)> {
    let reader = SerializedFileReader::new(File::open(path).ok()?).ok()?;
    let about = reader.metadata().file_metadata();
    let pairs = about.key_value_metadata()?;
    let study = pairs.iter().find(|pair| pair.key == STUDY)?.value.clone()?;
    Some((study, u64::try_from(about.num_rows()).ok()?))
}
