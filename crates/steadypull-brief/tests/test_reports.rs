//! The report of a test day: HTML and PDF print the same words, all of them, always the same
//! bytes, and say plainly what stands against the numbers.

#[path = "fixtures/plain.rs"]
mod plain;

use std::collections::BTreeMap;
use std::path::PathBuf;

use plain::plain;
use steadypull_brief::content::{Block, test_report};
use steadypull_brief::{TestFigure, test_report_html, test_report_pdf};
use steadypull_contract::answer::{Finding, Severity, TestsReport};
use steadypull_contract::plan_file::read_tests;
use steadypull_contract::show::Units;
use steadypull_testday::{Files, example, report};

/// The demo's files in memory.
struct Folder(BTreeMap<String, Vec<u8>>);

impl Files for Folder {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        let found = self.0.get(name).cloned();
        found.ok_or_else(|| "there is no such file".into())
    }
}

/// The demo day with `from` put in place of `to` in its test file.
fn demo_with(from: &str, to: &str, units: Units) -> TestsReport {
    let files = example().expect("the demo's pulls can be run").into_iter();
    let folder = Folder(files.map(|f| (f.name, f.text.into_bytes())).collect());
    let text = String::from_utf8(folder.0["tests.toml"].clone()).expect("text");
    assert!(text.contains(from), "{from} is in the demo");
    let text = text.replace(from, to);
    let test = read_tests(&text).expect("it reads").said_in(units);
    report(&test, ("tests.toml", text.as_bytes()), &folder).expect("a report")
}

fn demo() -> TestsReport {
    demo_with("", "", Units::Metric)
}

fn page(report: &TestsReport, units: Units) -> String {
    test_report_html(report, units).expect("a page")
}

fn pages_of(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    text.matches("/Type/Page/").count() + text.matches("/Type /Page\n").count()
}

#[test]
fn every_word_of_the_model_is_on_the_page_and_nothing_is_from_outside() {
    let report = demo();
    let html = page(&report, Units::Metric);
    let plain = plain(&html);
    for text in test_report(&report, Units::Metric).texts() {
        assert!(plain.contains(&self::plain(&text)), "{text}");
    }
    for caution in &report.read.cautions {
        assert!(plain.contains(caution.as_str()), "{caution}");
    }
    let own = html.replace("http://www.w3.org/2000/svg", "");
    assert!(!own.contains("http") && !own.contains("<script") && !own.contains("<img"));
    let mut ids: Vec<&str> = html.split(" id=\"").skip(1).collect();
    ids.iter_mut()
        .for_each(|id| *id = id.split('"').next().unwrap_or_default());
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "identifiers are unique");
}

