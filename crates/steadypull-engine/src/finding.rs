//! Findings: what the tool noticed, how bad it is, and what to do about it.
//!
//! An unsafe rig is an answer, never an error: it comes back as findings.

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Needs a decision before the pull.
    Warning,
    /// The pull must not go ahead like this.
    Critical,
}

/// One thing noticed.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// A stable word for the kind of finding, such as `tow-ball`.
    pub code: &'static str,
    /// What it is about: the part or area by its name in the plan.
    pub subject: String,
    /// What is so, in a sentence.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// The published source, or `common practice`.
    pub source: &'static str,
}

impl Finding {
    /// A finding with all its parts.
    pub fn new(
        severity: Severity,
        code: &'static str,
        subject: impl Into<String>,
        message: impl Into<String>,
        remedy: impl Into<String>,
        source: &'static str,
    ) -> Self {
        Self {
            severity,
            code,
            subject: subject.into(),
            message: message.into(),
            remedy: remedy.into(),
            source,
        }
    }
}
