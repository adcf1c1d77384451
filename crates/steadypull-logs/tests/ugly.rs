//! Ugly logs, and what is said and done about each.

mod making;

use ::parquet::basic::Compression;
use making::{
    latin_1, old_number, old_sheet, old_text, parquet, record, sheet_row, utf_16, wav, wav_of, xls,
    xlsx, xlsx_with,
};
use steadypull_logs::{
    Choice, Decimal, Delimiter, Encoding, Grouping, Guess, Kind, Layout, Log, Mistakes, Notation,
    Place, Quantity, Recipe, Rows, Sure, Time, TimeUnit, guess, read,
};

fn both(bytes: &[u8]) -> (Guess, Log) {
    let guess = guess(bytes).unwrap_or_else(|e| panic!("not guessed: {e}"));
    let log = read(bytes, &guess.recipe).unwrap_or_else(|e| panic!("not read: {e}"));
    (guess, log)
}

fn refused(bytes: &[u8]) -> Kind {
    only(&guess(bytes).unwrap_err())
}

fn only(mistakes: &Mistakes) -> Kind {
    let [group] = mistakes.groups() else {
        panic!("more than one kind: {mistakes}")
    };
    group.kind
}

fn text(recipe: &Recipe) -> (Encoding, Delimiter, Notation, &Rows) {
    let Layout::Text {
        encoding,
        delimiter,
        notation,
        rows,
        ..
    } = &recipe.layout
    else {
        panic!("no text")
    };
    (*encoding, *delimiter, *notation, rows)
}

fn choice<'a>(guess: &'a Guess, key: &str) -> &'a Choice {
    guess
        .choices
        .iter()
        .find(|c| c.key == key)
        .unwrap_or_else(|| panic!("no choice of {key}"))
}

fn said(log: &Log, kind: Kind) -> String {
    let group = log.mistakes.groups().iter().find(|g| g.kind == kind);
    let group = group.unwrap_or_else(|| panic!("nothing said of {kind:?}, but: {}", log.mistakes));
    group.first.iter().map(|m| format!("{m}\n")).collect()
}

fn same(found: &[f64], expected: &[f64]) {
    let bits = |v: &[f64]| {
        v.iter()
            .map(|v| if v.is_nan() { u64::MAX } else { v.to_bits() })
            .collect::<Vec<_>>()
    };
    assert_eq!(bits(found), bits(expected), "{found:?} and {expected:?}");
}

const GAP: f64 = f64::NAN;

#[test]
fn plain() {
    let (guess, log) = both(b"Time (s),Load (kN)\n0.0,1.5\n0.1,2.5\n0.2,-3\n");
    same(&log.times.to_vec(), &[0.0, 0.1, 0.2]);
    same(&log.channels[0].values(), &[1500.0, 2500.0, -3000.0]);
    assert_eq!(
        (log.channels[0].name.as_str(), log.channels[0].unit.as_str()),
        ("Load", "N")
    );
    assert_eq!(log.channels[0].quantity, Quantity::Force);
    assert!(log.mistakes.is_empty(), "{}", log.mistakes);
    assert_eq!(guess.unsure().count(), 0, "{:?}", guess.choices);
    assert_eq!(guess.preview.rows[1].place, "line 3");
    assert_eq!(guess.preview.rows[1].cells[1].raw, "2.5");
    assert_eq!(guess.preview.rows[1].cells[1].value, Some(2500.0));
}

