//! The tests area as a person reads it in a terminal.

mod compare;
mod fit;
mod look;
mod plan;
mod read;

use steadypull_contract::answer::{
    Finding, TestSetUp, TestSummary, TestsCompareAnswer, TestsFitAnswer, TestsLookAnswer,
    TestsPlanAnswer, TestsReadAnswer,
};
use steadypull_contract::printed::Written;
use steadypull_contract::show::Units;

use super::{Page, cautions, findings};

/// A log looked at.
pub fn tests_look(answer: &TestsLookAnswer) -> String {
    let mut page = Page::default();
    look::write(&mut page, answer);
    cautions::write(&mut page, &answer.cautions);
    plain(page)
}

/// Pulls read.
pub fn tests_read(answer: &TestsReadAnswer, units: Units) -> String {
    let mut page = Page::default();
    head(&mut page, &answer.test);
    setups(&mut page, &answer.test.setups, units);
    read::write(&mut page, &answer.pulls, units);
    end(page, &answer.test, &answer.findings, &answer.cautions)
}

/// Lines fitted.
pub fn tests_fit(answer: &TestsFitAnswer, units: Units) -> String {
    let mut page = Page::default();
    head(&mut page, &answer.test);
    setups(&mut page, &answer.test.setups, units);
    for line in &answer.lines {
        fit::write(&mut page, line, units);
    }
    end(page, &answer.test, &answer.findings, &answer.cautions)
}

/// Set-ups compared.
pub fn tests_compare(answer: &TestsCompareAnswer, units: Units) -> String {
    let mut page = Page::default();
    head(&mut page, &answer.test);
    setups(&mut page, &answer.test.setups, units);
    for compared in &answer.compared {
        compare::write(&mut page, compared, units);
    }
    compare::predicted(&mut page, &answer.predicted, units);
    end(page, &answer.test, &answer.findings, &answer.cautions)
}

/// A report written: where, and what was noticed.
pub fn tests_report(written: &Written) -> String {
    let mut page = Page::default();
    for one in &written.written {
        page.drawn(&format!("wrote {} ({})", one.file, one.holds));
    }
    findings::write(&mut page, &written.findings);
    cautions::write(&mut page, &written.cautions);
    plain(page)
}

/// A day planned.
pub fn tests_plan(answer: &TestsPlanAnswer, units: Units) -> String {
    let mut page = Page::default();
    head(&mut page, &answer.test);
    plan::write(&mut page, answer, units);
    end(page, &answer.test, &answer.findings, &answer.cautions)
}

fn head(page: &mut Page, test: &TestSummary) {
    page.sides(&format!("STEADYPULL  {}", test.title), "");
    for (label, value) in [("Place", &test.place), ("Day", &test.date)] {
        if let Some(value) = value {
            page.fact(label, value);
        }
    }
}

/// What was pulled, as the test file labels it.
fn setups(page: &mut Page, setups: &[TestSetUp], units: Units) {
    if setups.is_empty() {
        return;
    }
    page.heading("SET-UPS", "as the test file labels them");
    for setup in setups {
        page.fact(&setup.name, &setup.labels(units));
    }
}

/// What was assumed and noticed, and the cautions, which end every report.
fn end(mut page: Page, test: &TestSummary, noticed: &[Finding], held: &[String]) -> String {
    page.heading(
        "ASSUMED",
        "what the file leaves open; write it in to change it",
    );
    if test.assumed.is_empty() {
        page.paragraph("Nothing: the file says it all.");
    }
    for default in &test.assumed {
        page.item(
            "-",
            &format!("{} = {} ({})", default.key, default.value, default.reason),
        );
    }
    page.paragraph(&format!("Random draws start from seed {}.", test.seed));
    findings::write(&mut page, noticed);
    cautions::write(&mut page, held);
    plain(page)
}

/// The page with the signs of the measurement's sentences as plain characters.
fn plain(page: Page) -> String {
    page.finish()
        .replace('\u{2212}', "-")
        .replace('\u{2026}', "...")
}
