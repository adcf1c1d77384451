//! What holds for every log: what is written reads back to the bit, the recipe of what is
//! written is found, both ways of reading agree, and no bytes whatever make it panic.

mod making;

use ::parquet::basic::Compression;
use making::{parquet, sheet_row, utf_16, wav, xlsx};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use steadypull_logs::{
    Channel, Decimal, Delimiter, Encoding, Grouping, Layout, Notation, Quantity, Recipe, Rows,
    Sign, Time, TimeUnit, guess, preview, read,
};

fn config(cases: u32) -> ProptestConfig {
    let cases = std::env::var("MORE").map_or(cases, |n| n.parse().unwrap());
    ProptestConfig {
        failure_persistence: None,
        cases,
        ..ProptestConfig::default()
    }
}

/// A number as a logger with this notation would write it; without loss.
fn written(value: f64, notation: Notation) -> String {
    let plain = format!("{value}");
    let (whole, fraction) = plain
        .split_once('.')
        .map_or((plain.as_str(), None), |(w, f)| (w, Some(f)));
    let mark = match notation.grouping {
        Grouping::None => "",
        Grouping::Comma => ",",
        Grouping::Dot => ".",
        Grouping::Space => "\u{a0}",
        Grouping::Apostrophe => "'",
    };
    let (sign, digits) = whole.strip_prefix('-').map_or(("", whole), |d| ("-", d));
    let groups: Vec<&str> = digits
        .as_bytes()
        .rchunks(3)
        .rev()
        .map(|c| std::str::from_utf8(c).unwrap())
        .collect();
    let decimal = char::from(notation.decimal.byte());
    let fraction = fraction.map_or_else(String::new, |f| format!("{decimal}{f}"));
    format!("{sign}{}{fraction}", groups.join(mark))
}

fn encoded(text: &str, encoding: Encoding) -> Vec<u8> {
    match encoding {
        Encoding::Utf8 => text.as_bytes().to_vec(),
        Encoding::Utf16Le => utf_16(text, true),
        Encoding::Utf16Be => utf_16(text, false),
        Encoding::Latin1 => making::latin_1(text),
    }
}

#[derive(Debug, Clone)]
struct Writer {
    encoding: Encoding,
    delimiter: Delimiter,
    notation: Notation,
    end: &'static str,
    quoted: bool,
    head: u32,
}

fn writers() -> impl Strategy<Value = Writer> {
    let encodings = select(vec![
        Encoding::Utf8,
        Encoding::Utf16Le,
        Encoding::Utf16Be,
        Encoding::Latin1,
    ]);
    let delimiters = select(vec![
        Delimiter::Comma,
        Delimiter::Semicolon,
        Delimiter::Tab,
        Delimiter::Pipe,
        Delimiter::Spaces,
    ]);
    let groupings = select(vec![
        Grouping::None,
        Grouping::Comma,
        Grouping::Dot,
        Grouping::Space,
        Grouping::Apostrophe,
    ]);
    let decimals = select(vec![Decimal::Dot, Decimal::Comma]);
    let ends = select(vec!["\n", "\r\n", "\r"]);
    (
        encodings,
        delimiters,
        decimals,
        groupings,
        ends,
        any::<bool>(),
        0..4u32,
    )
        .prop_filter_map(
            "marks that mean two things",
            |(encoding, delimiter, decimal, grouping, end, quoted, head)| {
                let notation = Notation { decimal, grouping };
                let mark = delimiter.byte();
                let means_two = [
                    decimal.byte() == mark,
                    grouping.is(char::from(mark)),
                    grouping.is(char::from(decimal.byte())),
                    quoted && delimiter == Delimiter::Spaces,
                ];
                (!means_two.contains(&true)).then_some(Writer {
                    encoding,
                    delimiter,
                    notation,
                    end,
                    quoted,
                    head,
                })
            },
        )
}

impl Writer {
    fn write(&self, rows: &[(f64, f64)]) -> Vec<u8> {
        let mark = char::from(self.delimiter.byte());
        let quote = if self.quoted { "\"" } else { "" };
        let cell = |v: f64| format!("{quote}{}{quote}", written(v, self.notation));
        let mut text = format!("words of a head{}", self.end).repeat(self.head as usize);
        text += &format!("t_s{mark}F_N{}", self.end);
        for (t, f) in rows {
            text += &format!("{}{mark}{}{}", cell(*t), cell(*f), self.end);
        }
        encoded(&text, self.encoding)
    }