/// SHA-256 of `abc`: FIPS 180-4's example, from memory.
#[test]
fn hash_of_the_raw_bytes() {
    let mut guess = guess(b"1\n2\n3\n").unwrap();
    guess.recipe.time = Time::Rate { rate_hz: 1.0 };
    let abc = read(b"abc", &guess.recipe);
    assert_eq!(
        abc.unwrap().sha256,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn empty() {
    assert_eq!(refused(b""), Kind::Empty);
}

#[test]
fn only_blank_lines() {
    assert_eq!(refused(b"\n\n\r\n  \n"), Kind::NoNumbers);
}

#[test]
fn header_only() {
    assert_eq!(refused(b"Time (s),Load (kN)\n"), Kind::NoNumbers);
}

#[test]
fn one_row() {
    let (_, log) = both(b"Time (s),Load (kN)\n0.5,1.5\n");
    same(&log.times.to_vec(), &[0.5]);
    same(&log.channels[0].values(), &[1500.0]);
}

#[test]
fn words_for_no_value_and_overload() {
    let (_, log) = both(b"t [s],F [N]\n0,1\n1,NaN\n2,N/A\n3,-\n4,OL\n5,inf\n6,7\n");
    same(
        &log.channels[0].values(),
        &[1.0, GAP, GAP, GAP, GAP, GAP, 7.0],
    );
    assert_eq!(log.mistakes.count(Kind::NoValue), 3);
    assert_eq!(log.mistakes.count(Kind::Overload), 2);
    assert!(
        said(&log, Kind::NoValue)
            .contains("line 3, column 2: `NaN`: a word for no value; kept as a gap")
    );
}

#[test]
fn units_of_several_systems() {
    let (_, log) =
        both(b"t (ms),F (lbf),x (in),a (g),U (mV)\n0,1,1,1,1\n500,2,2,2,2\n1000,3,3,3,3\n");
    same(&log.times.to_vec(), &[0.0, 0.5, 1.0]);
    assert_eq!(log.channels[0].values()[0], 4.4482216152605);
    assert_eq!(log.channels[1].values()[0], 0.0254);
    assert_eq!(log.channels[2].values()[0], 9.80665);
    assert_eq!(log.channels[3].values()[0], 0.001);
    let quantities: Vec<Quantity> = log.channels.iter().map(|c| c.quantity).collect();
    assert_eq!(
        quantities,
        [
            Quantity::Force,
            Quantity::Displacement,
            Quantity::Acceleration,
            Quantity::Other
        ]
    );
}

#[test]
fn units_in_the_cells() {
    let (guess, log) = both(b"t (s),Load\n0,1.5 kN\n1,2 kN\n2,900 N\n3,4 mm\n4,5 kN\n");
    assert_eq!(choice(&guess, "channel.1.unit").chosen, "kN");
    same(
        &log.channels[0].values(),
        &[1500.0, 2000.0, 900.0, GAP, 5000.0],
    );
    assert_eq!(log.mistakes.count(Kind::UnitInCell), 3);
    assert!(said(&log, Kind::UnitDiffers).contains("line 4, column 2: `900 N`"));
    assert!(said(&log, Kind::OtherUnit).contains("line 5, column 2: `4 mm`"));
}

#[test]
fn utf_16_of_both_orders() {
    for (is_little, expected) in [(true, Encoding::Utf16Le), (false, Encoding::Utf16Be)] {
        let bytes = utf_16(
            "Zeit (s)\tLast µ (kN)\r\n0\t1.5\r\n1\t2.5\r\n2\t3.5\r\n",
            is_little,
        );
        let (guess, log) = both(&bytes);
        assert_eq!(text(&guess.recipe).0, expected);
        assert_eq!(log.channels[0].name, "Last µ");
        same(&log.channels[0].values(), &[1500.0, 2500.0, 3500.0]);
        let (guess, _) = both(&bytes[2..]);
        assert_eq!(text(&guess.recipe).0, expected, "without its mark");
    }
}

#[test]
fn utf_16_cut_in_a_letter() {
    let mut bytes = utf_16("t (s),F (N)\n0,1\n1,2\n", true);
    bytes.pop();
    let (_, log) = both(&bytes);
    assert_eq!(log.mistakes.count(Kind::BadLetters), 1);
}

#[test]
fn latin_1_degrees() {
    let (guess, log) = both(&latin_1("t (s),T (°C),F (kN)\n0,20,1\n1,21,2\n2,22,3\n"));
    assert_eq!(text(&guess.recipe).0, Encoding::Latin1);
    assert_eq!(choice(&guess, "layout.encoding").sure, Sure::Likely);
    assert_eq!(
        (log.channels[0].unit.as_str(), log.channels[0].quantity),
        ("°C", Quantity::Other)
    );
}

#[test]
fn byte_order_mark() {
    let (guess, log) = both(b"\xef\xbb\xbfTime (s),Load (kN)\n0,1\n1,2\n");
    assert!(
        choice(&guess, "layout.encoding")
            .why
            .contains("byte order mark")
    );
    assert_eq!(
        guess.recipe.channels[0].header.as_deref(),
        Some("Load (kN)")
    );
    same(&log.times.to_vec(), &[0.0, 1.0]);
    read(b"Time (s),Load (kN)\n0,1\n1,2\n", &guess.recipe)
        .expect("the same recipe reads it without the mark");
}

#[test]
fn semicolons_and_decimal_commas() {
    let (guess, log) = both(b"Zeit [s];Kraft [kN]\n0,00;1,5\n0,01;12,75\n0,02;-3\n");
    let (_, delimiter, notation, _) = text(&guess.recipe);
    assert_eq!(
        (delimiter, notation.decimal),
        (Delimiter::Semicolon, Decimal::Comma)
    );
    same(&log.times.to_vec(), &[0.0, 0.01, 0.02]);
    same(&log.channels[0].values(), &[1500.0, 12750.0, -3000.0]);
}

#[test]
fn three_digits_behind_a_comma_are_said_to_be_unclear() {
    let guess = guess(b"F [N]\n1,234\n5,678\n9,012\n").unwrap();
    let found = choice(&guess, "layout.notation.decimal");
    assert_eq!(found.sure, Sure::Unsure, "{found:?}");
    assert!(
        found
            .instead
            .iter()
            .any(|i| i.value == "dot, grouping comma"
                && i.why.contains("`1,234` is 1.234 as chosen, 1234 so"))
    );
}

#[test]
fn a_comma_that_may_be_delimiter_or_decimal_is_said_to_be_unclear() {
    let guess = guess(b"1,5\n2,5\n4,5\n3,25\n").unwrap();
    let found = choice(&guess, "layout.delimiter");
    assert_eq!(found.sure, Sure::Unsure, "{found:?}");
    assert!(
        found
            .instead
            .iter()
            .any(|i| i.why.contains("1 column with a decimal comma")),
        "{found:?}"
    );
}

#[test]
fn tabs_and_pipes_and_runs_of_spaces() {
    for (mark, expected) in [
        ("\t", Delimiter::Tab),
        ("|", Delimiter::Pipe),
        ("   ", Delimiter::Spaces),
    ] {
        let rows: String = (0..9).map(|n| format!("{}.5{mark}{n}.25\n", n)).collect();
        let (guess, log) = both(format!("t_s{mark}F_kN\n{rows}").as_bytes());
        assert_eq!(text(&guess.recipe).1, expected);
        assert_eq!(log.channels[0].values()[8], 8250.0);
    }
}

#[test]
fn ragged_rows() {
    let (_, log) = both(b"t (s),F (N),x (mm)\n0,1,2\n1,2\n2,3,4,5\n3,4,5\n4,5,6\n5,6,7\n");
    same(&log.channels[0].values(), &[1.0, GAP, GAP, 4.0, 5.0, 6.0]);
    same(&log.times.to_vec(), &[0.0, GAP, GAP, 3.0, 4.0, 5.0]);
    assert!(said(&log, Kind::ShortRow).contains("line 3: `1,2`: too few cells"));
    assert!(said(&log, Kind::LongRow).contains("line 4: `2,3,4,5`: too many cells"));
    assert_eq!(log.place(1, 0), Place::Line { line: 3, column: 0 });
}

#[test]
fn trailing_delimiters() {
    let (_, log) = both(b"t (s);F (N);\n0;1;\n1;2;\n2;3;\n");
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0]);
    let (guess, log) = both(b"t (s);F (N)\n0;1\n1;2\n2;3;\n3;4\n");
    assert_eq!(text(&guess.recipe).3.columns, 2);
    assert_eq!(log.mistakes.count(Kind::TrailingDelimiter), 1);
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0, 4.0]);
}

