//! The table on the terminal, and VALIDATION.md with its chart.

use crate::chart::chart;
use crate::check::{Against, Outcome, Verdict};
use crate::convergence_chart;
use crate::required::DEFERRED;
use crate::snap_back_chart;
use crate::statistics::Spread;
use core::fmt::Write;
use steadypull_engine::source::Status;

/// A generated file.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Its path from the top of the repository.
    pub path: &'static str,
    /// Its text.
    pub text: String,
}

/// The generated files, to be kept in step with the checks.
pub fn documents(outcomes: &[Outcome]) -> [Document; 4] {
    [
        Document {
            path: "VALIDATION.md",
            text: markdown(outcomes),
        },
        Document {
            path: "docs/validation.svg",
            text: chart(outcomes),
        },
        Document {
            path: "docs/convergence.svg",
            text: convergence_chart::chart(),
        },
        Document {
            path: "docs/snap_back.svg",
            text: snap_back_chart::chart(),
        },
    ]
}

const COLUMNS: [&str; 7] = [
    "id",
    "source",
    "status",
    "expected",
    "got",
    "difference",
    "verdict",
];

/// The table for a terminal: one check a line, columns of fixed width.
pub fn table(outcomes: &[Outcome]) -> String {
    let mut text = String::new();
    line(&mut text, &COLUMNS.map(str::to_owned));
    for outcome in outcomes {
        line(&mut text, &cells(outcome));
        if let Verdict::Fails(why) = &outcome.verdict {
            let _ = writeln!(text, "    {}: {why}", outcome.check.what);
        }
    }
    let failed = outcomes.iter().filter(|outcome| !outcome.holds()).count();
    let _ = writeln!(
        text,
        "{} checks, {failed} failed; {} rows put off",
        outcomes.len(),
        DEFERRED.len()
    );
    text
}

