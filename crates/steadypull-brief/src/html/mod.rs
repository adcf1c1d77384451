//! The brief, or a test report, as one HTML page that needs nothing else: no scripts, no network.
//!
//! Each figure is drawn twice, for a phone and for a wide screen or paper, and
//! the style sheet shows the one that fits.

mod base64;

use std::fmt::Write as _;

use steadypull_contract::answer::TestsReport;
use steadypull_contract::show::Units;

use crate::canvas::escape;
use crate::content::{Block, Brief, Column, ListKind, Pair, Section, Table, brief, test_report};
use crate::figure::{self, Drawing, Frame, signal};
use crate::fonts::{self, FAMILY, glue};
use crate::studied::Source;
use crate::{BriefError, BriefFigure, Figure, HandSignal, Studied};

const STYLE: &str = include_str!("style.css");
/// Text sizes of a figure: wide, then narrow.
const SIZES: [(&str, f64); 2] = [("wide", 12.0), ("narrow", 12.0)];

/// Columns that name their row; of several the first does.
const ROW_HEADS: [&str; 10] = [
    "Link",
    "Part of line",
    "Where",
    "Pull",
    "Set-up",
    "Pair",
    "Prediction",
    "Parameter",
    "Cell",
    "File",
];

/// Width of a figure.
fn width(which: BriefFigure, name: &str) -> f64 {
    match (name, which) {
        ("narrow", _) => 328.0,
        (_, BriefFigure::Answer(Figure::LoadPathStrip)) => 900.0,
        _ => 440.0,
    }
}

/// The brief as an HTML page; `made_on` is printed as it is given.
pub fn html<'a>(
    of: impl Into<Studied<'a>>,
    units: Units,
    made_on: &str,
) -> Result<String, BriefError> {
    let of = of.into();
    page_of(&brief(of, units, made_on), Source::Plan(of), units)
}

/// The report of a test day as an HTML page.
pub fn test_report_html(report: &TestsReport, units: Units) -> Result<String, BriefError> {
    page_of(&test_report(report, units), Source::Tests(report), units)
}

fn page_of(brief: &Brief, of: Source, units: Units) -> Result<String, BriefError> {
    // A brief is acted on, its cautions close it; a report is read, they open it.
    let opens = matches!(of, Source::Tests(_));
    let mut page = head(brief, if opens { "report" } else { "brief" });
    banner(&mut page, brief);
    if opens {
        cautions(&mut page, brief);
    }
    for (i, section) in brief.sections.iter().enumerate() {
        write_section(&mut page, section, i, of, units)?;
    }
    if !opens {
        cautions(&mut page, brief);
    }
    let _ = write!(
        page,
        "</main>\n<footer><p>{}</p></footer>\n</body>\n</html>\n",
        text(&brief.footer)
    );
    Ok(page)
}

fn text(words: &str) -> String {
    escape(&glue(words))
}

/// The style sheet between the tags of the page, to the letter: a server lets a browser
/// use it by its hash. It is the same for every brief.
pub fn style() -> String {
    let mut style = String::from("\n");
    for (bytes, weight) in [(fonts::REGULAR, 400), (fonts::BOLD, 700)] {
        let _ = writeln!(
            style,
            "@font-face{{font-family:\"{FAMILY}\";font-weight:{weight};src:url(data:font/ttf;base64,{}) format(\"truetype\")}}",
            base64::encode(bytes)
        );
    }
    style.push_str(STYLE);
    style
}

fn head(brief: &Brief, class: &str) -> String {
    let title = text(&brief.title);
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}: {title}, {}</title>\n<style>{}</style>\n</head>\n\
         <body class=\"{class}\">\n<header>\n<h1>{title}</h1>\n",
        brief.banner.words,
        brief.kind,
        style()
    );
    for line in &brief.about {
        let _ = writeln!(page, "<p>{}</p>", text(line));
    }
    page.push_str("</header>\n<main>\n");
    page
}

fn banner(page: &mut String, brief: &Brief) {
    let banner = &brief.banner;
    let class = if banner.stop {
        "verdict stop"
    } else {
        "verdict"
    };
    let _ = write!(
        page,
        "<section class=\"{class}\" aria-labelledby=\"verdict\">\n<h2 id=\"verdict\">{}</h2>\n<p class=\"headline\">{}</p>\n",
        banner.words,
        text(&banner.headline)
    );
    list(page, "ul", "", &banner.reasons);
    page.push_str("</section>\n");
}

fn write_section(
    page: &mut String,
    section: &Section,
    index: usize,
    of: Source,
    units: Units,
) -> Result<(), BriefError> {
    let topic = format!("on-{:?}", section.topic).to_lowercase();
    let _ = write!(
        page,
        "<section class=\"{topic}\" aria-labelledby=\"s{index}\">\n<h2 id=\"s{index}\">{}</h2>\n",
        text(&section.heading)
    );
    for block in &section.blocks {
        match block {
            Block::Text(words) => {
                let _ = writeln!(page, "<p>{}</p>", text(words));
            }
            Block::List { kind, items } => write_list(page, *kind, items),
            Block::Pairs(pairs) => write_pairs(page, pairs, &section.heading),
            Block::Table(table) => write_table(page, table),
            Block::Figure(which) => write_figure(page, *which, &section.heading, of, units)?,
            Block::Signals(signals) => write_signals(page, signals),
        }
    }
    page.push_str("</section>\n");
    Ok(())
}