#[test]
fn quotes_with_line_ends_within() {
    let (_, log) = both(b"\"t (s)\",\"note\",\"F (N)\"\n\"0\",\"a, \"\"b\"\"\",\"1.5\"\n1,\"two\nlines\",2.5\n2,,oops\n3,c,4\n");
    same(&log.channels[0].values(), &[1.5, 2.5, GAP, 4.0]);
    assert!(said(&log, Kind::NotANumber).contains("line 5, column 3: `oops`"));
}

#[test]
fn an_open_quote_costs_one_row() {
    let (_, log) = both(b"t (s),n,F (N)\n0,a,1\n1,\"b,2\n2,c,3\n3,d,4\n4,e,5\n");
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0, 4.0, 5.0]);
    assert!(said(&log, Kind::OpenQuote).contains("line 3"));
}

#[test]
fn line_ends_of_all_kinds() {
    for end in ["\n", "\r\n", "\r"] {
        let (_, log) = both(
            ["t (s),F (N)", "0,1", "1,2", "", "2,x", "3,4", ""]
                .join(end)
                .as_bytes(),
        );
        same(&log.channels[0].values(), &[1.0, 2.0, GAP, 4.0]);
        assert!(said(&log, Kind::NotANumber).contains("line 5, column 2"));
        assert_eq!(log.mistakes.count(Kind::Skipped), 1);
        assert_eq!(log.mistakes.count(Kind::OpenEnd), 0);
    }
}

#[test]
fn a_last_line_without_its_end() {
    let (_, log) = both(b"t (s),F (N)\n0,100\n1,200\n2,30");
    assert!(
        said(&log, Kind::OpenEnd)
            .contains("line 4: the last line has no line end; its last number may be cut short")
    );
}

#[test]
fn thousands_set_apart() {
    let (guess, log) = both(b"t [s];F [N]\n0,5;1.234,5\n1,5;12.345,25\n2,5;1.234.567,0\n");
    assert_eq!(
        text(&guess.recipe).2,
        Notation {
            decimal: Decimal::Comma,
            grouping: Grouping::Dot
        }
    );
    same(&log.channels[0].values(), &[1234.5, 12345.25, 1234567.0]);
    let (guess, log) = both("t (s)\tF (N)\n0.5\t1'234.5\n1.5\t12'345.25\n2.5\t9\n".as_bytes());
    assert_eq!(text(&guess.recipe).2.grouping, Grouping::Apostrophe);
    same(&log.channels[0].values(), &[1234.5, 12345.25, 9.0]);
    let (guess, log) = both("t (s),F (N)\n0.5,\"1,234.5\"\n1.5,\"12,345.25\"\n2.5,9\n".as_bytes());
    assert_eq!(text(&guess.recipe).1, Delimiter::Comma);
    assert_eq!(
        log.channels[0].values()[2],
        9.0,
        "{:?}",
        log.channels[0].values()
    );
}

#[test]
fn the_same_name_twice() {
    let (guess, log) = both(b"t (s),Load (kN),Load (kN)\n0,1,2\n1,2,3\n2,3,4\n");
    assert_eq!(log.channels[1].name, "Load (2)");
    assert_eq!(
        choice(&guess, "channel.2.name").why,
        "another column has the same name"
    );
}

#[test]
fn no_header() {
    let (guess, log) = both(b"0.0,1.5\n0.1,2.5\n0.2,1.0\n0.3,4.5\n");
    assert_eq!(text(&guess.recipe).3.head_lines, 0);
    assert_eq!(log.channels[0].name, "column 2");
    assert_eq!(choice(&guess, "channel.1.unit").sure, Sure::Unsure);
    assert_eq!(choice(&guess, "time.kind").sure, Sure::Unsure);
    assert_eq!(
        (log.channels[0].unit.as_str(), log.channels[0].quantity),
        ("unknown", Quantity::Other)
    );
}

#[test]
fn a_row_of_units_and_a_long_head() {
    let (guess, log) = both(b"Logger 7, firmware 2.1\nOperator: nobody\nSample rate: 100 Hz\n\nTime,Load\n[s],[tf]\n0.00,1\n0.01,2\n0.02,3\n");
    let rows = text(&guess.recipe).3;
    assert_eq!(
        (rows.head_lines, rows.names_line, rows.units_line),
        (6, Some(5), Some(6))
    );
    assert_eq!(log.channels[0].values()[1], 19613.3);
    assert_eq!(log.channels[0].name, "Load");
}

#[test]
fn text_at_the_foot() {
    let (guess, log) =
        both(b"t (s),F (N)\n0,1\n1,2\n2,3\n3,4\n4,5\n5,6\n\nMaximum,6\nEnd of test\n");
    assert_eq!(text(&guess.recipe).3.foot_lines, 2);
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    let mut recipe = guess.recipe;
    if let Layout::Text { rows, .. } = &mut recipe.layout {
        rows.foot_lines = 0;
    }
    let log = read(
        b"t (s),F (N)\n0,1\n1,2\n\nMaximum,6\nEnd of test\n",
        &recipe,
    )
    .unwrap();
    same(&log.channels[0].values(), &[1.0, 2.0, 6.0, GAP]);
    assert!(
        said(&log, Kind::NotANumber).contains("line 5, column 1: `Maximum`"),
        "the time of that row is a gap"
    );
    assert!(log.times.at(2).is_nan());
    assert!(said(&log, Kind::ShortRow).contains("line 6: `End of test`"));
}

#[test]
fn comments() {
    let (guess, log) = both(b"# made by a logger\n# t (s), F (N)\n0,1\n# paused\n1,2\n2,3\n");
    assert_eq!(guess.recipe.channels[0].name, "F");
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0]);
    assert!(said(&log, Kind::Skipped).contains("line 4: `# paused`"));
    assert_eq!(log.place(1, 2), Place::Line { line: 5, column: 2 });
}

#[test]
fn time_that_goes_back_and_stands_still() {
    let (_, log) = both(b"t (s),F (N)\n3,1\n2,2\n1,3\n0,4\n");
    assert_eq!(log.mistakes.count(Kind::Backwards), 3);
    same(&log.times.to_vec(), &[3.0, 2.0, 1.0, 0.0]);
    let (_, log) = both(b"t (s),F (N)\n0,1\n1,2\n1,3\n2,4\n");
    assert!(said(&log, Kind::Repeated).contains("line 4, column 1"));
}

