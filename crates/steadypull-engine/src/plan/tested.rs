//! Where a line comes from that was measured in tests.

use super::Together;

/// Whether the pulls could tell the parameters of a fitted line apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToldApart {
    /// Each on its own.
    Apart,
    /// Some lean on one another.
    Leaning,
    /// Of one at least the pulls say nothing on a side.
    Open,
}

/// A line of the plan that was measured in tests, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct TestedLine {
    /// Its name in the plan.
    pub line: String,
    /// The line file that the plan names.
    pub file: String,
    /// SHA-256 of that file's text, in hexadecimal digits.
    pub sha256: String,
    /// Title of the tests.
    pub title: String,
    /// Day of the tests, `2031-05-14`.
    pub date: String,
    /// Where they were made, if said.
    pub place: Option<String>,
    /// Whether it was tested wet: what water takes off is then in its curve.
    pub wet: bool,
    /// Its condition as tested (`new`, `used`, `worn`), if said; what that takes off is in its
    /// curve, and not in its strength.
    pub condition: Option<String>,
    /// Pulls that it rests on.
    pub pulls: u32,
    /// Share of its breaking strength up to which there is data; above, its curve is a
    /// straight continuation.
    pub data_to: f64,
    /// Whether its parameters could be told apart.
    pub told: ToldApart,
    /// The same in a sentence, with what to do.
    pub says: String,
    /// Keys that were held in the fit, and so not measured.
    pub held: Vec<String>,
    /// Load cells whose certificate had run out on that day.
    pub overdue: Vec<String>,
    /// Pulls whose load no certificate vouches for.
    pub without_cell: u32,
    /// How its numbers are drawn together; none where each is drawn by itself.
    pub together: Option<Together>,
    /// How the intervals were made.
    pub method: String,
    /// Program and version that made the fit.
    pub program: String,
}
