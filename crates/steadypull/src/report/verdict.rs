//! The verdict and the reasons for it.

use steadypull_contract::answer::{Answer, Finding, Severity};

use super::Page;

/// Writes the verdict, the order of the methods and the reasons.
pub fn write(page: &mut Page, answer: &Answer) {
    headline(page, answer);
    let verdict = &answer.verdict;
    if answer.lowering.is_some() {
        page.gap();
        page.paragraph("What follows is about the lowering first.");
    } else if verdict.sequence.is_empty() {
        page.paragraph("No method in this plan will do.");
    } else {
        page.gap();
        page.paragraph("In this order, and stop as soon as it is free:");
        for (number, method) in verdict.sequence.iter().enumerate() {
            page.item(&format!("  {}.", number + 1), method.title());
        }
    }
    page.heading("WHY", "reasons, most important first");
    for reason in &verdict.reasons {
        page.item("-", reason);
    }
}

/// Writes the verdict alone.
pub fn headline(page: &mut Page, answer: &Answer) {
    page.heading("VERDICT", "");
    page.paragraph(&answer.verdict.headline);
    let policy = if answer.verdict.within_policy {
        "The rig is within policy."
    } else {
        "The rig is OUT OF POLICY."
    };
    page.paragraph(&format!("{policy} {}", tally(&answer.findings)));
}

/// How many findings of each kind there are, in words.
fn tally(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
    let words = |number: usize, one: &str| match number {
        0 => None,
        1 => Some(format!("1 {one}")),
        many => Some(format!("{many} {one}s")),
    };
    let said: Vec<String> = [
        words(count(Severity::Critical), "critical finding"),
        words(count(Severity::Warning), "warning"),
        words(count(Severity::Note), "note"),
    ]
    .into_iter()
    .flatten()
    .collect();
    match said.is_empty() {
        true => "Nothing was found against it.".into(),
        false => format!("See FINDINGS: {}.", said.join(", ")),
    }
}