#[test]
fn a_clock_past_midnight() {
    let (guess, log) = both(b"Clock,F (N)\n23:59:59.5,1\n00:00:00.0,2\n00:00:00.5,3\n");
    assert!(matches!(guess.recipe.time, Time::Clock { column: 1 }));
    same(&log.times.to_vec(), &[0.0, 0.5, 1.0]);
    assert_eq!(log.starts.as_deref(), Some("23:59:59.5"));
    assert!(said(&log, Kind::Midnight).contains("line 3, column 1: `00:00:00`"));
    assert_eq!(log.mistakes.count(Kind::Backwards), 0);
}

#[test]
fn daylight_saving_is_told_and_not_corrected() {
    let (_, log) = both(b"When,F (N)\n2031-10-26 02:59:58,1\n2031-10-26 02:59:59,2\n2031-10-26 02:00:00,3\n2031-10-26 02:00:01,4\n");
    assert!(said(&log, Kind::ClockStep).contains("line 4, column 1: `a step of -3599 s`"));
    assert_eq!(log.mistakes.count(Kind::Backwards), 0);
    same(&log.times.to_vec(), &[0.0, 1.0, -3598.0, -3597.0]);
}

#[test]
fn date_and_clock_in_two_columns() {
    let (guess, log) = both(b"Date,Time,Load (kN)\n24.12.2031,12:00:00.000,1\n24.12.2031,12:00:00.125,2\n24.12.2031,12:00:00.250,3\n");
    assert_eq!(choice(&guess, "time.order").sure, Sure::Certain);
    same(&log.times.to_vec(), &[0.0, 0.125, 0.25]);
    assert_eq!(log.starts.as_deref(), Some("2031-12-24T12:00:00"));
}

#[test]
fn a_date_whose_order_nothing_decides() {
    let (guess, _) = both(b"When,F (N)\n03/04/2031 12:00:00,1\n03/04/2031 12:00:01,2\n");
    let order = choice(&guess, "time.order");
    assert_eq!(
        (order.sure, order.instead[0].value.as_str()),
        (Sure::Unsure, "month-day-year")
    );
}

#[test]
fn nanoseconds_are_kept_beside_a_date() {
    let (_, log) =
        both(b"When,F (N)\n2031-12-24T12:00:00.000000001Z,1\n2031-12-24T12:00:00.000000003Z,2\n");
    same(&log.times.to_vec(), &[0.0, 2e-9]);
}

#[test]
fn all_zeros() {
    let (_, log) = both(b"t (s),F (N)\n0,0\n1,0.0\n2,-0\n");
    assert!(said(&log, Kind::AllZero).contains("`F`: every value of the channel is zero"));
}

#[test]
fn a_sample_number_needs_its_rate() {
    let guess = guess(b"Sample,F (N)\n-1,1\n0,2\n1,3\n2,4\n").unwrap();
    assert!(matches!(
        guess.recipe.time,
        Time::SampleNumber {
            column: 1,
            rate_hz: None
        }
    ));
    assert_eq!(choice(&guess, "time.rate_hz").sure, Sure::Unsure);
    assert_eq!(guess.preview.rows[0].time_s, None);
    let bytes = b"Sample,F (N)\n-1,1\n0,2\n1,3\n2,4\n";
    assert_eq!(only(&read(bytes, &guess.recipe).unwrap_err()), Kind::NoTime);
    let mut recipe = guess.recipe;
    recipe.time = Time::SampleNumber {
        column: 1,
        rate_hz: Some(100.0),
    };
    let log = read(bytes, &recipe).unwrap();
    same(&log.times.to_vec(), &[-0.01, 0.0, 0.01, 0.02]);
    assert!(said(&log, Kind::NegativeTime).contains("line 2, column 1: `-0.01 s`"));
}

#[test]
fn no_time_at_all() {
    let bytes = b"F (N)\n5\n3\n8\n";
    let found = guess(bytes).unwrap();
    assert_eq!(found.recipe.time, Time::Unknown {});
    let error = read(bytes, &found.recipe).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("give the rate in the recipe's time (rate_hz)")
    );
    let (found, log) = both(b"Sample rate (Hz),50\nF (N),x (mm)\n5,1\n3,9\n8,2\n");
    assert_eq!(found.recipe.time, Time::Rate { rate_hz: 50.0 });
    same(&log.times.to_vec(), &[0.0, 0.02, 0.04]);
}

#[test]
fn scientific_notation_and_odd_signs() {
    let (_, log) =
        both("t (s),F (N)\n0e0,1.5E+3\n1e0,-2.5e-3\n2.0E0,\u{2212}4\n3.,.5\n".as_bytes());
    same(&log.times.to_vec(), &[0.0, 1.0, 2.0, 3.0]);
    same(&log.channels[0].values(), &[1500.0, -0.0025, -4.0, 0.5]);
}

#[test]
fn hexadecimal_junk_and_numbers_beyond_all() {
    let (_, log) = both(b"t (s),F (N)\n0,1\n1,0x1F\n2,1e999\n3,DEADBEEF\n4,5\n5,6\n6,7\n");
    same(
        &log.channels[0].values(),
        &[1.0, GAP, GAP, GAP, 5.0, 6.0, 7.0],
    );
    assert_eq!(log.mistakes.count(Kind::NotANumber), 2);
    assert!(said(&log, Kind::TooLarge).contains("line 4, column 2: `1e999`"));
}

#[test]
fn a_binary_file_with_a_name_of_text() {
    let bytes: Vec<u8> = (0..4000u32)
        .map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8)
        .collect();
    assert_eq!(refused(&bytes), Kind::Binary);
    assert_eq!(refused(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), Kind::Broken);
    assert_eq!(refused(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), Kind::Binary);
}