    fn recipe(&self) -> Recipe {
        let rows = Rows {
            head_lines: self.head + 1,
            names_line: Some(self.head + 1),
            units_line: None,
            foot_lines: 0,
            columns: 2,
        };
        Recipe {
            layout: Layout::Text {
                encoding: self.encoding,
                delimiter: self.delimiter,
                notation: self.notation,
                rows,
                comment: None,
            },
            time: Time::Elapsed {
                column: 1,
                unit: TimeUnit::Second,
            },
            channels: vec![Channel {
                column: 2,
                name: "F".into(),
                header: Some("F_N".into()),
                units_header: None,
                unit: "N".into(),
                quantity: Quantity::Force,
                sign: Sign::Plus,
                factor: 1.0,
            }],
        }
    }
}

fn finite() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>().prop_filter("finite", |v| v.is_finite()),
        -1e7..1e7,
        -10.0..10.0,
        (-9_999_999i32..9_999_999).prop_map(|n| f64::from(n) / 1000.0)
    ]
}

fn bits(values: &[f64]) -> Vec<u64> {
    values.iter().map(|v| v.to_bits()).collect()
}

proptest! {
    #![proptest_config(config(400))]

    #[test]
    fn what_is_written_reads_back_to_the_bit(writer in writers(), rows in vec((finite(), finite()), 1..30)) {
        let bytes = writer.write(&rows);
        let log = read(&bytes, &writer.recipe()).unwrap();
        prop_assert_eq!(bits(&log.times.to_vec()), bits(&rows.iter().map(|r| r.0).collect::<Vec<_>>()));
        prop_assert_eq!(bits(&log.channels[0].values()), bits(&rows.iter().map(|r| r.1).collect::<Vec<_>>()));
    }

    #[test]
    fn recipes_keep(writer in writers()) {
        let recipe = writer.recipe();
        prop_assert_eq!(&Recipe::from_toml(&recipe.to_toml().unwrap()).unwrap(), &recipe);
        let json = serde_json::to_string(&recipe).unwrap();
        prop_assert_eq!(serde_json::from_str::<Recipe>(&json).unwrap(), recipe);
    }

    /// Loads from a few newtons to over a million, a time from zero: what a test would look like.
    #[test]
    fn the_recipe_is_found(writer in writers(), loads in vec(-9_999_999i32..9_999_999, 12..40)) {
        // Somewhere a value has to show the marks, or nobody could tell.
        let mut rows: Vec<(f64, f64)> = (0..).zip(&loads).map(|(n, f)| (f64::from(n) / 8.0, f64::from(*f) / 4.0)).collect();
        rows[9].1 = 1_234_567.25;
        let bytes = writer.write(&rows);
        let found = guess(&bytes).unwrap();
        let log = read(&bytes, &found.recipe).unwrap();
        prop_assert_eq!(bits(&log.times.to_vec()), bits(&rows.iter().map(|r| r.0).collect::<Vec<_>>()));
        prop_assert_eq!(bits(&log.channels[0].values()), bits(&rows.iter().map(|r| r.1).collect::<Vec<_>>()));
        let (Layout::Text { delimiter, notation, rows, .. }, Layout::Text { rows: own, .. }) = (&found.recipe.layout, &writer.recipe().layout) else {
            return Err(TestCaseError::fail("no text"));
        };
        prop_assert_eq!((*delimiter, *notation), (writer.delimiter, writer.notation));
        prop_assert_eq!(rows, own);
        prop_assert_eq!(&found.recipe.channels, &writer.recipe().channels);
    }

    /// A preview reads cell by cell, the whole log mostly in one pass: to the same numbers.
    #[test]
    fn both_ways_of_reading_agree(writer in writers(), text in "([0-9]{1,6}[.,;| \t'e\"#x-]{0,2}[0-9]{0,6}[,;|\t ]?){1,3}(\n|\r\n?)", rows in vec((finite(), finite()), 1..6)) {
        let mut bytes = writer.write(&rows);
        bytes.extend(encoded(&text, writer.encoding).iter().skip(if matches!(writer.encoding, Encoding::Utf16Le | Encoding::Utf16Be) { 2 } else { 0 }));
        bytes.extend(&writer.write(&rows)[..]);
        let recipe = writer.recipe();
        let log = read(&bytes, &recipe).unwrap();
        let shown = preview(&bytes, &recipe, usize::MAX).unwrap();
        let values: Vec<Option<f64>> = log.channels[0].values().iter().map(|v| Some(*v).filter(|v| v.is_finite())).collect();
        let cells: Vec<Option<f64>> = shown.rows.iter().map(|r| r.cells.iter().find(|c| c.column == 2).and_then(|c| c.value)).collect();
        prop_assert_eq!(values, cells);
    }
}

