//! Files of every format, made for tests.
#![allow(dead_code, reason = "each test takes what it needs")]

use std::io::{Cursor, Write};
use std::sync::Arc;

use parquet::basic::Compression;
use parquet::data_type::{DoubleType, Int64Type};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;
use zip::write::SimpleFileOptions;

/// A WAV of PCM samples of `bits`, given as whole numbers.
pub fn wav(bits: u16, channels: u16, rate: u32, samples: &[i32]) -> Vec<u8> {
    let bytes = usize::from(bits / 8);
    let mut data = Vec::new();
    for sample in samples {
        match bits {
            8 => data.push((sample + 128) as u8),
            _ => data.extend_from_slice(&sample.to_le_bytes()[..bytes]),
        }
    }
    wav_of(1, bits, channels, rate, &data)
}

/// A WAV around bytes that are there already.
pub fn wav_of(tag: u16, bits: u16, channels: u16, rate: u32, data: &[u8]) -> Vec<u8> {
    let block = channels * (bits / 8);
    let mut out = b"RIFF".to_vec();
    out.extend_from_slice(&(36 + data.len() as u32).to_le_bytes());
    out.extend_from_slice(b"WAVEfmt \x10\0\0\0");
    out.extend_from_slice(&tag.to_le_bytes());
    out.extend_from_slice(&channels.to_le_bytes());
    out.extend_from_slice(&rate.to_le_bytes());
    out.extend_from_slice(&(rate * u32::from(block)).to_le_bytes());
    out.extend_from_slice(&block.to_le_bytes());
    out.extend_from_slice(&bits.to_le_bytes());
    out.extend_from_slice(b"data");
    out.extend_from_slice(&(data.len() as u32).to_le_bytes());
    out.extend_from_slice(data);
    out
}

/// A workbook with one sheet called `Log`; `sheet` is what stands within `sheetData`.
pub fn xlsx(sheet: &str) -> Vec<u8> {
    xlsx_with(
        sheet,
        "<sst xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"></sst>",
    )
}

/// The same with a list of shared strings.
pub fn xlsx_with(sheet: &str, strings: &str) -> Vec<u8> {
    xlsx_of(sheet, strings, "")
}