#[test]
fn one_line_without_end() {
    let mut bytes = b"t (s),F (N)\n0,1\n1,2\n".to_vec();
    bytes.extend(std::iter::repeat_n(b'7', 3 << 20));
    bytes.extend(b"\n2,3\n");
    let (_, log) = both(&bytes);
    same(&log.channels[0].values(), &[1.0, 2.0, GAP, 3.0]);
    assert!(said(&log, Kind::LongLine).contains("line 4: `7777"));
    assert!(
        said(&log, Kind::LongLine).contains('…'),
        "what was found is cut"
    );
    let error = guess(&vec![b'7'; 3 << 20]).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("line 1: `a line of more than 65536 bytes`"),
        "{error}"
    );
}

#[test]
fn mistakes_are_grouped() {
    let bad: String = (0..1000).map(|n| format!("{n},x\n")).collect();
    let good: String = (0..2000).map(|n| format!("{n},{n}\n")).collect();
    let (_, log) = both(format!("t (s),F (N)\n{good}{bad}").as_bytes());
    let group = &log.mistakes.groups()[0];
    assert_eq!(
        (group.kind, group.count, group.first.len()),
        (Kind::NotANumber, 1000, 20)
    );
    assert!(
        log.mistakes
            .to_string()
            .contains("… and 980 more of the kind not-a-number")
    );
}

#[test]
fn moved_columns_are_not_read() {
    let (found, _) = both(b"t (s),Load (kN),x (mm)\n0,1,2\n1,2,3\n2,3,4\n");
    let error = read(b"t (s),x (mm),Load (kN)\n0,1,2\n1,2,3\n", &found.recipe).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("line 1, column 2: `x (mm), not Load (kN)`"),
        "{error}"
    );
    assert_eq!(only(&error), Kind::Moved);
}

#[test]
fn recipes_that_do_not_hold_together() {
    let bytes = b"t (s),Load (kN)\n0,1\n1,2\n2,3\n";
    let (found, _) = both(bytes);
    let told = |change: &dyn Fn(&mut Recipe)| {
        let mut recipe = found.recipe.clone();
        change(&mut recipe);
        read(bytes, &recipe).unwrap_err().to_string()
    };
    assert!(
        told(&|r| r.channels[0].column = 9)
            .contains("the recipe's channel.1.column: `9`: the file has no such column")
    );
    assert!(told(&|r| r.channels[0].column = 0).contains("no such column"));
    assert!(told(&|r| r.channels[0].column = 1).contains("a column taken twice"));
    assert!(
        told(&|r| r.channels[0].quantity = Quantity::Displacement).contains("Displacement in kN")
    );
    assert!(told(&|r| r.channels[0].factor = f64::NAN).contains("factor"));
    assert!(told(&|r| r.channels.clear()).contains("no channel is taken"));
    assert!(told(&|r| r.layout = Layout::Wav {}).contains("not of the format"));
    assert!(told(&|r| r.time = Time::Rate { rate_hz: 0.0 }).contains("time.rate_hz"));
    let odd = |r: &mut Recipe| {
        if let Layout::Text { notation, .. } = &mut r.layout {
            *notation = Notation {
                decimal: Decimal::Comma,
                grouping: Grouping::Comma,
            };
        }
    };
    assert!(told(&odd).contains("the grouping mark is the decimal mark"));
}

#[test]
fn sign_and_factor() {
    let (found, _) = both(b"t (s),U (mV)\n0,1\n1,-2\n2,3\n");
    let mut recipe = found.recipe;
    let channel = &mut recipe.channels[0];
    (channel.unit, channel.quantity, channel.factor) = ("kN".into(), Quantity::Force, 2.5);
    channel.sign = steadypull_logs::Sign::Minus;
    let log = read(b"t (s),U (mV)\n0,1\n1,-2\n2,3\n", &recipe).unwrap();
    same(&log.channels[0].values(), &[-2500.0, 5000.0, -7500.0]);
}

#[test]
fn rows_with_a_remark_are_not_hidden_in_the_head() {
    let (guess, log) = both(b"t\tU\tremark\n0.000\t-0.001\tstart\n0.001\t0.002\n0.002\t0.003\n0.003\t0.004\n0.004\t0.004\n");
    assert_eq!(text(&guess.recipe).3.head_lines, 1);
    assert!(said(&log, Kind::LongRow).contains("line 2: `0.000\t-0.001\tstart`"));
    same(
        &log.channels[0].values(),
        &[GAP, 0.002, 0.003, 0.004, 0.004],
    );
}

#[test]
fn thousands_that_split_a_cell_cost_that_row() {
    let (_, log) = both(b"t (s),F (N)\n0,1\n1,2\n2,3\n10,4\n1,000,5\n");
    same(&log.channels[0].values(), &[1.0, 2.0, 3.0, 4.0, GAP]);
    assert!(said(&log, Kind::LongRow).contains("line 6: `1,000,5`"));
}

#[test]
fn a_unit_in_a_column_of_its_own_is_offered() {
    let guess = guess(b"12:00:00.0 1.5 kN\n12:00:00.1 1.6 kN\n12:00:00.2 1.4 kN\n").unwrap();
    let unit = choice(&guess, "channel.1.unit");
    assert_eq!(
        (unit.sure, unit.instead[0].value.as_str()),
        (Sure::Unsure, "kN")
    );
}

// Workbooks.

#[test]
fn a_sheet() {
    let rows = [
        sheet_row(1, &["Test of a line"]),
        sheet_row(2, &["Time (s)", "Load (kN)"]),
        sheet_row(3, &["0", "1.5"]),
        sheet_row(4, &["0.1", "n/a"]),
        sheet_row(6, &["0.2", "3.5"]),
        sheet_row(7, &["0.3", ""]),
    ];
    let (guess, log) = both(&xlsx(&rows.concat()));
    assert!(
        matches!(&guess.recipe.layout, Layout::Sheet { sheet, rows, .. } if sheet == "Log" && rows.head_lines == 2)
    );
    same(&log.channels[0].values(), &[1500.0, GAP, 3500.0, GAP]);
    assert!(said(&log, Kind::NoValue).contains("sheet Log, cell B4: `n/a`"));
    assert!(said(&log, Kind::EmptyCell).contains("sheet Log, cell B7"));
    assert_eq!(log.place(2, 2).to_string(), "sheet Log, cell B6");
}

