//! What was noticed, worst first, with what to do about it.

use steadypull_contract::answer::{Finding, Severity};

use super::Page;

/// Writes every finding with its remedy and its source.
pub fn write(page: &mut Page, findings: &[Finding]) {
    page.heading("FINDINGS", "what was noticed, worst first");
    if findings.is_empty() {
        page.paragraph("None.");
    }
    for finding in findings {
        let mark = format!("{:<8}", word(finding.severity));
        page.item(&mark, &format!("{}: {}", finding.subject, finding.message));
        page.item(&format!("{:<8}", ""), &format!("Do: {}", finding.remedy));
        page.item(
            &format!("{:<8}", ""),
            &format!("Source: {}", finding.source),
        );
    }
}

fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Warning => "WARNING",
        Severity::Critical => "CRITICAL",
    }
}
