//! Something whose hold the plan states: a rated ring bolt, a rock that was tested.

use super::{Hold, Way};
use crate::chance::LogNormal;
use crate::plan::StatedAnchor;
use crate::source::{Source, Status};
use crate::units::Force;

/// The plan itself.
pub const SOURCE: Source = Source::new("stated in the plan", Status::Assumed);

/// What is said of it.
pub(super) fn hold(stated: &StatedAnchor) -> Hold {
    Hold::of(vec![Way {
        what: "yields",
        load: LogNormal::new(stated.holds.get(), stated.spread),
        less: Force::ZERO,
        method: "as the plan states".into(),
        source: SOURCE,
    }])
}