fn line(text: &mut String, cells: &[String; 7]) {
    let widths = [13, 40, 15, 34, 34, 10, 7];
    for (cell, width) in cells.iter().zip(widths) {
        let _ = write!(text, "{:width$}  ", shortened(cell, width));
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
}

fn shortened(cell: &str, width: usize) -> String {
    if cell.chars().count() <= width {
        return cell.to_owned();
    }
    cell.chars().take(width - 1).chain(['…']).collect()
}

fn cells(outcome: &Outcome) -> [String; 7] {
    let check = &outcome.check;
    let verdict = if outcome.holds() { "holds" } else { "FAILS" };
    let (expected, got) = match &check.against {
        Against::Values { expected, .. } => (list(expected), list(&check.got)),
        Against::Bands(bands) => (bands_text(bands), list(&check.got)),
        Against::Statements(statements) => {
            let so = statements.iter().filter(|s| s.1).count();
            (
                statement_words(statements),
                format!("{so} of {} so", statements.len()),
            )
        }
    };
    [
        check.id.into(),
        check.source.name.into(),
        check.source.status.words().into(),
        with_unit(expected, check),
        got,
        difference(outcome),
        verdict.into(),
    ]
}

fn with_unit(text: String, check: &crate::check::Check) -> String {
    let bare = check.unit == "-" || matches!(check.against, Against::Statements(_));
    if bare {
        text
    } else {
        format!("{text} {}", check.unit)
    }
}

fn statement_words(statements: &[(&'static str, bool)]) -> String {
    statements
        .iter()
        .map(|s| s.0)
        .collect::<Vec<_>>()
        .join("; ")
}

fn bands_text(bands: &[(f64, f64)]) -> String {
    let words = |&(low, high): &(f64, f64)| {
        if low == high {
            number(low)
        } else if high == f64::MAX {
            format!("over {}", number(low))
        } else {
            format!("{} to {}", number(low), number(high))
        }
    };
    bands.iter().map(words).collect::<Vec<_>>().join("; ")
}

/// Up to eight values; of more, the first seven and how many there are.
fn list(values: &[f64]) -> String {
    let shown = if values.len() > 8 { 7 } else { values.len() };
    let mut text = values[..shown]
        .iter()
        .map(|v| number(*v))
        .collect::<Vec<_>>()
        .join("; ");
    if shown < values.len() {
        let _ = write!(text, "; … ({} values)", values.len());
    }
    text
}

/// Seven significant figures, no trailing noughts.
fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    if !value.is_finite() {
        return format!("{value}");
    }
    let size = value.abs();
    if !(1e-4..1e7).contains(&size) {
        return tidy_exponent(&format!("{value:.6e}"));
    }
    let places = (6 - libm::log10(size).floor() as i32).max(0) as usize;
    let text = format!("{value:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn tidy_exponent(text: &str) -> String {
    match text.split_once('e') {
        Some((digits, power)) => {
            let digits = digits.trim_end_matches('0').trim_end_matches('.');
            format!("{digits}e{power}")
        }
        None => text.to_owned(),
    }
}

/// The largest relative difference with its sign, or where bands stand.
fn difference(outcome: &Outcome) -> String {
    match &outcome.check.against {
        Against::Values { .. } => {
            let differences = outcome.relative_differences();
            match differences
                .iter()
                .copied()
                .max_by(|a, b| a.abs().total_cmp(&b.abs()))
            {
                Some(worst) => share(worst),
                None => "-".into(),
            }
        }
        Against::Bands(_) if outcome.holds() => "in band".into(),
        Against::Bands(_) => "outside".into(),
        Against::Statements(_) => "-".into(),
    }
}

/// A relative difference in two figures; the noise of the last digits is 0.
fn share(value: f64) -> String {
    if value.abs() < 1e-9 {
        "0".into()
    } else {
        format!("{value:+.1e}")
    }
}

fn markdown(outcomes: &[Outcome]) -> String {
    let mut text = String::from(PREAMBLE);
    let failed = outcomes.iter().filter(|outcome| !outcome.holds()).count();
    let _ = writeln!(
        text,
        "{} checks, {failed} failed, {} rows put off.\n",
        outcomes.len(),
        DEFERRED.len()
    );
    statistics(&mut text, outcomes);
    text.push_str("![Computed against published](docs/validation.svg)\n\n## Checks\n\n");
    text.push_str("| id | what | source | status | expected | got | difference | tolerance, and why | verdict |\n");
    text.push_str("|---|---|---|---|---|---|---|---|---|\n");
    for outcome in outcomes {
        let [id, source, status, expected, got, difference, verdict] = cells(outcome);
        let what = outcome.check.what;
        let tolerance = tolerance(outcome);
        let _ = writeln!(
            text,
            "| {id} | {what} | {source} | {status} | {expected} | {got} | {difference} | {tolerance} | {verdict} |"
        );
    }
    notes(&mut text, outcomes);
    text
}

const PREAMBLE: &str = "\
# Validation

Generated by `cargo xtask validate --write`; a test keeps it in step.

What the engine computes beside what a named source says. *Status* says how far
the source was seen: `read`, `computed` (a closed form evaluated in double
precision), `from memory` (a real document that could not be opened), `common
practice` (no published source). *Difference* is the largest relative difference
of the row, with its sign. A check of a rule shows that the rule is coded right,
not that it is right for a given bog, tree or strap.

";

fn statistics(text: &mut String, outcomes: &[Outcome]) {
    text.push_str("## How far off\n\nRelative difference of every value that is not expected to be nothing.\n\n");
    text.push_str(
        "| status | values | bias | 75 % within | greatest |\n|---|---:|---:|---:|---:|\n",
    );
    let groups = [
        ("all", None),
        ("read", Some(Status::Read)),
        ("computed", Some(Status::Computed)),
        ("from memory", Some(Status::FromMemory)),
        ("common practice", Some(Status::CommonPractice)),
    ];
    for (name, status) in groups {
        let differences: Vec<f64> = outcomes
            .iter()
            .filter(|outcome| status.is_none_or(|s| outcome.check.source.status == s))
            .flat_map(Outcome::relative_differences)
            .collect();
        let Some(spread) = Spread::of(&differences) else {
            let _ = writeln!(text, "| {name} | 0 | - | - | - |");
            continue;
        };
        let _ = writeln!(
            text,
            "| {name} | {} | {} | {} | {} |",
            spread.count,
            share(spread.bias),
            share(spread.percentile_75),
            share(spread.greatest)
        );
    }
    text.push('\n');
}

fn tolerance(outcome: &Outcome) -> String {
    let reason = outcome.check.reason;
    match &outcome.check.against {
        Against::Values { tolerance, .. } => format!("{}: {reason}", tolerance.words()),
        _ => reason.to_owned(),
    }
}

fn notes(text: &mut String, outcomes: &[Outcome]) {
    text.push_str("\n## Notes\n\nMisprints, conflicts and limits.\n\n");
    for outcome in outcomes
        .iter()
        .filter(|outcome| !outcome.check.note.is_empty())
    {
        let _ = writeln!(text, "- {}: {}.", outcome.check.id, outcome.check.note);
    }
    text.push_str("\n## Put off\n\n");
    for (id, reason) in DEFERRED {
        let _ = writeln!(text, "- {id}: {reason}.");
    }
    if DEFERRED.is_empty() {
        text.push_str("Nothing.\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_seven_figures_and_no_noughts() {
        assert_eq!(number(5883.99), "5883.99");
        assert_eq!(number(0.0), "0");
        assert_eq!(number(1.0 / 3.0), "0.3333333");
        assert_eq!(number(39_000.0), "39000");
        assert_eq!(number(2.5e9), "2.5e9");
        assert_eq!(number(f64::NAN), "NaN");
    }

    #[test]
    fn every_check_has_a_row_and_every_note_a_line() {
        // One topic will do: in_step.rs works out all of them.
        let topic = &crate::cases::TOPICS[0];
        let outcomes: Vec<Outcome> = (topic.checks)().into_iter().map(Outcome::judge).collect();
        let text = markdown(&outcomes);
        for outcome in &outcomes {
            assert!(text.contains(&format!(
                "| {} | {} |",
                outcome.check.id, outcome.check.what
            )));
            assert!(text.contains(outcome.check.note));
        }
        let printed = table(&outcomes);
        assert_eq!(
            printed.lines().filter(|l| l.starts_with("CV-")).count(),
            outcomes.len()
        );
    }
}