#[test]
fn dates_of_a_sheet() {
    let row = |n: u32, days: f64| {
        format!(
            "<row r=\"{n}\"><c r=\"A{n}\" s=\"1\"><v>{days}</v></c><c r=\"B{n}\"><v>{n}</v></c></row>"
        )
    };
    let head = sheet_row(1, &["When", "Load (N)"]);
    let second = 1.0 / 86_400.0;
    let (guess, log) = both(&xlsx(
        &[
            head,
            row(2, 45_000.5),
            row(3, 45_000.5 + second),
            row(4, 45_000.5 + 2.0 * second),
        ]
        .concat(),
    ));
    assert!(
        matches!(guess.recipe.time, Time::DateClock { .. }),
        "{:?}",
        guess.recipe.time
    );
    // Day 45 000 of that count is 15 March 2023: 43 831 is 1 January 2020 (both from memory), 1169 days on.
    assert_eq!(log.starts.as_deref(), Some("2023-03-15T12:00:00"));
    same(&log.times.to_vec(), &[0.0, 1.0, 2.0]);
}

/// ECMA-376 part 1, 18.17.4.1 (from memory): the same day is 1462 less by the date system of 1904.
#[test]
fn dates_of_a_sheet_that_counts_from_1904() {
    let row = |n: u32, days: f64| {
        format!(
            "<row r=\"{n}\"><c r=\"A{n}\" s=\"1\"><v>{days}</v></c><c r=\"B{n}\"><v>{n}</v></c></row>"
        )
    };
    let rows = [
        sheet_row(1, &["When", "Load (N)"]),
        row(2, 43_538.5),
        row(3, 43_539.5),
    ];
    let bytes = making::xlsx_of(
        &rows.concat(),
        "<sst></sst>",
        "<workbookPr date1904=\"1\"/>",
    );
    let (_, log) = both(&bytes);
    assert_eq!(log.starts.as_deref(), Some("2023-03-15T12:00:00"));
    same(&log.times.to_vec(), &[0.0, 86_400.0]);
}

#[test]
fn a_sheet_cut_off() {
    let rows: String = (1..200).map(|n| sheet_row(n, &["1", "2"])).collect();
    let bytes = xlsx(&rows);
    for part in [3, 7, 30, 60, 90] {
        let cut = &bytes[..bytes.len() * part / 100];
        assert!(
            matches!(refused(cut), Kind::Broken | Kind::NoNumbers | Kind::Binary),
            "{part} %"
        );
    }
}

#[test]
fn a_sheet_that_unpacks_to_too_much() {
    let blank = " ".repeat(3 << 20);
    assert_eq!(
        refused(&xlsx(&format!(
            "<row r=\"1\"><c r=\"A1\"><v>1{blank}</v></c></row>"
        ))),
        Kind::Hostile
    );
    let strings = format!("<sst>{}</sst>", "<si><t>a</t></si>".repeat(5_000_000));
    assert_eq!(refused(&xlsx_with("", &strings)), Kind::Hostile);
    let claim = "<sst uniqueCount=\"4000000000000\"><si><t>a</t></si></sst>";
    assert_eq!(
        refused(&xlsx_with(&sheet_row(1, &["1", "2"]), claim)),
        Kind::Hostile
    );
}

#[test]
fn a_sheet_that_reaches_far() {
    let far = "<row r=\"1048576\"><c r=\"XFD1048576\"><v>7</v></c></row>";
    let rows: String = (1..50)
        .map(|n| sheet_row(n, &[&n.to_string(), "2"]))
        .collect();
    let found = guess(&xlsx(&format!("{rows}{far}")));
    // One cell in the last corner must not take room for all between; whether a log is found is no matter.
    assert!(found.is_ok() || only(&found.unwrap_err()) == Kind::NoNumbers);
}

// Old workbooks.

/// A time and a load in rows, their columns one after the other.
fn old_log(rows: u16) -> Vec<Vec<u8>> {
    let mut cells = vec![old_text(0, 0, "Time (s)"), old_text(0, 1, "Load (kN)")];
    cells.extend((1..=rows).map(|row| old_number(row, 0, f64::from(row))));
    cells.extend((1..=rows).map(|row| old_number(row, 1, f64::from(row) / 4.0)));
    cells
}

#[test]
fn an_old_workbook_whose_cells_stand_in_any_order() {
    let mut cells = old_log(4);
    // A formula with its value, one that is a word, one that failed, what is true, four numbers in short.
    let formula = |row: u8, value: [u8; 8]| {
        record(
            0x0006,
            &[&[row, 0, 1, 0, 0, 0][..], &value, &[0; 8]].concat(),
        )
    };
    cells.push(formula(5, 2.5_f64.to_le_bytes()));
    cells.push(formula(6, [0, 0, 0, 0, 0, 0, 0xff, 0xff]));
    cells.push(record(0x0207, &[3, 0, 0, b'n', b'/', b'a']));
    cells.push(formula(7, [2, 0, 7, 0, 0, 0, 0xff, 0xff]));
    cells.push(record(0x0205, &[8, 0, 1, 0, 0, 0, 1, 0]));
    // 5 whole; 650 hundredths; 7 as the upper half of a double; -200 hundredths as one.
    for (row, packed) in [
        (5_u8, 5 << 2 | 2),
        (6, 650 << 2 | 3),
        (7, (7.0_f64.to_bits() >> 32) as u32),
        (8, ((-200.0_f64).to_bits() >> 32) as u32 | 1),
    ] {
        let data = [&[row, 0, 0, 0, 0, 0][..], &packed.to_le_bytes()].concat();
        cells.push(record(0x027e, &data));
    }
    let several = [
        &[9, 0, 0, 0][..],
        &[0, 0, 0x26, 0, 0, 0],
        &[0, 0, 0x2a, 0, 0, 0],
        &[1, 0],
    ];
    cells.push(record(0x00bd, &several.concat()));
    let (guess, log) = both(&xls(&[], &[old_sheet(&cells)]));
    assert_eq!(
        choice(&guess, "layout.format").why,
        "it is a workbook of before Excel 2007"
    );
    same(
        &log.times.to_vec(),
        &[1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 7.0, -2.0, 9.0],
    );
    same(
        &log.channels[0].values(),
        &[250.0, 500.0, 750.0, 1000.0, 2500.0, GAP, GAP, GAP, 10_000.0],
    );
    assert!(said(&log, Kind::NoValue).contains("sheet S0000, cell B7: `n/a`"));
}