/// Guesses and reads whatever it is; the outcome is a log or words, and columns are equally long.
fn survives(bytes: &[u8]) {
    if let Ok(found) = guess(bytes) {
        check(bytes, &found.recipe);
        let mut rated = found.recipe;
        rated.time = Time::Rate { rate_hz: 10.0 };
        check(bytes, &rated);
    }
}

fn check(bytes: &[u8], recipe: &Recipe) {
    match read(bytes, recipe) {
        Ok(log) => assert!(
            log.channels
                .iter()
                .all(|c| c.values().len() == log.times.len())
        ),
        Err(mistakes) => assert!(!mistakes.is_empty()),
    }
}

fn good_files() -> Vec<Vec<u8>> {
    let rows: String = (1..30)
        .map(|n| sheet_row(n, &[&n.to_string(), "2.5", "words"]))
        .collect();
    let loads: Vec<(i64, Option<f64>)> = (0..300)
        .map(|n| (n * 1000, (n % 7 != 0).then_some(n as f64)))
        .collect();
    let text =
        "Logger\nTime (s);Load (kN);Note\n0,5;1.234,5;\"a;b\"\n1,5;2,5;c\n2,5;NaN;\n3,5;7;x\nEnd\n";
    vec![
        text.as_bytes().to_vec(),
        utf_16(text, true),
        b"Date,Clock,F (N)\n01/02/2031,12:00:00,1\n01/02/2031,12:00:01,2\n".to_vec(),
        xlsx(&rows),
        parquet(&[loads.clone(), loads.clone()], Compression::SNAPPY),
        parquet(&[loads], Compression::UNCOMPRESSED),
        wav(24, 2, 44_100, &(0..60).collect::<Vec<_>>()),
        include_bytes!("open/xlwt.xls").to_vec(),
        include_bytes!("open/pyarrow_zstd.parquet").to_vec(),
        include_bytes!("open/pyarrow_gzip_v2.parquet").to_vec(),
        include_bytes!("open/pyarrow_lz4.parquet").to_vec(),
    ]
}