/// The same with more words in the workbook's own part.
pub fn xlsx_of(sheet: &str, strings: &str, properties: &str) -> Vec<u8> {
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    let parts = [
        (
            "[Content_Types].xml",
            format!("<Types xmlns=\"{package}/content-types\"/>"),
        ),
        (
            "_rels/.rels",
            format!(
                "<Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"rId1\" Type=\"{rel}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/workbook.xml",
            format!(
                "<workbook xmlns=\"{main}\" xmlns:r=\"{rel}\">{properties}<sheets><sheet name=\"Log\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            format!(
                "<Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"rId1\" Type=\"{rel}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/styles.xml",
            format!(
                "<styleSheet xmlns=\"{main}\"><cellXfs count=\"2\"><xf numFmtId=\"0\"/><xf numFmtId=\"22\"/></cellXfs></styleSheet>"
            ),
        ),
        ("xl/sharedStrings.xml", strings.to_string()),
        (
            "xl/worksheets/sheet1.xml",
            format!("<worksheet xmlns=\"{main}\"><sheetData>{sheet}</sheetData></worksheet>"),
        ),
    ];
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        zip.start_file(name, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// A row of a sheet: numbers as numbers, all else as text.
pub fn sheet_row(row: u32, cells: &[&str]) -> String {
    let cell = |(at, text): (usize, &&str)| {
        let name = char::from(b'A' + at as u8);
        match text.parse::<f64>() {
            Ok(_) => format!("<c r=\"{name}{row}\"><v>{text}</v></c>"),
            Err(_) if text.is_empty() => String::new(),
            Err(_) => format!("<c r=\"{name}{row}\" t=\"inlineStr\"><is><t>{text}</t></is></c>"),
        }
    };
    let cells: String = cells.iter().enumerate().map(cell).collect();
    format!("<row r=\"{row}\">{cells}</row>")
}

/// A record of an old workbook.
pub fn record(kind: u16, data: &[u8]) -> Vec<u8> {
    let length = data.len() as u16;
    [&kind.to_le_bytes(), &length.to_le_bytes(), data].concat()
}

/// A number in an old workbook; rows and columns count from 0.
pub fn old_number(row: u16, column: u16, value: f64) -> Vec<u8> {
    let place = [row, column, 0].map(u16::to_le_bytes).concat();
    record(0x0203, &[&place[..], &value.to_le_bytes()].concat())
}

/// A text in an old workbook.
pub fn old_text(row: u16, column: u16, text: &str) -> Vec<u8> {
    let head = [row, column, 0, text.len() as u16].map(u16::to_le_bytes);
    record(
        0x0204,
        &[&head.concat(), &[0][..], text.as_bytes()].concat(),
    )
}

/// Begin and end of the records of a workbook or of a sheet, of BIFF8.
pub const OLD_BEGIN: &[u8] = &[0x09, 0x08, 4, 0, 0, 6, 5, 0];
pub const OLD_END: &[u8] = &[0x0a, 0, 0, 0];

/// An old workbook: `globals` stand before the names of its sheets.
pub fn xls(globals: &[u8], sheets: &[Vec<u8>]) -> Vec<u8> {
    let name = |at: usize, begins: usize| {
        let name = format!("S{at:04}");
        let head = [
            &(begins as u32).to_le_bytes()[..],
            &[0, 0, name.len() as u8, 0],
        ];
        record(0x0085, &[&head.concat(), name.as_bytes()].concat())
    };
    let before = OLD_BEGIN.len() + globals.len() + OLD_END.len();
    let mut begins = before + sheets.len() * name(0, 0).len();
    let mut tabs = Vec::new();
    for (at, sheet) in sheets.iter().enumerate() {
        tabs.extend(name(at, begins));
        begins += sheet.len();
    }
    let stream = [OLD_BEGIN, globals, &tabs, OLD_END, &sheets.concat()].concat();
    let mut file = cfb::CompoundFile::create(Cursor::new(Vec::new())).unwrap();
    let mut workbook = file.create_stream("Workbook").unwrap();
    workbook.write_all(&stream).unwrap();
    drop(workbook);
    file.into_inner().into_inner()
}

/// A sheet of an old workbook.
pub fn old_sheet(cells: &[Vec<u8>]) -> Vec<u8> {
    [OLD_BEGIN, &cells.concat(), OLD_END].concat()
}

/// A Parquet file of a timestamp in microseconds and a load, in row groups.
pub fn parquet(groups: &[Vec<(i64, Option<f64>)>], compression: Compression) -> Vec<u8> {
    let schema = "message log { required int64 stamp (TIMESTAMP(MICROS,true)); optional double load_kN; optional binary note (UTF8); }";
    let schema = Arc::new(parse_message_type(schema).unwrap());
    let properties = Arc::new(
        WriterProperties::builder()
            .set_compression(compression)
            .build(),
    );
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, properties).unwrap();
    for rows in groups {
        let mut group = writer.next_row_group().unwrap();
        let mut column = group.next_column().unwrap().unwrap();
        let stamps: Vec<i64> = rows.iter().map(|r| r.0).collect();
        column
            .typed::<Int64Type>()
            .write_batch(&stamps, None, None)
            .unwrap();
        column.close().unwrap();
        let mut column = group.next_column().unwrap().unwrap();
        let loads: Vec<f64> = rows.iter().filter_map(|r| r.1).collect();
        let levels: Vec<i16> = rows.iter().map(|r| i16::from(r.1.is_some())).collect();
        column
            .typed::<DoubleType>()
            .write_batch(&loads, Some(&levels), None)
            .unwrap();
        column.close().unwrap();
        let mut column = group.next_column().unwrap().unwrap();
        let none = vec![0; rows.len()];
        column
            .typed::<parquet::data_type::ByteArrayType>()
            .write_batch(&[], Some(&none), None)
            .unwrap();
        column.close().unwrap();
        group.close().unwrap();
    }
    writer.into_inner().unwrap()
}

/// Text as UTF-16 with its mark.
pub fn utf_16(text: &str, is_little: bool) -> Vec<u8> {
    let words = std::iter::once(0xfeff).chain(text.encode_utf16());
    words
        .flat_map(|w| {
            if is_little {
                w.to_le_bytes()
            } else {
                w.to_be_bytes()
            }
        })
        .collect()
}

/// Text as Latin-1.
pub fn latin_1(text: &str) -> Vec<u8> {
    text.chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect()
}