/// Dense ranges of these would take half a gigabyte for each of a hundred sheets.
#[test]
fn an_old_workbook_that_reaches_far() {
    let far = old_number(65_535, 255, 7.0);
    let claim = record(
        0x0200,
        &[0, 0, 0, 0, 255, 255, 255, 255, 0, 0, 255, 255, 0, 0],
    );
    let cells = [vec![claim], old_log(20), vec![far]].concat();
    let mut sheets = vec![old_sheet(&cells); 100];
    let bytes = xls(&[], &sheets);
    let (guess, log) = both(&bytes);
    assert_eq!(choice(&guess, "layout.sheet").instead.len(), 99);
    assert_eq!(log.channels[0].values()[19], 5000.0);
    sheets.extend(vec![sheets[0].clone(); 157]);
    assert_eq!(refused(&xls(&[], &sheets)), Kind::Broken);
}

#[test]
fn old_workbooks_that_are_not_read() {
    let good = |globals: &[u8]| xls(globals, &[old_sheet(&old_log(4))]);
    both(&good(&[]));
    let password = record(0x002f, &[1, 0, 0, 0]);
    assert_eq!(refused(&good(&password)), Kind::NotSupported);
    let older = record(0x0809, &[0, 5, 5, 0]);
    assert_eq!(refused(&good(&older)), Kind::OldExcel);
    let strings = record(0x00fc, &[9, 0, 0, 0, 9, 0, 0, 0, 5, 0, 0, b'a']);
    assert_eq!(refused(&good(&strings)), Kind::Broken);
    let mut words = cfb::CompoundFile::create(std::io::Cursor::new(Vec::new())).unwrap();
    words.create_stream("WordDocument").unwrap();
    assert_eq!(refused(&words.into_inner().into_inner()), Kind::OldExcel);
}

#[test]
fn an_old_sheet_that_breaks_off_is_told_of() {
    let whole = old_sheet(&old_log(6));
    for cut in [1, 4, 9] {
        let (_, log) = both(&xls(&[], &[whole[..whole.len() - cut].to_vec()]));
        assert!(log.mistakes.count(Kind::CutShort) == 1, "{}", log.mistakes);
        assert_eq!(log.channels[0].values()[4], 1250.0);
    }
    let damaged = [vec![record(0x0203, &[7, 0])], vec![old_text(7, 0, "x")]].concat();
    let (_, log) = both(&xls(&[], &[old_sheet(&[old_log(6), damaged].concat())]));
    assert!(said(&log, Kind::CutShort).contains("record 0x0203 is damaged"));
}

// Parquet.

fn loads(n: i64) -> Vec<(i64, Option<f64>)> {
    (0..n)
        .map(|i| (1_900_000_000_000_000 + 1000 * i, Some(i as f64 / 4.0)))
        .collect()
}

#[test]
fn a_parquet_file() {
    for compression in [Compression::UNCOMPRESSED, Compression::SNAPPY] {
        let mut second = loads(3);
        second[1].1 = None;
        let (guess, log) = both(&parquet(&[loads(2), second], compression));
        assert_eq!(guess.recipe.channels.len(), 1, "the words are left out");
        same(&log.channels[0].values(), &[0.0, 250.0, 0.0, GAP, 500.0]);
        same(&log.times.to_vec(), &[0.0, 0.001, 0.0, 0.001, 0.002]);
        assert_eq!(log.starts.as_deref(), Some("2030-03-17T17:46:40"));
        assert!(said(&log, Kind::EmptyCell).contains("column 2, row 2 of row group 2"));
    }
}

#[test]
fn a_parquet_file_cut_off() {
    let bytes = parquet(&[loads(5000)], Compression::SNAPPY);
    for part in [5, 20, 60, 99] {
        assert_eq!(
            refused(&bytes[..bytes.len() * part / 100]),
            Kind::Broken,
            "{part} %"
        );
    }
}

#[test]
fn a_parquet_page_that_is_damaged_is_a_gap() {
    let good = parquet(&[loads(1000), loads(1000)], Compression::SNAPPY);
    let (guess, _) = both(&good);
    let mut bytes = good.clone();
    bytes[4..40].fill(0xff);
    let log = read(&bytes, &guess.recipe).unwrap();
    assert_eq!(log.times.len(), 2000);
    assert!(log.times.at(0).is_nan() && log.times.at(1999).is_finite());
    assert!(said(&log, Kind::Unread).contains("column 1, row 1 of row group 1"));
}

#[test]
fn a_parquet_page_that_claims_too_much_is_left_alone() {
    let good = parquet(&[loads(10)], Compression::SNAPPY);
    let (guess, log) = both(&good);
    assert!(log.mistakes.is_empty(), "{}", log.mistakes);
    let bytes = with_claim(&good, &[0x80, 0xa8, 0xd6, 0xb9, 0x07]);
    let log = read(&bytes, &guess.recipe).unwrap();
    assert!(log.times.to_vec().iter().all(|t| t.is_nan()));
    assert!(
        said(&log, Kind::Unread).contains("claims more than it can hold"),
        "{}",
        log.mistakes
    );
}