proptest! {
    #![proptest_config(config(1500))]

    #[test]
    fn any_bytes_are_survived(bytes in vec(any::<u8>(), 0..400)) {
        survives(&bytes);
    }

    #[test]
    fn any_text_is_survived(text in "([0-9]{1,4}[.,;\t |:/-]|[a-z\"#]{0,3}[,;\n\r]){0,60}") {
        survives(text.as_bytes());
    }

    #[test]
    fn any_bytes_after_a_good_start_are_survived(start in select(vec![&b"RIFF\0\0\0\0WAVEfmt "[..], b"PAR1", b"PK\x03\x04", b"\xff\xfe"]), bytes in vec(any::<u8>(), 0..200)) {
        survives(&[start, &bytes].concat());
    }

    #[test]
    fn good_files_with_faults_are_survived(
        which in 0..good_files().len(),
        faults in vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in any::<prop::sample::Index>(),
        is_cut: bool,
    ) {
        let mut bytes = good_files().swap_remove(which);
        for (at, byte) in faults {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if is_cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        survives(&bytes);
    }

    /// A recipe made for the good file meets the faulty one.
    #[test]
    fn a_good_recipe_survives_faults(
        which in 0..good_files().len(),
        faults in vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = good_files().swap_remove(which);
        let recipe = guess(&bytes).unwrap().recipe;
        for (at, byte) in faults {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        check(&bytes, &recipe);
    }

    /// Parquet alone: headers of pages and the footer are where damage does most.
    #[test]
    fn parquet_with_faults_is_survived(
        is_packed: bool,
        faults in vec((any::<prop::sample::Index>(), any::<u8>()), 1..4),
    ) {
        let packing = if is_packed { Compression::SNAPPY } else { Compression::UNCOMPRESSED };
        let loads: Vec<(i64, Option<f64>)> = (0..20).map(|n| (n * 1000, (n % 7 != 0).then_some((n % 3) as f64))).collect();
        let mut bytes = parquet(&[loads], packing);
        let recipe = guess(&bytes).unwrap().recipe;
        for (at, byte) in faults {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        check(&bytes, &recipe);
    }

    /// The package of a workbook is sealed by checksums, so faults go into the sheet before that.
    #[test]
    fn sheets_with_faults_are_survived(faults in vec((any::<prop::sample::Index>(), "[<>/\"=a-z0-9&; ]"), 1..6)) {
        let mut sheet: Vec<char> = (1..20).map(|n| sheet_row(n, &[&n.to_string(), "2.5", "words"])).collect::<String>().chars().collect();
        for (at, letter) in faults {
            let at = at.index(sheet.len());
            sheet[at] = letter.chars().next().unwrap();
        }
        survives(&xlsx(&sheet.into_iter().collect::<String>()));
    }
}

/// The kinds of mistakes in the handbook are those there are.
#[test]
fn the_handbook_lists_every_kind() {
    let handbook = include_str!("../../../docs/logs.md");
    for kind in steadypull_logs::Kind::ALL {
        let weight = format!("{:?}", kind.weight()).to_lowercase();
        let row = format!("| `{}` | {weight} | {} |", kind.slug(), kind.says());
        assert!(handbook.contains(&row), "docs/logs.md lacks\n{row}");
    }
}

fn kept(recipe: &Recipe) {
    let text = recipe.to_toml().unwrap();
    assert_eq!(&Recipe::from_toml(&text).unwrap(), recipe, "{text}");
    let json = serde_json::to_string_pretty(recipe).unwrap();
    assert_eq!(
        &serde_json::from_str::<Recipe>(&json).unwrap(),
        recipe,
        "{json}"
    );
}

fn some_recipe() -> Recipe {
    guess(b"# made up\nTime;Load\ns;kN\n0,5;1,5\n1,5;2,5\n2,5;1,0\nend\n")
        .unwrap()
        .recipe
}

#[test]
fn recipes_of_every_kind_keep() {
    let some = some_recipe();
    kept(&some);
    let Layout::Text { notation, rows, .. } = some.layout.clone() else {
        panic!("no text")
    };
    let layouts = [
        Layout::Sheet {
            sheet: "a \"b\" = ü".into(),
            notation,
            rows,
        },
        Layout::Parquet {},
        Layout::Wav {},
    ];
    for layout in layouts {
        kept(&Recipe {
            layout,
            ..some.clone()
        });
    }
    let date = |clock_column| Time::DateClock {
        column: 1,
        clock_column,
        order: steadypull_logs::DateOrder::MonthDayYear,
    };
    let times = [
        Time::Elapsed {
            column: 3,
            unit: TimeUnit::Hour,
        },
        Time::Clock { column: 1 },
        date(None),
        date(Some(2)),
        Time::SampleNumber {
            column: 1,
            rate_hz: None,
        },
        Time::SampleNumber {
            column: 1,
            rate_hz: Some(1.0 / 3.0),
        },
        Time::Rate { rate_hz: 4.9e-324 },
        Time::FileRate {},
        Time::Unknown {},
    ];
    for time in times {
        kept(&Recipe {
            time,
            ..some.clone()
        });
    }
    let mut turned = some;
    turned.channels[0].sign = Sign::Minus;
    turned.channels[0].factor = 0.1 + 0.2;
    kept(&turned);
}

#[test]
fn keys_that_are_none_are_told_with_their_line() {
    let good = some_recipe().to_toml().unwrap();
    let bad = [
        (
            "format = \"text\"",
            "format = \"text\"\ncolour = 1",
            "colour",
        ),
        ("columns = ", "colums = 1\ncolumns = ", "colums"),
        ("decimal = ", "decimals = 1\ndecimal = ", "decimals"),
        ("kind = \"elapsed\"", "kind = \"elapsed\"\nrate = 5", "rate"),
        ("unit = \"kN\"", "unit = \"kN\"\ngain = 2", "gain"),
        ("encoding = \"utf-8\"", "encoding = \"ebcdic\"", "ebcdic"),
    ];
    for (from, to, word) in bad {
        assert!(good.contains(from), "{good}");
        let error = Recipe::from_toml(&good.replacen(from, to, 1))
            .unwrap_err()
            .to_string();
        assert!(error.contains(word) && error.contains("line"), "{error}");
    }
}
