//! A fitted line as a line file, which a plan names.
//!
//! Everything in it is data that the plan's reader takes; comments say to people what it is.

use steadypull_contract::answer::{FitVerdict, FittedLine, FittedParameter};
use steadypull_contract::plan_file::{FitEntry, SetUpEntry, TestFile};

use crate::fit::Record;

/// The text of the line file.
pub(crate) fn line_toml(
    test: &TestFile,
    entry: &FitEntry,
    records: &[Record],
    line: &FittedLine,
) -> String {
    let mut text = String::from(HEAD);
    let mut add = |part: String| text += &part;
    add(the_line(test, entry, records, line));
    add(intervals(line));
    add(correlations(line));
    add(the_fit(entry, line));
    add(the_tests(test, records));
    text
}

const HEAD: &str = "\
# A line as measured in tests: an estimate that certifies nothing. A plan that lies beside
# this file takes the line from it by `file` under [line.NAME].
# No seal guards it. The logs are the evidence, and their hashes stand below.

";

fn the_line(test: &TestFile, entry: &FitEntry, records: &[Record], line: &FittedLine) -> String {
    let mut text = String::from("[line]\n");
    text += &said("name", &entry.name);
    text += &said("material", &line.material);
    text += &said("length", &format!("{} m", figures(line.length_m)));
    text += "# As stated in the test file: what the line is worth as it is. Never measured here.\n";
    text += &said("mbs", &format!("{} kN", figures(line.mbs_n / 1e3)));
    text += &format!("stretch = {}\n", stretch(line));
    text += &said("energy_return", &percent(line.energy_return));
    text += &said("set", &percent(line.set_share));
    if let (Some(ratio), Some(relaxation_s)) = (line.stiffness_ratio, line.relaxation_s) {
        text += &format!(
            "rate = {{ stiffness_ratio = {}, relaxation = \"{} s\" }}\n",
            with_point(ratio),
            figures(relaxation_s)
        );
    }
    if records.iter().all(|record| was_wet(test, record)) {
        text += "# What water takes off is in the curve.\nwet = true\n";
    }
    text
}

fn setup<'t>(test: &'t TestFile, record: &Record) -> Option<&'t SetUpEntry> {
    test.setup(test.pull(&record.name)?.setup.as_deref()?)
}

fn was_wet(test: &TestFile, record: &Record) -> bool {
    setup(test, record).and_then(|s| s.wet) == Some(true)
}

/// The most worn that a set-up of these pulls says.
fn worst_condition(test: &TestFile, records: &[Record]) -> Option<&'static str> {
    let said = |word: &&str| {
        let of = records.iter().filter_map(|record| setup(test, record));
        of.filter_map(|s| s.condition.as_deref())
            .any(|c| c == *word)
    };
    ["worn", "used", "new"].into_iter().find(said)
}

/// What holds the truth so often, of every number whose ends the pulls know.
fn intervals(line: &FittedLine) -> String {
    let mut text = format!(
        "\n# What holds the truth {} in 100 times, each number by itself. That of stretch is told at\n\
         # the last figure of the curve; the whole curve goes with it, its shape stays.\n\
         [interval]\n",
        figures(line.confidence * 100.0)
    );
    text += &said("confidence", &percent(line.confidence));
    for parameter in &line.parameters {
        if let Some((key, ends)) = interval(line, parameter) {
            text += &format!("{key} = {ends}\n");
        }
    }
    text
}

/// How the numbers with an interval go together, by pairs; nothing where there is no pair.
fn correlations(line: &FittedLine) -> String {
    let told = line.parameters.iter().zip(&line.correlation);
    let told = told.enumerate().filter_map(|(at, (parameter, row))| {
        let (key, _) = interval(line, parameter)?;
        Some((at, key, row))
    });
    let told: Vec<(usize, &str, &Vec<f64>)> = told.collect();
    let mut text = String::new();
    for (i, (_, first, row)) in told.iter().enumerate() {
        for (at, second, _) in &told[i + 1..] {
            text += &format!("{first}.{second} = {}\n", six_places(row[*at]));
        }
    }
    match text.is_empty() {
        true => text,
        false => format!("{CORRELATION}{text}"),
    }
}

const CORRELATION: &str = "\
\n# How far the errors of two numbers go together in these tests: 1 as one, 0 each by itself,
# -1 one up as the other goes down. A plan draws the numbers together by it.
[correlation]
";

/// The key and the two ends, as they are written, of a number whose ends the pulls know.
fn interval(line: &FittedLine, parameter: &FittedParameter) -> Option<(&'static str, String)> {
    let of = &parameter.value;
    let (value, low, high) = (of.value?, of.low?, of.high?);
    let shares = |low: f64, high: f64| (percent(low), percent(high.min(1.0)));
    let (key, ends) = match &parameter.name[..] {
        "stretch-at-mbs" | "stretch-at-greatest" => {
            let times = line.curve_stretch.last()? / value;
            ("stretch", shares(low * times, high * times))
        }
        "energy-return" => ("energy_return", shares(low, high)),
        "set" => ("set", shares(low, high)),
        "relaxation" => {
            let ends = (
                format!("{} s", figures(low)),
                format!("{} s", figures(high)),
            );
            ("relaxation", ends)
        }
        "stiffness-ratio" => {
            let ends = (with_point(low), with_point(high));
            return Some(("stiffness_ratio", format!("[{}, {}]", ends.0, ends.1)));
        }
        _ => return None,
    };
    Some((key, format!("[\"{}\", \"{}\"]", ends.0, ends.1)))
}

