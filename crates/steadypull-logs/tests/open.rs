//! Records of real machines, under licences that let them be here: `open/SOURCES.md`. The
//! expected values are pandas', by `open/expected.py`.

use steadypull_logs::{Kind, Layout, Quantity, Sure, Time, TimeUnit, guess, read};

const STRIP: &[u8] = include_bytes!("open/tensile_strip.txt");
const SHEET: &[u8] = include_bytes!("open/tensile_sheet.txt");

/// Name, quantity, first, last and largest value in the file's unit.
type Expected = (&'static str, Quantity, f64, f64, f64);

fn check(bytes: &[u8], rows: usize, times: (f64, f64), expected: &[Expected]) {
    let found = guess(bytes).unwrap();
    let Layout::Text {
        rows: found_rows, ..
    } = &found.recipe.layout
    else {
        panic!("no text")
    };
    assert_eq!(
        (
            found_rows.names_line,
            found_rows.units_line,
            found_rows.head_lines
        ),
        (Some(11), Some(12), 12)
    );
    assert_eq!(
        found.recipe.time,
        Time::Elapsed {
            column: 1,
            unit: TimeUnit::Second
        }
    );
    assert!(
        found.choices.iter().all(|c| c.sure != Sure::Unsure),
        "{:?}",
        found.choices
    );
    let log = read(bytes, &found.recipe).unwrap();
    assert!(log.mistakes.is_empty(), "{}", log.mistakes);
    assert_eq!(log.times.len(), rows);
    assert_eq!((log.times.at(0), log.times.at(rows - 1)), times);
    assert_eq!(log.channels.len(), expected.len());
    for (channel, (name, quantity, first, last, largest)) in log.channels.iter().zip(expected) {
        let over = if *quantity == Quantity::Displacement {
            1000.0
        } else {
            1.0
        };
        assert_eq!(
            (channel.name.as_str(), channel.quantity),
            (*name, *quantity)
        );
        assert_eq!(
            (channel.values()[0], channel.values()[rows - 1]),
            (first / over, last / over)
        );
        assert_eq!(
            channel.values().iter().copied().fold(f64::MIN, f64::max),
            largest / over
        );
    }
}

#[test]
fn a_strip_under_tension() {
    let expected = [
        (
            "Crosshead absolute",
            Quantity::Displacement,
            1190.55,
            1190.56,
            1190.56,
        ),
        (
            "Standard travel",
            Quantity::Displacement,
            0.0,
            0.00302271,
            0.00302271,
        ),
        ("Standard force", Quantity::Force, 103.053, 157.153, 157.153),
        (
            "Capteur de course",
            Quantity::Displacement,
            4.97961,
            4.98368,
            4.98368,
        ),
    ];
    check(STRIP, 30, (2.63805, 3.00805), &expected);
}

#[test]
fn a_sheet_under_tension() {
    let expected = [
        (
            "Crosshead absolute",
            Quantity::Displacement,
            -755.377,
            -755.372,
            -755.372,
        ),
        ("Standard force", Quantity::Force, 74.1155, 120.606, 120.606),
        (
            "Standard travel",
            Quantity::Displacement,
            0.0,
            0.0006,
            0.0006,
        ),
    ];
    check(SHEET, 29, (9.49405, 9.96405), &expected);
}

/// A file of ours in `open/`, packed in one way.
macro_rules! packed {
    ($($name:literal)*) => { [$(($name, &include_bytes!(concat!("open/pyarrow", $name, ".parquet"))[..])),*] };
}

/// Written by pyarrow with `validation/independent/logs/parquet.py`, whose rule this repeats, in
/// every packing and with pages of both kinds: the same numbers out of each.
#[test]
fn parquet_files_of_another_writer() {
    for (name, bytes) in
        packed!["" "_none" "_zstd" "_gzip" "_lz4" "_snappy_v2" "_zstd_v2" "_gzip_v2" "_lz4_v2"]
    {
        check_parquet(name, bytes);
    }
}

#[test]
fn a_parquet_file_packed_in_another_way_is_refused() {
    let error = guess(include_bytes!("open/pyarrow_brotli.parquet")).unwrap_err();
    assert_eq!(error.groups()[0].kind, Kind::NotSupported);
    assert!(
        error
            .to_string()
            .contains("column when is packed with BROTLI"),
        "{error}"
    );
}

fn check_parquet(name: &str, bytes: &[u8]) {
    let found = guess(bytes).unwrap();
    let log = read(bytes, &found.recipe).unwrap();
    let names: Vec<&str> = log.channels.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["load", "travel", "count", "level", "exact"]);
    assert_eq!(log.starts.as_deref(), Some("2030-03-17T17:46:40"));
    assert_eq!(log.times.len(), 60, "{name}");
    for (row, time) in log.times.to_vec().iter().enumerate() {
        let n = row as f64;
        let value = |channel: usize| log.channels[channel].values()[row];
        assert_eq!(*time, n * 2.5 / 1000.0);
        assert!(if row % 7 == 3 {
            value(0).is_nan()
        } else {
            value(0) == n * 125.0
        });
        assert_eq!(value(1), (n - 30.0) / 1000.0);
        assert_eq!(value(2), 4_294_967_295.0 - n);
        assert_eq!(value(3), (row % 3) as f64 + 0.5);
        assert_eq!(value(4), n / 4.0);
    }
    let gaps: u64 = log.mistakes.groups().iter().map(|g| g.count).sum();
    assert_eq!(gaps, 9, "{name}: {}", log.mistakes);
    assert_eq!(
        log.place(45, 2).to_string(),
        "column 2, row 6 of row group 2"
    );
}

/// Written by xlwt with `validation/independent/logs/xls.py`, whose rule this repeats.
#[test]
fn an_old_workbook_of_another_writer() {
    let bytes = include_bytes!("open/xlwt.xls");
    let found = guess(bytes).unwrap();
    let Layout::Sheet { sheet, rows, .. } = &found.recipe.layout else {
        panic!("no sheet")
    };
    assert_eq!((sheet.as_str(), rows.head_lines), ("Log µ", 2));
    let log = read(bytes, &found.recipe).unwrap();
    let names: Vec<&str> = log.channels.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["Load µ", "Travel", "Count"]);
    assert_eq!(log.starts.as_deref(), Some("2031-05-01T10:00:00"));
    assert_eq!(log.times.len(), 150);
    for (row, time) in log.times.to_vec().iter().enumerate() {
        let n = row as f64;
        let value = |channel: usize| log.channels[channel].values()[row];
        assert_eq!(*time, n / 4.0);
        assert!(if matches!(row % 50, 7 | 8) {
            value(0).is_nan()
        } else {
            value(0) == (n / 8.0 + 1e-9 * n) * 1000.0
        });
        assert_eq!(value(1), (n - 30.0) / 1000.0);
        assert_eq!(value(2), n * 100.0 + 0.25);
    }
    assert_eq!(log.mistakes.count(Kind::NoValue), 3);
    assert_eq!(log.mistakes.count(Kind::EmptyCell), 3);
    assert_eq!(log.place(7, 2).to_string(), "sheet Log µ, cell B10");
}
