//! The words of a report of a test day, in the model that HTML and PDF both print.
//!
//! | file | holds |
//! |---|---|
//! | `pulls.rs` | set-ups, all pulls in a table, each pull with its figures |
//! | `lines.rs` | lines fitted |
//! | `compared.rs` | set-ups compared, predictions |
//! | `methods.rs` | how it was worked out, by what source, only where used |
//! | `doubts.rs` | what each uncertainty is made of |
//! | `origin.rs` | cells, cleaning, files with their hashes, how to repeat it |

mod compared;
mod doubts;
mod lines;
mod methods;
mod origin;
mod pulls;

use steadypull_contract::answer::{Severity, TestsReport};
use steadypull_contract::show::Units;

use super::{Banner, Block, Brief, Column, Section, Topic, before};

/// The words of the report.
pub fn test_report(report: &TestsReport, units: Units) -> Brief {
    let mut sections: Vec<Section> = before::findings(&report.findings).into_iter().collect();
    sections.extend(pulls::sections(report, units));
    sections.extend(lines::sections(report, units));
    sections.extend(compared::sections(report, units));
    sections.push(methods::section(report));
    sections.push(doubts::section(report, units));
    sections.extend(origin::sections(report, units));
    let test = &report.read.test;
    Brief {
        kind: "test report",
        title: test.title.clone(),
        about: about(report),
        banner: banner(report),
        sections,
        cautions: report.read.cautions.clone(),
        footer: format!(
            "Measurements of these pulls with this gear on this day; they certify nothing. Steadypull {}.",
            report.program_version
        ),
    }
}

fn about(report: &TestsReport) -> Vec<String> {
    let test = &report.read.test;
    let mut first = vec!["Test report".to_string()];
    first.extend(test.date.as_ref().map(|day| format!("pulled on {day}")));
    first.extend(test.place.clone());
    vec![first.join(" · ")]
}

/// What was noticed, in a word and a count: the findings themselves follow, worst first.
fn banner(report: &TestsReport) -> Banner {
    let count = |severity| {
        let of_it = report.findings.iter().filter(|f| f.severity == severity);
        of_it.count()
    };
    let (critical, warnings) = (count(Severity::Critical), count(Severity::Warning));
    let words = match (critical, warnings) {
        (0, 0) => "NO WARNINGS",
        (0, _) => "READ THE WARNINGS FIRST",
        _ => "CRITICAL: READ THIS FIRST",
    };
    let pulls = report.read.pulls.len();
    let setups = report.read.test.setups.len();
    let mut reasons: Vec<String> = report
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Critical)
        .map(|f| format!("{}: {}", f.subject, f.message))
        .collect();
    reasons.extend(lines::said(report));
    reasons.extend(compared::said(report));
    Banner {
        stop: critical > 0,
        words,
        headline: format!(
            "{}, {}; {critical} critical, {}",
            counted(pulls, "pull"),
            counted(setups, "set-up"),
            counted(warnings, "warning"),
        ),
        reasons,
    }
}

fn counted(count: usize, what: &str) -> String {
    let many = if count == 1 { "" } else { "s" };
    format!("{count} {what}{many}")
}

fn section(heading: impl Into<String>, blocks: Vec<Block>) -> Section {
    Section {
        topic: Topic::Test,
        heading: heading.into(),
        blocks,
    }
}

/// A column of words, or of numbers set to the right.
fn column(heading: &'static str, number: bool, share: f64) -> Column {
    Column {
        heading,
        number,
        share,
    }
}
