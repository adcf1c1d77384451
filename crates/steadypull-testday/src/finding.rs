//! What was noticed.

use steadypull_contract::answer::{Finding, Severity};

/// A finding of this area.
pub(crate) struct Noticed {
    pub severity: Severity,
    pub code: &'static str,
    pub subject: String,
    pub message: String,
    pub remedy: &'static str,
    pub source: &'static str,
}

impl From<Noticed> for Finding {
    fn from(noticed: Noticed) -> Self {
        Self {
            severity: noticed.severity,
            code: noticed.code.into(),
            subject: noticed.subject,
            message: noticed.message,
            remedy: noticed.remedy.into(),
            source: noticed.source.into(),
        }
    }
}

/// A warning by common practice.
pub(crate) fn warning(
    code: &'static str,
    subject: &str,
    message: impl Into<String>,
    remedy: &'static str,
) -> Finding {
    Noticed {
        severity: Severity::Warning,
        code,
        subject: subject.into(),
        message: message.into(),
        remedy,
        source: "common practice",
    }
    .into()
}

/// The same, worth knowing only.
pub(crate) fn note(
    code: &'static str,
    subject: &str,
    message: impl Into<String>,
    remedy: &'static str,
) -> Finding {
    Finding {
        severity: Severity::Note,
        ..warning(code, subject, message, remedy)
    }
}

/// Worst first, otherwise as they came.
pub(crate) fn sorted(mut findings: Vec<Finding>) -> Vec<Finding> {
    let weight = |f: &Finding| match f.severity {
        Severity::Critical => 0,
        Severity::Warning => 1,
        Severity::Note => 2,
    };
    findings.sort_by_key(weight);
    findings
}