fn write_list(page: &mut String, kind: ListKind, items: &[String]) {
    match kind {
        ListKind::Bullet => list(page, "ul", "", items),
        ListKind::Numbered => list(page, "ol", "", items),
        ListKind::Tick => list(page, "ul", " class=\"tick\"", items),
        ListKind::Small => list(page, "ul", " class=\"small\"", items),
    }
}

fn list(page: &mut String, tag: &str, class: &str, items: &[String]) {
    if items.is_empty() {
        return;
    }
    let _ = writeln!(page, "<{tag}{class}>");
    for item in items {
        let _ = writeln!(page, "<li>{}</li>", text(item));
    }
    let _ = writeln!(page, "</{tag}>");
}

/// Pairs with values are a table; pairs of words are a description list.
fn write_pairs(page: &mut String, pairs: &[Pair], caption: &str) {
    if pairs.iter().all(|p| p.value.is_empty()) {
        page.push_str("<dl>\n");
        for pair in pairs {
            let _ = writeln!(
                page,
                "<div><dt>{}</dt><dd>{}</dd></div>",
                text(&pair.name),
                text(&pair.note)
            );
        }
        page.push_str("</dl>\n");
        return;
    }
    let _ = write!(
        page,
        "<table class=\"pairs\">\n<caption class=\"unseen\">{}</caption>\n<thead class=\"unseen\"><tr><th scope=\"col\">What</th><th scope=\"col\">Value</th><th scope=\"col\">Note</th></tr></thead>\n<tbody>\n",
        text(caption)
    );
    for pair in pairs {
        let _ = writeln!(
            page,
            "<tr><th scope=\"row\">{}</th><td class=\"number\">{}</td><td>{}</td></tr>",
            text(&pair.name),
            text(&pair.value),
            text(&pair.note)
        );
    }
    page.push_str("</tbody>\n</table>\n");
}

fn write_table(page: &mut String, table: &Table) {
    let caption = text(&table.caption);
    // Wider than a phone: scrolls inside its own region, reachable by keyboard.
    let _ = write!(
        page,
        "<p class=\"caption\" aria-hidden=\"true\">{caption}</p>\n\
         <div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{caption}\">\n\
         <table>\n<caption class=\"unseen\">{caption}</caption>\n<thead><tr>"
    );
    for column in &table.columns {
        let class = if column.number {
            " class=\"number\""
        } else {
            ""
        };
        let _ = write!(page, "<th scope=\"col\"{class}>{}</th>", column.heading);
    }
    page.push_str("</tr></thead>\n<tbody>\n");
    let names_row = |column: &Column| ROW_HEADS.contains(&column.heading);
    let names_row = table.columns.iter().position(names_row);
    for row in &table.rows {
        page.push_str("<tr>");
        for (at, (column, cell)) in table.columns.iter().zip(row).enumerate() {
            let cell = text(cell);
            let _ = match (names_row == Some(at), column.number) {
                (true, _) => write!(page, "<th scope=\"row\">{cell}</th>"),
                (_, true) => write!(page, "<td class=\"number\">{cell}</td>"),
                _ => write!(page, "<td>{cell}</td>"),
            };
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table>\n</div>\n");
}

fn write_figure(
    page: &mut String,
    which: BriefFigure,
    heading: &str,
    of: Source,
    units: Units,
) -> Result<(), BriefError> {
    // Under a heading of the same words a caption need not be seen twice.
    let unseen = if which.title() == heading {
        " class=\"unseen\""
    } else {
        ""
    };
    let _ = writeln!(
        page,
        "<figure>\n<figcaption{unseen}>{}</figcaption>",
        which.title()
    );
    for (name, size) in SIZES {
        let width = width(which, name);
        let frame = Frame {
            width,
            size,
            units,
            notes: false,
        };
        let drawing = which.draw(of, frame)?;
        let svg = figure::svg(
            &drawing,
            which.title(),
            &format!("{}-{name}", which.name()),
            width,
        );
        let _ = writeln!(page, "<div class=\"{name}\">{svg}</div>");
    }
    page.push_str("</figure>\n");
    Ok(())
}

fn write_signals(page: &mut String, signals: &[HandSignal]) {
    const HIGH: f64 = 96.0;
    page.push_str("<ul class=\"signals\">\n");
    for signal in signals {
        let drawing = Drawing {
            height: HIGH,
            body: signal::draw(*signal, HIGH),
            words: signal.how().into(),
        };
        let id = format!("signal-{}", signal.word().to_lowercase().replace(' ', "-"));
        let svg = figure::svg(&drawing, signal.word(), &id, HIGH * signal::WIDE);
        let _ = writeln!(
            page,
            "<li>{svg}<b>{}</b> {}</li>",
            signal.word(),
            signal.how()
        );
    }
    let _ = writeln!(page, "</ul>");
}

fn cautions(page: &mut String, brief: &Brief) {
    page.push_str("<section class=\"cautions\" aria-labelledby=\"cautions\">\n<h2 id=\"cautions\">Cautions</h2>\n");
    list(page, "ul", "", &brief.cautions);
    page.push_str("</section>\n");
}