/// What another person needs: every file with its hash and length, version, seed, command.
#[test]
fn it_can_be_repeated_from_the_page_alone() {
    let report = demo();
    let text = plain(&page(&report, Units::Metric));
    let files = report.beside.iter().chain([&report.test_file]);
    for (hash, bytes) in files.map(|file| (&file.sha256, file.bytes)).chain(
        report
            .read
            .pulls
            .iter()
            .map(|p| (&p.log.sha256, p.log.bytes)),
    ) {
        assert!(text.contains(hash.as_str()), "{hash}");
        assert!(text.contains(&format!(">{bytes}<")), "{bytes}");
    }
    for words in [
        "steadypull tests report tests.toml -o report.pdf",
        &format!("Steadypull {}", report.program_version),
        "seed 1",
        "EF-0417",
        "2031-11-30, in date",
        "low-pass CFC 60",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn both_are_always_the_same_bytes_and_the_pdf_has_its_pages() {
    let report = demo();
    assert_eq!(page(&report, Units::Metric), page(&report, Units::Metric));
    let pdf = test_report_pdf(&report, Units::Metric).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
    assert!(pdf == test_report_pdf(&report, Units::Metric).expect("a PDF"));
    let pages = pages_of(&pdf);
    assert!((6..=16).contains(&pages), "{pages}");
    // Fewer pulls, fewer pages: each pull has its own room.
    let mut short = report.clone();
    short.read.pulls.truncate(1);
    short.drawn.truncate(1);
    let short = test_report_pdf(&short, Units::Metric).expect("a PDF");
    assert!(pages_of(&short) < pages);
}

/// The worst comes first, in words as well as by its place.
#[test]
fn a_critical_finding_opens_the_report_and_an_overdue_cell_is_called_so() {
    let clean = page(&demo(), Units::Metric);
    assert!(clean.contains("<h2 id=\"verdict\">NO WARNINGS</h2>"));
    assert!(!clean.contains("OVERDUE"));
    let low = demo_with("peak = \"38 kN\"", "peak = \"20 kN\"", Units::Metric);
    let text = page(&low, Units::Metric);
    assert!(text.contains("class=\"verdict stop\""));
    assert!(text.contains("CRITICAL: READ THIS FIRST"));
    let first = plain(&text);
    let critical = first.find("CRITICAL, predict dry").expect("the finding");
    assert!(critical < first.find(">Pulls<").expect("the pulls"));
    assert!(first.contains("OFF"));
    let old = demo_with("due = 2031-11-30", "due = 2030-11-30", Units::Metric);
    let text = plain(&page(&old, Units::Metric));
    for words in [
        "READ THE WARNINGS FIRST",
        "OVERDUE since 2030-11-30",
        "WARNING, pull dry-1: certificate EF-0417 fell due",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

/// A method is named where it was used, and nowhere else.
#[test]
fn methods_are_named_only_where_they_were_used() {
    let used = |report: &TestsReport| {
        let text = plain(&page(report, Units::Metric));
        [
            "SAE J211-1",
            "Bates and Watts",
            "Welch 1947",
            "Holm 1979",
            "ISO 16269-6",
            "JCGM 100:2008",
        ]
        .map(|source| text.contains(source))
    };
    assert_eq!(used(&demo()), [true; 6]);
    let mut bare = demo_with("cfc = 60", "", Units::Metric);
    bare.fit = None;
    bare.compare = None;
    assert_eq!(used(&bare), [false, false, false, false, false, true]);
}

#[test]
fn imperial_reports_keep_no_metric_amount_of_their_own() {
    let report = demo_with("", "", Units::Imperial);
    let words = test_report(&report, Units::Imperial);
    // What people wrote themselves stays as written: labels, the plan's table, the cell's file.
    let quoted = ["strap 9 m", "length = \"9 m\"", "kN\""];
    for text in words.texts() {
        let text = quoted.iter().fold(text, |text, own| text.replace(own, ""));
        let mut pairs = text.split_whitespace().collect::<Vec<_>>();
        pairs
            .iter_mut()
            .for_each(|w| *w = w.trim_matches(|c: char| "()[];:,.".contains(c)));
        let metric = pairs.windows(2).find(|pair| {
            pair[0].parse::<f64>().is_ok() && ["kN", "N", "m", "kJ", "J", "kg"].contains(&pair[1])
        });
        assert!(metric.is_none(), "{metric:?} in: {text}");
    }
    let text = plain(&page(&report, Units::Imperial));
    assert!(text.contains("--units imperial") && text.contains(" lbf"));
    assert!(test_report_pdf(&report, Units::Imperial).is_ok());
}

/// A day with nothing but loads: no stretch, set-up, cell, fit or comparison.
#[test]
fn a_bare_day_is_told_without_what_it_has_not() {
    let mut report = demo();
    report.fit = None;
    report.compare = None;
    report.read.test.setups.clear();
    for (pull, drawn) in report.read.pulls.iter_mut().zip(&mut report.drawn) {
        (pull.setup, pull.cell) = (None, None);
        pull.readings.stretch = None;
        (drawn.stretch_m, drawn.force_n) = (Vec::new(), Vec::new());
        drawn
            .levels
            .least_n
            .iter_mut()
            .step_by(3)
            .for_each(|v| *v = None);
    }
    report.findings.push(Finding {
        severity: Severity::Note,
        code: "x".into(),
        subject: "pull <b>".into(),
        message: "m & m".into(),
        remedy: String::new(),
        source: String::new(),
    });
    let words = test_report(&report, Units::Metric);
    let loops = words
        .sections
        .iter()
        .flat_map(|s| &s.blocks)
        .filter(|block| {
            matches!(
                block,
                Block::Figure(steadypull_brief::BriefFigure::Test(
                    TestFigure::LoadStretch(_)
                ))
            )
        });
    assert_eq!(loops.count(), 0);
    let html = page(&report, Units::Metric);
    assert!(!html.contains("pull <b>") && !html.contains("NaN"));
    assert!(html.contains("NO CELL is named for dry-1, wet-1"));
    assert!(test_report_pdf(&report, Units::Metric).is_ok());
}

/// Holds `found` against the golden file of that name.
fn check_golden(name: &str, found: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let path = path.join(name);
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, found).expect("the golden file can be written");
    }
    let golden = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        golden == found,
        "{name} differs from its golden file; look at it, then BLESS=1"
    );
}

#[test]
fn golden_report() {
    // The words in their order.
    let words = test_report(&demo(), Units::Metric).texts().join("\n") + "\n";
    check_golden("test-report.txt", &words);
}

/// The figures of a page by their names, and the page with the names in their places.
fn figures_of(html: &str) -> (BTreeMap<String, String>, String) {
    let (mut figures, mut page) = (BTreeMap::new(), String::new());
    let mut rest = html;
    while let Some((before, svg)) = rest.split_once("<svg") {
        let (svg, after) = svg.split_once("</svg>").expect("an end");
        let (_, name) = svg.split_once(" id=\"").expect("an identifier");
        let name = name
            .split("-title\"")
            .next()
            .unwrap_or_default()
            .to_string();
        page += &format!("{before}[{name}]");
        figures.insert(name, format!("<svg{svg}</svg>\n"));
        rest = after;
    }
    (figures, page + rest)
}

/// Each sort of figure of the demo as it is drawn, of a pull with a channel and of the one with
/// footage, and the page round them.
#[test]
fn golden_figures_and_page() {
    let html = page(&demo(), Units::Metric);
    let (figures, page) = figures_of(&html);
    let sorts = [
        "load-time-1",
        "load-time-9",
        "load-stretch-1",
        "load-stretch-9",
        "fitted-1",
        "residuals-1",
        "strip-1",
        "strip-2",
    ];
    // Ten pulls, a line, two comparisons, each wide and narrow.
    assert_eq!(figures.len(), 2 * (2 * 10 + 2 + 2), "{:?}", figures.keys());
    for sort in sorts {
        let svg = &figures[&format!("{sort}-wide")];
        usvg::Tree::from_str(svg, &usvg::Options::default()).expect("an SVG that can be drawn");
        check_golden(&format!("test-{sort}.svg"), svg);
    }
    // The fonts are checked by their own files, not in the golden page.
    let lines = page.lines().filter(|l| !l.starts_with("@font-face"));
    let page: String = lines.map(|l| format!("{l}\n")).collect();
    check_golden("test-report.html", &page);
}