/// Its first page said to unpack to what a number of five bytes tells; what the header grows by is
/// cut from the end of the page.
fn with_claim(good: &[u8], claim: &[u8; 5]) -> Vec<u8> {
    // Its kind, its unpacked and its packed size, and what is left of it and of the page.
    let length = |at: usize| good[at..].iter().take_while(|b| **b >= 0x80).count() + 1;
    let packed_at = 7 + length(7) + 1;
    assert_eq!((good[4], good[6], good[packed_at - 1]), (0x15, 0x15, 0x15));
    let packed = good[packed_at..packed_at + length(packed_at)]
        .iter()
        .rev()
        .fold(0, |sum, b| (sum << 7) | usize::from(b & 0x7f))
        / 2;
    let grown = 5 - length(7);
    let less = 2 * (packed - grown);
    let less: &[u8] = match length(packed_at) {
        1 => &[less as u8],
        _ => &[less as u8 | 0x80, (less >> 7) as u8],
    };
    let header_end = good[packed_at..].windows(2).position(|w| w == [0, 0]);
    let end = packed_at + header_end.unwrap() + 2 + packed - grown;
    let rest = &good[packed_at + less.len()..end];
    let page = [&good[..7], claim, &[0x15], less, rest].concat();
    [&page, &good[page.len()..]].concat()
}

const PACKED: [(&str, &[u8]); 3] = [
    ("zstd", include_bytes!("open/pyarrow_zstd.parquet")),
    ("gzip", include_bytes!("open/pyarrow_gzip.parquet")),
    ("lz4", include_bytes!("open/pyarrow_lz4_v2.parquet")),
];

/// One byte of the first page is other than it was written: its checksum tells.
#[test]
fn a_packed_page_that_is_damaged_is_a_gap() {
    for (name, good) in PACKED {
        let (guess, _) = both(good);
        for at in 40..120 {
            let mut bytes = good.to_vec();
            bytes[at] ^= 0x10;
            let log = read(&bytes, &guess.recipe).unwrap();
            assert!(log.times.at(0).is_nan(), "{name}, byte {at}");
            assert!(log.times.at(59).is_finite(), "{name}, byte {at}");
            assert!(said(&log, Kind::Unread).contains("column 1, row 1 of row group 1"));
        }
    }
}

// Sound.

#[test]
fn sounds_of_every_width() {
    for (bits, half, lowest) in [
        (8, 64, -128),
        (16, 16_384, -32_768),
        (24, 4_194_304, -8_388_608),
        (32, 1 << 30, i32::MIN),
    ] {
        let (guess, log) = both(&wav(bits, 2, 1000, &[half, 0, -half, lowest, half / 2, 0]));
        assert_eq!(guess.recipe.time, Time::FileRate {});
        same(&log.channels[0].values(), &[0.5, -0.5, 0.25]);
        same(&log.channels[1].values(), &[0.0, -1.0, 0.0]);
        same(&log.times.to_vec(), &[0.0, 0.001, 0.002]);
        assert_eq!(log.rate_hz, Some(1000.0));
        assert_eq!(log.channels[0].full_scale.unwrap().0, -1.0);
        assert!(said(&log, Kind::FullScale).contains("sample 2 of channel 2: `-1`"));
        assert_eq!(guess.preview.rows[0].cells[0].value, Some(0.5));
    }
}

#[test]
fn sounds_of_floats() {
    let data: Vec<u8> = [0.25f32, f32::NAN, -0.5]
        .iter()
        .flat_map(|v| v.to_le_bytes())
        .collect();
    let (_, log) = both(&wav_of(3, 32, 1, 48_000, &data));
    same(&log.channels[0].values(), &[0.25, GAP, -0.5]);
    assert_eq!(log.mistakes.count(Kind::NoValue), 1);
}

#[test]
fn a_clipped_sound() {
    let (_, log) = both(&wav(
        16,
        1,
        1000,
        &[0, 32_767, 32_767, 32_767, 100, -32_768],
    ));
    assert_eq!(log.mistakes.count(Kind::FullScale), 4);
    assert_eq!(
        log.channels[0].full_scale,
        Some((-1.0, 32_767.0 / 32_768.0))
    );
}

#[test]
fn full_scale_goes_through_the_calibration() {
    let bytes = wav(16, 1, 1000, &[16_384, 32_767]);
    let (found, _) = both(&bytes);
    let mut recipe = found.recipe;
    let channel = &mut recipe.channels[0];
    (channel.unit, channel.quantity, channel.factor) = ("kN".into(), Quantity::Force, 50.0);
    channel.sign = steadypull_logs::Sign::Minus;
    let log = read(&bytes, &recipe).unwrap();
    assert_eq!(log.channels[0].values()[0], -25_000.0);
    let (low, high) = log.channels[0].full_scale.unwrap();
    assert_eq!((low, high), (log.channels[0].values()[1], 50_000.0));
}

#[test]
fn a_sound_cut_off_or_with_a_false_claim() {
    let bytes = wav(16, 1, 1000, &[1, 2, 3, 4]);
    let (_, log) = both(&bytes[..bytes.len() - 3]);
    assert_eq!(log.channels[0].values().len(), 2);
    assert!(said(&log, Kind::CutShort).contains("3 bytes claimed and not there"));
    let mut claims = bytes.clone();
    claims[40..44].copy_from_slice(&0x7fff_ffff_u32.to_le_bytes());
    let (_, log) = both(&claims);
    assert_eq!(
        log.channels[0].values().len(),
        4,
        "2 GB claimed, 8 bytes there"
    );
    assert_eq!(log.mistakes.count(Kind::CutShort), 1);
    assert_eq!(refused(&bytes[..30]), Kind::Broken);
    let mut law = bytes;
    law[20] = 7;
    assert_eq!(refused(&law), Kind::NotSupported);
}

#[test]
fn times_without_a_unit_are_said_to_be_unclear() {
    let (guess, _) = both(b"Time,F (N)\n0,1\n10,2\n20,3\n30,4\n");
    assert!(matches!(
        guess.recipe.time,
        Time::Elapsed {
            unit: TimeUnit::Millisecond,
            ..
        }
    ));
    assert_eq!(choice(&guess, "time.unit").sure, Sure::Unsure);
    assert_eq!(choice(&guess, "time.unit").instead[0].value, "s");
}

#[test]
fn masses_as_forces_are_said() {
    let (guess, log) = both(b"t (s),Load (kg)\n0,1\n1,2\n2,3\n");
    let unit = choice(&guess, "channel.1.unit");
    assert_eq!((unit.chosen.as_str(), unit.sure), ("kgf", Sure::Likely));
    assert_eq!(log.channels[0].values()[0], 9.80665);
}