fn the_fit(entry: &FitEntry, line: &FittedLine) -> String {
    let mut text = String::from(
        "\n[fit]\n# Share of mbs up to which there is data; above, the curve goes straight on.\n",
    );
    text += &said("data_to", &percent(line.share_read.min(1.0)));
    let verdict = match line.verdict {
        FitVerdict::Apart => "apart",
        FitVerdict::Leaning => "leaning",
        FitVerdict::Open => "open",
    };
    text += &said("verdict", verdict);
    text += &said("says", &line.says);
    let held = [("energy_return", entry.energy_return), ("set", entry.set)];
    let held = held.iter().filter(|(_, held)| held.is_some());
    let held: Vec<String> = held.map(|(key, _)| format!("\"{key}\"")).collect();
    if !held.is_empty() {
        text += &format!("held = [{}]\n", held.join(", "));
    }
    let knots = match entry.knots {
        1 => "a straight curve".to_string(),
        knots => format!("a curve of {knots} knots"),
    };
    text += &said(
        "method",
        &format!(
            "least squares of the load about {knots}; intervals {}",
            line.intervals
        ),
    );
    text + &said("program", concat!("steadypull ", env!("CARGO_PKG_VERSION")))
}

fn the_tests(test: &TestFile, records: &[Record]) -> String {
    let mut text = String::from("\n[tests]\n");
    text += &said("title", &test.title);
    text += &said("date", &test.date.to_string());
    if let Some(place) = &test.place {
        text += &said("place", place);
    }
    if let Some(condition) = worst_condition(test, records) {
        text += "# What that takes off is in the curve, and not in mbs.\n";
        text += &said("condition", condition);
    }
    text += "# Of the test file.\n";
    text += &said("sha256", &test.sha256);
    for record in records {
        text += &format!("\n[tests.pull.{}]\n", record.name);
        text += &said("log", &record.log);
        text += &said("sha256", &record.sha256);
        for ((file, sha256), key) in record.footage.iter().zip(["marks", "other_end"]) {
            text += &said(key, file);
            text += &said(&format!("{key}_sha256"), sha256);
        }
        if let Some(cell) = &record.cell {
            text += &said("cell", &cell.name);
            text += &format!("overdue = {}\n", cell.overdue);
            text += &said("certificate", &cell.certificate);
            if let Some(kept) = &cell.certificate_file {
                text += &said("certificate_file", &kept.file);
                text += &said("certificate_sha256", &kept.sha256);
            }
        }
    }
    text
}

/// A key that holds a text.
fn said(key: &str, text: &str) -> String {
    let text = text.replace('\\', "\\\\").replace('"', "\\\"");
    format!("{key} = \"{text}\"\n")
}

fn percent(share: f64) -> String {
    format!("{} %", figures(share * 100.0))
}

/// The stretch at MBS, or pairs of stretch and share of MBS.
fn stretch(line: &FittedLine) -> String {
    let points = line.curve_stretch.iter().zip(&line.curve_share);
    let points: Vec<(&f64, &f64)> = points.filter(|point| *point.1 > 0.0).collect();
    match points[..] {
        [(strain, _)] => format!("\"{}\"", percent(*strain)),
        _ => {
            let pair = |(strain, share): &(&f64, &f64)| {
                format!("[\"{}\", \"{}\"]", percent(**strain), percent(**share))
            };
            let pairs: Vec<String> = points.iter().map(pair).collect();
            format!("[{}]", pairs.join(", "))
        }
    }
}

/// Six figures, plainly written.
fn figures(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".into();
    }
    let places = (5.0 - libm::floor(libm::log10(value.abs()))).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').into(),
        false => text,
    }
}

/// The same as a TOML number.
fn with_point(value: f64) -> String {
    let text = figures(value);
    if text.contains('.') {
        text
    } else {
        text + ".0"
    }
}

/// A correlation as a TOML number: six places, as fine as a plan draws by.
fn six_places(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0');
    match text {
        "-0." => "0.0".into(),
        text if text.ends_with('.') => format!("{text}0"),
        text => text.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn correlations_are_written_as_numbers() {
        for (value, text) in [
            (0.25, "0.25"),
            (-0.123_456_78, "-0.123457"),
            (1.0, "1.0"),
            (-1.0, "-1.0"),
            (0.0, "0.0"),
            (-1e-9, "0.0"),
        ] {
            assert_eq!(six_places(value), text);
        }
    }

    #[test]
    fn six_plain_figures() {
        for (value, text) in [
            (18.0, "18"),
            (88.2598511, "88.2599"),
            (0.0123456789, "0.0123457"),
            (100.0, "100"),
        ] {
            assert_eq!(figures(value), text);
        }
        assert_eq!(with_point(2.0), "2.0");
    }

    #[test]
    fn quotes_in_a_text_stay_in_it() {
        assert_eq!(
            said("title", "a \"b\" \\ c"),
            "title = \"a \\\"b\\\" \\\\ c\"\n"
        );
    }
}
