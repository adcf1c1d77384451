//! An input that the plan gives as a range or a distribution.

use crate::chance::Distribution;

/// One input that is not one number. What does not reckon with chance uses its
/// middle, which stands in the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Key in the plan file, such as `casualty.mass`.
    pub key: String,
    /// SI unit of its values; empty for a plain number or a share.
    pub unit: &'static str,
    /// The value that the plan holds, SI: the middle of a range, the likely value
    /// where one is given, else the median.
    pub middle: f64,
    /// What it may be, SI; within the limits of its key.
    pub distribution: Distribution,
    /// As the file writes it, such as `2.2 t to 2.6 t`.
    pub text: String,
}
